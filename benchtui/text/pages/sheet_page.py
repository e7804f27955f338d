"""An engine's sheet written out for reading, with what deserves a second look."""

from __future__ import annotations

from collections.abc import Iterator

from benchtui.domain.crank.angles import from_dead_centre
from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.sheet import Clearances, Condition, GapRole, Interval, ScrewEnd, Sheet, Source
from benchtui.text.quantities import show
from benchtui.text.quantities.show import LengthUnit, inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.reading.sheet_warnings import warnings_of
from benchtui.text.words.stamped import band_told, printed_unit, sheet_unit
from benchtui.text.words.torque_words import torque_told

OUTRANKED = (
    "The manufacturer's manual and local rules outrank this page; in doubt, a qualified mechanic."
)

_SEEN: dict[LengthUnit, int] = {"mm": 3, "in": 4, "thou": 1}
"""Decimals at which a gap that was reckoned is told."""

PAGE = 96
"""Columns of a page; what is longer goes on below itself."""


def sheet_page(sheet: Sheet, columns: int = PAGE) -> str:
    """The whole sheet in words; texts from the file are made harmless for a terminal."""
    unit = sheet_unit(sheet)
    rows = [
        ("engine", f"{sheet.name} ({sheet.key})"),
        ("figures", source_words(sheet.source)),
        *_layout(sheet),
        *_clearances(sheet.clearances),
        *_adjuster(sheet, unit),
        *_timing(sheet),
        *(("torque", f"{t.what}: {torque_told(t)}") for t in sheet.torques),
        ("check every", interval_words(sheet.interval)),
    ]
    width = max(len(label) for label, _ in rows)
    lines, before = [], ""
    for label, text in rows:
        head = f"{'' if label == before else label:<{width}}  "
        lines += wrap(inert(text), columns, initial_indent=head, subsequent_indent=" " * len(head))
        before = label
    doubts = warnings_of(sheet)
    if doubts:
        lines += ["", "Look again at:"]
        for doubt in doubts:
            lines += wrap(inert(doubt), columns, initial_indent="  ", subsequent_indent="  ")
    return "\n".join([*lines, "", *wrap(OUTRANKED, columns)])


def source_words(source: Source) -> str:
    """Where the figures come from: ``Harbour workshop notes, page 12, entered by M., read twice``."""
    parts = [source.title or "source not given"]
    parts += [f"page {source.page}"] if source.page else []
    parts += [f"entered by {source.entered_by}"] if source.entered_by else []
    parts.append("read twice" if source.checked else "not read a second time")
    return ", ".join(parts)


def interval_words(interval: Interval | None) -> str:
    """``6 months, 5 000 km or 100 h, whichever comes first; the first after 800 km``."""
    if interval is None:
        return "no interval given"
    first = f"; the first after {_any_of(interval.first)}" if interval.first else ""
    again = interval.after_setting
    recheck = f"; after a setting again after {_any_of(again)}" if again else ""
    return f"{_any_of(interval)}{first}{recheck}"


def _any_of(interval: Interval) -> str:
    parts = []
    if interval.months is not None:
        parts.append(f"{interval.months} month" + ("s" if interval.months != 1 else ""))
    if interval.distance_km is not None:
        parts.append(show.distance(interval.distance_km))
    if interval.hours is not None:
        parts.append(show.hours(interval.hours))
    if len(parts) <= 1:
        return "".join(parts) or "nothing ordinary"
    return f"{', '.join(parts[:-1])} or {parts[-1]}, whichever comes first"


def _layout(sheet: Sheet) -> Iterator[tuple[str, str]]:
    layout = sheet.layout
    order = layout.firing_order
    names = " - ".join(c.name for c in order)
    at = ", ".join(show.number(c.firing) for c in order)
    yield "cylinders", str(len(order))
    if len(order) > 1:
        yield "firing order", f"{names} (at {at} degrees of crank)"
    for cylinder in layout.cylinders:
        names = ", ".join(f"{v.name} {v.kind.value}" for v in cylinder.valves)
        yield "valves", f"cylinder {cylinder.name}: {names}"
    if layout.turns:
        yield "turns", layout.turns
    for mark in layout.marks:
        where = f"at {show.angle(mark.angle)}" if mark.angle is not None else "at compression TDC"
        yield "mark", f"{mark.name} {where}: {mark.text}"
    if layout.decompressor:
        yield "decompressor", layout.decompressor
    for row in sheet.plan:
        yield "printed table", f"{row.at}: {', '.join(row.valves)}"


def _clearances(clearances: Clearances) -> Iterator[tuple[str, str]]:
    for kind, role, band in clearances.printed:
        gap = f"{kind.value} {role.value}" if role is GapRole.CLOSER else kind.value
        alone = ", one figure, no tolerance printed" if band.single else ""
        yield "clearance", f"{gap} {band_told(band)}{alone}"
    for kind, _, band in clearances.service:
        yield "service limits", f"{kind.value} {band_told(band)}"
    own = clearances.owner_band
    if own is not None:
        yield "own band", f"{show.length(own, printed_unit([own]))} either side, the owner's own"
    if clearances.rule is not None:
        yield "in range is", rule_in_words(clearances.rule)
    if not clearances.printed:
        return
    yield "measured", condition_words(clearances)


def condition_words(clearances: Clearances) -> str:
    """``cold, metal below 35 C, stood for 4 h``: when the printed figures hold."""
    metal = [clearances.condition.value]
    if clearances.metal_below is not None:
        metal.append(f"metal below {show.temperature(clearances.metal_below)}")
    if clearances.metal_above is not None:
        metal.append(f"metal above {show.temperature(clearances.metal_above)}")
    if clearances.stood_hours is not None and clearances.condition is Condition.COLD:
        metal.append(f"stood for {show.hours(clearances.stood_hours)}")
    return ", ".join(metal)


def _adjuster(sheet: Sheet, unit: LengthUnit) -> Iterator[tuple[str, str]]:
    adjuster = sheet.adjuster
    words = [adjuster.kind.value]
    if adjuster.threaded:
        words.append(f"at the {adjuster.at.value} end")
        if adjuster.thread:
            words.append(adjuster.thread)
        if adjuster.pitch is not None:
            words.append(f"pitch {show.length(adjuster.pitch, unit)}")
        if adjuster.at is ScrewEnd.PUSHROD:
            words.append(f"lever ratio {show.number(adjuster.ratio)}")
        hand = "left-hand thread, " if adjuster.left_hand else ""
        words.append(f"{hand}{adjuster.closes.value} closes the gap")
        if adjuster.pitch is not None:
            moved = adjuster.pitch.scaled(adjuster.lever / 4)
            words.append(f"a quarter turn moves the gap by {show.length(moved, unit, _SEEN[unit])}")
    if adjuster.bridged:
        words.append("one adjuster serves two valves through a bridge")
    yield "adjuster", ", ".join(words)
    if adjuster.set_by.shims and adjuster.shim_sizes:
        sizes = adjuster.shim_sizes
        yield "shims", f"{len(sizes)} sizes from {min(sizes)} to {max(sizes)}"


def _timing(sheet: Sheet) -> Iterator[tuple[str, str]]:
    timing = sheet.timing
    if timing is None:
        return
    for kind, opening in (("inlet", timing.inlet), ("exhaust", timing.exhaust)):
        opens, closes = from_dead_centre(opening.opens), from_dead_centre(opening.closes)
        yield "valve timing", f"{kind} opens {opens}, closes {closes}"
    yield "valve timing", f"{show.number(timing.margin)} degrees kept clear of each end"
