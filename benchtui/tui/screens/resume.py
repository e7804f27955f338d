"""Going on with a session that was not closed."""

from __future__ import annotations

from benchtui.domain.errors import BenchError
from benchtui.domain.session.commands import Pause, Resume
from benchtui.domain.session.events import Crank
from benchtui.tui.frame import WorkScreen
from benchtui.tui.screens.before import BeforeScreen, still_to_tick

_CRANK = {"1": Crank.UNMOVED, "2": Crank.MOVED, "3": Crank.UNSURE}


def go_on(screen: WorkScreen, session: str, answer: str) -> None:
    """Open the session where it stopped; ``answer`` says whether the crank has moved.

    A program that was killed left no pause behind: the gap is recorded now.
    """
    program = screen.program
    try:
        live = program.workshop.resume(session)
        if not live.read_only:
            if not live.bench.state.paused:
                live.bench.do(Pause())
            live.bench.do(Resume(_CRANK[answer]))
    except BenchError as error:
        screen.say(str(error), alarm=True)
        return
    program.begin(live)
    if not live.read_only and still_to_tick(live.bench.state):
        program.push_screen(BeforeScreen())
    if live.read_only:
        program.notify(
            "Open in another program: here it can only be looked at.", severity="warning"
        )
