"""A set of feeler blades, from the text of its file."""

from __future__ import annotations

from benchtui.domain.blades import MARKED_ERROR, MEASURED_ERROR, BladeSet, Leaf
from benchtui.domain.length import ZERO, Length
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.checked import Table, open_table
from benchtui.text.reading.readers import as_checked, as_quantity, as_text, described

MOST_LEAVES = 100
THICKEST = Length.mm(5)
"""Thicker is a gauge block, not a blade (design value)."""

MOST_ERROR = Length.um(50)
"""A blade that may be wrong by more than this measures nothing here (design value)."""

MOST_OFF = Length.um(50)
"""A leaf this far from its stamp was measured wrongly, or is another leaf (design value)."""

_LEAVES = 'the thicknesses with their units, as in ["0.05 mm", "0.0015 in"]'


def parse_blades(text: str, key: str, file: str) -> BladeSet:
    """The blade set in ``text``; ``key``, which it is filed under, stands in for its name.

    Raises:
        FaultyInput: everything that is wrong in it, from the top down.
    """
    top = open_table(text, file)
    name = top.get("name", as_text, key)
    marked = _marked(top)
    error = top.get("error", _error, MARKED_ERROR)
    raw = top.data.get("leaves")
    whole = isinstance(raw, list) and len(raw) == len(marked)
    measured = _measured(top.table("measured"), marked if whole else None)
    top.done()
    top.faults.raise_any()
    leaves = tuple(
        Leaf(stamp, measured[stamp], min(error, MEASURED_ERROR))
        if stamp in measured
        else Leaf(stamp, error=error)
        for stamp in marked
    )
    return BladeSet(name, leaves)


_thickness = as_checked(
    as_quantity(measure.length, "0.05 mm"),
    lambda found: found <= THICKEST,
    f"a thickness of at most {THICKEST}",
)
_error = as_checked(
    as_quantity(lambda text: measure.length(text, zero=True), "0.005 mm"),
    lambda found: found <= MOST_ERROR,
    f"an error of at most {MOST_ERROR}",
)


def _marked(top: Table) -> tuple[Length, ...]:
    if not top.has("leaves"):
        top.fault("leaves", "nothing", _LEAVES)
        return ()
    raw = top.data["leaves"]
    if isinstance(raw, list) and not 1 <= len(raw) <= MOST_LEAVES:
        top.fault("leaves", f"{len(raw)} leaves", f"1 to {MOST_LEAVES}")
        return ()
    seen: list[Length] = []

    def once(value: object) -> Length:
        leaf = _thickness(value)
        if leaf in seen:
            raise FaultyQuantity(f"{described(value)} more than once", "each leaf once")
        seen.append(leaf)
        return leaf

    return top.each("leaves", once, _LEAVES) or ()


def _measured(table: Table | None, marked: tuple[Length, ...] | None) -> dict[Length, Length]:
    """Stamp to measured thickness; ``marked`` is None where the leaves have faults of their own."""
    found: dict[Length, Length] = {}
    if table is None:
        return found
    for key in table.open_keys():
        thickness = table.take(key, _thickness)
        try:
            stamp = _thickness(key)
        except FaultyQuantity as e:
            table.fault(key, e.found, e.wanted)
            continue
        if marked is not None and stamp not in marked:
            table.fault(key, f'"{key}", a leaf that is not in the set', "one of the leaves")
        elif stamp in found:
            table.fault(key, f'"{key}" more than once', "each leaf once")
        elif thickness is not None and abs(thickness - stamp) > MOST_OFF:
            wanted = f"a thickness within {MOST_OFF} of the stamp"
            table.fault(key, str(thickness), wanted)
        elif thickness is not None and thickness > ZERO:
            found[stamp] = thickness
    return found
