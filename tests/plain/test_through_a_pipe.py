"""``benchtui plain`` through a pipe: whole checks, told and answered in lines, then read elsewhere."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.domain.session.facts.events import Event, Fact, Opened, Paused, Resumed
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

BEFORE = "19\n436\nM.\nfine-metric\n4 rags\nyes\nyes\nyes\nyes\n"
"""Metal, hours, who, blades, what is laid in; then the four cautions of a first check."""

SINGLE = """1 2
f
S
refuses
0.05 free
s
set
torqued
1E 0.09 goes free
0.12 refuses
done
1 2
s
4 rags
done
done
done
file
"""
"""The quay pump: one setting, on a blade."""

WRITTEN = """sheet quay-pump
blades fine-metric
date {day}
hours 436
metal 19 C
who M.
count in 4 rags
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.08 refuses
1E 0.05 free
1E 0.08 refuses
1E set 0.10
set by blade
1E lock torqued
1E 0.09 free
1E 0.12 refuses
turned over
position 1 mark slack
1E spot 0.12 refuses
count out 4 rags
torque rocker cover bolts
first run
no leaks
close
"""
"""The same by the form that is written on paper."""


def plain(data: Path, engine: str, typed: str) -> subprocess.CompletedProcess[str]:
    words = [sys.executable, "-m", "benchtui", "--data", str(data), "plain", engine]
    return subprocess.run(
        words, input=typed, capture_output=True, text=True, timeout=60, check=False
    )


def events_of(data: Path, index: int = 0) -> tuple[Event, ...]:
    shop = Workshop(DataFolder(data), wall_clock)
    return shop.past_sessions.past(shop.past_sessions.rows()[index].session).events


def at_the_bench(events: tuple[Event, ...]) -> list[Fact]:
    """All but the opening and the ticks before the work, which a paper leaves out."""
    return [
        e.fact
        for e in events
        if not isinstance(e.fact, Opened | Paused | Resumed)
        and "Caution" not in type(e.fact).__name__
    ]


def test_a_single_with_one_setting_from_the_first_question_to_the_card(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = tmp_path / "data"
    ran = plain(data, "quay-pump", BEFORE + SINGLE)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "Filed, complete." in ran.stdout
    assert "\x1b" not in ran.stdout
    assert "\r" not in ran.stdout
    # What it stored is what the same check tells on paper.
    other = tmp_path / "other"
    script = tmp_path / "paper.txt"
    script.write_text(WRITTEN.format(day="today"), encoding="utf-8")
    assert main(["--data", str(other), "replay", str(script), "--keep"]) == 0
    assert at_the_bench(events_of(data)) == at_the_bench(events_of(other))
    # The program's other pages read it.
    capsys.readouterr()
    assert main(["--data", str(data), "card", "last"]) == 0
    card = capsys.readouterr().out
    assert "Quay pump" in card
    assert "0.05-0.08 tight    -      read   0.09-0.12 in range" in card
    assert main(["--data", str(data), "due", "--json"]) == 0
    dues = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert any(d.get("engine") == "quay-pump" for d in dues)
    assert list((data / "cards").iterdir())


def test_each_question_names_its_valve_and_the_cautions_stand_at_their_step(tmp_path: Path) -> None:
    said = plain(tmp_path, "quay-pump", BEFORE + SINGLE).stdout
    crank = said.index("! Turn by hand and forward only. Nobody near the starter.")
    back = said.index("do not turn back")
    gauge = said.index("! Never force a blade.")
    first = said.index("1I, 0.06: refuses S, drags D, or goes free F?")
    screw = said.index("! Never crank with a valve screwed open.")
    hold = said.index("hold in 0.10; screw to a light drag; lock.")
    close = said.index("! Small threads take the manual's figure only.")
    assert crank < back < gauge < first < screw < hold < close < said.index("Filed")
    asked = [line for line in said.splitlines() if "refuses S, drags D" in line]
    assert len(asked) >= 8
    assert all(line.startswith(("1I, ", "1E, ")) for line in asked)


VAN_STOPS = ("1I", "1E", "2I", "3E"), ("4I", "4E", "3I", "2E")


def test_a_four_in_two_stops(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every valve in range by stacks and leaves of the coarse set; the crank is turned between."""
    before = "12\n58240\nM.\ncoarse-metric\nfewest\n\n" + "yes\n" * 3
    low, high = {"I": "0.15", "E": "0.25"}, {"I": "0.25", "E": "0.35"}
    stop = ["".join(f"{v} {low[v[1]]} f\n{v} {high[v[1]]} s\n" for v in here) for here in VAN_STOPS]
    typed = f"{before}mark spin\n{stop[0]}turned\n1 2\n{stop[1]}file\nfile\n"
    ran = plain(tmp_path, "harbour-van", typed)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "Plan: 2 crank stops, 8 valves; wipe 0.15 0.25 0.35." in ran.stdout
    assert "Filed, complete." in ran.stdout
    assert "Turn forward 360 degrees" in ran.stdout
    capsys.readouterr()
    assert main(["--data", str(tmp_path), "card", "last"]) == 0
    card = capsys.readouterr().out
    assert all(v in card for here in VAN_STOPS for v in here)


