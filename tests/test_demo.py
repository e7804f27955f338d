from __future__ import annotations

import subprocess
import sys
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from benchtui.commands.demo import AS_OF, lay_out, play_history, scripts_of_history
from benchtui.commands.program import NO_TERMINAL
from benchtui.domain.history.engine_trend import outlook
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.steps.fold import fold
from benchtui.script_session import Keep, Playing, script_of_file
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.workshop import Workshop

TODAY = date(2031, 3, 9)


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    folder = DataFolder(tmp_path_factory.mktemp("demo"))
    play_history(folder, TODAY)
    return Workshop(folder, wall_clock)


@pytest.mark.parametrize(
    "path", [*scripts_of_history(), shipped_specs() / "demo" / "show.txt"], ids=lambda p: p.stem
)
def test_no_step_of_the_demo_is_refused(path: Path, tmp_path: Path) -> None:
    folder = DataFolder(tmp_path)
    playing = Playing(script_of_file(path, folder), folder, keep=Keep.NOTHING)
    refused = [str(p.refused) for p in playing.steps() if p.refused is not None]
    assert refused == []


def test_two_years_over_five_engines_and_more(workshop: Workshop) -> None:
    rows = workshop.past_sessions.rows()
    assert len(rows) >= 10
    assert len({row.engine for row in rows}) >= 5
    days = [row.started.date() for row in rows]
    assert 700 <= (max(days) - min(days)).days <= 760
    assert not any(row.damage for row in rows)


def test_the_history_ends_today_whenever_today_is(workshop: Workshop) -> None:
    latest = max(row.started.date() for row in workshop.past_sessions.rows())
    written = max(date.fromisoformat(p.stem[:10]) for p in scripts_of_history())
    assert TODAY - latest == AS_OF - written


def test_each_script_is_named_after_its_day_and_engine(tmp_path: Path) -> None:
    for path in scripts_of_history():
        script = script_of_file(path, DataFolder(tmp_path))
        assert f"{script.day}-{script.sheet.key}" == path.stem


def test_the_history_holds_what_a_review_needs(workshop: Workshop) -> None:
    rows = workshop.past_sessions.rows()
    assert any(row.closed and not row.complete for row in rows), "a partial session"
    assert [row.engine for row in workshop.past_sessions.unfinished()] == ["dredge-lift"]
    records = [
        r for engine in {row.engine for row in rows} for r in workshop.past_sessions.records(engine)
    ]
    valves = [valve for record in records for valve in record.valves]
    assert any(valve.struck for valve in valves), "a struck reading"
    assert any(valve.shim_found != valve.shim_left for valve in valves), "a shim changed"
    assert any(shift.one_sided for record in records for shift in record.shifts)


def test_a_locknut_that_moved_its_screw_was_set_again(workshop: Workshop) -> None:
    row = min(
        (row for row in workshop.past_sessions.rows() if row.engine == "mole-crane"),
        key=lambda r: r.started,
    )
    state = fold(workshop.past_sessions.past(row.session).events)
    kinds = [stage.kind for stage in state.valves["FE"].stages]
    assert kinds.count(StageKind.LOCKED) == 2


def test_a_valve_closes_up_over_the_years(workshop: Workshop) -> None:
    highs = []
    for record in workshop.past_sessions.records("quay-pump"):
        left = next(v.left for v in record.valves if v.name == "1E")
        assert left is not None
        assert left.bracket.high is not None
        highs.append(left.bracket.high)
    assert len(highs) >= 4
    assert highs == sorted(highs, reverse=True)
    assert highs[-1] < highs[0]


def run(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "benchtui", *arguments]
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        cwd=cwd,
        stdin=subprocess.DEVNULL,
        timeout=60,
        check=False,
    )


def test_without_a_terminal_the_demo_prints_its_session_and_card(tmp_path: Path) -> None:
    done = run("demo", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "no terminal" in done.stdout.splitlines()[0]
    assert "1E strike 0.03" in done.stdout
    assert "REFUSED" not in done.stdout
    assert "Quay pump: valve clearances" in done.stdout
    assert list(tmp_path.iterdir()) == []


def test_without_a_terminal_the_program_says_so_in_one_line(tmp_path: Path) -> None:
    done = run("--data", str(tmp_path / "data"), cwd=tmp_path)
    assert (done.returncode, done.stdout) == (NO_TERMINAL, "")
    assert len(done.stderr.splitlines()) == 1
    assert "no terminal" in done.stderr
    assert "replay" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_the_first_screen_and_the_records_agree_on_what_is_due(tmp_path: Path) -> None:
    """The register keeps what the records say of wear; read anew they say the same."""
    folder = DataFolder(tmp_path / "data")
    lay_out(folder)
    play_history(folder, date(2026, 6, 1))
    workshop = Workshop(folder, lambda: datetime(2026, 6, 1, 9, tzinfo=UTC))
    sheets = [engine.sheet for engine in workshop.engines.owned() if engine.sheet is not None]
    from_records = {
        s.key: outlook(s, workshop.past_sessions.records(s.key), date(2026, 6, 1)) for s in sheets
    }
    assert {s.key: workshop.reviews.due(s) for s in sheets} == from_records
    assert any(due is not None and due.date is not None for due in from_records.values())
