"""``replay`` with a file of amend lines: stored sessions put right, all of the lines or none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.store.paths import shipped_specs

SESSION = """sheet {engine}
blades fine-metric
date {day}
odometer {km} km
metal 19 C
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.09 free
1E 0.12 refuses
close
"""


class Shed:
    def __init__(self, root: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.root, self._capsys = root, capsys

    def run(self, *arguments: str) -> tuple[int, str]:
        status = main(["--data", str(self.root / "data"), *arguments])
        out = self._capsys.readouterr()
        return status, out.out + out.err

    def keep(self, day: str, km: str, engine: str = "quay-pump") -> str:
        status, told = self.replay(SESSION.format(engine=engine, day=day, km=km), "--keep")
        assert status == 0, told
        kept = [line for line in told.splitlines() if line.startswith("Kept as ")]
        return kept[-1].removeprefix("Kept as ")

    def replay(self, text: str, *options: str) -> tuple[int, str]:
        path = self.root / "lines.txt"
        path.write_text(text, encoding="utf-8")
        return self.run("replay", str(path), *options)

    def rows(self) -> list[dict[str, object]]:
        _, told = self.run("export", "--form", "jsonl", "--rows", "sessions")
        return [json.loads(line) for line in told.splitlines()]


@pytest.fixture
def shed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shed:
    return Shed(tmp_path, capsys)


def test_a_wrong_year_no_longer_masks_the_engine(shed: Shed) -> None:
    session = shed.keep("2062-06-10", "61500")
    shed.keep("2026-05-01", "61000")
    lines = f"amend {session} day 2026-06-10 because the year was mistyped\n"
    status, told = shed.replay(lines)
    assert (status, "Nothing was written" in told) == (0, True)
    assert "2062" in str(shed.rows())
    status, told = shed.replay(lines, "--keep")
    assert status == 0
    assert "Put right: day 10 June 2026: the year was mistyped" in told
    assert {str(r["started"])[:10] for r in shed.rows()} == {"2026-06-10", "2026-05-01"}
    _, due = shed.run("due")
    assert "10 December 2026" in due
    _, card = shed.run("card", session)
    assert "10 June 2062" in " ".join(card.split()), "the figure struck stays in sight"
    assert "10 June 2026" in card


def test_the_same_file_twice_changes_nothing_the_second_time(shed: Shed) -> None:
    session = shed.keep("2026-05-01", "615000")
    lines = (
        f"amend {session} odometer 61500 km because a nought too many\n"
        f"amend {session} note the gasket wept\namend {session} aside because no check\n"
    )
    assert shed.replay(lines, "--keep")[0] == 0
    path = next((shed.root / "data" / "sessions").iterdir())
    content = path.read_bytes()
    status, told = shed.replay(lines, "--keep")
    assert (status, told.count("It stands so already.")) == (0, 3)
    assert path.read_bytes() == content
    assert shed.rows()[0]["state"] == "set aside"
    assert shed.replay(f"amend {session} undo\n", "--keep")[0] == 0
    assert shed.rows()[0]["state"] == "complete"


def test_what_is_taken_back_is_told_before_it_is_done(shed: Shed) -> None:
    session = shed.keep("2026-05-01", "61500")
    _, told = shed.replay(f"amend {session} aside because no check\namend {session} undo\n")
    assert "Taken back: Set aside, it counts for nothing: no check" in " ".join(told.split())


def test_one_line_refused_and_none_is_done(shed: Shed) -> None:
    session = shed.keep("2026-05-01", "615000")
    lines = (
        f"amend {session} odometer 61500 km because a nought too many\n"
        f"amend {session} engine ferry-tender because wrong line\n"
        "amend nosuch aside because of it\n"
    )
    status, told = shed.replay(lines, "--keep", "--json")
    answers = [json.loads(line) for line in told.splitlines()]
    assert status == 1
    assert ["refused" in a for a in answers] == [False, True, True]
    assert shed.rows()[0]["odometer_km"] == 615000


def test_a_figure_put_wrong_is_asked_back_and_done(shed: Shed) -> None:
    shed.keep("2025-05-01", "61000")
    session = shed.keep("2026-05-01", "61500")
    status, told = shed.replay(f"amend {session} odometer 6150 km because so it read\n", "--keep")
    assert status == 0
    assert "?? Odometer 6 150 km is below the 61 000 km of 1 May 2025" in told
    assert shed.rows()[1]["odometer_km"] == 6150


def test_an_engine_put_right_is_doubted_by_what_that_one_read_before_and_after(shed: Shed) -> None:
    sheets = shed.root / "data" / "sheets"
    sheets.mkdir(parents=True)
    text = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    (sheets / "other.toml").write_text(text.replace("Quay pump", "Other pump"), encoding="utf-8")
    shed.keep("2025-05-01", "9000", "other")
    shed.keep("2026-05-01", "9400", "other")
    session = shed.keep("2025-11-01", "61500")
    line = f"amend {session} engine other because wrong line\n"
    _, told = shed.replay(line)
    assert "?? Odometer 61 500 km is far above the 9 000 km of 1 May 2025" in told
    _, told = shed.replay(f"amend {session} odometer 9700 km because of it\n{line}")
    assert "?? Odometer 9 700 km is above the 9 400 km of 1 May 2026, which is later." in told
    _, told = shed.replay(f"amend {session} odometer 9200 km because of it\n{line}", "--keep")
    assert "engine" in told
    assert "above" not in told, "and nothing is asked where it fits"


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("amend x day 2026-13-01 because of it", "a date, as in 2026-05-01"),
        ("amend x day 2026-05-01", "because and the reason"),
        ("amend x odometer 61500 because of it", "a distance with its unit"),
        ("amend x odometer because of it", "what is right, after odometer"),
        ("amend x aside it was wrong because of it", "nothing between aside and its reason"),
        ("amend x colour red because of it", "day, odometer, hours"),
        ("amend", "day, odometer, hours"),
        ("amend x note", "what is right, after note"),
        ("1I 0.06 free", "nothing but amend lines"),
    ],
)
def test_lines_that_cannot_be_read_are_named_with_their_place(
    shed: Shed, line: str, wanted: str
) -> None:
    (shed.root / "data").mkdir()
    status, told = shed.replay(f"amend x undo\n{line}\n", "--keep")
    assert status == 2
    assert "lines.txt:2" in told
    assert wanted in told


def test_amend_lines_in_a_session_are_sent_to_a_file_of_their_own(shed: Shed) -> None:
    text = SESSION.format(engine="quay-pump", day="2026-05-01", km="1") + "amend last undo\n"
    status, told = shed.replay(text)
    assert status == 2
    assert "a file of its own" in told
