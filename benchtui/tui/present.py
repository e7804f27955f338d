"""From the session's state to what the pictures draw: a matter of words and shapes, not of rules."""

from __future__ import annotations

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer, Bracket
from benchtui.domain.gauging.feel import FeelBand, Practice, bracket_by_feel, on_scale
from benchtui.domain.length import Length
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Taken
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.sheet import Cylinder, ValveKind
from benchtui.text.quantities import show
from benchtui.text.quantities.show import bare, inert
from benchtui.text.words.bracket_words import felt_words
from benchtui.text.words.stamped import blade_label, bracket_both, inch_set, label, units_of
from benchtui.text.words.standing import Standing
from benchtui.text.words.state_words import nothing_goes, standing_of
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.marks import ROLES, SHAPES
from benchtui.tui.widgets.ruler import FEEL_STROKE, Bar, Figure, Ruler, Tried
from benchtui.tui.widgets.valve_map import CylinderSpot, ValveMap, ValveSpot


def big_verdict(state: State, view: ValveView) -> Big:
    """How the valve stands, its sign and its word in tall letters."""
    standing, verdict = stands(state, view), view.verdict
    words = standing.word
    if verdict.on_figure:
        words = "on figure"
    elif verdict.proved and standing is Standing.IN_RANGE:
        words = "proved in"
    elif verdict.by_feel and standing is Standing.UNDECIDED:
        words = "by feel"
    words = words.upper()
    return Big(f"{standing.sign} {words}", ROLES[standing], small=f"{standing.sign} {words}")


def figure(length: Length, *, inch: bool = False) -> Figure:
    """A length with its label."""
    return Figure(length, label(length, inch=inch))


def tried(taken: Taken, *, inch: bool, doubted: bool = False, aside: bool = False) -> Tried:
    """A reading on the ruler, the blade as it is stamped."""
    reading = taken.reading
    blade = Figure(reading.feeler.nominal, blade_label(reading.feeler, inch=inch))
    out = "struck" if taken.struck else "set aside" if aside else ""
    return Tried(blade, reading.answer, out=out, doubted=doubted)


def ruler(
    view: ValveView, upcoming: Feeler | None, feel: FeelBand | None = None, *, inch: bool = False
) -> Ruler:
    """Range, blades tried, brackets and the next blade, to scale; by feel too where a hand is known.

    Labels are in inches for an ``inch`` set, save for what was printed or stamped in millimetres.
    """
    band = view.judged
    named = "setting range"
    if view.setting is not None and view.setting.owners:
        named = "your own band"
    if view.setting is not None and view.setting.figure is not None:
        named = "figure" if band is None or band.single else "figure, to the next leaf"
    elif view.setting is not None and band != view.setting.band:
        named = "range before locking"
    ends = () if band is None else (figure(band.low, inch=inch), figure(band.high, inch=inch))
    if ends and not any(" " in end.label for end in ends):
        named += ", in" if inch else ", mm"
    doubted = {reading for heal in view.verdict.heals for reading in heal}
    readings = tuple(
        tried(t, inch=inch, doubted=t.reading in doubted, aside=t.reading in view.aside)
        for t in view.readings
    )
    bracket = view.bracket
    shown = not view.unread
    felt = None if feel is None else _felt(view, feel)
    return Ruler(
        band=ends or None,
        band_label=named,
        readings=readings,
        bracket=_bar(bracket) if shown else None,
        widened=_wide_bar(bracket) if shown and not doubted else None,
        bracket_label=_bracket_label(view, inch=inch) if shown else "",
        upcoming=None if upcoming is None else _upcoming(upcoming, inch=inch),
        clash=bool(doubted),
        by_feel=None if felt is None else Bar(felt.low, felt.high),
        feel_label="" if felt is None else f"{FEEL_STROKE} by feel {felt_words(felt)}",
        role=ROLES[standing_of(view)],
        decided=view.verdict.kind.settled,
    )


def _bracket_label(view: ValveView, *, inch: bool) -> str:
    if view.verdict.heals:
        return "clash: no bracket until it is settled"
    return bracket_both(view.bracket, inch=inch)


def _upcoming(upcoming: Feeler, *, inch: bool) -> Figure:
    words = blade_label(upcoming, inch=inch)
    # Nothing else may say yet that this ruler is one of inches.
    unit = " in" if units_of(upcoming, inch=inch) == {"in"} and inch else ""
    return Figure(upcoming.nominal, words + unit)


def readings_lines(state: State, view: ValveView) -> str:
    """The readings in hand, the latest first, each with its shape; for screens with room for it."""
    inch = inch_set(state.opened.blades)
    rows = [tried(t, inch=inch, aside=t.reading in view.aside) for t in reversed(view.readings)]
    unit = "in" if inch else "mm"
    if not rows:
        return "no readings yet"
    said = (
        f"{SHAPES[t.answer]} {t.blade.label} {t.answer.value}{f', {t.out}' if t.out else ''}"
        for t in rows
    )
    return "\n".join([f"readings, {unit}, latest first", *said])


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


def stands(state: State, view: ValveView) -> Standing:
    """How the valve stands, on the map and in tall letters."""
    # Only where nothing goes in does the step tell more; it is dear to ask for at every valve.
    step = next_step(state, view.valve.name) if nothing_goes(view) else None
    return standing_of(view, step)


def valve_map(
    state: State, views: dict[str, ValveView], current: str, *, flipped: bool
) -> ValveMap:
    """The head from where he stands: exhausts far, inlets near (flipped: from the other side).

    One row of valves stands in the sheet's order.
    """
    place = state.place
    here = place.confirmed.valves if place is not None else ()

    def spots(cylinder: Cylinder, *kinds: ValveKind) -> tuple[ValveSpot, ...]:
        return tuple(
            ValveSpot(inert(v.name), stands(state, views[v.name]), v.name in here)
            for v in cylinder.valves
            if v.kind in kinds
        )

    layout = state.opened.sheet.layout
    cylinders = layout.cylinders
    one_row = layout.valve_rows == 1
    row = tuple(
        CylinderSpot(inert(c.name), near=spots(c, *ValveKind))
        if one_row
        else CylinderSpot(inert(c.name), spots(c, ValveKind.EXHAUST), spots(c, ValveKind.INLET))
        for c in cylinders
    )
    half = -(-len(row) // 2)
    rows = (row,) if len(row) <= _MOST_ABREAST else (row[:half], row[half:])
    return ValveMap(
        rows=rows,
        current=current,
        far_word="" if one_row else "exhaust",
        near_word="" if one_row else "inlet",
        flipped=flipped,
    )


_MOST_ABREAST = 6
