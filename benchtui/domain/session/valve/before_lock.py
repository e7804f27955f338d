"""With the nut slack: where the gap stands by reckoning, one blade to make sure, a touch more."""

from __future__ import annotations

from benchtui.domain.adjusting.before_lock import hand_error, left_by
from benchtui.domain.adjusting.on_blade import leaf_to_hold
from benchtui.domain.adjusting.turns import gap_for
from benchtui.domain.adjusting.while_slack import Best, Weighing
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading
from benchtui.domain.gauging.chances import ANY_HAND, Chances, chances_measured, chances_of
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.measured import bracket_measured
from benchtui.domain.length import ZERO, Length
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.counting import counted, gap_of, measured_in
from benchtui.domain.session.evidence.decision_rule import feel_of
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.facts.valve_history import Stage, StageKind
from benchtui.domain.sheet import Adjuster, Band


def reckoned(stages: tuple[Stage, ...], adjuster: Adjuster) -> Bracket:
    """Where the gap stands by reckoning; open where nothing tells.

    It is what was read before the nut was slackened, moved by what was turned since with the hand's
    own error, and narrowed by what blades have said between.
    """
    held = any(stage.held is not None for stage in stages)
    if not held and (not adjuster.reckoned):
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
    if not adjuster.reckoned:
        return OPEN
    if here.high is None or here.clash or stage.backed_off is not None:
        return OPEN
    moved = sum((gap_for(t.way, t.degrees, adjuster) for t in stage.turns), ZERO)
    error = hand_error(adjuster) * len(stage.turns)
    low, wide_low = (max(ZERO, end + moved - error) for end in (here.low, here.wide_low))
    wide_high = here.high if here.wide_high is None else here.wide_high
    return Bracket(
        low, max(low, here.high + moved + error), wide_low, max(wide_low, wide_high + moved + error)
    )


def while_slack(state: State, name: str, judged: Band, shift: Length) -> Best | None:
    """What is best with the nut slack, ``judged`` being the range less what it takes (``shift``).

    None where nothing tells where the gap stands.
    """
    return remembered(state, ("while slack", name), lambda: _weighed(state, name, judged, shift))


def _weighed(state: State, name: str, judged: Band, shift: Length) -> Best | None:
    sheet, blades = state.opened.sheet, state.opened.blades
    stages = state.valves[name].stages
    hand = feel_of(state) or ANY_HAND
    here = standing(stages, sheet.adjuster, hand) if sheet.adjuster.threaded else None
    if here is None:
        return None
    leaf = leaf_to_hold(blades, judged.middle, judged.moved(shift), shift)
    weighing = Weighing(judged, sheet.adjuster, hand, leaf, by_degrees=state.by_blade is False)
    tried = frozenset(reading.feeler for reading in counted(stages[-1]))
    return weighing.best(here, blades, tried)


def standing(stages: tuple[Stage, ...], adjuster: Adjuster, hand: FeelBand) -> Chances | None:
    """Where the gap stands by all that was felt and turned; None where that does not tell it."""
    here: Chances | None = None
    last = max((k for k, s in enumerate(stages) if s.kind is not StageKind.TURNED), default=0)
    for k, stage in enumerate(stages[last:]):
        if k and stage.held is not None:
            here = chances_of((Reading(stage.held, Answer.DRAG),), hand)
        elif k:
            here = _turned_on(here, stage, adjuster)
        measured = measured_in(stage)
        if measured is not None:
            here = chances_measured(measured)
        elif here is None:
            here = chances_of(counted(stage), hand)
        else:
            for reading in dict.fromkeys(counted(stage)):
                here = here.seen(reading, hand)
        if here is not None and not here.whole:
            return None
    return here


def _turned_on(here: Chances | None, stage: Stage, adjuster: Adjuster) -> Chances | None:
    if here is None or stage.backed_off is not None or not adjuster.threaded:
        return None
    if stage.turns and adjuster.pitch is None:
        return None
    for turn in stage.turns:
        here = here.moved(gap_for(turn.way, turn.degrees, adjuster), hand_error(adjuster))
    return here
