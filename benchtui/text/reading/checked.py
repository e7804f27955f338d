"""A table out of a file, read key by key, with everything that is wrong collected on the way.

A *reader* turns one raw value into what is wanted, or raises ``FaultyQuantity`` with what it found
and wanted. A table knows where it stands, so each fault gets its file, line and key; keys that
nobody asked for are faults as well, with the nearest name that is known.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from benchtui.domain.errors import Fault, FaultyInput
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.readers import as_whole, described
from benchtui.text.reading.toml_lines import Path, TomlLines, read_toml

T = TypeVar("T")
Reader = Callable[[object], T]

FORMAT = 1
"""Of sheets and blade sets."""


MOST_FAULTS = 1000
"""So many faults are noted; a file with more was most likely named by mistake, and is left at that."""


def too_many(file: str) -> Fault:
    """What is said last where a file was read no further."""
    return Fault(file, None, "", f"more than {MOST_FAULTS} faults", "a file of this kind")


MOST_ELEMENTS = 200
"""The longest list: twice the leaves of the largest blade set."""


class Faults:
    """The faults of one file, collected."""

    def __init__(self, file: str, lines: TomlLines) -> None:
        self._file = file
        self._lines = lines
        self._found: list[Fault] = []

    def add(self, path: Path, found: str, wanted: str) -> None:
        """Note one fault at ``path``, or at the innermost place around it that has a line.

        Raises:
            FaultyInput: there are ``MOST_FAULTS``; the file is read no further.
        """
        if len(self._found) == MOST_FAULTS:
            raise FaultyInput((*self.found, too_many(self._file)))
        line = self._lines.near(path)
        self._found.append(Fault(self._file, line, key_text(path), found, wanted))

    def add_new(self, path: Path, found: str, wanted: str) -> None:
        """Note a fault unless one stands at ``path`` already."""
        if all(fault.key != key_text(path) for fault in self._found):
            self.add(path, found, wanted)

    @property
    def found(self) -> tuple[Fault, ...]:
        """Every fault noted so far, from the top of the file down."""
        return tuple(sorted(self._found, key=lambda f: f.line or 0))

    def raise_any(self) -> None:
        """Stop if anything was noted.

        Raises:
            FaultyInput: every fault, from the top of the file down.
        """
        if self._found:
            raise FaultyInput(self.found)


def key_text(path: Path) -> str:
    """``layout.firing.1``; elements of lists count from 1: ``plan[2].at``."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


