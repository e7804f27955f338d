"""Writing the one-page card from any screen that shows a session."""

from __future__ import annotations

from benchtui.domain.errors import BenchError
from benchtui.tui.frame import WorkScreen


def write_card(screen: WorkScreen, session: str) -> None:
    """Write it and say where it lies."""
    try:
        path = screen.program.workshop.write_card(session)
    except BenchError as error:
        screen.say(str(error), alarm=True)
        return
    screen.say(f"The card is written: {path}")
