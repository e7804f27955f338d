"""One session on one page: gathered once, then written as text, Markdown or HTML.

A ``Card`` holds plain strings just as they came, those from files included; each way of writing it
makes them harmless in its own fashion.

Long, because what is gathered and its three ways of being written change together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Bracket, Reading
from benchtui.domain.gauging.verdict import Verdict
from benchtui.domain.history.due import Due
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.evidence.decision_rule import rule_of
from benchtui.domain.session.evidence.metal import metal_note, metal_now
from benchtui.domain.session.facts.events import Event
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.service import service_found, service_left, service_limit
from benchtui.domain.session.whole.completeness import torqued, torques_asked
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord, record_of
from benchtui.domain.sheet import Band
from benchtui.text.pages.handover import handover_steps
from benchtui.text.pages.sheet_page import OUTRANKED, source_words
from benchtui.text.quantities import show
from benchtui.text.quantities.show import LengthUnit, bare, degrees, inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.afterwards import (
    after_words,
    blind_words,
    crank_words,
    measured_words,
    micrometer_words,
    tally_words,
)
from benchtui.text.words.amendment_words import amended_lines
from benchtui.text.words.bracket_words import bracket_cell
from benchtui.text.words.clock_words import clock_lines
from benchtui.text.words.due_words import due_sentence
from benchtui.text.words.stamped import band_seen, band_told, gap_seen, gap_unit, reading_told
from benchtui.text.words.standing import Standing
from benchtui.text.words.state_words import standing_of_verdict
from benchtui.text.words.steps import SERVICE
from benchtui.text.words.torque_words import torque_told

WIDTH = 78
"""Columns of the text card; wide enough for its table, narrow enough for any printer."""


@dataclass(frozen=True, slots=True)
class CardValve:
    """One row of the table, and the figures behind it for the picture."""

    name: str
    kind: str
    setting: str
    found: str
    found_verdict: str
    turned: str
    after: str
    left: str
    left_verdict: str
    band: Band | None
    found_bracket: Bracket | None
    left_bracket: Bracket | None

    @property
    def cells(self) -> tuple[str, ...]:
        """The row, under ``HEADINGS``."""
        return (
            self.name,
            self.setting,
            self.found,
            self.found_verdict,
            self.turned,
            self.after,
            self.left,
            self.left_verdict,
        )


HEADINGS = ("valve", "range", "found", "", "turned", "locked", "left", "")

KEY = {
    "mm": "Millimetres. 0.06-0.10: the first goes, the second refuses.",
    "in": "Inches. 0.002-0.004: the first goes, the second refuses.",
    "thou": "Thou. 2-4: the first goes, the second refuses.",
}
"""What a bracket means, by the unit that it is told in."""

LEGEND = "locked: read = locked and measured again, UNREAD = locked and not measured, SLACK = not locked."


@dataclass(frozen=True, slots=True)
class Card:
    """Everything on the page. ``torques`` are (what, figure, ticked)."""

    title: str
    state: str
    facts: tuple[tuple[str, str], ...]
    valves: tuple[CardValve, ...]
    struck: tuple[str, ...]
    torques: tuple[tuple[str, str, bool], ...]
    missing: tuple[str, ...]
    handover: tuple[str, ...]
    notes: tuple[str, ...]
    due: str
    amended: tuple[str, ...] = ()
    unit: LengthUnit = "mm"
    workshop: tuple[str, ...] = ()


def card_of(
    state: State,
    due: Due | None,
    damage: str = "",
    events: Sequence[Event] = (),
    workshop: tuple[str, ...] = (),
) -> Card:
    """The card of a session as it stands.

    Args:
        state: the folded session.
        due: the next check, counted from this session where it was a check.
        damage: what is wrong with its file, where something is.
        events: what it was folded from; they tell how the crank was found, and of the clock.
        workshop: its name and the lines below it, for the head.
    """
    record = record_of(state)
    sheet = state.opened.sheet
    partial = (record.counts and not record.complete) or bool(damage)
    unit = gap_unit(state.opened.blades)
    return Card(
        title=sheet.name,
        state=_state_words(record, damage),
        facts=tuple(_facts(state, record, events)),
        valves=tuple(_card_valve(v, unit) for v in record.valves),
        struck=tuple(_told(v.name, v.struck, unit) for v in record.valves if v.struck),
        torques=tuple((t.what, torque_told(t), torqued(state, t)) for t in torques_asked(state)),
        missing=record.missing,
        handover=handover_steps(state) if partial else (),
        notes=(*record.notes, *clock_lines(events)),
        due=_due_words(due, partial=partial),
        amended=amended_lines(state),
        unit=unit,
        workshop=workshop,
    )


def _told(valve: str, readings: Sequence[Reading], unit: LengthUnit) -> str:
    """``1E: 0.03 refuses, 0.05 free``."""
    return f"{valve}: {', '.join(reading_told(r, unit) for r in readings)}"


def _due_words(due: Due | None, *, partial: bool) -> str:
    """The next check; a session that is no check does not pass its date off as counted from it."""
    said = "No interval is given in the sheet." if due is None else due_sentence(due)
    if not partial:
        return said
    return f"This session is partial and counts as no check: the interval runs on. {said}"


def card_text(card: Card) -> str:
    """The card as plain text, harmless for a terminal."""
    return "\n".join(_lines(card))


def _lines(card: Card) -> Iterator[str]:
    for line in card.workshop:
        yield from _wrapped(line)
    yield inert(f"{card.title}: valve clearances")
    yield "=" * WIDTH
    yield from _wrapped(card.state)
    width = max(len(label) for label, _ in card.facts)
    for label, text in card.facts:
        yield from _wrapped(text, f"{label:<{width}}  ")
    yield ""
    yield from _table(card.valves)
    yield from _wrapped(f"{KEY[card.unit]} {LEGEND}")
    if card.struck:
        yield from _wrapped("; ".join(card.struck), "Struck readings  ")
    if card.torques:
        yield ""
        yield "Torques"
        for what, figure, ticked in card.torques:
            yield from _wrapped(f"{what}: {figure}", f"  [{'x' if ticked else ' '}] ")
    for heading, items in (
        ("Put right", card.amended),
        ("What is lacking", card.missing),
        ("Handing over", card.handover),
        ("Notes", card.notes),
    ):
        if items:
            yield ""
            yield heading
            for item in items:
                yield from _wrapped(item, "  - ")
    yield ""
    yield from _wrapped(card.due, "Next check  ")
    yield from _wrapped(OUTRANKED)


def _table(valves: tuple[CardValve, ...]) -> Iterator[str]:
    rows = [HEADINGS, *(tuple(inert(cell) for cell in v.cells) for v in valves)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(HEADINGS))]
    for number, row in enumerate(rows):
        cells = (f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True))
        yield " ".join(cells).rstrip()
        if number == 0:
            yield "-" * min(WIDTH, sum(widths) + len(widths) - 1)


def _wrapped(text: str, head: str = "") -> list[str]:
    """Our lines of a text from anywhere, each made harmless."""
    return wrap(inert(text), WIDTH, initial_indent=head, subsequent_indent=" " * len(head)) or [
        head.rstrip()
    ]


def _state_words(record: SessionRecord, damage: str) -> str:
    if damage:
        return f"DAMAGED FILE, so this is no check: {damage}. What could be read is below."
    if record.set_aside:
        return f"SET ASIDE, so it counts for nothing: {record.set_aside}"
    if record.practice:
        return "Practice: no real engine, and no check."
    if record.complete:
        return "Complete check."
    if record.closed:
        return "PARTIAL: closed before all was done; it does not count as a check."
    return "NOT CLOSED: work is not finished; it does not count as a check."


def _facts(
    state: State, record: SessionRecord, events: Sequence[Event]
) -> Iterator[tuple[str, str]]:
    opened = state.opened
    unit = gap_unit(opened.blades)
    papers = opened.sheet.papers
    for label, text in (
        ("customer", papers.customer),
        ("plate", papers.plate),
        ("serial number", papers.serial),
    ):
        if text:
            yield label, text
    yield "date", show.date(record.started.date())
    yield "by", record.who or "not given"
    meters = []
    if record.odometer_km is not None:
        meters.append(show.distance(record.odometer_km))
    if record.hours is not None:
        meters.append(show.hours(record.hours))
    yield "odometer, hours", ", ".join(meters) or "not read"
    metal = record.metal_c
    warm = [] if metal is None else [show.temperature(metal)]
    stood, note = state.particulars.stood_hours, metal_note(metal_now(state))
    warm += [note] if note else [] if stood is None else [f"stood {show.hours(stood)}"]
    yield "metal", ", ".join(warm) or "not taken"
    yield "figures from", source_words(opened.sheet.source)
    yield "blades", opened.blades.name
    yield "decision rule", _RULES[rule_of(state)]
    for label, told in (
        ("crank", crank_words(events)),
        ("counted", tally_words(state)),
        ("micrometer", micrometer_words(state)),
        ("blind repeats", blind_words(state)),
        ("measured", measured_words(state)),
        ("set aside", [_told(v.name, v.set_aside, unit) for v in record.valves if v.set_aside]),
    ):
        if told:
            yield label, "; ".join(told)
    yield "after the setting", after_words(state)
    service = _service(state)
    if service:
        yield "service limits", service
    figures = [v.name for v in record.valves if v.on_figure]
    if figures:
        yield (
            "on the figure",
            f"no tolerance is printed for {', '.join(figures)}; set as the handbook says, on the figure",
        )
    owners = [v.name for v in record.valves if v.owners_band]
    if owners:
        yield (
            "own band",
            f"no tolerance is printed for {', '.join(owners)}; the band is the owner's",
        )
    yield "session", record.session


def _service(state: State) -> str:
    """Where each valve with a service limit was found and left by it; those of one fate together."""
    fates: dict[str, list[str]] = {}
    for name in state.valves:
        limit, found = service_limit(state, name), service_found(state, name)
        if limit is None or found is None:
            continue
        left = service_left(state, name)
        stands = "not known" if left is None else SERVICE[left]
        told = f"found {SERVICE[found]}, left "
        told += stands if state.valves[name].touched else "as found"
        fates.setdefault(told, []).append(f"{name} ({band_told(limit)})")
    return "; ".join(f"{', '.join(names)} {told}" for told, names in fates.items())


_RULES = {
    DecisionRule.PLAIN: "plain: blades taken at their known thickness, no guard band",
    DecisionRule.PROVED: "proved: the blades' own errors kept clear of both limits",
    DecisionRule.FEEL: "by feel: drags read as one practised hand's own band, the weakest grade",
}


def _card_valve(valve: ValveRecord, unit: LengthUnit) -> CardValve:
    untouched = not valve.touched and valve.found == valve.left
    left = valve.left
    return CardValve(
        name=valve.name,
        kind=valve.kind.value,
        setting="none" if valve.setting is None else band_seen(valve.setting, unit),
        found=_bracket(valve.found, unit),
        found_verdict=_verdict(valve.found),
        turned=_turned(valve),
        after=_after(valve),
        left="as found" if untouched and left is not None else _bracket(left, unit),
        left_verdict="" if untouched else _verdict(left),
        band=valve.setting,
        found_bracket=None if valve.found is None else valve.found.bracket,
        left_bracket=None if left is None else left.bracket,
    )


def _bracket(gauged: Gauged | None, unit: LengthUnit) -> str:
    if gauged is None:
        return "not read"
    return bracket_cell(gauged.bracket, told=lambda end: gap_seen(end, unit))


def _verdict(gauged: Gauged | None) -> str:
    return "" if gauged is None else short_verdict(gauged.verdict)


def short_verdict(verdict: Verdict) -> str:
    """As the bench has it in tall letters: ``proved in``, ``at limit``, ``tight``."""
    standing = standing_of_verdict(verdict)
    if verdict.by_feel:
        return "by feel"
    return "proved in" if verdict.proved and standing is Standing.IN_RANGE else standing.word


def _turned(valve: ValveRecord) -> str:
    if valve.shim_left is not None and valve.shim_left != valve.shim_found:
        was = "?" if valve.shim_found is None else bare(valve.shim_found)
        return f"shim {was} to {bare(valve.shim_left)}"
    if valve.turned:
        way = "opened" if valve.turned > 0 else "closed"
        return f"{way} {degrees(abs(valve.turned))}"
    return "to and fro" if valve.touched and not valve.locked else "-"


def _after(valve: ValveRecord) -> str:
    if not valve.touched:
        return "-"
    if not valve.locked:
        return "SLACK"
    return "read" if valve.read_after else "UNREAD"