class Table:
    """One table of the file; ``done`` must be called when everything was asked for."""

    def __init__(self, data: dict[str, object], path: Path, faults: Faults) -> None:
        self.data = data
        self.path = path
        self.faults = faults
        self._known: list[str] = []

    def know(self, *keys: str) -> None:
        """Take note that these keys may be there."""
        self._known.extend(key for key in keys if key not in self._known)

    def has(self, key: str) -> bool:
        """Whether the key is written down, rightly or wrongly."""
        self.know(key)
        return key in self.data

    def fault(self, key: str | Path, found: str, wanted: str) -> None:
        """Note a fault of one key, or of a path further in."""
        further = (key,) if isinstance(key, str) else key
        self.faults.add(self.path + further, found, wanted)

    def take(self, key: str, reader: Reader[T]) -> T | None:
        """The value of an optional key; None where it is missing or faulty."""
        if not self.has(key):
            return None
        return self._read((key,), self.data[key], reader)

    def get(self, key: str, reader: Reader[T], default: T) -> T:
        """The value of an optional key; ``default`` where it is missing or faulty."""
        value = self.take(key, reader)
        return default if value is None else value

    def need(self, key: str, reader: Reader[T], wanted: str) -> T | None:
        """The value of a key that must be there; None where it is faulty."""
        if not self.has(key):
            self.fault(key, "nothing", wanted)
            return None
        return self._read((key,), self.data[key], reader)

    def record(self, made: Callable[..., T], **readers: Reader[Any]) -> T:
        """A record of optional keys and nothing else; what is missing or faulty is as by default."""
        found = {key: self.take(key, reader) for key, reader in readers.items()}
        self.done()
        return made(**{key: value for key, value in found.items() if value is not None})

    def once(self, key: str, values: Sequence[object], wanted: str) -> None:
        """Note each value that stands more than once in the list under a key."""
        for value in dict.fromkeys(v for v in values if values.count(v) > 1):
            named = f'"{value}"' if isinstance(value, str) else str(value)
            self.fault(key, f"{named} more than once", wanted)

    def each(self, key: str, reader: Reader[T], wanted: str) -> tuple[T, ...] | None:
        """The elements of a list, None where there is no list; each faulty element is a fault."""
        if not self.has(key):
            return None
        raw = self.data[key]
        if not isinstance(raw, list):
            self.fault(key, described(raw), wanted)
            return None
        if len(raw) > MOST_ELEMENTS:
            self.fault(key, f"a list of {len(raw)}", f"at most {MOST_ELEMENTS}: {wanted}")
            return None
        read = (self._read((key, i), value, reader) for i, value in enumerate(raw))
        return tuple(value for value in read if value is not None)

    def table(self, key: str, wanted: str | None = None) -> Table | None:
        """The table under a key; a fault where it is missing and ``wanted`` is given."""
        if not self.has(key):
            if wanted is not None:
                self.fault(key, "nothing", wanted)
            return None
        raw = self.data[key]
        if not isinstance(raw, dict):
            self.fault(key, described(raw), wanted or f"a table [{key}]")
            return None
        return self._inner((key,), raw)

    def part(self, key: str, parse: Callable[[Table], T], wanted: str | None = None) -> T | None:
        """What the table under a key holds; None where there is none."""
        inner = self.table(key, wanted)
        return None if inner is None else parse(inner)

    def tables(self, key: str) -> tuple[Table, ...]:
        """The tables of ``[[key]]``, as many as there are."""
        wanted = f"tables, each under [[{key}]]"
        if not self.has(key):
            return ()
        raw = self.data[key]
        if not isinstance(raw, list):
            self.fault(key, described(raw), wanted)
            return ()
        found: list[Table] = []
        for i, value in enumerate(raw):
            if isinstance(value, dict):
                found.append(self._inner((key, i), value))
            else:
                self.fault((key, i), described(value), wanted)
        return tuple(found)

    def open_keys(self) -> tuple[str, ...]:
        """The keys of a table whose names the writer chooses."""
        self.know(*self.data)
        return tuple(self.data)

    def done(self) -> None:
        """Note every key that nobody asked for."""
        for key in self.data:
            if key in self._known:
                continue
            near = difflib.get_close_matches(key, self._known, n=1)
            wanted = f"{near[0]}?" if near else f"one of {', '.join(self._known)}"
            self.fault(key, "a key that is not known", wanted)

    def _inner(self, further: Path, raw: dict[str, object]) -> Table:
        return Table(raw, self.path + further, self.faults)

    def _read(self, further: Path, raw: object, reader: Reader[T]) -> T | None:
        try:
            return reader(raw)
        except FaultyQuantity as e:
            self.faults.add(self.path + further, e.found, e.wanted)
            return None


def open_table(text: str, file: str) -> Table:
    """The top of a file of our format; another's keys mean other things, so it is read no further.

    Raises:
        FaultyInput: it is no TOML, or says another format than ours.
    """
    data, lines = read_toml(text, file)
    top = Table(data, (), Faults(file, lines))
    raw = top.data.get("format")
    top.need("format", as_whole(FORMAT, FORMAT, f"{FORMAT}, the only one there is"), f"{FORMAT}")
    if isinstance(raw, int) and not isinstance(raw, bool) and raw != FORMAT:
        top.faults.raise_any()
    return top
