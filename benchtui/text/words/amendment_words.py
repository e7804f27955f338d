"""What was put right after the end of a session, in words: the figure that holds, and the one struck."""

from __future__ import annotations

from benchtui.domain.session.facts.events import Corrected, Noted, Particulars, SetAside
from benchtui.domain.session.facts.state import Amendment, State
from benchtui.text.quantities.show import date, distance, hours, temperature


def amended_lines(state: State) -> tuple[str, ...]:
    """A line for each figure put right, and for setting aside; notes stand among the notes.

    ``odometer 61 500 km; struck: 615 000 km (30 November 2026: a nought too many)``. Plain text as it
    came: whoever shows it makes it inert.
    """
    return tuple(line for made in state.amendments for line in _lines(made))


def _lines(made: Amendment) -> list[str]:
    on = date(made.at.date())
    match made.fact:
        case Corrected(why=why):
            return [
                f"{what} {holds}; struck: {was} ({on}: {why})"
                for what, holds, was in changes(made.fact, made)
            ]
        case SetAside(why):
            return [f"set aside, it counts for nothing ({on}: {why})"]
        case Noted():
            return []


def changes(fact: Corrected, made: Amendment | None = None) -> list[tuple[str, str, str]]:
    """What was put right, as (what, what holds now, what stood there); the last is "" if unknown."""
    was = None if made is None else made.was
    old = Particulars() if was is None else was.particulars
    new = fact.particulars
    told: list[tuple[str, str, str]] = []
    if fact.day is not None:
        told.append(("day", date(fact.day), "" if was is None else date(was.day)))
    if fact.sheet is not None:
        told.append(("engine", fact.sheet.name, "" if was is None else was.engine))
    if new.odometer_km is not None:
        km = None if old.odometer_km is None else distance(old.odometer_km)
        told.append(("odometer", distance(new.odometer_km), km or _NOTHING))
    if new.hours is not None:
        read = None if old.hours is None else hours(old.hours)
        told.append(("hour meter", hours(new.hours), read or _NOTHING))
    if new.metal_c is not None:
        metal = None if old.metal_c is None else temperature(old.metal_c)
        told.append(("metal", temperature(new.metal_c), metal or _NOTHING))
    if new.stood_hours is not None:
        stood = None if old.stood_hours is None else hours(old.stood_hours)
        told.append(("stood", hours(new.stood_hours), stood or _NOTHING))
    if new.who is not None:
        told.append(("who", new.who, old.who or _NOTHING))
    return told


_NOTHING = "nothing"
