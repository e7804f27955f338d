"""Leaving the engine: stay, close up, or leave it open; a slack nut is said first."""

from __future__ import annotations

from benchtui.domain.session.facts.events import SetAside
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.heard import on_leaving
from benchtui.domain.session.next_step.kinds import LockIt, LockWhy
from benchtui.domain.session.whole.completeness import NOTHING_DONE, anything_done
from benchtui.text.words.told import told
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import CLOSING

_STAY = "stay at the bench"
_OPEN = "leave it open, to go on with it"
_SLACK = "leave it slack and open; the engines' list says so"
_DROP = "drop this check, in which nothing was measured: it is shown nowhere"


def ask_to_leave(bench: WorkScreen) -> None:
    """Stay, close up or leave it open; what was measured in a check of no reading is nothing to keep."""
    live = bench.program.live
    if live is None or live.read_only or live.bench.state.closed is not None:
        _away(bench)
        return
    empty = _empty(live.bench.state)
    slack = _slack_words(live.bench.state)
    answers = {
        "stay": _STAY,
        "close": "close up, and file it",
        "open": _SLACK if slack else _OPEN,
        **({"drop": _DROP} if empty else {}),
    }

    def answered(key: str | None) -> None:
        if key == "close":
            bench.program.open(CLOSING)
        elif key == "open" or (key == "drop" and bench.do(SetAside(NOTHING_DONE))):
            _away(bench)
            if empty:
                bench.program.workshop.past_sessions.store(live.session)

    question = slack or "Leave the bench?"
    bench.app.push_screen(Choose(question, answers, enter="stay"), answered)


async def ask_to_end(screen: WorkScreen) -> None:
    """End the program; while a check is open it asks first."""
    live = screen.program.live
    if live is None or live.read_only:
        await screen.program.action_quit()
        return

    async def answered(key: str | None) -> None:
        if key == "end":
            await screen.program.action_quit()

    question = _slack_words(live.bench.state) or "A check is open."
    answers = {"stay": "stay here", "end": "end the program; the check stays open"}
    screen.app.push_screen(Choose(question, answers, enter="stay"), answered)


def _away(bench: WorkScreen) -> None:
    bench.dismiss(None)
    bench.program.let_go()


def _slack_words(state: State) -> str:
    slack = on_leaving(state).slack
    if not slack:
        return ""
    return told(LockIt(slack[0], slack, LockWhy.LEFT_SLACK), state).sentence


def _empty(state: State) -> bool:
    ended = state.closed is not None or state.aside is not None
    return not (ended or state.opened.practice or anything_done(state))
