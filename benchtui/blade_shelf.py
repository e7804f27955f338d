"""The sets of blades on the shelf: their files, and what past sessions say of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import FaultyInput
from benchtui.domain.history.suspects import Suspect, suspects, to_get
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Sheet
from benchtui.store.files import there
from benchtui.store.library import Library, text_of_file, write_text
from benchtui.store.names import check_new_name
from benchtui.store.paths import DataFolder


@dataclass(frozen=True, slots=True)
class ShelvedSet:
    """One set on the shelf: its blades, or what is wrong with its file."""

    key: str
    blades: BladeSet | None
    faults: FaultyInput | None = None
    own: bool = False


@dataclass(frozen=True, slots=True)
class BladeHistory:
    """What past sessions say of a set: leaves to doubt, and sizes with how often they lacked."""

    suspects: tuple[Suspect, ...] = ()
    to_get: tuple[tuple[Length, int], ...] = ()


_GRIDS_NM = {"mm": 10_000, "in": 12_700}
"""What sheets print in each unit is a multiple of: a hundredth of a millimetre, half a thou."""


def _units(lengths: Sequence[Length]) -> set[str]:
    """The units in which most of these are round figures."""
    return {
        unit
        for unit, grid in _GRIDS_NM.items()
        if lengths and 2 * sum(x.nm % grid == 0 for x in lengths) > len(lengths)
    }


def suits(blades: BladeSet, sheet: Sheet) -> tuple[int, int, int]:
    """How well a set suits an engine: printed ranges in its unit, limits on a leaf, leaves inside."""
    bands = [band for _, _, band in sheet.clearances.printed]
    stamped = _units([leaf.marked for leaf in blades.leaves])
    sizes = {leaf.thickness for leaf in blades.leaves}
    return (
        sum(bool(stamped & _units([band.low, band.high])) for band in bands),
        sum(limit in sizes for band in bands for limit in (band.low, band.high)),
        sum(b.low <= leaf.thickness <= b.high for leaf in blades.leaves for b in bands),
    )


class BladeShelf:
    """Every set of blades of one data folder, the shipped ones included."""

    def __init__(self, data: DataFolder, library: Library) -> None:
        self._data, self._library = data, library

    def sets(self) -> tuple[ShelvedSet, ...]:
        """Every set by name, those with faults included."""
        return tuple(self._set(key) for key in self._library.blade_names())

    def _set(self, key: str) -> ShelvedSet:
        own = there(self._own(key))
        try:
            return ShelvedSet(key, self._library.blades(key), own=own)
        except FaultyInput as faults:
            return ShelvedSet(key, None, faults, own)

    def text_of(self, key: str) -> str:
        """The file of a set as it stands.

        Raises:
            FaultyInput: no such set, or no text.
        """
        return text_of_file(self._library.blades_path(key))

    def keep(self, key: str, text: str, *, new: bool) -> None:
        """Write the owner's own set of that name in one step.

        Raises:
            Unable: it is a ``new`` one and the name cannot be used.
            BenchError: it could not be written; whatever was there is as it was.
        """
        if new:
            check_new_name(key, self._library.blade_names(), "set")
        write_text(self._own(key), text)

    def own_file(self, key: str) -> Path:
        """The owner's own file of a set; a shipped one is copied first, so that it stays as it is.

        Raises:
            FaultyInput: no such set.
            BenchError: the copy could not be written.
        """
        path, own = self._library.blades_path(key), self._own(key)
        if path != own:
            write_text(own, text_of_file(path))
        return own

    def _own(self, key: str) -> Path:
        return self._data.blades / f"{key}.toml"


def history(records: Sequence[SessionRecord], found: ShelvedSet) -> BladeHistory:
    """What these sessions, of whatever engines, say of one set."""
    lacking = () if found.blades is None else to_get(records, found.key, found.blades)
    return BladeHistory(suspects(records, found.key), lacking)
