"""Doubts and notes on a valve beyond its verdict: what a careful eye would say aloud."""

from __future__ import annotations

from benchtui.domain.adjusting.pad import PadVerdict
from benchtui.domain.adjusting.pairs import BRIDGED, agree, other_gap
from benchtui.domain.gauging.bracket import Bracket, Reading, bracket_of, healing_sets
from benchtui.domain.session.evidence.cams import cams_back, to_gauge_again
from benchtui.domain.session.evidence.counting import counted, gap_of, gauged, valve_of
from benchtui.domain.session.evidence.pairs import pair_of, whole_play
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import CAMS_OUT, ValveView
from benchtui.domain.session.valve.pad import hollow, pad_finding
from benchtui.domain.session.valve.sheet_check import doubted_at, pooled_finding, turn_finding
from benchtui.domain.session.valve.turning import turning
from benchtui.domain.sheet import GapRole, Valve

FINISH_FROM_ONE_SIDE = (
    "This turn goes back on the one before, and slack in the thread comes first. Finish from one "
    "side: go a little past it and come back."
)
SIBLINGS = 2
"""So many of a kind must have been read before one can be far from them (design value)."""


def doubts(state: State, view: ValveView) -> tuple[str, ...]:
    """What is doubtful at this valve, the gravest first."""
    found = [
        _cams_out(state, view),
        _pad(state, view),
        _pair(state, view.valve),
        _screw(state, view),
        _far_from_kind(state, view.valve),
    ]
    return tuple(text for text in found if text)


def _cams_out(state: State, view: ValveView) -> str:
    """At a valve read before the cams came out, and where they came out for: what is to be gauged."""
    if view.cams_out and not cams_back(state):
        return f"{CAMS_OUT[:1].upper()}{CAMS_OUT[1:]} with them back in."
    if view.stage is not StageKind.SHIMMED:
        return ""
    *others, last = ("", *to_gauge_again(state))
    names = f"{', '.join(others[1:])} and {last}" if len(others) > 1 else last
    return f"The cams have been out: with them back in, gauge {names} again." if last else ""


def setting_notes(state: State, view: ValveView) -> tuple[str, ...]:
    """What to mind in making the turn that is advised at this valve."""
    advised = turning(state, view)
    if advised.turn is None:
        return ()
    notes = [
        advised.note,
        FINISH_FROM_ONE_SIDE if _goes_back(state, view) else "",
        BRIDGED if state.opened.sheet.adjuster.bridged else "",
    ]
    return tuple(text for text in notes if text)


def pair_notes(state: State, valve: Valve) -> tuple[str, ...]:
    """What the whole free play of a valve with two gaps says of this one."""
    whole = _whole(state, valve.name)
    if whole is None or _whole_clash(state, valve.name):
        return ()
    told = f"Whole free play {whole}"
    rest = None if counted(state.valves[valve.name].current) else derived_gap(state, valve)
    if rest is None or rest.high is None or rest.high < rest.low:
        return (f"{told}.",)
    return (f"{told}: less the other gap it leaves {rest.low.bare} to {rest.high} here.",)


def derived_gap(state: State, valve: Valve) -> Bracket | None:
    """This gap as the valve's whole free play less its other gap.

    None where either was not read, or the readings of either contradict each other.
    """
    pair = pair_of(state.opened.sheet, valve)
    whole = _whole(state, valve.name)
    if pair is None or whole is None or _whole_clash(state, valve.name):
        return None
    other = pair[0] if valve.role is GapRole.CLOSER else pair[1]
    gap = _gap(state, other.name)
    return None if gap is None else other_gap(whole, gap)


def _whole_readings(state: State, name: str) -> list[Reading]:
    return [t.reading for t in whole_play(state, name) if t.place is not None]


def _whole(state: State, name: str) -> Bracket | None:
    readings = _whole_readings(state, name)
    return bracket_of(readings) if readings else None


def _whole_clash(state: State, name: str) -> str:
    """Which two readings of the whole free play cannot both be right, in a sentence; else empty."""
    readings = _whole_readings(state, name)
    if not (bracket_of(readings).clash or healing_sets(readings)):
        return ""
    goes = max((r for r in readings if r.answer.goes), key=lambda r: r.feeler.nominal)
    refuses = min((r for r in readings if not r.answer.goes), key=lambda r: r.feeler.nominal)
    return (
        f"The readings of the whole free play contradict each other: {goes} or {refuses} must be "
        f"wrong. Clean the blades and the gap, try both again, and strike the wrong one."
    )


