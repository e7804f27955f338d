"""The [adjuster] of a sheet: what is turned or swapped, its thread, its lever, its shims."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from benchtui.domain.adjusting.kinds import KINDS
from benchtui.domain.length import Length
from benchtui.domain.sheet import Adjuster, AdjusterKind, Gear, Rotation, ScrewEnd
from benchtui.domain.threads import LEAST_PITCH, MOST_PITCH, UnknownThread, odd_pitch, pitch_of, tpi
from benchtui.text.quantities import measure, show
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.checked import Table
from benchtui.text.reading.readers import (
    as_flag,
    as_number,
    as_one_of,
    as_quantity,
    as_text,
    described,
)

MOST_SHIMS = 400
SAME_PITCH = Length.um(5)
"""A pitch in mm that stands for one in tpi is rounded; standard pitches lie further apart."""

_KIND = as_one_of(AdjusterKind)
_KINDS = " or ".join(f'"{kind.value}"' for kind in AdjusterKind)
_RATIO = as_number(
    Fraction(1, 4), Fraction(4), "valve arm over pushrod arm, a number from 0.25 to 4, as in 1.5"
)
_PITCH = 'a pitch with its unit, as in "0.75 mm" or "26 tpi"'
_SHIM = as_quantity(measure.length, "2.80 mm")


def parse_adjuster(table: Table) -> Adjuster | None:
    """The adjuster, or None where its kind is missing or faulty."""
    kind = table.need("kind", _KIND, _KINDS)
    left_hand = table.get("left_hand", as_flag, default=False)
    # Screw in closes the gap, which is clockwise unless the thread is left-handed.
    usual = Rotation.ANTICLOCKWISE if left_hand else Rotation.CLOCKWISE
    pitch, thread = _thread(table)
    adjuster = Adjuster(
        kind=kind or AdjusterKind.SCREW,
        at=table.get("at", as_one_of(ScrewEnd), ScrewEnd.VALVE),
        pitch=pitch,
        thread=thread,
        ratio=table.get("ratio", _RATIO, Fraction(1)),
        closes=table.get("closes", as_one_of(Rotation), usual),
        left_hand=left_hand,
        bridged=table.get("bridged", as_flag, default=False),
        shim_sizes=_shims(table),
        under_bucket=table.get("under_bucket", as_flag, default=False),
        gear_told=table.take("gear", as_one_of(Gear)),
    )
    if kind is not None:
        _check_kind(table, adjuster)
    table.done()
    return None if kind is None else adjuster


def _check_kind(table: Table, adjuster: Adjuster) -> None:
    """Note keys that belong to another kind of adjuster."""
    found = f'a key of another kind than "{adjuster.kind.value}"'
    for key in ("pitch", "thread", "left_hand", "shims", "under_bucket"):
        if table.has(key) and key not in adjuster.set_by.keys:
            theirs = " or ".join(f'"{name}"' for name, kind in KINDS.items() if key in kind.keys)
            table.fault(key, found, f"kind = {theirs}, or no such key")


def _thread(table: Table) -> tuple[Length | None, str]:
    """The pitch and the thread's name; where both are given they must agree."""
    pitch = table.take("pitch", as_pitch)
    name = table.take("thread", as_text)
    by_name = table.take("thread", _as_thread) if name is not None else None
    if pitch is not None and by_name is not None:
        if abs(pitch - by_name) > SAME_PITCH:
            wanted = f"the pitch of {name}, {show.length(by_name, places=3)}"
            table.fault("pitch", show.length(pitch, places=3), wanted)
        return by_name, name or ""
    return by_name or pitch, name or ""


def _as_thread(value: object) -> Length:
    text = as_text(value)
    _ask_about_bare(value, text)
    try:
        return pitch_of(text)
    except UnknownThread as e:
        raise FaultyQuantity(described(value), e.wanted) from None


def as_pitch(value: object) -> Length:
    """A pitch in mm or in inches, or ``26 tpi``; a bare number is asked about, never guessed.

    Raises:
        FaultyQuantity: no pitch, one without a unit, or one outside 0.2 to 3.0 mm.
    """
    number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    text = str(value) if number else as_text(value)
    _ask_about_bare(value, text)
    try:
        return pitch_of(text)
    except UnknownThread:
        pitch = measure.length(text)
    if not LEAST_PITCH <= pitch <= MOST_PITCH:
        figure = re.match(r"[0-9.]+", text)
        wanted = f"{show.figure(LEAST_PITCH)} to {show.length(MOST_PITCH)}"
        if figure is not None and (asked := _asked(Fraction(figure[0].rstrip(".")))):
            wanted += f"; {asked}"
        raise FaultyQuantity(described(value), wanted)
    return pitch


def _ask_about_bare(value: object, text: str) -> None:
    if not re.fullmatch(r"[0-9]{1,6}(?:[.,][0-9]{1,6})?", text):
        return
    number = Fraction(text.replace(",", "."))
    found = f"{described(value)}, a number without a unit"
    raise FaultyQuantity(found, _asked(number) or _PITCH)


def _asked(number: Fraction) -> str:
    """The question that a bare pitch raises: ``26 tpi, 0.977 mm?``; empty where none fits."""
    if number <= 0:
        return ""
    plain = show.number(number)
    if LEAST_PITCH <= Length.mm(number) <= MOST_PITCH:
        return f'"{plain} mm"?'
    per_inch = tpi(number)
    if odd_pitch(per_inch) is None:
        return f'"{plain} tpi", {show.length(per_inch, places=3)}?'
    return ""


def _shims(table: Table) -> tuple[Length, ...]:
    if not table.has("shims"):
        return ()
    wanted = 'sizes, as in ["2.80 mm"] or { from = "2.50 mm", to = "3.50 mm", step = "0.05 mm" }'
    if isinstance(table.data["shims"], dict):
        return _shim_steps(table)
    sizes = table.each("shims", _SHIM, wanted)
    if sizes is None:
        return ()
    if len(sizes) > MOST_SHIMS:
        table.fault("shims", f"{len(sizes)} sizes", f"at most {MOST_SHIMS}")
    table.once("shims", sizes, "each size once")
    return tuple(sorted(sizes))


def _shim_steps(table: Table) -> tuple[Length, ...]:
    inner = table.table("shims")
    assert inner is not None
    low = inner.need("from", _SHIM, 'the thinnest, as in "2.50 mm"')
    high = inner.need("to", _SHIM, 'the thickest, as in "3.50 mm"')
    step = inner.need("step", _SHIM, 'the step, as in "0.05 mm"')
    inner.done()
    if low is None or high is None or step is None:
        return ()
    if low > high:
        inner.fault("to", str(high), f"{low} or more, the thinnest first")
        return ()
    count, rest = divmod(high.nm - low.nm, step.nm)
    if rest:
        inner.fault("step", str(step), f"a step that leads from {low} to {high}")
    if count >= MOST_SHIMS:
        inner.fault("step", f"{count + 1} sizes", f"at most {MOST_SHIMS}")
        return ()
    return tuple(low + step * i for i in range(count + 1))
