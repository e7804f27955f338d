"""TOML with the line of every key, so that a fault can be found in the file it stands in.

The values come from tomllib, which gives no lines for what is right; a light scan beside it finds
where each key path starts. The scan may give up (then no lines are known), the values never
depend on it.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field
from decimal import Decimal

from benchtui.domain.errors import Fault, FaultyInput

Path = tuple[str | int, ...]
"""Keys, and indexes into arrays and arrays of tables, from the top of the file."""


@dataclass(frozen=True, slots=True)
class OddNumber:
    """A float of TOML's that is no plain decimal: ``1e9``, ``nan``, ``-inf``."""

    text: str


class TomlLines:
    """Where each key path of a file starts."""

    def __init__(self, lines: dict[Path, int]) -> None:
        self._lines = lines

    def of(self, path: Path) -> int | None:
        """The line, from 1, on which ``path`` starts; None where it is not known."""
        return self._lines.get(path)

    def near(self, path: Path) -> int | None:
        """The line of ``path``, or of the innermost table or array around it that is known."""
        for end in range(len(path), 0, -1):
            if (line := self._lines.get(path[:end])) is not None:
                return line
        return None

    def paths(self) -> frozenset[Path]:
        """Every path that is known."""
        return frozenset(self._lines)


def read_toml(text: str, file: str) -> tuple[dict[str, object], TomlLines]:
    """The tables of ``text`` and where its keys stand; floats come as Decimal or ``OddNumber``.

    Raises:
        FaultyInput: what is no TOML, with its line.
    """
    return tables_of(text, file), lines_of(text)


def tables_of(text: str, file: str) -> dict[str, object]:
    """The same without the lines, which is quicker.

    Raises:
        FaultyInput: what is no TOML, with its line.
    """
    text = text.removeprefix("\ufeff")
    if deep := _DEEP.search(text):  # tomllib's time grows with the square of it
        line = text.count("\n", 0, deep.start()) + 1
        found = f"a key of more than {MOST_PARTS} parts"
        raise FaultyInput((Fault(file, line, deep[0][:20], found, "a key of one or two"),))
    try:
        return tomllib.loads(text, parse_float=_number)
    except RecursionError:
        raise FaultyInput((Fault(file, None, "", "too many nested brackets", "fewer"),)) from None
    except ValueError as e:
        raise FaultyInput((_syntax_fault(text, file, str(e)),)) from None


MOST_PARTS = 32
"""The parts of a dotted key: the longest that means anything here has three."""

_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+"""
_DEEP = re.compile(rf"""(?<![\w."'-]){_PART}(?:\.[ \t]*+{_PART}){{{MOST_PARTS}}}""", re.ASCII)


_AT_LINE = re.compile(r"\s*\(at line (\d+), column (\d+)\)$")
_AT_END = re.compile(r"\s*\(at end of document\)$")


def _syntax_fault(text: str, file: str, message: str) -> Fault:
    """Our fault from tomllib's message, which ends in the place."""
    rows = text.rstrip("\n").split("\n")
    if at := _AT_LINE.search(message):
        line = int(at[1])
        row = rows[line - 1].strip() if line <= len(rows) else "the end of the file"
        if bare := _unquoted(row):
            key, quantities, wanted = bare
            return Fault(
                file, line, key, f"{quantities} without quotes", f"each in quotes: {wanted}"
            )
        found = f"{row[:60]!r} (column {at[2]})"
        message = message[: at.start()]
    elif at := _AT_END.search(message):
        line = len(rows)
        found = "the end of the file"
        message = message[: at.start()]
    else:
        return Fault(file, None, "", "a number too long to be read", "valid TOML")
    return Fault(file, line, "", found, f"valid TOML ({message[:1].lower()}{message[1:]})")


_PAIR = re.compile(r"(?P<key>[A-Za-z0-9_.-]+)\s*=\s*(?P<value>[^#]*)")
_QUANTITY = re.compile(
    r"(?<![\"\w.])(?P<bare>[0-9]*[.,]?[0-9]+(?:\s+to\s+[0-9]*[.,]?[0-9]+)?\s*[A-Za-z][A-Za-z*/ ]*[A-Za-z]|"
    r"[0-9]*[.,]?[0-9]+\s*[A-Za-z])(?![\"\w])"
)
_QUOTED = re.compile(r"\"[^\"]*\"")


def _unquoted(row: str) -> tuple[str, str, str] | None:
    """Key, the quantities without quotes, and the row as it should be: the slip of every newcomer."""
    pair = _PAIR.match(row)
    if pair is None:
        return None
    value = pair["value"].strip()
    outside = _QUOTED.sub(lambda m: " " * len(m[0]), value)
    bare = [m["bare"].strip() for m in _QUANTITY.finditer(outside)]
    if not bare:
        return None
    mended = value
    for one in dict.fromkeys(bare):
        mended = re.sub(rf"(?<![\"\w.]){re.escape(one)}(?![\"\w])", f'"{one}"', mended)
    return pair["key"], " and ".join(bare), f"{pair['key']} = {mended}"


_DECIMAL = re.compile(r"[+-]?[0-9_]{1,20}\.[0-9_]{1,20}")


def _number(text: str) -> Decimal | OddNumber:
    # An exponent may ask for a number of a thousand million digits.
    return Decimal(text) if _DECIMAL.fullmatch(text) else OddNumber(text[:40])


def lines_of(text: str) -> TomlLines:
    """The lines of a text that tomllib has taken; knows nothing rather than fail."""
    scan = _Scan(text.removeprefix("\ufeff").replace("\r\n", "\n"))
    try:
        scan.document()
    except (ValueError, LookupError, RecursionError):
        return TomlLines({})
    return TomlLines(scan.lines)


_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t]*")
_FILLER = re.compile(r"(?:[ \t\n]|#[^\n]*)*")
_SCALAR = re.compile(r"[^,\]}#\n]+")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)


