"""``benchtui demo``: the program on invented data in a throw-away folder."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

from benchtui.commands.demo_folder import throw_away_folder
from benchtui.commands.program import on_a_terminal, open_program
from benchtui.store.clock import wall_clock
from benchtui.store.modes import make_folder
from benchtui.store.paths import DataFolder, shipped_specs

AS_OF = date(2026, 6, 1)
"""The day on which the written-down history ends. It is played as though that were today, so that
what is due in the demo stays as it was meant."""

SHOW = "show.txt"
"""The session that is played where there is no terminal; no part of the history."""


def run_demo() -> int:
    """Open the program on two years of the harbour's workshop; without a terminal, play one session."""
    with throw_away_folder() as path:
        folder = DataFolder(path)
        if not on_a_terminal():
            return show(folder)
        lay_out(folder)

        def fill(stop: Callable[[], bool], told: Callable[[int, int], None]) -> None:
            play_history(folder, wall_clock().date(), stop=stop, told=told)

        return open_program(folder, fill, demo=True)


def lay_out(folder: DataFolder) -> None:
    """Put the demo's engines and blades into its folder: there they are the demo's own.

    Copied, not written so that they outlive a power cut: the folder is thrown away, and the first
    picture waits for them.

    Raises:
        OSError: the folder cannot be written.
    """
    for shipped, into in (
        (shipped_specs(), folder.sheets),
        (shipped_specs() / "blades", folder.blades),
    ):
        make_folder(into)
        for path in sorted(shipped.glob("*.toml")):
            shutil.copyfile(path, into / path.name)


def scripts_of_history() -> list[Path]:
    """The sessions of the demo's two years, oldest first."""
    return sorted(p for p in (shipped_specs() / "demo").glob("*.txt") if p.name != SHOW)


def play_history(
    folder: DataFolder,
    today: date,
    *,
    stop: Callable[[], bool] = lambda: False,
    told: Callable[[int, int], None] | None = None,
) -> None:
    """Play the history into a data folder, moved in time so that it ends today.

    ``told`` is told so many of so many before each session; the play ends early once ``stop`` says so.

    Raises:
        BenchError: the folder cannot be written.
    """
    from benchtui.script_session import Keep, Playing, script_of_file  # behind the first picture

    later = today - AS_OF
    scripts = scripts_of_history()
    for count, path in enumerate(scripts):
        if stop():
            return
        if told is not None:
            told(count, len(scripts))
        script = script_of_file(path, folder)
        moved = replace(script, day=None if script.day is None else script.day + later)
        for _ in Playing(moved, folder, keep=Keep.WHOLE).steps():
            pass


def show(folder: DataFolder) -> int:
    """Play the demo session, its steps and its card printed; nothing is stored."""
    from benchtui.commands.replay import plain_step, print_steps
    from benchtui.domain.session.whole.record import record_of
    from benchtui.script_session import Keep, Playing, script_of_file
    from benchtui.text.pages.session_page import card_page
    from benchtui.workshop import due_after

    print(
        "There is no terminal here, so this is one session of the demo, step by step.", flush=True
    )
    print()
    script = script_of_file(shipped_specs() / "demo" / SHOW, folder)
    playing = Playing(script, folder, keep=Keep.NOTHING)
    print_steps(playing, plain_step)
    if playing.bench is not None:
        state = playing.bench.state
        due = due_after(record_of(state), script.sheet, playing.clock())
        print(f"\n{card_page(playing.bench.events, due, '', (), 'text')}")
    sys.stdout.flush()
    return 0
