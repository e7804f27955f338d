"""The spot-check after the engine was turned over: which valve, which blade, and whether it fits."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import ZERO, Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sentence import Sentence
from benchtui.domain.session.evidence.counting import counted, valve_of
from benchtui.domain.session.evidence.decision_rule import feel_in_force
from benchtui.domain.session.evidence.setting import judged
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.valve.lock_shift import shifts_of


@dataclass(frozen=True, slots=True)
class Spot:
    """The valve to try again, why that one, and with what.

    ``feeler`` must go if ``goes``, else it must refuse. ``margin`` is what the widened bracket
    leaves to the nearer limit; below zero where it reaches past it.
    """

    valve: str
    why: str
    feeler: Feeler
    goes: bool
    margin: Length

    @property
    def wanted(self) -> str:
        """What the blade must do."""
        return Sentence(f"{{}} must {'go' if self.goes else 'refuse'}", self.feeler)


def riskiest(state: State) -> Spot | None:
    """The valve that a spot-check is best spent on; None while none is done.

    A valve whose screw was locked, or whose shim was changed, in this session comes before one that
    was only measured. Among those the one whose widened bracket lies nearest a limit of its
    range, or furthest past it; where two are alike the one that locking moved most, then the one
    with the wider bracket, then the first on the sheet.
    """
    views = [view for name in state.valves if (view := look(state, name)).done]
    touched = [v for v in views if state.valves[v.valve.name].touched]
    found = [(v, spot) for v in touched or views if (spot := _spot(state, v)) is not None]
    if not found:
        return None

    def rank(pair: tuple[ValveView, Spot]) -> tuple[int, int, int]:
        view, spot = pair
        bracket = view.bracket
        width = 0 if bracket.high is None else (bracket.high - bracket.low).nm
        return spot.margin.nm, -_moved(state, view.valve.name).nm, -width

    return min(found, key=rank)[1]


def fits(state: State, valve: str, feeler: Feeler, answer: Answer) -> bool:
    """Whether a reading, taken again, leaves the verdict in range with what was left.

    Raises:
        Refusal: the valve is not done, so there is nothing that could be checked.
    """
    valve_of(state.opened.sheet, valve)
    view = look(state, valve)
    if not view.done or view.judged is None:
        raise Refusal(Why.NOT_DONE, valve=valve)
    left = [*counted(state.valves[valve].current), *state.valves[valve].spot]
    again = judged(
        state, view.valve, [*left, Reading(feeler, answer)], view.judged, feel_in_force(state)
    )
    return again.kind is VerdictKind.IN or again.by_feel


def _spot(state: State, view: ValveView) -> Spot | None:
    band, name = view.judged, view.valve.name
    readings = counted(state.valves[name].current)
    bracket = bracket_of(readings)
    if band is None or bracket.high is None or bracket.wide_high is None:
        return None
    below, above = bracket.wide_low - band.low, band.high - bracket.wide_high
    low_side = below < above
    margin = min(below, above)
    edge = bracket.low if low_side else bracket.high
    feeler = next((r.feeler for r in readings if r.feeler.nominal == edge), None)
    if feeler is None:
        return None
    side = "lower" if low_side else "upper"
    far = "reaches {} past" if margin < ZERO else "leaves {} to"
    what = "it was set and locked today" if state.valves[name].touched else "nothing was set today"
    moved = _moved(state, name)
    shift, parts = ("; locking may have moved it by {}", (moved,)) if moved > ZERO else ("", ())
    why = Sentence(
        f"{what}, and its bracket with the blades' errors {far} the {side} limit{shift}",
        _micrometres(abs(margin)),
        *parts,
    )
    return Spot(name, why, feeler, low_side, margin)


def _moved(state: State, name: str) -> Length:
    """The most that one locking moved this valve, either way; zero where that is not known."""
    most = ZERO
    for shift in shifts_of(state, name):
        most = max(most, abs(shift.low), abs(shift.high))
    return _micrometres(most)


def _micrometres(bound: Length) -> Length:
    """A bound, so up to the next micrometre."""
    return Length.um(-(-bound.nm // 1000))
