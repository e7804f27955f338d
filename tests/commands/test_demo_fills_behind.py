"""The demo's first picture waits for nothing: its history is filled in behind it, and can be left."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from benchtui.commands.demo import AS_OF, lay_out, play_history, scripts_of_history
from benchtui.store.paths import DataFolder
from benchtui.tui.app import BenchApp
from benchtui.tui.screens.home import HomeScreen
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import seen, settled

TODAY = datetime(AS_OF.year, AS_OF.month, AS_OF.day, 9, tzinfo=UTC)


async def test_the_engines_stand_there_before_any_session_and_the_history_follows(
    tmp_path: Path,
) -> None:
    folder = DataFolder(tmp_path)
    lay_out(folder)
    seen_before: list[str] = []
    told_of: list[tuple[int, int]] = []

    def fill(stop: object, told: object) -> None:
        del stop, told
        seen_before.append(seen(app))
        play_history(folder, date(2026, 6, 1), told=lambda n, of: told_of.append((n, of)))

    app = BenchApp(Workshop(folder, lambda: TODAY), filling=fill, demo=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "Quay pump" in seen_before[0]
        assert "DEMO" in seen_before[0]
        assert told_of[0] == (0, len(scripts_of_history()))
        assert isinstance(app.screen, HomeScreen)
        assert "last check" in seen(app)
        assert "not closed" in seen(app)


def test_left_early_it_stops_before_the_next_session(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path)
    lay_out(folder)
    asked: list[bool] = []

    def stop() -> bool:
        asked.append(True)
        return len(asked) > 2

    play_history(folder, AS_OF, stop=stop)
    assert len(list(folder.sessions.glob("*.session"))) == 2
