"""Readings that cannot all be right: which is tried again, and which stands alone and is set aside.

Two against one settles it, as any measurement taken three times does (common practice). The refusal
is doubted first: grit and a bent tip make a blade refuse, and nothing makes one go that does not fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of, healing_sets
from benchtui.domain.length import Length
from benchtui.domain.session.facts.valve_history import Taken
from benchtui.domain.sheet import Band

PAIR = 2
"""So many readings of one stop outweigh one of it, or what was read before the crank was turned."""


DRAGS_APART = Length.um(40)
"""Beyond their errors no hand says drag of two blades so far apart: twice what the usual one does (own
choice)."""


class Settling(Enum):
    """How a clash is settled."""

    TRY_AGAIN = "try again"
    STRIKE = "strike"


@dataclass(frozen=True, slots=True)
class Clash:
    """Readings that clash and outweigh each other.

    One against one: the blade of ``doubted`` is tried again, and that answer tells which of the two
    is set aside. Two against two: all of them are struck. ``crank_moved``: the two were not read at
    one stop, so each may have been right where it was read.
    """

    how: Settling
    doubted: Reading
    against: Reading
    crank_moved: bool = False


@dataclass(frozen=True, slots=True)
class Sifted:
    """What stands, what is set aside, and the clash that is left, if any.

    What is set aside stands alone against two of one stop, with nothing touched between, or against
    two read after the crank was turned. ``standing`` keeps whatever clashes still.
    """

    standing: tuple[Taken, ...]
    aside: tuple[Taken, ...] = ()
    clash: Clash | None = None


def sift(taken: Sequence[Taken]) -> Sifted:
    """The readings of one stage, in the order they were taken, parted by what they say of each other.

    A reading that is struck or taken back is not among them, so that what it outweighed stands again.
    Blades that differ by no more than their errors do not clash.
    """
    everything = tuple(taken)
    if not _clashing(everything):
        return _far_drags(everything)
    stop = everything[-1].place
    here = _vote(tuple(t for t in everything if t.place == stop))
    if here.clash is not None:
        return Sifted(everything, clash=here.clash)
    before = tuple(t for t in everything if t.place != stop)
    against = {id(t): _against(t, here.standing) for t in before}
    open_yet = [t for t in before if 0 < len(against[id(t)]) < PAIR]
    if open_yet:
        # Of several the thickest: where it goes in now, so do the thinner ones that refused.
        first = max(open_yet, key=lambda t: t.reading.feeler.nominal)
        return Sifted(everything, clash=_across(first.reading, against[id(first)][-1].reading))
    outweighed = [t for t in before if against[id(t)]]
    older = sift([t for t in before if not against[id(t)]])
    return _without(everything, (*here.aside, *outweighed, *older.aside), older.clash)


def _without(
    taken: tuple[Taken, ...], aside: Sequence[Taken], clash: Clash | None = None
) -> Sifted:
    gone = {id(t) for t in aside}
    standing = tuple(t for t in taken if id(t) not in gone)
    return Sifted(standing, tuple(t for t in taken if id(t) in gone), clash)


def _far_drags(taken: tuple[Taken, ...]) -> Sifted:
    """Drags on two blades further apart than any hand's drag reaches: one of them was felt wrongly.

    The thinner is tried again first, for it should go free; where it drags once more, the thicker.
    """
    drags = [t for t in taken if t.reading.answer is Answer.DRAG]
    if len(drags) < PAIR:  # as nearly always
        return Sifted(taken)
    thinner = min(drags, key=lambda t: t.reading.feeler.nominal)
    thicker = max(drags, key=lambda t: t.reading.feeler.nominal)
    thin, thick, moved = thinner.reading, thicker.reading, thinner.place != thicker.place
    if thick.feeler.thinnest - thin.feeler.thickest <= DRAGS_APART:
        return Sifted(taken)

    def said(blade: Reading, answer: Answer) -> tuple[Taken, ...]:
        same = (t for t in taken if t.reading.feeler.marks == blade.feeler.marks)
        return tuple(t for t in same if t.reading.answer is answer)

    thins, thicks = said(thin, Answer.DRAG), said(thick, Answer.DRAG)
    if len(said(thin, Answer.FREE)) >= len(thins):
        wrong = thins
    elif len(thins) >= PAIR and len(said(thick, Answer.REFUSES)) >= len(thicks):
        wrong = thicks
    elif len(thins) < PAIR:
        return Sifted(taken, clash=Clash(Settling.TRY_AGAIN, thin, thick, moved))
    elif len(thicks) < PAIR:
        return Sifted(taken, clash=Clash(Settling.TRY_AGAIN, thick, thin, moved))
    else:
        return Sifted(taken, clash=Clash(Settling.STRIKE, thin, thick))
    return _without(taken, wrong)


def clash_of(taken: Sequence[Taken], band: Band | None = None) -> Clash | None:
    """The clash that is left among these readings, or None.

    At the upper limit of ``band`` its own blade decides, so there free and drag clash too.
    """
    sifted = sift(taken)
    if sifted.clash is not None or band is None:
        return sifted.clash
    at_limit = [t for t in sifted.standing if t.reading.feeler.nominal == band.high]
    free = [t for t in at_limit if t.reading.answer is Answer.FREE]
    drag = [t for t in at_limit if t.reading.answer is Answer.DRAG]
    standing = bracket_of(t.reading for t in sifted.standing)
    if not free or len(free) != len(drag) or standing.low > band.high:
        return None
    doubted, against = free[-1], drag[-1]
    return Clash(
        Settling.TRY_AGAIN, doubted.reading, against.reading, doubted.place != against.place
    )


def _vote(taken: tuple[Taken, ...]) -> Sifted:
    """The same at one stop."""
    heals = healing_sets(t.reading for t in taken)
    if not heals:
        return Sifted(taken)
    wrong = heals[0] if len(heals) == 1 else _outdone(heals, taken)
    if wrong is None:
        return Sifted(taken, clash=_tie(heals, taken))
    # A reading may be repeated to the letter: as many go as the heal has.
    left = list(wrong)
    standing, aside = [], []
    for t in taken:
        if t.reading in left:
            left.remove(t.reading)
            aside.append(t)
        else:
            standing.append(t)
    return Sifted(tuple(standing), tuple(aside))


def _outdone(
    heals: tuple[tuple[Reading, ...], ...], taken: tuple[Taken, ...]
) -> tuple[Reading, ...] | None:
    """The one refusal of a blade that was free once and dragged once besides: it goes, two to one."""
    refused = next((h for h in heals if len(h) == 1 and not h[0].answer.goes), None)
    if refused is None or not all(h[0].feeler.marks == refused[0].feeler.marks for h in heals):
        return None
    return refused if _dragged(refused[0], taken) else None


def _tie(heals: tuple[tuple[Reading, ...], ...], taken: tuple[Taken, ...]) -> Clash:
    doubted = [r for heal in heals for r in heal]
    refused = next(r for r in reversed(doubted) if not r.answer.goes)
    went = next(r for r in reversed(doubted) if r.answer.goes)
    if len(heals[0]) > 1:
        return Clash(Settling.STRIKE, refused, went)
    if _dragged(refused, taken):
        # It fits with a drag, so the thicker one that went in is the next to be doubted.
        return Clash(Settling.TRY_AGAIN, went, refused)
    return Clash(Settling.TRY_AGAIN, refused, went)


def _across(before: Reading, here: Reading) -> Clash:
    refused, went = (here, before) if before.answer.goes else (before, here)
    return Clash(Settling.TRY_AGAIN, refused, went, crank_moved=True)


def _dragged(refused: Reading, taken: tuple[Taken, ...]) -> bool:
    same = (t.reading for t in taken if t.reading.feeler.marks == refused.feeler.marks)
    return any(r.answer is Answer.DRAG for r in same)


def _against(one: Taken, others: tuple[Taken, ...]) -> list[Taken]:
    return [t for t in others if _clashing((one, t))]


def _clashing(taken: tuple[Taken, ...]) -> bool:
    return bool(healing_sets(t.reading for t in taken))
