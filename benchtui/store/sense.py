"""Whether the events of a file make a session: each is sound by its checksum, and may be impossible."""

from __future__ import annotations

from dataclasses import replace

from benchtui.domain.session.facts.events import Event
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.store.journal import Damage, Recorded


def made_sense_of(recorded: Recorded) -> tuple[Recorded, State | None, SessionRecord | None]:
    """The session as far as its events make sense: the state and record after them, None for none.

    The first event that cannot be, such as a turn at a valve that the engine has not, is damage
    like a line that is not sound: nothing from there on is used.
    """
    if not recorded.events:
        return recorded, None, None
    made = _made(recorded.events)
    if not isinstance(made, Exception):
        return recorded, *made
    sound, impossible = 0, len(recorded.events)  # so many make sense, so many do not
    best: tuple[State, SessionRecord] | None = None
    while impossible - sound > 1:
        middle = (sound + impossible) // 2
        tried = _made(recorded.events[:middle])
        if isinstance(tried, Exception):
            impossible, made = middle, tried
        else:
            sound, best = middle, tried
    damage = Damage(impossible, f"the fact is impossible: {type(made).__name__} {made}"[:200])
    return (
        replace(recorded, events=recorded.events[:sound], damage=damage),
        *(best or (None, None)),
    )


def _made(events: tuple[Event, ...]) -> tuple[State, SessionRecord] | Exception:
    try:
        state = fold(events)
        return state, record_of(state)
    except Exception as error:  # noqa: BLE001  # whatever odd facts provoke, it is one damaged session
        return error
