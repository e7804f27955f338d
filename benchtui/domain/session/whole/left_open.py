"""How a session that is no complete check stands: where it stopped, what is loose, what is inside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from benchtui.domain.session.evidence.cams import steps_left
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import look


@dataclass(frozen=True, slots=True)
class LeftOpen:
    """How far a session came that is no complete check.

    ``filed``: closed as partial. ``valve`` is the one in hand, ``slack`` those whose locknut is
    slack, ``inside`` what was counted in and not out, as ``rags (4)``; ``settled`` of ``valves``
    need nothing more. ``cams_out``: the cams lie beside the engine, or are not back in whole.
    """

    session: str
    on: date
    who: str
    filed: bool
    valve: str | None
    slack: tuple[str, ...]
    inside: tuple[str, ...]
    settled: int
    valves: int
    cams_out: bool = False


def left_open(state: State) -> LeftOpen:
    """How a session stands that was not closed, or was closed as partial."""
    views = [look(state, name) for name in state.valves]
    return LeftOpen(
        session=state.opened.session,
        on=state.started.date(),
        who=state.particulars.who or "",
        filed=state.closed is not None,
        valve=state.last_valve,
        slack=tuple(v.valve.name for v in views if v.slack_nut),
        inside=tuple(f"{item} ({count})" for item, count in state.short.items()),
        settled=sum(v.done for v in views),
        valves=len(views),
        cams_out=bool(steps_left(state)),
    )
