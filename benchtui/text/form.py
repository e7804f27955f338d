"""A blank form: printed, filled in at the engine, typed over and played back by ``replay``.

It is a written-down session already. Whatever is to be filled in stands behind a ``#``, with dots
for the figures; a line counts once the ``#`` is gone, and a line that still has dots is refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from textwrap import wrap

from benchtui.domain.blades import BladeSet
from benchtui.domain.crank import Stop, decompressor_words, plan, stop_words
from benchtui.domain.length import Length
from benchtui.domain.sheet import AdjusterKind, Sheet, Valve, setting_range
from benchtui.text import show
from benchtui.text.sheet_page import OUTRANKED, source_words
from benchtui.text.show import bare, inert

WIDTH = 78

THOU_NM = 25_400
UM10 = 10_000
"""In nanometres: metric leaves are stamped in hundredths of a millimetre."""

HOW = (
    "Fill it in by hand. To store it, type what you wrote over the dots, take away the # in front of "
    "each line that you used, and play it: benchtui replay FILE --keep. Lines left with their # "
    "count for nothing. Any line may be written again for another blade; lengths are millimetres "
    "unless they carry a unit (3 thou)."
)

BEFORE = (
    "The engine stands level and cannot roll; ignition off, battery negative off, neutral, fuel off.",
    "Turn it by hand and forward only; nobody near the starter; fingers clear of rockers and chain.",
    "No slack at all at a valve: touch no screw, it may be overlap.",
    "Never crank with a valve screwed open.",
    "Never force a blade: what goes only by force is written down as forced, and counts as refuses.",
)

EVIDENCE = "two of: mark (lines up), slack (both rockers), inlet (seen to open and close), still"


def blank_form(sheet: Sheet, blades_key: str, blades: BladeSet) -> str:
    """The form of one engine with one blade set, ending in a line end.

    Raises:
        Refusal: no plan can be made from the sheet.
    """
    return "\n".join(_lines(sheet, blades_key, blades)) + "\n"


def _lines(sheet: Sheet, blades_key: str, blades: BladeSet) -> Iterator[str]:
    yield from _said(f"{sheet.name}: valve clearances")
    yield from _said(f"Figures: {source_words(sheet.source)}")
    yield from _said(HOW)
    yield from _said(OUTRANKED)
    yield ""
    yield f"sheet {sheet.key}"
    yield f"blades {blades_key}"
    yield "#date 20..-..-.."
    yield "#who ..............................."
    yield "#odometer .......... km"
    yield "#hours .........."
    yield from _said(_metal(sheet))
    yield "#metal ..... C"
    leaves = ", ".join(_stamp(leaf.marked) for leaf in blades.leaves)
    yield from _said(f"Blades: {leaves}")
    if any(setting_range(sheet, v) is None for v in sheet.layout.valves):
        yield from _said(
            "One figure is printed and no tolerance: your own band, either side of it."
        )
        yield "#band ......"
    yield ""
    for caution in BEFORE:
        yield from _said(f"[ ] {caution}", hang="    ")
    yield "#count in .... rags"
    for stop in plan(sheet).stops:
        yield from _stop(sheet, stop, blades)
    yield from _closing(sheet)


def _stop(sheet: Sheet, stop: Stop, blades: BladeSet) -> Iterator[str]:
    yield ""
    yield from _said(stop_words(stop))
    if sheet.layout.decompressor:
        yield from _said(decompressor_words(sheet.layout))
    yield from _said(f"What you saw, {EVIDENCE}:")
    angle = f" +{show.number(stop.angle)}" if stop.angle else ""
    yield f"#position {stop.cylinder}{angle} ........ ........"
    for name in stop.valves:
        valve = sheet.layout.valve(name)
        if valve is not None:
            yield from _valve(sheet, valve, blades)


def _valve(sheet: Sheet, valve: Valve, blades: BladeSet) -> Iterator[str]:
    setting = setting_range(sheet, valve)
    band = sheet.clearances.of(valve) if setting is None else setting.band
    yield from _said(f"{valve.name}, {valve.kind.value}: {band}. Answers: free drag refuses forced")
    limits = [limit for limit in (band.low, band.high) if _has(blades, limit)]
    for limit in dict.fromkeys(limits):
        yield f"#{valve.name} {_stamp(limit)} ........"
    for _ in range(2):
        yield f"#{valve.name} ...... ........"
    kind = sheet.adjuster.kind
    if kind is AdjusterKind.SHIM:
        yield f"#{valve.name} shim ......"
    elif kind is not AdjusterKind.HYDRAULIC:
        yield f"#{valve.name} turn ... ....     # way (in or out) and degrees"
        yield f"#{valve.name} lock"
        yield f"#{valve.name} ...... ........     # after locking: measure again, always"
        yield f"#{valve.name} ...... ........"


def _closing(sheet: Sheet) -> Iterator[str]:
    yield ""
    yield from _said("Two turns by hand, forward; measure the tightest valve again; close up.")
    yield "#count out .... rags"
    for torque in sheet.torques:
        figure = show.torque_both(torque.low, torque.high)
        what = " ".join(inert(torque.what).split())
        yield f"#torque {what}     # {inert(torque.printed)} = {figure}"
    yield "#note ...................................................."
    yield "#close"


def _metal(sheet: Sheet) -> str:
    clearances = sheet.clearances
    words = [f"Measured {clearances.condition.value}"]
    if clearances.metal_below is not None:
        words.append(f"metal below {show.temperature(clearances.metal_below)}")
    if clearances.metal_above is not None:
        words.append(f"metal above {show.temperature(clearances.metal_above)}")
    if clearances.stood_hours is not None:
        words.append(f"stood for {show.hours(clearances.stood_hours)}")
    return ", ".join(words)


def _stamp(marked: Length) -> str:
    """A leaf as its owner reads it off: millimetres bare, or thou where those are the round ones."""
    thou = Fraction(marked.nm, THOU_NM)
    if marked.nm % UM10 and (thou * 10).denominator == 1:
        return f"{show.number(thou)} thou"
    return bare(marked)


def _has(blades: BladeSet, marked: Length) -> bool:
    return blades.leaf(marked) is not None


def _said(text: str, hang: str = "") -> list[str]:
    """Comment lines; a text from a file can start no line of its own."""
    return wrap(
        inert(text),
        WIDTH,
        initial_indent="# ",
        subsequent_indent=f"# {hang}",
        break_on_hyphens=False,
    )
