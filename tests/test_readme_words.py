"""The README names every word that a script, a sheet, a blade set or a line of JSON may hold.

What there is to name is read out of the code itself: from the tables it reads with, from what the
parsers ask a file for, and from the keys that stand in the code that writes JSON.
"""

from __future__ import annotations

import ast
import inspect
import json
import re
from collections.abc import Callable, Iterator
from enum import Enum
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from benchtui.cli import main
from benchtui.commands import replay
from benchtui.store.paths import shipped_specs
from benchtui.text.exports import view_json
from benchtui.text.reading import script
from benchtui.text.reading.blades_file import parse_blades
from benchtui.text.reading.checked import Table
from benchtui.text.reading.sheet_file import parse_sheet

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
SPECS = shipped_specs()


def part(marker: str) -> str:
    """What stands in the README between ``<!-- marker -->`` and ``<!-- end of marker -->``."""
    return README.split(f"<!-- {marker} -->\n")[1].split(f"<!-- end of {marker} -->")[0]


def named(text: str) -> set[str]:
    """Everything that stands between backticks."""
    return set(re.findall(r"`([^`]+)`", text))


# The written-down session


def texts(nodes: list[ast.expr]) -> Iterator[str]:
    """The words among these expressions, lists and tuples of words included."""
    for node in nodes:
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        elif isinstance(node, ast.List | ast.Tuple):
            yield from texts(node.elts)


def enum_words(module: ModuleType, node: ast.expr) -> Iterator[str]:
    """The values of ``Kind``, or of ``(Kind.ONE, facts.Kind.TWO)``, where that is an enum."""
    if isinstance(node, ast.Name | ast.Attribute):
        named = module
        for part in ast.unparse(node).split("."):
            named = getattr(named, part, None)  # type: ignore[assignment]  # a module, a kind, a member
        if isinstance(named, Enum):
            yield str(named.value)
        elif isinstance(named, type) and issubclass(named, Enum):
            yield from (str(member.value) for member in named)
    elif isinstance(node, ast.Tuple):
        for inner in node.elts:
            yield from enum_words(module, inner)


SPLITTERS = ("startswith", "removeprefix", "partition")


