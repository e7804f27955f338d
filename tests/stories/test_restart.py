"""Story 6 with a real restart: the file is what is left, and the bench stands where it stood."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from benchtui.bench import Bench
from benchtui.domain.session.facts.commands import Undo
from benchtui.domain.session.facts.events import Crank, Paused, Resumed
from benchtui.domain.session.next_step.kinds import TryBlade
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.replay_script import command_of, load_script
from benchtui.script_session import Keep, Playing
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.text.reading.script import parse_script
from benchtui.workshop import Workshop
from tests.asking import advise

STORY = Path(__file__).parent / "data" / "scripts" / "6-the-van-on-a-cold-evening.txt"
FIRST, _, SECOND = STORY.read_text(encoding="utf-8").partition("pause ")
SECOND = SECOND.partition("resume unmoved\n")[2]


@pytest.fixture
def folder(story_data: Path) -> DataFolder:
    return DataFolder(story_data)


def keep(text: str, folder: DataFolder) -> str:
    """Plays a script and keeps it, as a program would that was then killed; the session's id."""
    script = load_script(text, "story", Workshop(folder, wall_clock).engines)
    playing = Playing(script, folder, keep=Keep.WHOLE)
    refused = [played.refused for played in playing.steps() if played.refused is not None]
    assert refused == []
    assert playing.bench is not None
    return playing.bench.state.opened.session


def go_on(bench: Bench, text: str) -> SessionRecord:
    for step in parse_script(text, "story"):
        bench.do(command_of(step.deed, bench.state.opened.blades))
    return record_of(bench.state)


def same_engine(record: SessionRecord) -> tuple[object, ...]:
    return replace(record, session="", started=record.ended).valves, record.complete, record.missing


@pytest.mark.parametrize("torn", [b"", b"0badc0de", b"0123456789abcdef {"])
def test_after_a_kill_the_second_half_gives_what_one_evening_would_have(
    folder: DataFolder, torn: bytes
) -> None:
    whole = record_of(
        fold(
            Workshop(folder, wall_clock).past_sessions.past(keep(STORY.read_text(), folder)).events
        )
    )

    session = keep(FIRST + "3E 0.25 refuses\n", folder)
    path = folder.sessions / f"{session}.session"
    path.write_bytes(path.read_bytes() + torn)

    workshop = Workshop(folder, wall_clock)
    assert session in [row.session for row in workshop.past_sessions.unfinished()]
    live = workshop.open_sessions.resume(session)
    bench = live.bench
    assert bench.state.last_valve == "3E"
    advice = advise(bench.state, bench.look("3E"))
    assert isinstance(advice, TryBlade)
    assert str(advice.feeler) == "0.15 mm"  # the exact blade that was asked for
    bench.do(Paused())
    bench.do(Resumed(Crank.UNMOVED))
    left = go_on(bench, SECOND.replace("3E 0.25 refuses\n", "", 1))
    live.release()
    workshop.past_sessions.store(session)

    assert same_engine(left) == same_engine(whole)
    assert left.complete
    assert workshop.past_sessions.records("four-in-line")[-1].valves == left.valves
    assert session not in [row.session for row in workshop.past_sessions.unfinished()]


def test_undo_after_the_restart_takes_back_the_last_reading(folder: DataFolder) -> None:
    session = keep(FIRST + "3E 0.25 refuses\n", folder)
    live = Workshop(folder, wall_clock).open_sessions.resume(session)
    live.bench.do(Undo())
    assert live.bench.look("3E").readings == ()
    assert len(live.bench.look("2I").readings) == 2
    live.release()


def test_while_one_program_writes_the_second_may_only_look(folder: DataFolder) -> None:
    session = keep(FIRST, folder)
    first = Workshop(folder, wall_clock).open_sessions.resume(session)
    second = Workshop(folder, wall_clock).open_sessions.resume(session)
    assert (first.read_only, second.read_only) == (False, True)
    first.release()


def test_a_kept_replay_is_found_by_the_next_program(story_data: Path) -> None:
    command = [sys.executable, "-m", "benchtui", "--data", str(story_data), "replay"]
    command += [str(STORY), "--json", "--keep"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    session = json.loads(done.stdout.splitlines()[-1])["summary"]["session"]
    rows = Workshop(DataFolder(story_data), wall_clock).past_sessions.rows()
    assert [(row.session, row.complete) for row in rows] == [(session, True)]
    assert rows[0].verdicts == "6 in, 1 tight, 1 wide -> 8 in"
