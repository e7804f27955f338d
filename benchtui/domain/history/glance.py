"""What is worth knowing of one engine before anything is opened, put together from its record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from benchtui.domain.blades import BladeSet
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.history.course import real
from benchtui.domain.history.due import Due
from benchtui.domain.session.whole.left_open import LeftOpen
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.domain.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Watched:
    """A valve that the last check found out of its range, ``times`` checks running."""

    valve: str
    kind: VerdictKind
    times: int


@dataclass(frozen=True, slots=True)
class EngineGlance:
    """One engine at a glance.

    ``last`` is its last complete check, ``before`` the ones before that, newest first. ``open`` is
    how a later session stands that is no complete check. ``blades`` is the set to offer,
    ``own_blades`` whether it is the owner's or a usual one that he may not have.
    """

    sheet: Sheet
    today: date
    due: Due | None = None
    last: SessionRecord | None = None
    before: tuple[SessionRecord, ...] = ()
    open: LeftOpen | None = None
    watched: tuple[Watched, ...] = ()
    blades: BladeSet | None = None
    own_blades: bool = True


def checks_of(records: Sequence[SessionRecord]) -> tuple[SessionRecord, ...]:
    """The complete checks at the engine itself, newest first."""
    return tuple(r for r in reversed(real(records)) if r.complete)


def watched(checks: Sequence[SessionRecord]) -> tuple[Watched, ...]:
    """The valves that the newest of these checks found tight or wide; newest first."""
    if not checks:
        return ()
    found = []
    for valve in checks[0].valves:
        kind = _found(checks[0], valve.name)
        if kind in (VerdictKind.TIGHT, VerdictKind.WIDE):
            times = 0
            for check in checks:
                if _found(check, valve.name) is not kind:
                    break
                times += 1
            found.append(Watched(valve.name, kind, times))
    return tuple(found)


def _found(check: SessionRecord, name: str) -> VerdictKind | None:
    valve = next((v for v in check.valves if v.name == name), None)
    return None if valve is None or valve.found is None else valve.found.verdict.kind
