"""With the nut slack: where the gap stands by reckoning, one blade to make sure, a touch more."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchtui.domain.adjusting.before_lock import NEAR, aim_feeler, hand_error, left_by, pays
from benchtui.domain.adjusting.turns import Turn, gap_for, turn_for
from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading
from benchtui.domain.gauging.measured import bracket_measured
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.length import ZERO
from benchtui.domain.session.evidence.counting import counted, gap_of, measured_in
from benchtui.domain.session.facts.valve_history import Stage, StageKind
from benchtui.domain.sheet import Adjuster, Band


def reckoned(stages: tuple[Stage, ...], adjuster: Adjuster) -> Bracket:
    """Where the gap stands by reckoning; open where nothing tells.

    It is what was read before the nut was slackened, moved by what was turned since with the hand's
    own error, and narrowed by what blades have said between.
    """
    held = any(stage.held is not None for stage in stages)
    if not held and (not adjuster.turned or adjuster.pitch is None):
        return OPEN
    begin = next(
        (k for k in range(len(stages) - 1, -1, -1) if stages[k].kind is not StageKind.TURNED), 0
    )
    here = gap_of(stages[begin])
    for reading in counted(stages[begin]) if here.measured is None else ():
        if reading.answer is Answer.DRAG and reading.feeler.nominal == here.low:
            here = left_by(replace(here, low=ZERO, wide_low=ZERO), reading)
    for stage in stages[begin + 1 :]:
        here = _turned(here, stage, adjuster) if stage.held is None else set_on(stage.held)
        for reading in counted(stage):
            here = left_by(here, reading)
        measured = measured_in(stage)
        here = here if measured is None else bracket_measured(measured)
    return here


def set_on(held: Feeler) -> Bracket:
    """Where the gap stands once the screw was run to a light drag on this blade."""
    return left_by(OPEN, Reading(held, Answer.DRAG))


def _turned(here: Bracket, stage: Stage, adjuster: Adjuster) -> Bracket:
    if not adjuster.turned or adjuster.pitch is None:
        return OPEN
    if here.high is None or here.clash or stage.backed_off is not None:
        return OPEN
    moved = sum((gap_for(t.way, t.degrees, adjuster) for t in stage.turns), ZERO)
    error = hand_error(adjuster) * len(stage.turns)
    low, wide_low = (max(ZERO, end + moved - error) for end in (here.low, here.wide_low))
    wide_high = here.high if here.wide_high is None else here.wide_high
    return Bracket(
        low,
        max(low, here.high + moved + error),
        wide_low,
        max(wide_low, wide_high + moved + error),
    )


def touch(stages: tuple[Stage, ...], judged: Band, adjuster: Adjuster) -> Turn | None:
    """A little more turn, where a blade says that the screw stands beside its aim.

    None while nothing was read, where a blade drags about the size aimed at, where the readings and
    the reckoning differ, and where the worst case would land out of range.
    """
    here = reckoned(stages, adjuster)
    if not counted(stages[-1]) or here.high is None or here.clash:
        return None
    if stands_right(stages, judged, adjuster):
        return None
    # A blade of about the size aimed at stands for the aim itself: free is above it, refused below.
    aim = judged.middle
    if here.low < aim <= here.low + NEAR:
        here = replace(here, low=aim, high=max(aim, here.high))
    elif here.high is not None and here.high - NEAR <= aim < here.high:
        here = replace(here, low=min(aim, here.low), high=aim)
    try:
        return turn_for(here, aim, judged, adjuster)
    except Refusal:
        return None


def stands_right(stages: tuple[Stage, ...], judged: Band, adjuster: Adjuster) -> bool:
    """Whether a blade of about the size aimed at drags: lock it as it is."""
    here = reckoned(stages, adjuster)
    if here.high is None or not here.low <= judged.middle <= here.high:
        return False
    return any(r.answer is Answer.DRAG for r in counted(stages[-1]))


def before_locking(
    stages: tuple[Stage, ...], judged: Band, adjuster: Adjuster, blades: BladeSet
) -> NextBlade | None:
    """The one blade worth trying before the nut is tightened; None: lock it."""
    here = reckoned(stages, adjuster)
    if not pays(here, judged, adjuster):
        return None
    feeler = aim_feeler(blades, judged.middle)
    if feeler is None:
        return None
    return NextBlade(
        feeler,
        f"{feeler.bare}: about the clearance aimed at; if it drags, lock it",
        "with a drag: lock it; free: close it a little first",
        "open it a little first",
        Fraction(len(feeler.leaves) + 1, 2),
    )
