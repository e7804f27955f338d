"""The lines below an engine's last check on the first screen: due, why, loose, notes, source, blades."""

from __future__ import annotations

from collections.abc import Iterator

from benchtui.domain.blades import BladeSet
from benchtui.domain.crank.plan import plan
from benchtui.domain.gauging.reach import limits_of, reaches
from benchtui.domain.history.glance import EngineGlance, Watched
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.whole.left_open import LeftOpen
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Sheet, Source
from benchtui.text.quantities.show import date, distance, hours
from benchtui.text.words.due_words import due_line
from benchtui.text.words.history_words import ending_words
from benchtui.text.words.refusals import error_words
from benchtui.text.words.stamped import blade_label, inch_set, limits_told

Line = tuple[str, str]
"""A word for the margin, and what is to be said."""


def glance_lines(glance: EngineGlance) -> tuple[Line, ...]:
    """Every line, the most pressing first; texts from files stand as they are."""
    return tuple(_lines(glance))


def _lines(glance: EngineGlance) -> Iterator[Line]:
    if glance.open is not None:
        yield "OPEN", open_words(glance.open)
    if not glance.sheet.adjuster.set_by.measured:
        yield "Due", "nothing to set: hydraulic adjusters"
    else:
        yield "Due", due_line(glance.due, told_counter(glance.last))
        if why := _why(glance):
            yield "Why", why
    if glance.watched:
        yield "Watch", "; ".join(watched_words(w) for w in glance.watched)
    if glance.last is not None:
        for note in glance.last.notes:
            yield "Note", f"{note} ({_by(glance.last)})"
    yield "Figures", figures_words(glance.sheet.source)
    if glance.sheet.adjuster.set_by.measured:
        yield "To hand", _to_hand(glance)
    if glance.before:
        told = (f"{date(r.started.date())} {ending_words(r)}" for r in glance.before[:3])
        yield "Before", ", ".join(told)


def open_words(left: LeftOpen) -> str:
    """``not closed, 28 May 2026, J.: 2E in hand, its nut SLACK; 3 of 6 in range``."""
    how = "filed in part" if left.filed else "not closed"
    who = f", {left.who}" if left.who else ""
    said = []
    if left.slack:
        own = left.slack == (left.valve,)
        names = ", ".join(left.slack)
        said.append(f"the nut of {names} is SLACK" if len(left.slack) == 1 else f"SLACK: {names}")
        if not own and left.valve is not None:
            said.append(f"last at {left.valve}")
    elif left.valve is not None:
        said.append(f"last at {left.valve}{'' if left.cams_out else ', no nut slack'}")
    if left.cams_out:
        said.append("the CAMS ARE OUT: turn no crank")
    if left.inside:
        said.append(f"inside: {', '.join(left.inside)}")
    said.append(f"{left.settled} of {left.valves} in range")
    return f"{how}, {date(left.on)}{who}: {'; '.join(said)}"


def watched_words(watch: Watched) -> str:
    """``1E was found tight``, ``1E found tight twice running``."""
    if watch.times == 1:
        return f"{watch.valve} was found {watch.kind.value}"
    often = {2: "twice"}.get(watch.times, f"{watch.times} times")
    return f"{watch.valve} found {watch.kind.value} {often} running"


def figures_words(source: Source) -> str:
    """``Harbour workshop notes, page 12, read twice``."""
    parts = [source.title or "its sheet does not say where they are from"]
    parts += [f"page {source.page}"] if source.page else []
    parts.append("read twice" if source.checked else "READ ONCE ONLY")
    return ", ".join(parts)


def last_words(record: SessionRecord | None) -> str:
    """``last check 20 May 2026, M., at 436 h: complete``."""
    if record is None:
        return "no check yet"
    told = [date(record.started.date()), *([record.who] if record.who else [])]
    at = told_counter(record)
    return f"last check {', '.join(told)}{f', at {at}' if at else ''}: {ending_words(record)}"


def told_counter(record: SessionRecord | None) -> str:
    """What the counter showed: ``436 h``, ``12 400 km``; empty where nobody told it."""
    if record is None:
        return ""
    if record.hours is not None:
        return hours(record.hours)
    return "" if record.odometer_km is None else distance(record.odometer_km)


def _by(record: SessionRecord) -> str:
    who = f"{record.who}, " if record.who else ""
    return f"{who}{date(record.started.date())}"


def _why(glance: EngineGlance) -> str:
    if glance.due is None:
        return ""
    return " ".join([f"{glance.due.reason}.", *glance.due.notes])


def _to_hand(glance: EngineGlance) -> str:
    try:
        stops = len(plan(glance.sheet).stops)
    except Refusal as refusal:
        return error_words(refusal)
    valves = len(glance.sheet.layout.valves)
    work = (
        f"{stops} crank stop{'s' if stops != 1 else ''}, {valves} valve{'s' if valves != 1 else ''}"
    )
    if glance.blades is None:
        return f"no sound set of blades; {work}"
    if not glance.own_blades and glance.last is None:
        wanted = limits_told(glance.sheet, limits_of(glance.sheet))
        return f"blades of {wanted}, or near them: A adds those in your box; {work}"
    return f"{glance.blades.name}: {limit_blades(glance.blades, glance.sheet)}; {work}"


def limit_blades(blades: BladeSet, sheet: Sheet) -> str:
    """The blades to take out first, one a limit: ``0.06 0.08 0.10 0.12``; says which cannot be made."""
    found = reaches(blades, limits_of(sheet))
    inch = inch_set(blades)
    have = " ".join(blade_label(r.feeler, inch=inch) for r in found if r.feeler is not None)
    lack = limits_told(sheet, [r.limit for r in found if r.feeler is None], ", ")
    return f"{have}{', ' if have and lack else ''}{f'none makes {lack}' if lack else ''}"
