"""From the session's state to what the pictures draw: a matter of words and shapes, not of rules."""

from __future__ import annotations

from benchtui.domain.gauging.bracket import Answer, Bracket
from benchtui.domain.gauging.feel import FeelBand, Practice, bracket_by_feel, on_scale
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.look import ValveView
from benchtui.domain.session.state import State
from benchtui.domain.sheet import Cylinder, ValveKind
from benchtui.text import show
from benchtui.text.show import bare, bracket_words, inert
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.marks import State as Spot
from benchtui.tui.widgets.ruler import FEEL_STROKE, Bar, Figure, Ruler, Tried
from benchtui.tui.widgets.valve_map import CylinderSpot, ValveMap, ValveSpot

_SPOTS = {
    VerdictKind.IN: Spot.IN,
    VerdictKind.TIGHT: Spot.TIGHT,
    VerdictKind.WIDE: Spot.WIDE,
    VerdictKind.UNDECIDED: Spot.UNDECIDED,
    VerdictKind.CONTRADICTION: Spot.CLASH,
    VerdictKind.NONE: Spot.NOT_YET,
}

_ROLES = {
    VerdictKind.IN: Role.IN,
    VerdictKind.TIGHT: Role.OUT,
    VerdictKind.WIDE: Role.OUT,
    VerdictKind.UNDECIDED: Role.UNDECIDED,
    VerdictKind.CONTRADICTION: Role.CAUTION,
    VerdictKind.NONE: Role.FAINT,
}

_BIG = {
    VerdictKind.IN: "IN RANGE",
    VerdictKind.TIGHT: "TIGHT",
    VerdictKind.WIDE: "WIDE",
    VerdictKind.UNDECIDED: "NOT KNOWN",
    VerdictKind.CONTRADICTION: "CLASH",
    VerdictKind.NONE: "- - -",
}


def big_verdict(view: ValveView) -> Big:
    """The verdict in tall letters."""
    if view.slack_nut and not view.readings:
        return Big("NUT SLACK", Role.CAUTION)
    if view.unread_after_lock:
        return Big("MEASURE", Role.CAUTION)
    verdict = view.verdict
    if verdict.at_limit is not None:
        return Big("AT LIMIT", Role.UNDECIDED)
    if verdict.by_feel:
        return Big("BY FEEL", Role.UNDECIDED, small="IN BY FEEL ONLY")
    words = "PROVED IN" if verdict.proved else _BIG[verdict.kind]
    return Big(words, _ROLES[verdict.kind], small=words)


def figure(length: Length) -> Figure:
    """A length with its label."""
    return Figure(length, bare(length))


def ruler(view: ValveView, upcoming: NextBlade | None, feel: FeelBand | None = None) -> Ruler:
    """Range, blades tried, brackets and the next blade, to scale; by feel too where a hand is known."""
    band = view.judged
    label = "setting range"
    if view.setting is not None and view.setting.owners:
        label = "your own band"
    if view.setting is not None and band != view.setting.band:
        label = "range before locking"
    readings = tuple(
        Tried(
            Figure(t.reading.feeler.nominal, blade_words(t.reading.feeler.marks)), t.reading.answer
        )
        for t in view.readings
    )
    bracket = view.bracket
    shown = bool(view.readings)
    felt = None if feel is None else _felt(view, feel)
    return Ruler(
        band=None if band is None else (figure(band.low), figure(band.high)),
        band_label=label,
        readings=readings,
        bracket=_bar(bracket) if shown else None,
        widened=_wide_bar(bracket) if shown else None,
        bracket_label=bracket_words(bracket) if shown else "",
        upcoming=None if upcoming is None else figure(upcoming.feeler.nominal),
        by_feel=None if felt is None else Bar(felt.low, felt.high),
        feel_label="" if felt is None else f"{FEEL_STROKE} by feel {bracket_words(felt)}",
    )


def feel_ruler(practice: Practice) -> Ruler:
    """The tries of a practice on a scale of gap less blade, and the band of drag they show."""
    band = practice.band
    readings = tuple(
        Tried(Figure(on_scale(t.excess), show.figure(t.excess, signed=True)), t.answer)
        for t in practice.tries
    )
    ends = None if band is None else (band.floor, band.ceiling)
    return Ruler(
        band=None if ends is None else (_excess(ends[0]), _excess(ends[1])),
        band_label="drag, as gap less blade",
        readings=readings,
    )


def _excess(excess: Length) -> Figure:
    return Figure(on_scale(excess), show.figure(excess, signed=True))


def _felt(view: ValveView, feel: FeelBand) -> Bracket | None:
    """Where the drags put it; None where nothing dragged, or what was felt does not fit the hand."""
    readings = [t.reading for t in view.readings if t.place is not None]
    if not any(r.answer is Answer.DRAG for r in readings):
        return None
    found = bracket_by_feel(readings, feel)
    return None if found.clash else found


def blade_words(marks: tuple[Length, ...]) -> str:
    """``0.10``, or ``0.30+0.04`` for a stack, the thickest first."""
    return "+".join(bare(mark) for mark in reversed(marks))


def _bar(bracket: Bracket) -> Bar:
    if bracket.high is not None and bracket.clash:
        return Bar(bracket.high, bracket.low)
    return Bar(bracket.low, bracket.high)


def _wide_bar(bracket: Bracket) -> Bar | None:
    if bracket.wide_high is not None and bracket.wide_low > bracket.wide_high:
        return None
    return Bar(bracket.wide_low, bracket.wide_high)


def spot_state(view: ValveView) -> Spot:
    """How the valve stands on the map."""
    if view.slack_nut:
        return Spot.LOOSE
    if view.done:
        return Spot.DONE
    return _SPOTS[view.verdict.kind]


def valve_map(
    state: State, views: dict[str, ValveView], current: str, *, flipped: bool
) -> ValveMap:
    """The head from where he stands: exhausts far, inlets near (flipped: from the other side)."""
    place = state.place
    here = place.confirmed.valves if place is not None else ()

    def spots(cylinder: Cylinder, kind: ValveKind) -> tuple[ValveSpot, ...]:
        return tuple(
            ValveSpot(inert(v.name), spot_state(views[v.name]), v.name in here)
            for v in cylinder.valves
            if v.kind is kind
        )

    cylinders = state.opened.sheet.layout.cylinders
    row = tuple(
        CylinderSpot(inert(c.name), spots(c, ValveKind.EXHAUST), spots(c, ValveKind.INLET))
        for c in cylinders
    )
    half = -(-len(row) // 2)
    rows = (row,) if len(row) <= _MOST_ABREAST else (row[:half], row[half:])
    return ValveMap(
        rows=rows, current=current, far_word="exhaust", near_word="inlet", flipped=flipped
    )


_MOST_ABREAST = 6


def verdict_role(verdict: Verdict) -> Role:
    """The colour's role for a verdict."""
    return _ROLES[verdict.kind]