def test_hydraulic_gear_is_told_in_a_sentence(tmp_path: Path) -> None:
    ran = plain(tmp_path, "pilot-launch", "19\n")
    assert ran.returncode == 2
    assert "there is none to measure or set" in ran.stderr
    assert not (tmp_path / "sessions").exists() or not list((tmp_path / "sessions").iterdir())


def test_an_unknown_engine_is_told_with_those_there_are(tmp_path: Path) -> None:
    ran = plain(tmp_path, "quay-pumpp", "")
    assert ran.returncode == 2
    assert "quay-pump," in ran.stderr


def test_wrong_input_says_what_is_wanted_and_changes_nothing(tmp_path: Path) -> None:
    wrong = [
        "hello",
        "0.0x refuses",
        "9I 0.10 free",
        "1I turn sideways 20",
        "\x1b[2J",
        "set",
        "8 9",
    ]
    ran = plain(tmp_path, "quay-pump", f"{BEFORE}1 2\n" + "".join(f"{w}\n" for w in wrong))
    events = events_of(tmp_path)
    assert len(at_the_bench(events)) == 2, "the rags counted in, and the crank"
    told = [line for line in ran.stdout.splitlines() if line.startswith("Not taken: ")]
    assert len(told) == len(wrong)
    assert all("wanted" in line or "Nothing is set" in line for line in told)
    assert "\x1b" not in ran.stdout


def test_the_end_of_the_input_leaves_the_check_open_and_says_so(tmp_path: Path) -> None:
    cut = BEFORE + SINGLE.partition("torqued")[0]
    ran = plain(tmp_path, "quay-pump", cut)
    assert ran.returncode == 1
    last = ran.stdout.splitlines()[-3:]
    assert last == [
        "1E: the nut is slack. Lock it before anything else.",
        "The input has ended.",
        "The check stays open on disk: benchtui plain quay-pump goes on with it.",
    ]
    # Gone on with: the slack nut is locked, then whether the crank has moved is asked.
    rest = "go on\ntorqued\n1\n" + SINGLE.partition("torqued\n")[2]
    again = plain(tmp_path, "quay-pump", rest)
    assert again.returncode == 0, again.stdout
    slack = again.stdout.index("1E: the nut is slack. Lock it before anything else.")
    locked = again.stdout.index("1E: locked, or torqued (by a wrench, to its figure)?")
    assert slack < locked < again.stdout.index("Has the crank been moved since you stopped?")
    assert "Filed, complete." in again.stdout
    assert len(Workshop(DataFolder(tmp_path), wall_clock).past_sessions.rows()) == 1


def test_leaving_with_a_slack_nut_wants_the_word_twice(tmp_path: Path) -> None:
    cut = BEFORE + SINGLE.partition("torqued")[0]
    once = plain(tmp_path, "quay-pump", f"{cut}leave\nlocked\nleave\n")
    assert once.returncode == 0
    open_ = "leave, once more: leave it slack and open; the engines' list says so."
    assert f"{open_}\nlocked: stay, and lock it.\n" in once.stdout
    assert once.stdout.index("the nut is slack. Lock it") < once.stdout.index("leave, once more")
    twice = plain(tmp_path / "b", "quay-pump", f"{cut}leave\nleave\n")
    assert twice.returncode == 0
    assert "stays open on disk" in twice.stdout


def test_an_empty_check_is_dropped_or_left(tmp_path: Path) -> None:
    ran = plain(tmp_path, "quay-pump", f"{BEFORE}leave\ndrop\n")
    assert ran.returncode == 0
    assert "Leave it open, or drop it? Nothing was measured." in ran.stdout
    row = Workshop(DataFolder(tmp_path), wall_clock).past_sessions.rows()[0]
    assert row.set_aside


