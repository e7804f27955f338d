"""``benchtui`` by itself: the program on the screen."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from benchtui.commands.folder import folder_to_fill
from benchtui.store.paths import DataFolder

if TYPE_CHECKING:  # the first picture waits for nothing that it does not need
    from benchtui.tui.app import Filling

NO_TERMINAL = 2
"""Exit status where the program was asked for and there is no terminal."""


def run_program(data: str | None) -> int:
    """Open the program on a data folder; without a terminal say so and point at the other commands."""
    if not on_a_terminal():
        print(
            "benchtui: there is no terminal to draw on; try benchtui demo, replay, sheet, due, card or "
            "export, or benchtui --help",
            file=sys.stderr,
        )
        return NO_TERMINAL
    return open_program(folder_to_fill(data))


def on_a_terminal() -> bool:
    """Whether there are a keyboard and a screen, here or behind a page that is drawn elsewhere."""
    drawn_elsewhere = bool(os.environ.get("TEXTUAL_DRIVER"))
    return drawn_elsewhere or (sys.stdin.isatty() and sys.stdout.isatty())


def open_program(folder: DataFolder, filling: Filling | None = None, *, demo: bool = False) -> int:
    """Run the program on the screen until it is left; its exit status.

    ``filling`` fills the folder behind the first picture.
    """
    from benchtui.store.clock import wall_clock
    from benchtui.titles import shop_front
    from benchtui.tui.app import BenchApp
    from benchtui.tui.themes import few_colours

    app = BenchApp(
        shop_front(folder, wall_clock), filling=filling, demo=demo, few_colours=few_colours()
    )
    status = app.run()
    return (app.return_code or 0) if status is None else status
