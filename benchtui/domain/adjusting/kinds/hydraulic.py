"""Hydraulic adjusters take up the clearance themselves: there is none to measure or to set."""

from benchtui.domain.adjusting.kinds.face import SetBy
from benchtui.domain.refusal import Why

HYDRAULIC = SetBy("adjuster", measured=False, no_turn=Why.HYDRAULIC)
