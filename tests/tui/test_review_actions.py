"""Every command that the table names for a review screen is there on the screen."""

from __future__ import annotations

import pytest

from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import commands_for
from benchtui.tui.screens.blades import BladesScreen
from benchtui.tui.screens.compare import CompareScreen
from benchtui.tui.screens.session import SessionScreen
from benchtui.tui.screens.sessions import SessionsScreen
from benchtui.tui.screens.wear import WearScreen


@pytest.mark.parametrize(
    "screen", [SessionsScreen, SessionScreen, CompareScreen, WearScreen, BladesScreen]
)
def test_every_action_exists(screen: type[WorkScreen]) -> None:
    for command in commands_for(screen.SCREEN):
        assert callable(getattr(screen, f"action_{command.id}", None)), command.id