def test_another_program_has_it_open(tmp_path: Path) -> None:
    plain(tmp_path, "quay-pump", f"{BEFORE}1 2\nf\n")
    shop = Workshop(DataFolder(tmp_path), wall_clock)
    live = shop.open_sessions.resume(shop.past_sessions.rows()[0].session)
    try:
        ran = plain(tmp_path, "quay-pump", "go on\n1\n")
    finally:
        live.release()
    assert ran.returncode == 2
    assert "Another program has this check open." in ran.stderr


def test_undo_another_valve_another_blade_a_note_and_why(tmp_path: Path) -> None:
    typed = (
        "1 2\nf\nundo\n1E\nthicker\nk\nnote pad looks dished\nwhy\nvalves\nmetal 62\n1E 0.12 s\n"
    )
    said = plain(tmp_path, "quay-pump", BEFORE + typed).stdout
    assert "Taken back, and kept as struck out: 1I: 0.06 mm free." in said
    assert "1E, exhaust, to be 0.08 to 0.12 mm." in said
    assert "1E, your own choice, 0.09: refuses S, drags D, or goes free F?" in said
    assert "Note: pad looks dished." in said
    assert "If it refuses: " in said
    assert "1I: not measured" in said
    assert "Noted, does not count: 62 C, too warm." in said


def test_signs_told_one_by_one_and_a_figure_set_on_the_figure(tmp_path: Path) -> None:
    """One printed figure, set as the handbook says: its range is that figure."""
    before = BEFORE.replace("fine-metric", "figure\nfine-metric")
    said = plain(tmp_path, "slip-winch", f"{before}1\n2\nd\n").stdout
    assert "Noted. One sign more, a different one." in said
    assert "Not taken" not in said
    assert "1I, inlet, to be 0.10 mm, on the figure." in said
    assert "1I: 0.10 goes, nothing has refused: on the figure." in said


def test_an_inch_set_takes_bare_figures_as_inches(tmp_path: Path) -> None:
    """0.010 in is 0.254 mm by definition (ISO 31-1: an inch is 25.4 mm)."""
    before = BEFORE.replace("fine-metric", "workshop-inch")
    typed = "1 2\n1E .005 s\n0.0015 free\n1E strike .005\n1E on 0.25\n"
    ran = plain(tmp_path, "quay-pump", before + typed)
    assert "1E: 0.005 in refuses, nothing has gone in" in ran.stdout
    readings = [e.fact for e in events_of(tmp_path) if type(e.fact).__name__ == "ReadingTaken"]
    assert [r.feeler.nominal.nm for r in readings] == [127_000, 38_100]  # type: ignore[union-attr]
    assert any(type(e.fact).__name__ == "ReadingStruck" for e in events_of(tmp_path))
    assert "its unit: 0.25 mm, or 0.010 in" in ran.stdout


def test_one_figure_is_asked_about_at_the_first_valve_and_never_again(tmp_path: Path) -> None:
    """Metal, hours, who, the figure, blades, what is laid in; then the cautions."""
    asks = "figure (set on it), or your own band either side, as in 0.03?"
    blank = "19\n100\nM.\n\nfine-metric\n\n" + "yes\n" * 6
    first = plain(tmp_path, "slip-winch", f"{blank}1 2\nfigure\nd\nd\nfile\nfile\n")
    assert first.returncode == 0, first.stdout + first.stderr
    assert first.stdout.count(asks) == 1
    assert "One figure only: set on the figure, or by your own band?" in first.stdout
    assert "1I is on the figure. 1E is next." in first.stdout
    # The next time it stands in the form before the check, as it was said, and is not asked again.
    kept = "19\n102\nM.\n\nfine-metric\n\nyes\n"
    second = plain(tmp_path, "slip-winch", f"{kept}1 2\nd\nd\nfile\nfile\n")
    assert second.returncode == 0, second.stdout + second.stderr
    assert "it is asked at the first valve. Empty line: on the figure." in second.stdout
    assert asks not in second.stdout
    assert "1I is on the figure. 1E is next." in second.stdout


def test_a_fault_in_the_workshops_file_is_told_before_anything_is_asked_and_holds_nothing_up(
    tmp_path: Path,
) -> None:
    (tmp_path / "workshop.toml").write_text("format = 1\n[work]\nmove = -1\n", encoding="utf-8")
    ran = plain(tmp_path, "quay-pump", BEFORE)
    wrong = "workshop.toml:3: work.move: found -1; wanted a number from 0 to 100"
    said = " ".join(ran.stdout.split())
    assert wrong in said
    assert said.index(wrong) < said.index("?")
    assert list((tmp_path / "sessions").iterdir()), "the check has begun"
