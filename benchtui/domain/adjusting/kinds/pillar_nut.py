"""A nut on the pillar that a rocker pivots on: a thread, turned at its hexagon, on pushrod gear."""

from dataclasses import replace

from benchtui.domain.adjusting.kinds.screw import SCREW

PILLAR_NUT = replace(SCREW, part="nut", pushrods=True)
