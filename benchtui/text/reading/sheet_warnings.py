"""What is odd or missing in a sheet that can be used all the same."""

from __future__ import annotations

from collections.abc import Iterator

from benchtui.domain.crank.faults import warnings_of as crank_warnings
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, Band, Clearances, Condition, Rotation, ScrewEnd, Sheet
from benchtui.domain.threads import UnknownThread, is_listed, odd_pitch
from benchtui.domain.torque import torque_doubt
from benchtui.domain.typed import temperature_words


def warnings_of(sheet: Sheet) -> list[str]:
    """One sentence for each thing that deserves a second look, the gravest first."""
    hydraulic = not sheet.adjuster.set_by.measured
    found: list[str] = []
    if hydraulic:
        found.append("The adjusters are hydraulic: there is no clearance to check or to set.")
    if not sheet.source.checked:
        found.append("Nobody has checked the figures against their source a second time.")
    if not sheet.source.title:
        found.append("The sheet does not say where its figures come from.")
    if not hydraulic:
        found += _clearances(sheet.clearances)
        found += _adjuster(sheet.adjuster)
        found += _positions(sheet)
    found += [str(doubt) for t in sheet.torques if (doubt := torque_doubt(t)) is not None]
    if sheet.interval is None:
        found.append("No interval is given, so no check will ever be due.")
    return found


WIDEST = Length.mm("1")
"""No valve clearance of an engine of this size is printed wider (common practice)."""

WARMEST = 60
"""Degrees C: metal that is warmer than this is not cold in any book (common practice)."""


def _clearances(clearances: Clearances) -> Iterator[str]:
    for kind, _, band in clearances.printed:
        if band.high > WIDEST:
            yield f"The {kind.value} clearance goes up to {band.high}: is it printed so?"
    if clearances.metal_below is not None and clearances.metal_below > WARMEST:
        yield f"Metal of {temperature_words(clearances.metal_below)} is not cold: is it printed so?"
    singles = [(k, r, b) for k, r, b in clearances.printed if b.single]
    for kind, role, band in singles:
        closer = f" {role.value}" if role.value == "closer" else ""
        what = f"{kind.value}{closer}"
        yield from _single(what, band, clearances)
    if clearances.owner_band is not None and not singles:
        yield "The owner's own band is not used: every figure is a range already."
    cold = clearances.condition is Condition.COLD
    if cold and clearances.metal_below is None:
        yield "It says cold, but not how cold the metal must be (metal_below)."
    if cold and clearances.metal_above is not None:
        yield "It says cold, but wants the metal above a temperature."
    if not cold and clearances.metal_above is None:
        yield "It says hot, but not how hot the metal must be (metal_above)."
    if clearances.stood_hours is None and cold:
        yield "It does not say how long the engine must have stood."


def _single(what: str, band: Band, clearances: Clearances) -> Iterator[str]:
    own = clearances.owner_band
    if own is None:
        yield (
            f"The {what} has one figure, {band}, and no tolerance is printed: "
            "you will be asked for a band of your own."
        )
    elif own >= band.low:
        yield f"The owner's own band, {own} either side, lets the {what} clearance go to nothing."


def _adjuster(adjuster: Adjuster) -> Iterator[str]:
    pushrod = adjuster.at is ScrewEnd.PUSHROD
    if adjuster.threaded and adjuster.pitch is None:
        yield "No pitch or thread is given, so no turn can be worked out."
    if adjuster.threaded and pushrod and adjuster.ratio == 1:
        yield "The screw is at the pushrod end and the lever ratio is 1: is that so?"
    if adjuster.threaded and not pushrod and adjuster.ratio != 1:
        yield "The screw is at the valve end, so the lever ratio is not used."
    if adjuster.pitch is not None and (odd := odd_pitch(adjuster.pitch)):
        yield f"{odd[:1].upper()}{odd[1:]}."
    if adjuster.thread and _unlisted(adjuster.thread):
        yield f"{adjuster.thread} is no standard thread: look at the screw again."
    if adjuster.left_hand and adjuster.closes is Rotation.CLOCKWISE:
        yield "The thread is left-handed, yet clockwise closes the gap: is that so?"
    if adjuster.set_by.shims and not adjuster.shim_sizes:
        yield "No shim sizes are given, so none can be proposed."


def _unlisted(thread: str) -> bool:
    try:
        return not is_listed(thread)
    except UnknownThread:
        return True


def _positions(sheet: Sheet) -> Iterator[str]:
    if sheet.timing is None and not sheet.plan:
        yield "No valve timing is given: only each cylinder's compression TDC will be offered."
    if not sheet.layout.marks:
        yield "No mark is given by which to find compression TDC."
    if not sheet.layout.turns:
        yield "It does not say which way the engine turns."
    for key, found, wanted in crank_warnings(sheet.layout, sheet.timing, sheet.plan):
        yield f"{key}: found {found}; expected {wanted}."
