"""One figure, printed without tolerance, and a valve set on it: as most handbooks mean it.

The leaf of that figure drags, or it goes free while the next leaf up refuses: set as the handbook says
(common practice: "a light drag on the 0.20"). It refuses: tight. The next leaf up goes: wide. With no
leaf near enough above it only a drag will do. That is no range, so it is never *in range* and never proved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchtui.domain.blades import BladeSet
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.stands_for import leaf_of
from benchtui.domain.gauging.verdict import Verdict, VerdictKind, judge
from benchtui.domain.length import Length
from benchtui.domain.sentence import Sentence
from benchtui.domain.sheet import Band

THICK = Length.um(200)
"""From here on the next leaf up may be further off (own choice)."""

NEXT_UP, NEXT_UP_THICK = Length.um(30), Length.um(50)
"""So much thicker the next leaf up may be, and from ``THICK`` on (own choice)."""


def figure_band(figure: Length, blades: BladeSet) -> Band:
    """From the leaf of the figure to the next leaf up; of no width where none is near enough.

    A leaf within its own error of the figure is its leaf: 4 thou for 0.10 mm.
    """
    reach = figure + (NEXT_UP if figure < THICK else NEXT_UP_THICK)
    above = [
        leaf.thickness
        for leaf in blades.leaves
        if figure + leaf.error < leaf.thickness <= reach + leaf.error
    ]
    low = leaf_of(figure, blades.leaves)
    return Band(low, min(above, default=low))


def judge_on_figure(readings: Sequence[Reading], band: Band) -> Verdict:
    """The verdict against the figure, ``band`` running from it to the next leaf up.

    IN and UNDECIDED are said by ``on_figure``; what is out is out as in any range.
    """
    verdict = judge(readings, band)
    if verdict.kind is VerdictKind.CONTRADICTION:
        return verdict
    bracket = bracket_of(readings)
    if band.low < band.high <= bracket.low:
        because = Sentence("{}, the next leaf up, goes", bracket.low)
        return Verdict(VerdictKind.WIDE, because, disagree=verdict.disagree)
    felt = [r.answer for r in readings if r.feeler.nominal == band.low]
    drags = felt.count(Answer.DRAG) > felt.count(Answer.FREE)
    if drags and bracket.low == band.low:
        because = Sentence("{} drags: set as the handbook says", band.low)
        return Verdict(VerdictKind.IN, because, disagree=verdict.disagree, on_figure=True)
    if verdict.kind is VerdictKind.IN:
        return replace(verdict, proved=False, at_limit=None, quiet_limit=None, on_figure=True)
    return verdict
