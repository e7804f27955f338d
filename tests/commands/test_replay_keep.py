"""``replay --keep``: under which name a session was stored, and that no second copy is."""

from __future__ import annotations

import errno
import json
import os
from dataclasses import dataclass
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.domain.session.facts.events import Crank, Opened, Paused, Resumed
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.workshop import Workshop

SCREWS = """sheet quay-pump
blades fine-metric
date 2026-05-01
who M.
odometer 12400 km
metal 19 C
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.08 refuses
1E 0.05 free
1E turn out 22
1E lock
1E 0.09 free
1E 0.12 refuses
count in 4 rags
undo
turned over
position 1 mark slack
1E spot 0.09 free
close
"""

SHIMS = """sheet ferry-tender
blades fine-metric
date 2026-05-01
hours 310
metal 19 C
position 1 mark slack
1I-left 0.10 free
1I-left 0.15 refuses
1I-left shim found 2.80
1I-left shim 2.75 measured 2.74
spare 2.60
pause
"""


@dataclass
class Shed:
    """A data folder and the command line."""

    data: Path
    capsys: pytest.CaptureFixture[str]

    def run(self, *words: str) -> str:
        """One command that goes well; what it prints."""
        self.capsys.readouterr()
        assert main(["--data", str(self.data), *words]) == 0
        return self.capsys.readouterr().out

    def script(self, text: str, name: str = "script.txt") -> str:
        self.data.mkdir(exist_ok=True)
        path = self.data / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    def keep(self, text: str, name: str = "script.txt", how: str = "--keep") -> tuple[str, bool]:
        """Keeps a script; its name, and whether it was stored before."""
        self.capsys.readouterr()
        status = main(["--data", str(self.data), "replay", self.script(text, name), how, "--json"])
        last = self.capsys.readouterr().out.splitlines()[-1]
        assert status == 0 or how == "--keep-rest", last
        summary = json.loads(last)["summary"]
        assert summary["session"] == summary["kept"]
        return summary["kept"], summary["kept_before"]

    def stored(self) -> list[str]:
        return sorted(p.stem for p in DataFolder(self.data).sessions.glob("*.session"))


@pytest.fixture
def shed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shed:
    return Shed(tmp_path / "data", capsys)


def test_the_name_is_told_and_card_takes_it(shed: Shed) -> None:
    last = shed.run("replay", shed.script(SCREWS), "--keep").splitlines()[-1]
    name = last.removeprefix("Kept as ")
    assert shed.stored() == [name]
    assert "Quay pump" in shed.run("card", name)


def test_nothing_is_told_to_be_kept_that_is_not(shed: Shed) -> None:
    told = shed.run("replay", shed.script(SCREWS))
    assert "Kept" not in told
    assert "Stored" not in told
    summary = json.loads(shed.run("replay", shed.script(SCREWS), "--json").splitlines()[-1])
    assert (summary["summary"]["kept"], summary["summary"]["kept_before"]) == (None, False)
    header = "sheet quay-pump\nblades fine-metric\ndate today\n"
    opened_none = shed.run("replay", shed.script(header), "--keep", "--json")
    assert json.loads(opened_none.splitlines()[-1])["summary"]["kept"] is None
    assert shed.stored() == []


@pytest.mark.parametrize("text", [SCREWS, SHIMS, SCREWS.replace("2026-05-01", "today")])
def test_the_same_again_is_stored_once(shed: Shed, text: str) -> None:
    """Also a third time, when what past checks teach has changed by the first."""
    name, before = shed.keep(text)
    assert not before
    commented = text.replace("\nmetal", "\n\n# how warm it was\nmetal")
    assert [shed.keep(text), shed.keep(commented)] == [(name, True)] * 2
    assert shed.stored() == [name]
    told = shed.run("replay", shed.script(text), "--keep").splitlines()
    assert told[-1] == f"Stored already as {name}; no second copy was made."
    assert "1I" in told[7]  # it is played and printed all the same


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("1E 0.12 refuses", "1E 0.12 drag"),
        ("date 2026-05-01", "date 2026-05-02"),
        ("odometer 12400", "odometer 12500"),
        ("who M.", "who Asta"),
        ("fine-metric", "hundredths"),
        ("turn out 22", "turn out 23"),
        ("rags\nundo", "rags\ncount out 4 rags"),
        ("metal 19 C", "metal 19 C\nrule proved"),
        ("metal 19 C", "metal 19 C\nstops fewest"),
        ("close\n", "pause\n"),
        ("close\n", ""),
    ],
)
def test_whatever_says_something_else_is_stored_too(shed: Shed, old: str, new: str) -> None:
    first, _ = shed.keep(SCREWS)
    second, before = shed.keep(SCREWS.replace(old, new), how="--keep-rest")
    assert not before
    assert shed.stored() == sorted([first, second])


