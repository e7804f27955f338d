from __future__ import annotations

import tomllib

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchtui.domain.errors import FaultyInput
from benchtui.text.reading.toml_lines import OddNumber, Path, lines_of, read_toml

AWKWARD = (
    r"""# a comment with [brackets] and = signs
title = "a # no comment"
"quoted \u0041 key" = 1
'literal.key' = 2   # not a dotted one
dotted . inner."last one" = 3
dotted.other = 4

text = '''
[not.a.table]
key = "nor this" ''''
basic = \"\"\"
one \"quote\" and \\
  two "" quotes \"\"\"\"\"
list = [
  1,        # [a]
  "two, ]", [3,
  4],
  { a = 5, b.c = [6] },
]
date = 1979-05-27 07:32:00
empty = []
none = {}

[table]
k = { x = 1, "y z" = { deep = [1, 2] } }
  [table.sub]
  k = 1

[[row]]
a = 1
[row.part]
b = 2

[[row]]
a = 3
[[row.cell]]
c = 4
[[row.cell]]
c = 5

[implicit.middle.end]
z = 1
""".replace('\\"\\"\\"', '"""')
    .replace('\\"', '"')
    .replace("\\\\\n", "\\\n")
)


def paths_in(value: object, path: Path = ()) -> set[Path]:
    """Every path that tomllib's own answer holds."""
    items: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        items = list(value.items())
    elif isinstance(value, list):
        items = list(enumerate(value))
    found: set[Path] = {path} if path else set()
    for key, inner in items:
        found |= paths_in(inner, (*path, key))
    return found


def test_every_path_of_an_awkward_file_is_known() -> None:
    assert lines_of(AWKWARD).paths() == paths_in(tomllib.loads(AWKWARD))


def line_with(part: str, nth: int = 1) -> int:
    lines = [i for i, row in enumerate(AWKWARD.splitlines(), 1) if part in row]
    return lines[nth - 1]


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), line_with("title =")),
        (("quoted A key",), line_with("quoted \\u0041")),
        (("literal.key",), line_with("'literal.key'")),
        (("dotted",), line_with("dotted . inner")),
        (("dotted", "inner", "last one"), line_with("dotted . inner")),
        (("dotted", "other"), line_with("dotted.other")),
        (("basic",), line_with("basic =")),
        (("list",), line_with("list = [")),
        (("list", 0), line_with("# [a]")),
        (("list", 1), line_with("two, ]")),
        (("list", 2, 1), line_with("  4],")),
        (("list", 3, "b", "c", 0), line_with("b.c")),
        (("date",), line_with("date =")),
        (("table",), line_with("[table]")),
        (("table", "k", "y z", "deep", 1), line_with("deep")),
        (("table", "sub", "k"), line_with("  k = 1")),
        (("row",), line_with("[[row]]")),
        (("row", 0, "part", "b"), line_with("b = 2")),
        (("row", 1), line_with("[[row]]", 2)),
        (("row", 1, "cell", 0, "c"), line_with("c = 4")),
        (("row", 1, "cell", 1, "c"), line_with("c = 5")),
        (("implicit", "middle"), line_with("[implicit")),
        (("implicit", "middle", "end", "z"), line_with("z = 1")),
    ],
)
def test_a_path_has_its_line(path: Path, line: int) -> None:
    assert lines_of(AWKWARD).of(path) == line


def test_windows_line_ends_and_a_byte_order_mark_change_no_line() -> None:
    unix = lines_of(AWKWARD)
    windows = lines_of("\ufeff" + AWKWARD.replace("\n", "\r\n"))
    assert {p: windows.of(p) for p in windows.paths()} == {p: unix.of(p) for p in unix.paths()}
    assert unix.paths()


def test_the_nearest_line_stands_in_for_a_path_that_is_missing() -> None:
    lines = lines_of("a = 1\n[b]\nc = 2\n")
    assert lines.near(("b", "missing")) == 2
    assert lines.of(("b", "missing")) is None
    assert lines.near(("nowhere",)) is None


def test_a_file_that_is_no_toml_tells_its_line() -> None:
    with pytest.raises(FaultyInput) as caught:
        read_toml("a = 1\nb = = 2\n", "x.toml")
    (fault,) = caught.value.faults
    assert fault.file == "x.toml"
    assert fault.line == 2
    assert "b = = 2" in fault.found
    assert "TOML" in fault.wanted


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a = [1,\n2", 2),
        ("a = 'open", 1),
        ("[a]\n[a]\n", 2),
        ("a = 1\na = 2\n", None),
        ("a = \x01\n", 1),
        ("a = 2026-13-45", None),
        ("a = " + "[" * 5000, None),
        ("a = " + "9" * 5000, None),
        ("0,15 mm", 1),
    ],
)
def test_every_syntax_error_becomes_a_fault(text: str, line: int | None) -> None:
    with pytest.raises(FaultyInput) as caught:
        read_toml(text, "x.toml")
    (fault,) = caught.value.faults
    assert fault.found
    assert fault.wanted
    if line is not None:
        assert fault.line == line


def test_floats_are_exact_and_odd_ones_are_marked() -> None:
    data, _ = read_toml("a = 1.10\nb = nan\nc = 1e999999999\nd = -inf\n", "x.toml")
    assert str(data["a"]) == "1.10"
    assert data["b"] == OddNumber("nan")
    assert data["c"] == OddNumber("1e999999999")
    assert data["d"] == OddNumber("-inf")


@given(st.text(max_size=60) | st.text("ab=.[]{},'\"\\\n# 1\t", max_size=60))
@example("[[a]]\n[a.b]\n[[a]]\n")
def test_no_text_makes_the_scan_fail(text: str) -> None:
    lines = lines_of(text)
    try:
        data = tomllib.loads(text)
    except ValueError:
        return
    assert lines.paths() == paths_in(data)


KEYS = st.text("ab-", min_size=1, max_size=3)
SCALARS = st.sampled_from(["1", "-2.5", "true", '"x # ]"', "'y\" ='", "'''\nz\n'''", "2026-01-02"])
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda xs: "[ # c\n" + ",\n".join(xs) + "\n]")
        | st.dictionaries(KEYS, inner.filter(lambda v: "\n" not in v), max_size=3).map(
            lambda d: "{" + ", ".join(f'"{k}" = {v}' for k, v in d.items()) + "}"
        )
    ),
    max_leaves=6,
)


@given(st.dictionaries(KEYS, VALUES, max_size=4), st.dictionaries(KEYS, VALUES, max_size=3))
def test_keys_written_line_by_line_are_found_where_they_were_written(
    top: dict[str, str], row: dict[str, str]
) -> None:
    text = ""
    expected: dict[Path, int] = {}
    for key, value in top.items():
        expected[(key,)] = text.count("\n") + 1
        text += f"{key} = {value}\n"
    for index in range(2):
        expected[("rows", index)] = text.count("\n") + 1
        text += "[[rows]]\n"
        for key, value in row.items():
            expected[("rows", index, key)] = text.count("\n") + 1
            text += f"  '{key}' = {value} # end\n"
    lines = lines_of(text)
    assert {path: lines.of(path) for path in expected} == expected
    assert lines.paths() == paths_in(tomllib.loads(text))
