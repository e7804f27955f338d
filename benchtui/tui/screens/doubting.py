"""A doubt about the crank: what was seen, and what becomes of the readings taken there."""

from __future__ import annotations

from collections.abc import Callable

from benchtui.domain.session.facts.commands import StrikeReading
from benchtui.domain.session.facts.events import PositionDoubted, Sign, SignSeen
from benchtui.practice.session import Rehearsal
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen

_SIGNS = {"1": Sign.TIGHT, "2": Sign.MOVES, "3": Sign.OPEN, "4": Sign.OPENS, "5": Sign.STAYS}


def ask_what_was_seen(
    screen: WorkScreen, cylinder: str, forget: Callable[[], None], seen: str = ""
) -> None:
    """Ask what does not fit at a cylinder, and record it; ``forget`` takes the ticks away.

    ``seen`` is what a practice hand saw.
    """
    offered = {key: sign.meaning for key, sign in _SIGNS.items()}
    offered["6"] = "nothing certain, but it does not fit"

    def told(key: str | None) -> None:
        if key is None:
            return
        sign = _SIGNS.get(key)
        forget()
        if screen.do(PositionDoubted(cylinder) if sign is None else SignSeen(cylinder, sign)):
            screen.say("No screw is touched until the position is sure.", alarm=True)
            if sign is not Sign.STAYS:
                _offer_to_strike(screen)

    screen.app.push_screen(Choose(f"What was seen at cylinder {cylinder}?", offered, seen), told)


def ask_after_the_look(screen: WorkScreen, cylinder: str) -> None:
    """Nothing goes in: what have 45 degrees on shown? In practice the practice hand says it."""
    live, seen = screen.program.live, ""
    if isinstance(live, Rehearsal):
        opens = "the inlet opens" if live.opens(cylinder) else "nothing moves"
        seen = f"The practice hand turned 45 degrees on: {opens}."
    ask_what_was_seen(screen, cylinder, lambda: None, seen)


def _offer_to_strike(screen: WorkScreen) -> None:
    """What was read in a position that is doubted now is struck, or stays on record unused."""
    loose = [
        (name, taken.reading)
        for name, valve in screen.program.session_state.valves.items()
        for taken in valve.current.live
        if taken.place is None
    ]
    if not loose:
        return
    listed = "\n".join(f"{name}  {reading}" for name, reading in loose)

    def answered(key: str | None) -> None:
        if key == "strike":
            for name, reading in reversed(loose):
                screen.do(StrikeReading(name, reading.feeler))
            screen.say(f"{len(loose)} struck; they stay on record.")

    answers = {"strike": "strike them out", "keep": "keep them for now: they may belong elsewhere"}
    screen.app.push_screen(
        Choose("These readings count for nothing now:", answers, listed), answered
    )