def test_a_sheet_with_another_limit_makes_it_another_session(shed: Shed) -> None:
    shed.keep(SCREWS)
    sheet = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    own = DataFolder(shed.data).sheets / "quay-pump.toml"
    own.parent.mkdir(parents=True, exist_ok=True)
    assert "0.06 mm" in sheet
    own.write_text(sheet.replace("0.06 mm", "0.05 mm"), encoding="utf-8")
    assert shed.keep(SCREWS)[1] is False


def test_one_that_the_program_went_on_with_is_still_that_one(shed: Shed) -> None:
    name, _ = shed.keep(SHIMS)
    live = Workshop(DataFolder(shed.data), wall_clock).open_sessions.resume(name)
    live.bench.do(Resumed(Crank.UNMOVED))
    live.bench.do(Paused())
    live.release()
    assert shed.keep(SHIMS) == (name, True)


def test_a_damaged_copy_is_none(shed: Shed) -> None:
    name, _ = shed.keep(SCREWS)
    path = DataFolder(shed.data).sessions / f"{name}.session"
    path.write_bytes(path.read_bytes() + b"rubbish\n")
    second, before = shed.keep(SCREWS)
    assert (before, len(shed.stored())) == (False, 2)
    path.write_bytes(b"rubbish\n")
    assert shed.keep(SCREWS) == (second, True)


def test_of_two_different_ones_the_right_name_is_told(shed: Shed) -> None:
    other = SCREWS.replace("odometer 12400", "odometer 12500")

    def names() -> list[tuple[str, bool]]:
        return [shed.keep(SCREWS, "a.txt"), shed.keep(other, "b.txt")]  # used twice

    first = names()
    assert names() == [(name, True) for name, _ in first]


def test_a_script_that_opens_nothing_ends_in_the_same_keys(shed: Shed) -> None:
    def keys(text: str) -> list[str]:
        last = shed.run("replay", shed.script(text), "--json").splitlines()[-1]
        return list(json.loads(last)["summary"])

    assert keys("sheet quay-pump\nblades fine-metric\n") == keys(SCREWS)


def test_a_disk_that_fills_while_it_is_kept_leaves_nothing_and_the_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    data, script = tmp_path / "data", tmp_path / "script.txt"
    script.write_text(SCREWS, encoding="utf-8")
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", full)
        assert main(["--data", str(data), "replay", str(script), "--keep"]) == 2
    told = capsys.readouterr().err
    assert "No space left on device. Nothing is left of it." in told
    assert str(data / "sessions") in told
    assert list((data / "sessions").iterdir()) == []
    assert main(["--data", str(data), "replay", str(script), "--keep"]) == 0
    assert len(list((data / "sessions").iterdir())) == 1


def state_of(shed: Shed, session: str) -> str:
    told = shed.run("export", "--form", "jsonl", "--rows", "sessions").splitlines()
    return str({row["session"]: row["state"] for row in map(json.loads, told)}[session])


REFUSED = SCREWS.replace("1E turn out 22", "1E turn out 500")


def filed(shed: Shed, text: str, *how: str, name: str = "script.txt") -> tuple[int, str]:
    shed.capsys.readouterr()
    status = main(["--data", str(shed.data), "replay", shed.script(text, name), *how])
    out = shed.capsys.readouterr()
    return status, out.out + out.err


