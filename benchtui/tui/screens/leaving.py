"""Leaving the engine: stay, close up, or leave it open; a slack nut is said first."""

from __future__ import annotations

from benchtui.domain.session.facts.events import SetAside
from benchtui.domain.session.next_step.leaving import Leave, on_leaving
from benchtui.domain.session.whole.completeness import NOTHING_DONE
from benchtui.text.words.leaving_words import leave_words, leaving_question, slack_words
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import CLOSING


def ask_to_leave(bench: WorkScreen) -> None:
    """What ``on_leaving`` offers, its first at Enter."""
    live = bench.program.live
    if live is None or live.read_only or live.bench.state.closed is not None:
        _away(bench)
        return
    state = live.bench.state
    leaving = on_leaving(state)

    def answered(key: str | None) -> None:
        if key == Leave.CLOSE.value:
            bench.program.open(CLOSING)
        elif key == Leave.OPEN.value or (
            key == Leave.DROP.value and bench.do(SetAside(NOTHING_DONE))
        ):
            _away(bench)
            if Leave.DROP in leaving.ways:
                bench.program.workshop.past_sessions.store(live.session)

    answers = {way.value: leave_words(way, leaving) for way in leaving.ways}
    question = leaving_question(state, leaving)
    bench.app.push_screen(Choose(question, answers, enter=leaving.ways[0].value), answered)


async def ask_to_end(screen: WorkScreen) -> None:
    """End the program; while a check is open it asks first."""
    live = screen.program.live
    if live is None or live.read_only:
        await screen.program.action_quit()
        return

    async def answered(key: str | None) -> None:
        if key == "end":
            await screen.program.action_quit()

    state = live.bench.state
    question = slack_words(state, on_leaving(state)) or "A check is open."
    answers = {"stay": "stay here", "end": "end the program; the check stays open"}
    screen.app.push_screen(Choose(question, answers, enter="stay"), answered)


def _away(bench: WorkScreen) -> None:
    bench.dismiss(None)
    bench.program.let_go()