@dataclass(slots=True)
class _Scan:
    """One walk through the text; ``ValueError`` is raised where it loses the way."""

    text: str
    pos: int = 0
    lines: dict[Path, int] = field(default_factory=dict)
    _counts: dict[Path, int] = field(default_factory=dict)
    _ends: list[int] = field(default_factory=list)

    def document(self) -> None:
        self._ends = [i for i, c in enumerate(self.text) if c == "\n"]
        table: Path = ()
        while True:
            self.skip(_FILLER)
            if self.pos >= len(self.text):
                return
            if self.text[self.pos] == "[":
                table = self.header()
            else:
                self.pair(table)

    def header(self) -> Path:
        line = self.line()
        array = self.text.startswith("[[", self.pos)
        self.pos += 2 if array else 1
        keys = self.keys()
        self.expect("]]" if array else "]")
        path: Path = ()
        for key in keys[:-1]:
            path = self.inside((*path, key))
            self.lines.setdefault(path, line)
        path = (*path, keys[-1])
        if not array:
            self.lines[path] = line
            return path
        self.lines.setdefault(path, line)
        count = self._counts.get(path, 0)
        self._counts[path] = count + 1
        self.lines[(*path, count)] = line
        return (*path, count)

    def inside(self, path: Path) -> Path:
        """The path itself, or its last element where it is an array of tables."""
        count = self._counts.get(path)
        return path if count is None else (*path, count - 1)

    def pair(self, table: Path) -> None:
        line = self.line()
        path = table
        for key in self.keys():
            path = (*path, key)
            self.lines.setdefault(path, line)
        self.expect("=")
        self.value(path)

    def keys(self) -> list[str]:
        found = [self.key()]
        while self.text.startswith(".", self.pos):
            self.pos += 1
            found.append(self.key())
        return found

    def key(self) -> str:
        self.skip(_BLANK)
        if self.text.startswith(('"', "'"), self.pos):
            # tomllib undoes the escapes.
            key = str(tomllib.loads(f"k={self.take(_STRING)}")["k"])
        else:
            key = self.take(_BARE_KEY)
        self.skip(_BLANK)
        return key

    def value(self, path: Path) -> None:
        self.skip(_BLANK)
        opening = self.text[self.pos]
        if opening == "[":
            self.pos += 1
            self.array(path)
        elif opening == "{":
            self.pos += 1
            self.inline_table(path)
        elif opening in "\"'":
            self.take(_STRING)
        else:
            self.take(_SCALAR)

    def array(self, path: Path) -> None:
        index = 0
        while not self.closed("]"):
            self.lines[(*path, index)] = self.line()
            self.value((*path, index))
            index += 1
            self.comma()

    def inline_table(self, path: Path) -> None:
        while not self.closed("}"):
            self.pair(path)
            self.comma()

    def closed(self, bracket: str) -> bool:
        self.skip(_FILLER)
        if self.text[self.pos] != bracket:
            return False
        self.pos += 1
        return True

    def comma(self) -> None:
        self.skip(_FILLER)
        if self.text[self.pos] == ",":
            self.pos += 1

    def line(self) -> int:
        return bisect_right(self._ends, self.pos - 1) + 1

    def skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.pos)
        assert found is not None
        self.pos = found.end()

    def take(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.pos)
        if found is None:
            raise ValueError(self.pos)
        self.pos = found.end()
        return found[0]

    def expect(self, what: str) -> None:
        self.skip(_BLANK)
        if not self.text.startswith(what, self.pos):
            raise ValueError(self.pos)
        self.pos += len(what)
