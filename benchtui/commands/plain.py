"""``benchtui plain ENGINE``: a check in plain lines, for a screen reader, a serial line, speech, a pipe."""

from __future__ import annotations

import sys
from io import TextIOWrapper

from benchtui.commands.folder import folder_to_fill
from benchtui.domain.errors import BenchError, Unable
from benchtui.domain.session.facts.events import Paused
from benchtui.domain.session.steps.decide import check_sheet
from benchtui.domain.session.whole.record import record_of
from benchtui.plain.before import Form, InputEnded
from benchtui.plain.session import Talk
from benchtui.store.clock import wall_clock
from benchtui.text.quantities.show import date as day_words
from benchtui.text.quantities.show import inert
from benchtui.text.words.bracket_words import bracket_words
from benchtui.text.words.clock_words import clock_lines
from benchtui.text.words.due_words import due_sentence
from benchtui.text.words.valve_words import verdict_words
from benchtui.workshop import LiveSession, Workshop, due_after

INPUT_ENDED = 1
"""Exit status where the input ended before the check was filed or left."""


def run_plain(data: str | None, engine: str) -> int:
    """Talk a check of this engine through, a new one or the one that was left open.

    Raises:
        BenchError: there is no such engine, or its check cannot be begun or gone on with.
    """
    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(errors="backslashreplace")
    workshop = Workshop(folder_to_fill(data), wall_clock)
    sheet = workshop.engines.sheet(workshop.engines.sheet_key(engine))
    check_sheet(sheet)
    try:
        live = _gone_on(workshop, sheet.key) or Form(workshop, sheet, say, read).begin()
    except InputEnded:
        say("The input has ended. Nothing was begun.")
        return INPUT_ENDED
    answered = False
    try:
        answered = Talk(live, say, read).run()
        say("" if answered else "The input has ended.")
    finally:
        told = live.release()
        state = live.bench.state
        if state.closed is None and state.aside is None:
            say(f"The check stays open on disk: benchtui plain {sheet.key} goes on with it.")
        if told:
            say(told)
    workshop.past_sessions.store(live.session)
    if not answered:
        return INPUT_ENDED
    if state.closed is not None:
        _say_filed(workshop, live)
    return 0


def say(text: str) -> None:
    """One line, at once; nothing of it can steer a terminal. An empty one is left out."""
    if text:
        print(inert(text), flush=True)


def read() -> str | None:
    """One line typed; None at the end of the input."""
    line = sys.stdin.readline()
    return line or None


def _gone_on(workshop: Workshop, engine: str) -> LiveSession | None:
    """The check of this engine that was left open, if it is to be gone on with."""
    row = next(
        (r for r in workshop.past_sessions.unfinished() if r.engine == engine and r.counts), None
    )
    if row is None:
        return None
    while True:
        say(f"The check of {day_words(row.started.date())} was not closed.")
        say("go on with it, or new: begin another?")
        line = read()
        if line is None:
            raise InputEnded
        if line.strip().lower() == "new":
            return None
        if line.strip().lower() in ("go on", "go", "on"):
            break
    live = workshop.open_sessions.resume(row.session)
    if live.read_only:
        raise Unable("Another program has this check open.", "Close it there first.")
    say(live.told)
    try:
        if not live.bench.state.paused:  # a program that was killed left none behind
            live.bench.do(Paused())
    except BenchError:
        live.release()
        raise
    for words in clock_lines(live.bench.events[-2:]):
        say(words)
    return live


def _say_filed(workshop: Workshop, live: LiveSession) -> None:
    """What was found and left at each valve, when the next check is due, and where the card is."""
    state = live.bench.state
    record = record_of(state)
    say("Filed, complete." if record.complete else "Filed in part: it does not count as a check.")
    for valve in record.valves:
        if valve.left is None:
            say(f"{valve.name}: not measured.")
        else:
            left = f"{bracket_words(valve.left.bracket)}, {verdict_words(valve.left.verdict)}"
            say(f"{valve.name}: left {left}.")
    due = due_after(record, state.opened.sheet, workshop.clock())
    say("" if due is None else f"Next check: {due_sentence(due)}")
    say(f"Card: {workshop.reviews.write_card(live.session)}")
