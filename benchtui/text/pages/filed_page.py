"""What a session comes to once it is filed: what was done, what lacks, what was set, what comes next."""

from __future__ import annotations

from benchtui.domain.history.due import Due
from benchtui.domain.session.facts.events import AfterStep
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.whole.completeness import (
    spot_asked,
    torques_asked,
    unticked,
    work_left,
)
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.text.pages.engine_glance import told_counter
from benchtui.text.quantities.show import date, distance, short_date
from benchtui.text.words.due_words import hours_before

DOUBT = "In doubt about what was found, ask a qualified mechanic."

Done = tuple[bool, str]
"""Whether it was done, and in a few words what."""

_LATER = {AfterStep.FIRST_RUN: "first run", AfterStep.NO_LEAKS: "no leaks"}


def filed_tall(record: SessionRecord) -> str:
    """The one word: ``FILED``, ``PARTIAL``, ``NOT KEPT``."""
    if record.practice:
        return "NOT KEPT"
    return "FILED" if record.complete else "PARTIAL"


def filed_title(record: SessionRecord) -> str:
    """``1 June 2026, M., 458 h``."""
    told = [date(record.started.date()), record.who, told_counter(record)]
    return ", ".join(part for part in told if part)


def done_lines(state: State, record: SessionRecord) -> tuple[Done, ...]:
    """Whether it counts, then what lacks by name, then what was done and what nobody told."""
    if record.practice:
        return ((True, "practice: no file is written"), (True, "it counts as no check"))
    if record.complete:
        lines = [(True, "complete: counts as a check")]
    else:
        lines = [(False, "does not count as a check")]
        lines += [(False, lack) for lack in record.missing]
    again = [name for name, valve in state.valves.items() if valve.spot]
    if again:
        lines.append((True, f"{', '.join(again)} tried again, as left"))
    elif spot_asked(state):
        lines.append((False, "no valve tried again"))
    every, left = len(torques_asked(state)), len(unticked(state))
    if every:
        plural = "torque" if every == 1 else "torques"
        told = f"{every} {plural}" if not left else f"{every - left} of {every} {plural} ticked"
        lines.append((not left, told))
    lines += [
        (came >= went, f"{came} of {went} {item} out") for item, (went, came) in state.tally.items()
    ]
    lines += [(False, f"not ticked: {line}") for line in work_left(state)]
    lines += [
        (step in state.after, word if step in state.after else f"{word}: not told")
        for step, word in _LATER.items()
    ]
    return tuple(lines)


def next_tall(due: Due | None, *, counts: bool) -> str:
    """``NEXT 1 DEC 2026``; by the counter where no day is known: ``NEXT 558 H``.

    After a check that does not count it is ``DUE``: what was due before it still is.
    """
    if due is None:
        return "NO INTERVAL"
    word = "NEXT" if counts else "DUE"
    if due.date is not None:
        return f"{word} {short_date(due.date).upper()}"
    counter = _counter(due).upper()
    return f"{word} {counter}" if counter else "COUNTER?"


def next_line(due: Due | None, *, counts: bool) -> str:
    """``or at 558 h if that comes first: 6 months after the last check.``."""
    if due is None:
        return "Its sheet gives no interval between two checks."
    if not counts:
        return f"As before: {next_line(due, counts=True)}"
    counter = _counter(due)
    told = [f"or at {counter} if that comes first"] if counter and due.date is not None else []
    if due.date is None and not counter:
        told.append("no counter was read to count from")
    if due.date is not None and due.foretold:
        told.append("the day is foretold from its use")
    return f"{'; '.join(told)}{': ' if told else ''}{due.reason}."


def _counter(due: Due) -> str:
    if due.at_hours is not None:
        return hours_before(due.at_hours)
    return "" if due.at_km is None else distance(due.at_km)
