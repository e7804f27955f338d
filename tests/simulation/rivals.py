"""Other ways of choosing the next blade, to measure the bench's advice against."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import TryBlade
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.sheet import Band
from tests.asking import advise

Rival = Callable[[Bracket, BladeSet, Band], Feeler | None]


def _open_inside(bracket: Bracket, blades: BladeSet) -> list[Feeler]:
    """The leaves that still tell something, thinnest first."""
    low, high = bracket.low, bracket.high
    singles = blades.singles()
    return [f for f in singles if low < f.nominal and (high is None or f.nominal < high)]


def enough(bracket: Bracket, band: Band, window: Length | None = None) -> bool:
    """The same end as the bench's: settled and, if out, narrow enough for one turn (the range's width)."""
    low, high = bracket.low, bracket.high
    if high is not None and band.low <= low and high <= band.high:
        return True
    out = low >= band.high or (high is not None and high <= band.low)
    return out and high is not None and high - low <= (window or band.width)


def stepping(bracket: Bracket, blades: BladeSet, band: Band) -> Feeler | None:
    """Start nearest the middle of the range, go one leaf up or down until it turns."""
    inside = _open_inside(bracket, blades)
    if not inside or enough(bracket, band):
        return None
    if bracket.high is None and not bracket.low:
        return min(inside, key=lambda f: abs((f.nominal - band.middle).nm))
    return inside[0] if bracket.low else inside[-1]


def stepping_on(bracket: Bracket, blades: BladeSet, band: Band) -> Feeler | None:
    """Stepping, and where single leaves come to an end, stacks: two leaves before three.

    Undecided, the stack in the range that lies nearest to the open limit, as whoever lays two leaves
    together to be sure of a limit would; out of range, the one nearest the middle of what is left.
    """
    leaf = stepping(bracket, blades, band)
    if leaf is not None or enough(bracket, band):
        return leaf
    low, high = bracket.low, bracket.high
    out = low >= band.high or (high is not None and high <= band.low)
    for count in (2, 3):
        inside = [f for f in blades.stacks(count) if _between(f, bracket)]
        if out and inside:
            wanted = low.nm + band.width.nm if high is None else (low.nm + high.nm) // 2
            return _nearest(inside, wanted)
        inside = [f for f in inside if band.low <= f.nominal <= band.high]
        if inside:
            return _nearest(inside, (band.low if low < band.low else band.high).nm)
    return None


def _between(feeler: Feeler, bracket: Bracket) -> bool:
    high = bracket.high
    return bracket.low < feeler.nominal and (high is None or feeler.nominal < high)


def limits_first(bracket: Bracket, blades: BladeSet, band: Band) -> Feeler | None:
    """The lower limit, then the upper one, then halving what is left by the count of leaves."""
    inside = _open_inside(bracket, blades)
    if not inside or enough(bracket, band):
        return None
    low, high = bracket.low, bracket.high
    if low < band.low and (high is None or high > band.low):
        return _nearest(inside, band.low.nm)
    if low < band.high and (high is None or high > band.high):
        return _nearest(inside, band.high.nm)
    if high is None:
        return inside[0]
    return inside[len(inside) // 2]


def limits_first_on(bracket: Bracket, blades: BladeSet, band: Band) -> Feeler | None:
    """Limits first, and where single leaves come to an end, stacks as ``stepping_on`` takes them."""
    return limits_first(bracket, blades, band) or stepping_on(bracket, blades, band)


def _nearest(inside: Sequence[Feeler], nm: int) -> Feeler:
    return min(inside, key=lambda f: abs(f.nominal.nm - nm))


def as_choice(rival: Rival) -> Callable[[State, ValveView], Feeler | None]:
    """A rival's way at the bench, while the valve is as found; afterwards as limits first has it."""

    def choose(state: State, view: ValveView) -> Feeler | None:
        if view.judged is None:
            return None
        if (
            view.verdict.at_limit is not None
        ):  # settled: what the turn still wants is the same for all
            advice = advise(state, view)
            return advice.feeler if isinstance(advice, TryBlade) else None
        return rival(view.bracket, state.opened.blades, view.judged)

    return choose
