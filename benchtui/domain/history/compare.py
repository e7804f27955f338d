"""Two sessions of one engine side by side: how far each valve moved from one to the other."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.history.slopes import Seen
from benchtui.domain.length import Length
from benchtui.domain.session.whole.record import SessionRecord, ValveRecord

_NOWHERE = Fraction(0)


@dataclass(frozen=True, slots=True)
class Moved:
    """The gap grew by ``least`` to ``most`` (minus: it closed); None is without bound."""

    least: Length | None
    most: Length | None

    @property
    def closed(self) -> bool:
        """Whether it surely closed up."""
        return self.most is not None and self.most.nm < 0

    @property
    def opened(self) -> bool:
        """Whether it surely opened."""
        return self.least is not None and self.least.nm > 0


@dataclass(frozen=True, slots=True)
class ValvePair:
    """A valve in the earlier and the later session, None where one has it not.

    ``moved`` is from what the earlier left to what the later found; None where either is missing
    or contradicts itself.
    """

    name: str
    earlier: ValveRecord | None
    later: ValveRecord | None
    moved: Moved | None


def beside(earlier: SessionRecord, later: SessionRecord) -> tuple[ValvePair, ...]:
    """Every valve of either, in the later one's order."""
    before = {v.name: v for v in earlier.valves}
    after = {v.name: v for v in later.valves}
    names = [*after, *(n for n in before if n not in after)]
    return tuple(
        ValvePair(n, before.get(n), after.get(n), _moved(before.get(n), after.get(n)))
        for n in names
    )


def moved_between(left: Bracket, found: Bracket) -> Moved | None:
    """Intervals subtract crosswise; None where a bracket contradicts itself."""
    if left.clash or found.clash:
        return None
    # As everywhere in the history, a low of zero is open: the gap may be gone altogether.
    before, after = Seen.of(_NOWHERE, left), Seen.of(_NOWHERE, found)
    least = None if after.low is None or before.high is None else after.low - before.high
    most = None if after.high is None or before.low is None else after.high - before.low
    return Moved(least, most)


def _moved(earlier: ValveRecord | None, later: ValveRecord | None) -> Moved | None:
    left = None if earlier is None else earlier.left
    found = None if later is None else later.found
    return None if left is None or found is None else moved_between(left.bracket, found.bracket)
