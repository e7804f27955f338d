"""A blank form: printed, filled in at the engine, typed over and played back by ``replay``.

It is a written-down session already. Whatever is to be filled in stands behind a ``#``, with dots
for the figures; a line counts once the ``#`` is gone, and a line that still has dots is refused.
"""

from __future__ import annotations

from collections.abc import Iterator

from benchtui.domain.blades import BladeSet
from benchtui.domain.crank.plan import Plan, Stop, plan
from benchtui.domain.crank.words import decompressor_words, look_words, stop_words
from benchtui.domain.session.facts.events import Evidence, Sign
from benchtui.domain.session.whole.next_stop import signs_of
from benchtui.domain.sheet import Interval, Sheet, setting_range
from benchtui.domain.typed import as_typed
from benchtui.text.pages.form_valves import measured_again, stop_valves
from benchtui.text.pages.sheet_page import OUTRANKED, condition_words, source_words
from benchtui.text.quantities import show
from benchtui.text.quantities.show import inert
from benchtui.text.words.evidence_words import evidence_words
from benchtui.text.words.form_words import ANSWER, BLADE, NAME, Room, said, stamp
from benchtui.text.words.torque_words import torque_told

ONE_PAGE, TWO_PAGES = 62, 120
"""Lines: what one sheet, or two, of either usual size take with their margins, six to an inch."""

HOW = (
    "Write over the dots; any line may be written again. To store it, type it over without the # of "
    "each line used, then: benchtui replay FILE --keep. A bare length is millimetres. A "
    "blade answers free, drag, refuses or forced."
)

BEFORE = (
    "The engine stands level and cannot roll; ignition off, battery negative off, neutral, fuel off.",
    "Turn it by hand and forward only; nobody near the starter; fingers clear of rockers and chain.",
    "No slack at all at a valve: touch no screw, it may be overlap.",
    "Never crank with a valve screwed open.",
    "Never force a blade: gone only by force is forced, and refuses.",
)

AGAINST = (Sign.TIGHT, Sign.MOVES, Sign.OPEN)


def blank_form(sheet: Sheet, blades_key: str, blades: BladeSet) -> str:
    """The form of one engine with one blade set, ending in a line end.

    Where each valve's own lines for setting it would need a third page, there are fewer, with the
    valve's name to be filled in.

    Raises:
        Refusal: no plan can be made from the sheet.
    """
    lines: list[str] = []
    for room in Room:
        lines = list(_lines(sheet, blades_key, blades, room))
        if len(lines) <= TWO_PAGES:
            break
    return "\n".join(lines) + "\n"


def _lines(sheet: Sheet, blades_key: str, blades: BladeSet, room: Room) -> Iterator[str]:
    yield from said(f"{sheet.name}: valve clearances")
    yield from said(f"Figures: {source_words(sheet.source)}")
    yield from said(HOW)
    yield from said(OUTRANKED)
    yield f"sheet {sheet.key}"
    yield f"blades {blades_key}"
    yield "#date 20..-..-.."
    yield "#who ..............................."
    yield from _usage(sheet.interval)
    yield from said(f"Measured {condition_words(sheet.clearances)}")
    limit = sheet.clearances.metal_below or sheet.clearances.metal_above
    yield f"#metal ........ {'C' if limit is None else as_typed(limit, 'C')[1]}"
    yield "#stood ........ h"
    yield from said(f"Blades: {', '.join(stamp(leaf.marked) for leaf in blades.leaves)}")
    if any(setting_range(sheet, v) is None for v in sheet.layout.valves):
        yield from said("One figure is printed and no tolerance: your own band, either side of it.")
        yield "#band ........"
    if sheet.adjuster.set_by.shims:
        yield from said(
            "Shims: the stamp, then what a micrometer says; without one, end the line at the stamp."
        )
        yield from ["#spare ...... measured ......     # lies in the drawer"] * 2
    for caution in BEFORE:
        yield from said(f"[ ] {caution}", hang="    ")
    yield "#count in ...... rags"
    planned = plan(sheet)
    yield from said(_signs(sheet, planned))
    for stop in planned.stops:
        yield from _stop(sheet, stop, blades, room)
    if sheet.adjuster.set_by.cams_out:
        yield from measured_again(planned, room)
    yield from _closing(sheet)


def _usage(interval: Interval | None) -> Iterator[str]:
    """The odometer or the hour meter, whichever the next check is counted by; else both."""
    every = [i for i in (interval, interval and interval.first) if i is not None]
    by_km = any(i.distance_km is not None for i in every)
    by_hours = any(i.hours is not None for i in every)
    if by_km or not by_hours:
        far = next((i.distance_km for i in every if i.distance_km is not None), None)
        yield f"#odometer .......... {'km' if far is None else as_typed(far, 'km')[1]}"
    if by_hours or not by_km:
        yield "#hours .........."


def _signs(sheet: Sheet, planned: Plan) -> str:
    """What shows a crank position, and what speaks against one."""
    shows = dict.fromkeys(e for stop in planned.stops for e in signs_of(sheet, stop))
    return f"A position shows by: {_meanings(*shows)}. Against it: {_meanings(*AGAINST)}; or doubt."


def _meanings(*signs: Evidence | Sign) -> str:
    told = ((s, evidence_words(s) if isinstance(s, Evidence) else s.meaning) for s in signs)
    return "; ".join(f"{sign.value} ({meaning})" for sign, meaning in told)


def _stop(sheet: Sheet, stop: Stop, blades: BladeSet, room: Room) -> Iterator[str]:
    yield ""
    yield from said(stop_words(stop))
    if sheet.layout.decompressor:
        yield from said(decompressor_words(sheet.layout))
    if stop.forward is not None:
        yield f"#forward {show.number(stop.forward)}     # or as far as it was turned"
    angle = f" +{show.number(stop.angle)}" if stop.angle else ""
    shows = ", ".join(e.value for e in signs_of(sheet, stop))
    yield f"#position {stop.cylinder}{angle} ........ ........     # two of: {shows}"
    if stop.angle == 0:
        own = next(v.name for v in sheet.layout.valves if v.cylinder == stop.cylinder)
        against = f"tight {own}, moves, open; or doubt"
        yield f"#position {stop.cylinder} ...............     # against: {against}"
        if look_words(sheet, stop.cylinder):
            yield f"#look {stop.cylinder} {ANSWER}     # 45 degrees on: opens (overlap) or still"
    else:
        yield f"#position {stop.cylinder} doubt     # if it may stand elsewhere"
    yield from stop_valves(sheet, stop, blades, room)


def _closing(sheet: Sheet) -> Iterator[str]:
    cylinders = sheet.layout.cylinders
    cylinder = cylinders[0].name if len(cylinders) == 1 else "...."
    yield from said("Two turns by hand, forward; try the valve set nearest a limit once more.")
    yield "#turned over"
    yield f"#position {cylinder} {ANSWER} {ANSWER}"
    yield f"#{NAME} spot {BLADE} {ANSWER}     # valve, blade, answer"
    yield "#count out ...... rags"
    for torque in sheet.torques:
        what = " ".join(inert(torque.what).split())
        yield f"#torque {what}     # {inert(torque_told(torque))}"
    for step, words in sheet.work:
        if not step.before:
            yield f"#ticked {step.value}     # {' '.join(inert(words).split())}"
    yield "#first run"
    yield "#no leaks"
    yield "#note ...................................................."
    yield "#close"