def words_read_by(module: ModuleType) -> set[str]:
    """Every word that the code of a module looks for: in tables, enums, cases and comparisons."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        match node:
            case ast.Dict(keys=keys):
                found |= set(texts([k for k in keys if k is not None]))
            case ast.DictComp(generators=[ast.comprehension(iter=each)]):
                found |= set(enum_words(module, each))
            case ast.MatchValue(value=value):
                found |= set(texts([value]))
            case ast.Compare(left=left, comparators=others):
                found |= set(texts([left, *others]))
            case ast.Call(func=ast.Attribute(attr=attr), args=args) if attr in SPLITTERS:
                found |= set(texts(args))
            case _:
                pass
    return {word for text in found if (word := text.strip()).isalpha()}


def test_every_word_of_a_script_stands_in_the_written_down_session() -> None:
    known = words_read_by(script)
    assert set(script._BY_WORD) <= known
    assert {"lock", "fewest", "rocks", "tight", "forced", "measured", "doubt", "end"} <= known
    found = re.search(r"```\n(sheet quay-pump.*?)```", README, re.DOTALL)
    assert found is not None
    lines = [re.split(r"(?:^|\s)#", line, maxsplit=1) for line in found[1].splitlines()]
    written = " ".join(line[0] for line in lines)
    others = " ".join(f"; {line[1].strip()}" for line in lines if len(line) > 1)
    # In a comment only as one of several words that may stand there, not in passing.
    told = set(written.split()) | set(re.findall(r"(?:(?<=\bor )|(?<=[,:;] ))\w+", others))
    assert known - told == set()
    begins = {line[0].split()[0] for line in lines if line[0].strip()}
    assert set(script._BY_WORD) - begins == set()


# Sheets and blade sets

EVERY_TABLE = """format = 1
name = "Everything"
source = {}
[layout]
cylinders = ["1"]
firing = { 1 = 0 }
valves = { 1 = ["1I", "1E"] }
marks = { 1 = "dot", plate = { text = "plate up", angle = 90 } }
[clearance]
inlet = "0.1 mm"
exhaust = "0.1 mm"
[adjuster]
kind = "shim"
shims = { from = "2.50 mm", to = "3.50 mm", step = "0.05 mm" }
[timing]
inlet_opens = "20 BTDC"
inlet_closes = "55 ABDC"
exhaust_opens = "60 BBDC"
exhaust_closes = "20 ATDC"
[[plan]]
at = "1 compression TDC"
valves = ["1I", "1E"]
[[torque]]
what = "cover bolts"
value = "10 N*m"
[interval]
months = 12
first = { months = 1 }
after_setting = { months = 2 }
[work]
gasket = "a new one"
[papers]
customer = "the slip"
plate = "HB 12"
serial = 4711
"""

EVERY_BLADE_TABLE = """format = 1
leaves = ["0.05 mm"]
[measured]
"0.05 mm" = "0.051 mm"
"""

CHOSEN = {"layout.firing", "layout.valves", "layout.marks", "measured"}
"""Tables whose keys the writer chooses: cylinders, marks, leaves."""

Asked = dict[str, set[str]]


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Asked]:
    """Has files parsed; every key that the parser asked for, or would have taken, table by table."""
    keys: Asked = {}
    know = Table.know

    def noted(self: Table, *names: str) -> None:
        keys.setdefault(place(self.path), set()).update(names)
        know(self, *names)

    monkeypatch.setattr(Table, "know", noted)

    def parsed(parse: Callable[[str, str, str], object], *files: str) -> Asked:
        for text in files:
            parse(text, "x", "x.toml")
        return {where: names for where, names in keys.items() if where not in CHOSEN}

    return parsed


def place(path: tuple[str | int, ...]) -> str:
    """``layout.marks.NAME`` for each mark, ``plan`` for each of its rows."""
    words = [p for p in path if isinstance(p, str)]
    if words[:2] == ["layout", "marks"]:
        words[2:] = ["NAME"] * len(words[2:])
    return ".".join(words)


def rows(marker: str) -> Asked:
    """Table by table, the keys that the README names."""
    found = re.findall(r"^\| (.+?) \| (.+) \|$", part(marker), re.MULTILINE)
    return {
        "" if where == "top" else where.strip("[]"): named(keys)
        for where, keys in found[1:]
        if named(keys)
    }


def test_every_key_of_a_sheet_is_told_and_no_other(asked: Callable[..., Asked]) -> None:
    specs = [p.read_text(encoding="utf-8") for p in sorted(SPECS.glob("*.toml"))]
    told = asked(parse_sheet, EVERY_TABLE, *specs)
    assert len(told) > 10  # as many tables as there are, at least
    assert rows("keys of a sheet") == told


def test_every_key_of_a_blade_set_is_told_and_no_other(asked: Callable[..., Asked]) -> None:
    specs = [p.read_text(encoding="utf-8") for p in sorted((SPECS / "blades").glob("*.toml"))]
    assert rows("keys of a blade set") == asked(parse_blades, EVERY_BLADE_TABLE, *specs)


def test_no_table_of_a_file_went_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    """Else the keys inside it would be asked for nowhere above."""
    wanted: set[str] = set()
    entered: set[str] = set()
    for name in ("table", "tables"):
        read = getattr(Table, name)

        def noted(self: Table, key: str, *more: str, _read: Any = read) -> Any:
            found = _read(self, key, *more)
            wanted.add(place((*self.path, key)))
            if found:
                entered.add(place((*self.path, key)))
            return found

        monkeypatch.setattr(Table, name, noted)
    parse_sheet(EVERY_TABLE, "x", "x.toml")
    parse_blades(EVERY_BLADE_TABLE, "x", "x.toml")
    assert wanted == entered
    assert {"source", "adjuster.shims", "interval.first", "measured"} <= wanted


# The lines of replay --json

BY_NAME = {"valves", "fitted", "lands_mm", "sure_mm", "left_out"}
"""Objects whose keys are names of valves."""


def keys_written_by(module: ModuleType) -> set[str]:
    """Every key that stands in the code of a module that makes JSON."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        match node:
            case ast.Dict(keys=keys):
                found |= set(texts([k for k in keys if k is not None]))
            case ast.Subscript(slice=ast.Constant(value=str(key)), ctx=ast.Store()):
                found.add(key)
            case _:
                pass
    return found


def keys_in(document: object, *, by_name: bool = False) -> Iterator[str]:
    if isinstance(document, list):
        for value in document:
            yield from keys_in(value)
    elif isinstance(document, dict):
        for key, value in document.items():
            if not by_name:
                yield key
            yield from keys_in(value, by_name=not by_name and key in BY_NAME)


def test_every_key_of_the_json_is_told_and_no_other() -> None:
    written = keys_written_by(view_json) | keys_written_by(replay)
    assert named(part("keys of the JSON")) == written


@pytest.mark.parametrize("story", ["2024-08-20-ferry-tender", "2025-09-11-mole-crane", "show"])
def test_no_other_key_is_written(
    story: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = SPECS / "demo" / f"{story}.txt"
    assert main(["--data", str(tmp_path), "replay", str(path), "--json"]) == 0
    printed = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    written = set(keys_in(printed))
    assert {"bracket_mm", "summary", "found", "what"} <= written
    assert written <= named(part("keys of the JSON"))
