"""Leaving the engine: a check in which nothing was measured is dropped by one question."""

from __future__ import annotations

from collections.abc import Callable

from benchtui.domain.session.facts.commands import LayAside
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.completeness import NOTHING_DONE, anything_done
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen


def leave_session(screen: WorkScreen, away: Callable[[], None]) -> None:
    """Go ``away`` from the session in hand; of an empty one it is asked first what becomes of it."""
    live = screen.program.live
    if live is None or live.read_only or not _empty(live.bench.state):
        away()
        return

    def answered(key: str | None) -> None:
        if key == "d" and not screen.do(LayAside(NOTHING_DONE)):
            return
        if key is not None:
            session = live.session
            away()
            screen.program.workshop.store(session)

    answers = {"d": "drop this check: it is shown nowhere", "k": "leave it open, to go on with it"}
    screen.app.push_screen(Choose("Nothing was measured in this check.", answers), answered)


def _empty(state: State) -> bool:
    ended = state.closed is not None or state.aside is not None
    return not (ended or state.opened.practice or anything_done(state))