def _gap(state: State, name: str) -> Bracket | None:
    """One gap as it was last read; None where it was not, or contradicts itself: its verdict says so."""
    readings = counted(state.valves[name].current)
    bracket = bracket_of(readings)
    return None if not readings or bracket.clash or healing_sets(readings) else bracket


def _pad(state: State, view: ValveView) -> str:
    """A hollow stays one all session; that there is none is said while the test is in hand."""
    name = view.valve.name
    in_hand = state.valves[name].current.backed_off is not None
    finding = (pad_finding(state, name) if in_hand else None) or hollow(state, name)
    if finding is None:
        return ""
    low, high = view.bracket.low, view.bracket.high
    inside = (f for f in state.opened.blades.leaves if low < f.thickness)
    if finding.verdict is PadVerdict.UNDECIDED and not any(
        high is None or f.thickness < high for f in inside
    ):
        return f"The thread made {finding.made} mm; this set has no leaf that would tell more."
    return str(finding)


def _pair(state: State, valve: Valve) -> str:
    pair, whole = pair_of(state.opened.sheet, valve), _whole(state, valve.name)
    if pair is None or whole is None:
        return ""
    clash = _whole_clash(state, valve.name)
    if clash:
        return clash
    gaps = [(v.name, gap) for v in pair if (gap := _gap(state, v.name)) is not None]
    for name, gap in gaps:
        if whole.wide_high is not None and whole.wide_high < gap.wide_low:
            return (
                f"The whole free play ({whole}) is less than {name} alone ({gap}): "
                f"they disagree. Gauge both again."
            )
    if len(gaps) < len(pair) or agree(whole, gaps[0][1], gaps[1][1]):
        return ""
    return (
        f"The two gaps do not add up to the valve's whole free play ({whole}): a blade "
        f"bridged something, or one gap was gauged off the base circle. Gauge all three again."
    )


def _screw(state: State, view: ValveView) -> str:
    """Only where a turn is to be made or was made: elsewhere it would be noise.

    What many turns say together is said once: where the last of them was made, or, of past sessions,
    before the first turn of this one.
    """
    turned = any(stage.turns for stage in state.valves[view.valve.name].stages)
    if not turned and turning(state, view).turn is None:
        return ""
    finding = turn_finding(state, view.valve.name)
    if finding is not None:
        return str(finding)
    pooled = pooled_finding(state)
    if pooled is None:
        return ""
    where = doubted_at(state)
    here = where == view.valve.name if where is not None else not _any_turned(state, view)
    return str(pooled) if here else ""


def _any_turned(state: State, view: ValveView) -> bool:
    """Whether the screw of any other valve was turned in this session."""
    others = (valve for name, valve in state.valves.items() if name != view.valve.name)
    return any(stage.turns for valve in others for stage in valve.stages)


def _goes_back(state: State, view: ValveView) -> bool:
    """Whether the turn advised goes against the last one that was made at this valve."""
    made = [t for stage in state.valves[view.valve.name].stages for t in stage.turns]
    turn = turning(state, view).turn
    threaded = state.opened.sheet.adjuster.threaded
    return threaded and turn is not None and bool(made) and made[-1].way is not turn.way


def _far_from_kind(state: State, valve: Valve) -> str:
    """As found, further from every valve of its kind than its whole setting range is wide."""
    own = _found(state, valve.name)
    setting = setting_of(state, valve)
    if own is None or own.high is None or setting is None:
        return ""
    kin = [
        bracket
        for other in state.opened.sheet.layout.valves
        if other.name != valve.name and (other.kind, other.role) == (valve.kind, valve.role)
        if (bracket := _found(state, other.name)) is not None and bracket.high is not None
    ]
    wide = setting.band.width
    if len(kin) < SIBLINGS or not (
        all(own.low > k.high + wide for k in kin if k.high is not None)
        or all(own.high < k.low - wide for k in kin)
    ):
        return ""
    return (
        f"As found, {own} is far from the other {valve.kind.value} valves: is it the right "
        f"valve, at the right position, and is nothing broken or loose?"
    )


def _found(state: State, name: str) -> Bracket | None:
    found = state.valves[valve_of(state.opened.sheet, name).name].found
    bracket = gap_of(found)
    return bracket if gauged(found) and not bracket.clash else None
