"""When a check is due: short for a list, and in a sentence with the reason."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from math import floor

from benchtui.domain.history.due import Due
from benchtui.domain.history.left_out import left_out_words
from benchtui.domain.history.limits import By, WearLook, counted_words
from benchtui.domain.history.usage import Meter
from benchtui.text.quantities.show import date, distance, hours, short_date

_IN_DAYS = 60
_DAYS_A_WEEK = 7


def due_sign(due: Due | None) -> str:
    """The shape before an engine's name: ``!!`` overdue, ``!`` soon, ``?`` cannot be told, else blank."""
    if due is None:
        return ""
    if due.overdue is None:
        return "?"
    return "!!" if due.overdue else "!" if due.soon else ""


def due_short(due: Due | None, today: dt.date) -> str:
    """For a column: ``OVERDUE by 4 days``, ``SOON: in 37 days``, ``in 19 weeks, or at 85 110 km``."""
    if due is None:
        return "no interval given"
    if not due.limits or all(limit.passed is None for limit in due.limits):
        return "not known: no check yet"
    if due.overdue:
        return f"OVERDUE {_overdue_by(due, today)}"
    when = _when(due, today)
    if due.overdue is None:
        return f"PERHAPS OVERDUE, {when}"
    return f"SOON: {when}" if due.soon else when


def due_by(due: Due | None) -> str:
    """For a column: ``20 Aug 2026, 24 000 km``, as far as it is known; ``about`` where foretold."""
    if due is None:
        return ""
    about = "about " if due.foretold else ""
    day = "" if due.date is None else about + short_date(due.date)
    return ", ".join(part for part in (day, _counter(due)) if part)


def _overdue_by(due: Due, today: dt.date) -> str:
    dated = [x for x in due.limits if x.passed and x.on is not None and x.by is By.MONTHS]
    if dated:
        return f"by {_span((today - min(x.on for x in dated if x.on is not None)).days)}"
    passed = next((x for x in due.limits if x.passed and x.at is not None), None)
    if passed is None or passed.at is None:
        return "by its record"
    return f"since {distance(passed.at) if passed.meter is Meter.KM else hours_before(passed.at)}"


def _when(due: Due, today: dt.date) -> str:
    parts = []
    if due.date is not None:
        days = (due.date - today).days
        about = "about " if due.foretold else ""
        parts.append(f"in {about}{_span(days)}" if days > 0 else "today" if days == 0 else "now")
    at = _counter(due)
    if at and not due.foretold:
        parts.append(f"at {at}")
    return ", or ".join(parts) or f"at {at}"


def _counter(due: Due) -> str:
    if due.at_hours is not None:
        return hours_before(due.at_hours)
    return "" if due.at_km is None else distance(due.at_km)


def hours_before(at: Fraction) -> str:
    """Whole hours, never later than it is."""
    return hours(Fraction(floor(at)))


def _span(days: int) -> str:
    if days < _IN_DAYS:
        return "1 day" if days == 1 else f"{days} days"
    return f"{days // _DAYS_A_WEEK} weeks"


def due_line(due: Due | None, told: str = "") -> str:
    """``20 November 2026, or at 511 h if that comes first; last told 436 h``."""
    if due is None:
        return "never: its sheet gives no interval"
    marks = []
    if due.date is not None:
        about = "about " if due.foretold and not due.overdue else ""
        marks.append(f"{about}{date(due.date)}")
    marks += [f"at {distance(due.at_km)}"] if due.at_km is not None else []
    marks += [f"at {hours_before(due.at_hours)}"] if due.at_hours is not None else []
    if not marks:
        return "not known: no check is on record"
    either = len(marks) > 1 and not due.overdue
    first = f"{', or '.join(marks)}{' if that comes first' if either else ''}"
    past = {True: "was due ", None: "perhaps past: "}.get(due.overdue, "")
    return past + first + (f"; last told {told}" if told else "")


def due_sentence(due: Due) -> str:
    """The whole in plain sentences."""
    said = [_due_words(due)]
    if due.left_out:
        words = left_out_words(due.left_out)
        said.append(f"{words[0].upper()}{words[1:]}.")
    if due.look is not None:
        said.append(_look_words(due.look))
    return " ".join(said)


def _look_words(look: WearLook) -> str:
    """``Look at 1E from 12 600 km (about 1 March 2026) to 14 800 km: it is closing up ...``."""
    wear = look.wear
    first = _at(wear.first, look.first_on, wear.meter)
    last = "" if wear.last is None else f" to {_at(wear.last, look.last_on, wear.meter)}"
    sure = "an estimate" if wear.estimated else "by what its brackets prove"
    return f"Look at {wear.valve} from {first}{last}: {wear.reason} ({sure})."


def _at(reads: Fraction, on: dt.date | None, meter: Meter) -> str:
    day = "" if on is None else f" (about {date(on)})"
    return f"{counted_words(reads, meter)}{day}"


def _due_words(due: Due) -> str:
    if not due.limits:
        return "Not known when it is due: no check is on record."
    marks = []
    if due.date is not None:
        marks.append(f"{'about ' if due.foretold and not due.overdue else ''}{date(due.date)}")
    marks += [f"at {counted_words(due.at_km, Meter.KM)}"] if due.at_km is not None else []
    marks += [f"at {counted_words(due.at_hours, Meter.HOURS)}"] if due.at_hours is not None else []
    first = ", whichever comes first" if len(marks) > 1 else ""
    when = " or ".join(marks) + first
    if due.overdue:
        return f"Overdue: it was due {when} ({due.reason})."
    if due.overdue is None and marks:
        return f"Perhaps overdue: due {when} ({due.reason}); read the counter to be sure."
    if not marks:
        return f"Not known when it is due: {due.reason}, but nothing was read to count from."
    return f"Due {when} ({due.reason})."
