"""Bad input to ``replay``: every fault at once, with file, line, found and wanted; nothing is written."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchtui.cli import FAULTY, main

HEAD = "sheet plain-single\nblades leaves-f\n"

Refuse = Callable[..., str]


@pytest.fixture
def refuse(story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Refuse:
    """Plays a script that must be refused as a whole; what was said on standard error."""

    def refused(text: str | bytes, *, keep: bool = True) -> str:
        script = tmp_path / "bad.txt"
        script.write_bytes(text.encode() if isinstance(text, str) else text)
        before = sorted(p for p in story_data.rglob("*"))
        options = ["--keep"] if keep else []
        status = main(["--data", str(story_data), "replay", str(script), *options])
        out, err = capsys.readouterr()
        assert (status, out) == (FAULTY, "")
        assert sorted(p for p in story_data.rglob("*")) == before
        assert "Traceback" not in err
        assert all(line.startswith("benchtui: ") for line in err.splitlines())
        return err

    return refused


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("1I 0.0.6 free", ["0.0.6"]),
        ("1I 0,06,1 free", ["0,06,1"]),
        ("1I 1,234.5 free", ["1,234.5"]),
        ("1I NaN free", ["NaN"]),
        ("1I -0.06 free", ["-0.06"]),
        ("1I 1e9 mm free", ["1e9"]),
        ("1I 0.06 furlong free", ["furlong"]),
        ("1I 0.06", ["free, drag, refuses"]),
        ("1I 0.06 maybe", ["maybe", "free, drag, refuses"]),
        ("1I 0.06+ free", ["1I"]),
        ("1I 0.03+0.04+0.05+0.06 free", ["a stack of 4", "at most 3"]),
        ("1I", ["a valve with a blade"]),
        ("9X 0.06 free", ["9X", "1I, 1E"]),
        ("1I move 9X", ["9X", "1I, 1E"]),
        ("1I move", ["nothing", "one name"]),
        ("1I turn sideways 20", ["sideways", "in or out"]),
        ("1I turn out", ["1I"]),
        ("1I turn out twenty", ["twenty"]),
        ("1I lock now", ["now", "nothing more"]),
        ("position 1", ["two pieces of evidence"]),
        ("position 7 mark slack", ["7", "a cylinder of Plain single: 1"]),
        ("position 1 mark luck", ["luck", "mark or slack"]),
        ("metal hot", ["hot"]),
        ("metal 19", ["19"]),
        ("odometer 12400", ["12400"]),
        ("odometer -5 km", ["-5"]),
        ("date 2026-02-30", ["2026-02-30", "a date"]),
        ("date tomorrow", ["tomorrow", "a date"]),
        ("resume", ["nothing", "unmoved"]),
        ("close please", ["please", "nothing more"]),
        ("count in rags", ["rags", "how many"]),
        ("rule perhaps", ["perhaps", "plain or proved"]),
        ("band wide", ["wide"]),
        ("frobnicate", ["frobnicate"]),
        ("sheet plain-single", ["a second one"]),
    ],
)
def test_one_bad_line_is_named_with_what_was_found_and_wanted(
    refuse: Refuse, line: str, said: list[str]
) -> None:
    err = refuse(HEAD + "position 1 mark slack\n" + line + "\nclose\n")
    assert "bad.txt:4:" in err
    assert "wanted" in err
    for words in said:
        assert words in err


def test_all_faults_at_once_each_with_its_line(refuse: Refuse) -> None:
    err = refuse(HEAD + "1I NaN free\n\n# fine\nmetal warm\n1E 0.05 perhaps\n")
    assert [line.split(":")[2] for line in err.splitlines()] == ["3", "6", "7"]


def test_unknown_valves_and_cylinders_are_among_them(refuse: Refuse) -> None:
    """One reading tells all: lines that cannot be read, and names that this engine has not got."""
    lines = "9X 0.06 free\nmetal warm\nposition 7 mark slack\n1I move 8Y\n1E 0.05 perhaps\n"
    err = refuse(f"{HEAD}{lines}").splitlines()
    assert [line.split(":")[2] for line in err] == ["3", "4", "5", "6", "7"]
    for line, words in zip(err, ("9X", "warm", "'7'", "8Y", "perhaps"), strict=True):
        assert words in line
        assert "wanted" in line
    # A sheet's line that cannot be read is not missing as well.
    err = refuse("sheet ../plain-single\nblades leaves-f\nmetal warm\n").splitlines()
    assert [line.split(":")[2] for line in err] == ["1", "3"]


def test_of_very_many_the_first_are_named_and_that_there_are_more(refuse: Refuse) -> None:
    *first, last = refuse(HEAD + "9X 0.06 free\n1I 0.06 perhaps\n" * 1000).splitlines()
    assert [line.split(":")[2] for line in first] == [str(n) for n in range(3, 3 + len(first))]
    assert "more" in last


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", ["no step"]),
        ("\n# nothing but this\n", ["no step"]),
        ("sheet plain-single\n", ["blades NAME"]),
        ("blades leaves-f\n", ["sheet NAME"]),
        ("sheet plain-singel\nblades leaves-f\n", ["plain-singel", "did you mean plain-single?"]),
        ("sheet plain-single\nblades leaves-g\n", ["leaves-g"]),
        ("sheet ../plain-single\nblades leaves-f\n", ["one name of letters"]),
        ("sheet nowhere\nblades nothing\n", ["nowhere", "nothing"]),
    ],
)
def test_what_is_missing_or_misnamed(refuse: Refuse, text: str, said: list[str]) -> None:
    err = refuse(text)
    for words in said:
        assert words in err


@pytest.mark.parametrize("raw", [b"\xff\xfe\x00", HEAD.encode() + b"note caf\xe9\n"])
def test_what_is_no_text(refuse: Refuse, raw: bytes) -> None:
    assert "UTF-8" in refuse(raw)


def test_a_file_that_is_not_there(story_data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(story_data), "replay", str(story_data / "no.txt")]) == FAULTY
    assert "No such file" in capsys.readouterr().err
    assert main(["--data", str(story_data), "replay", str(story_data)]) == FAULTY
    assert "wanted a file that can be read" in capsys.readouterr().err


def test_control_characters_are_made_harmless(refuse: Refuse) -> None:
    err = refuse(HEAD + "1I \x1b[2J\x07 free\n")
    assert "\x1b" not in err
    assert "\x07" not in err


def test_a_faulty_sheet_is_named_at_its_own_line(refuse: Refuse, story_data: Path) -> None:
    sheet = story_data / "sheets" / "plain-single.toml"
    sheet.write_text(sheet.read_text().replace('pitch = "0.75 mm"', 'pitch = "0.75"'))
    number = sheet.read_text().splitlines().index('pitch = "0.75"') + 1
    err = refuse(HEAD + "close\n")
    assert f"plain-single.toml:{number}: adjuster.pitch: found" in err


def test_a_decimal_comma_is_read_as_one(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "comma.txt"
    script.write_text(HEAD + "1I 0,06 free\n")
    assert main(["--data", str(story_data), "replay", str(script), "--json"]) == 0
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert lines[2]["bracket_mm"] == [0.06, None]


def test_windows_line_ends_a_byte_order_mark_and_odd_spaces_are_no_fault(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "odd.txt"
    text = (
        HEAD + "metal  19  C\nposition 1  mark   slack\n\t1I 0.06 free   # first\n1I 0.10 refuses"
    )
    script.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert main(["--data", str(story_data), "replay", str(script), "--json"]) == 0
    lines = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert lines[-2]["verdict"] == "in"


words = st.sampled_from(
    [
        "1I",
        "1E",
        "9X",
        "0.06",
        "0.10",
        "0.05+0.03",
        "0,06",
        "NaN",
        "free",
        "drag",
        "refuses",
        "forced",
        "turn",
        "out",
        "in",
        "20",
        "-3",
        "1e9",
        "lock",
        "strike",
        "move",
        "shim",
        "2.80",
        "position",
        "1",
        "mark",
        "slack",
        "inlet",
        "doubt",
        "metal",
        "19",
        "C",
        "odometer",
        "km",
        "hours",
        "close",
        "pause",
        "resume",
        "unmoved",
        "undo",
        "count",
        "rags",
        "note",
        "#",
        "band",
        "rule",
        "plain",
        "date",
        "2026-05-04",
        "\x1b[2J",
        "é",
        "+",
        "++",
    ]
)
lines_of_words = st.lists(st.lists(words, max_size=5).map(" ".join), max_size=8)


@given(lines_of_words)
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_no_script_ends_in_a_traceback(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], lines: list[str]
) -> None:
    script = tmp_path / "any.txt"
    script.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")
    status = main(["--data", str(story_data), "replay", str(script), "--json"])
    out, err = capsys.readouterr()
    assert status in (0, FAULTY)
    assert (status == 0) is (err == "")
    if status == 0:
        assert "summary" in json.loads(out.splitlines()[-1])
    else:
        assert out == ""


def test_a_bare_figure_is_never_guessed_to_be_inches_or_millimetres(refuse: Refuse) -> None:
    """Beside an inch set .008 is most likely 8 thou: taken as 0.008 mm it would make a wrong record."""
    head = "sheet dredge-lift\nblades workshop-inch\ndate 2026-05-01\nmetal 66 F\n"
    said = refuse(f"{head}position 1 mark slack\n1I .008 free\n1I 0.010 mm refuses\n1I set .010\n")
    first, second = said.splitlines()
    assert "bad.txt:6: 1I .008 free: found '0.008'; wanted its unit: 0.008 in" in first
    assert "bad.txt:8: 1I set .010: found '0.01'" in second
