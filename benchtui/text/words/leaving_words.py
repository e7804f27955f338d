"""Leaving the bench, in words: the same at the bench and in plain lines."""

from __future__ import annotations

from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.leaving import Leave, Leaving
from benchtui.domain.session.next_step.nut_slack import lock_first
from benchtui.text.words.told import told

_WORDS = {
    Leave.LOCK: "stay, and lock it",
    Leave.OPEN: "leave it open, to go on with it",
    Leave.CLOSE: "close up, and file it",
    Leave.DROP: "drop this check, in which nothing was measured: it is shown nowhere",
    Leave.STAY: "stay at the bench",
}
_LEFT_SLACK = "leave it slack and open; the engines' list says so"


def slack_words(state: State, leaving: Leaving) -> str:
    """The slack nut, said before anything else; empty where every nut is tight."""
    if not leaving.slack:
        return ""
    return told(lock_first(state, leaving.slack[0]), state).sentence


def leaving_question(state: State, leaving: Leaving) -> str:
    """What is asked, the ways being these: the slack nut, else whether it is left open."""
    if Leave.DROP in leaving.ways:
        return "Leave it open, or drop it? Nothing was measured."
    filed = "file it in part" if leaving.missing else "file it"
    return slack_words(state, leaving) or f"Leave it open, or {filed}?"


def leave_words(way: Leave, leaving: Leaving) -> str:
    """What this way of leaving does."""
    if way is Leave.CLOSE and leaving.missing:
        return "close up, and file it in part: no check"
    return _LEFT_SLACK if way is Leave.OPEN and leaving.slack else _WORDS[way]
