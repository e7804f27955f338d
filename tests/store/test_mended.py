"""A damaged session is gone on with from its sound part, in a file of its own; the clock is told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.domain.errors import Unable
from benchtui.domain.session.facts.events import Noted
from benchtui.domain.session.steps.fold import fold
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop
from tests.harness.bench_of import AT, begun, say


def stored(folder: Path, times: list[datetime]) -> Workshop:
    """One session with three notes, its steps at these times."""
    at = iter(times)
    journal, bench = begun(folder, lambda: next(at))
    for text in ("one", "two", "three"):
        say(bench, text)
    journal.close()
    return Workshop(DataFolder(folder), lambda: AT + timedelta(hours=1))


def steady() -> list[datetime]:
    return [AT + timedelta(seconds=n) for n in range(10)]


def test_the_sound_part_goes_on_in_a_file_that_says_so(tmp_path: Path) -> None:
    shop = stored(tmp_path, steady())
    path = tmp_path / "sessions" / "one.session"
    lines = path.read_bytes().splitlines(keepends=True)
    damaged = b"".join([*lines[:3], b"0000" + lines[3][4:]])
    path.write_bytes(damaged)
    name = shop.open_sessions.mend("one")
    assert name != "one"
    assert path.read_bytes() == damaged, "the damaged file stays as it is"
    rows = {row.session: row for row in shop.past_sessions.rows()}
    assert rows["one"].damage
    assert not rows[name].damage
    live = shop.open_sessions.resume(name)
    live.bench.do(Noted("four"))
    live.release()
    notes = [n.text for n in fold(shop.past_sessions.past(name).events).notes]
    assert notes[:2] == ["one", "two"]
    assert "gone on from the sound part of one" in notes[2]
    assert "line 4" in notes[2]
    assert notes[3] == "four"


def test_a_sound_session_is_not_mended(tmp_path: Path) -> None:
    shop = stored(tmp_path, steady())
    with pytest.raises(Unable, match="not damaged"):
        shop.open_sessions.mend("one")
    assert len(list((tmp_path / "sessions").iterdir())) == 1


def test_a_clock_set_back_in_the_middle_is_told(tmp_path: Path) -> None:
    times = steady()
    times[2] -= timedelta(hours=3, minutes=1)
    (said,) = stored(tmp_path, times).reviews.clock_doubts()
    assert "set back by 3 hours before step 3" in said


def test_a_check_dated_ahead_is_told_and_due_says_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ahead = datetime.now(UTC).replace(microsecond=0) + timedelta(days=400)
    stored(tmp_path, [ahead + timedelta(seconds=n) for n in range(10)])
    main(["--data", str(tmp_path), "due"])
    assert "which is still to come" in capsys.readouterr().err


def test_a_steady_clock_says_nothing(tmp_path: Path) -> None:
    assert stored(tmp_path, steady()).reviews.clock_doubts() == ()