def test_a_step_refused_and_nothing_is_filed_and_each_is_named(shed: Shed) -> None:
    status, told = filed(shed, REFUSED, "--keep")
    assert status == 1
    assert "REFUSED, line 12: 1E turn out 500: A turn is above 0 and up to 360" in told
    assert "NOT FILED: steps were refused" in told
    assert shed.stored() == []
    status, told = filed(shed, REFUSED)
    assert status == 0, "only said, nothing was to be kept"
    status, told = filed(shed, REFUSED, "--keep", "--json")
    summary = json.loads(told.splitlines()[-1])["summary"]
    assert (summary["kept"], summary["kept_not"]) == (None, "steps were refused")
    assert 12 in summary["steps_refused"]


def test_the_rest_is_filed_with_what_was_refused_as_notes_and_once(shed: Shed) -> None:
    status, told = filed(shed, REFUSED, "--keep-rest")
    assert status == 1
    assert "Kept as " in told
    card = " ".join(shed.run("card", "last").split())
    assert "not taken when it was written in: 1E turn out 500: A turn is above 0" in card
    status, told = filed(shed, REFUSED, "--keep-rest")
    assert "no second copy was made" in told
    assert len(shed.stored()) == 1
    paused = REFUSED.replace("close\n", "pause\n")
    assert "Kept as " in filed(shed, paused, "--keep-rest", name="other.txt")[1]


def test_a_session_in_which_nothing_was_measured_is_not_filed(shed: Shed) -> None:
    empty = SCREWS[: SCREWS.index("1I 0.06")] + "note too dark\nclose\n"
    status, told = filed(shed, empty, "--keep")
    assert (status, shed.stored()) == (1, [])
    assert "NOT FILED: nothing was measured" in told
    assert "Kept as " in filed(shed, empty, "--keep-rest")[1]


def test_a_mended_script_takes_the_place_of_what_it_had_filed(shed: Shed) -> None:
    mended = SCREWS.replace("1E 0.12 refuses", "1E 0.10 refuses").replace("12400", "12600")
    first, _ = shed.keep(SCREWS)
    assert (shed.data / "sessions" / f"{first}.session").is_file()
    status, told = filed(shed, mended, "--keep")
    assert status == 0
    assert f"It takes the place of {first}, which is set aside." in told
    assert state_of(shed, first) == "set aside"
    assert len(shed.stored()) == 2, "set aside, not erased"
    second = next(s for s in shed.stored() if s != first)
    opening = Workshop(DataFolder(shed.data), wall_clock).past_sessions.past(second).events[0].fact
    assert isinstance(opening, Opened)
    assert opening.left_last == (), "it is not taught by what it takes the place of"
    assert shed.keep(mended) == (second, True)
    other, _ = shed.keep(mended.replace("12600", "12700"), "evening.txt")
    assert state_of(shed, second) == "complete", "another file replaces nothing"
    assert state_of(shed, other) == "complete"


def test_the_day_before_of_the_same_file_is_another_check(shed: Shed) -> None:
    first, _ = shed.keep(SCREWS)
    shed.keep(SCREWS.replace("2026-05-01", "2026-11-01"))
    assert state_of(shed, first) == "complete"


def test_what_was_put_right_since_is_known_again(shed: Shed) -> None:
    name, _ = shed.keep(SCREWS)
    lines = f"amend {name} day 2026-04-30 because it was the evening before\n"
    assert filed(shed, lines, "--keep", name="amend.txt")[0] == 0
    assert shed.keep(SCREWS) == (name, True)
    assert state_of(shed, name) == "complete"


def test_a_forgotten_day_is_asked_for_where_it_would_be_filed(shed: Shed) -> None:
    forgotten = SCREWS.replace("date 2026-05-01\n", "")
    status, told = filed(shed, forgotten, "--keep")
    assert (status, shed.stored()) == (2, [])
    assert "date 2026-05-01, or: date today" in told
    assert filed(shed, forgotten)[0] == 0


def test_a_slip_of_the_finger_is_warned_of_and_filed(shed: Shed) -> None:
    shed.keep(SCREWS)
    slip = SCREWS.replace("12400", "1250").replace("2026-05-01", "2026-11-01")
    status, told = filed(shed, slip, "--keep")
    assert status == 0
    assert "?? Odometer 1 250 km is below the 12 400 km of 1 May 2026" in told
    future = SCREWS.replace("2026-05-01", "2162-05-01")
    assert "?? 1 May 2162 is in the future" in filed(shed, future, "--keep")[1]
