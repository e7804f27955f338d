"""The first screen: what is read is told, open checks stay within reach."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchtui.store import register
from benchtui.tui.screens.home import HomeScreen
from tests.tui.kept_sessions import program, pump_years, seen


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return pump_years(tmp_path / "data")


async def test_how_far_the_reading_is_stands_there_until_all_is_shown(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(data / "register")
    monkeypatch.setattr(register, "TOLD_EVERY", 2)
    said: list[str] = []
    plain_say = HomeScreen.say

    def say(self: HomeScreen, text: str, *, alarm: bool = False) -> None:
        said.append(text)
        plain_say(self, text, alarm=alarm)

    monkeypatch.setattr(HomeScreen, "say", say)
    async with program(data) as (app, _):
        assert "Reading the stored sessions: 2 of 6." in said
        assert said[-1] == ""
        assert "Reading" not in seen(app)
