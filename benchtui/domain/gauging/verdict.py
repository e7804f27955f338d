"""In, tight, wide or not known: what a bracket says against a setting range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from benchtui.domain.gauging.bracket import (
    Answer,
    Bracket,
    Measured,
    Reading,
    bracket_of,
    healing_sets,
)
from benchtui.domain.gauging.feel import FeelBand, in_range_by_feel
from benchtui.domain.gauging.measured import apart, closer, inside
from benchtui.domain.gauging.stands_for import as_bladed
from benchtui.domain.length import Length
from benchtui.domain.rule import DecisionRule as DecisionRule  # noqa: PLC0414  # a verdict's rule
from benchtui.domain.sentence import Sentence
from benchtui.domain.sheet import Band

QUIET = Length.um(40)
"""On a range no wider than this a drag at a limit is a note and no more (own choice)."""


class VerdictKind(Enum):
    """The six things that may be said of a valve."""

    IN = "in"
    TIGHT = "tight"
    WIDE = "wide"
    UNDECIDED = "undecided"
    CONTRADICTION = "contradiction"
    NONE = "none"

    @property
    def settled(self) -> bool:
        """Whether no further blade is needed to say in or out."""
        return self in (VerdictKind.IN, VerdictKind.TIGHT, VerdictKind.WIDE)

    @property
    def out(self) -> bool:
        """Whether the clearance is out of its range."""
        return self in (VerdictKind.TIGHT, VerdictKind.WIDE)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said of a valve, and why, in one line.

    ``proved`` is only ever true of IN: the widened bracket lies inside the range too. ``at_limit`` is the
    limit whose blade dragged; on a range of ``QUIET`` or less it is ``quiet_limit``, a note and no more:
    there a third of all valves drag at a limit, and four in five of them are in range. ``heals`` are the
    smallest sets of readings to doubt in a contradiction. ``disagree`` says that two blades clash within
    their errors, ``disagreeing`` which readings. ``by_feel`` is only ever true of UNDECIDED: the drags,
    read as his own band, put it in range, where the blades alone have not shown it. ``on_figure``: IN
    means set on the one figure that is printed.
    """

    kind: VerdictKind
    because: str
    proved: bool = False
    at_limit: Length | None = None
    heals: tuple[tuple[Reading, ...], ...] = ()
    disagree: bool = False
    by_feel: bool = False
    on_figure: bool = False
    disagreeing: tuple[Reading, ...] = ()
    quiet_limit: Length | None = None

    @property
    def limit(self) -> Length | None:
        """The limit whose blade dragged, said aloud or not."""
        return self.quiet_limit if self.at_limit is None else self.at_limit


def no_verdict(because: str) -> Verdict:
    """No verdict may be given, and why."""
    return Verdict(VerdictKind.NONE, because)


def judge_measured(measured: Measured, band: Band) -> Verdict:
    """The verdict of a measured value: by its figure, and proved where its error lies inside too.

    Source: simple acceptance, JCGM 106:2012 8.2; the guard band of ISO 14253-1.
    """
    because = Sentence("{} measured, give or take {}", measured.value, measured.error)
    if measured.value < band.low:
        return Verdict(VerdictKind.TIGHT, because)
    if measured.value > band.high:
        return Verdict(VerdictKind.WIDE, because)
    return Verdict(VerdictKind.IN, because, proved=inside(measured, band))


def judge_both(
    readings: Sequence[Reading], measured: Measured, band: Band, feel: FeelBand | None = None
) -> Verdict:
    """The verdict where a gap was gauged and measured: of whichever tells it more closely.

    Where that one leaves it open, or in range and not proved, the other may say more. Apart by more
    than their errors, they clash.
    """
    by_measure = judge_measured(measured, band)
    if not readings:
        return by_measure
    by_blades = judge(readings, band, feel)
    blades = bracket_of(readings)
    if by_blades.kind is VerdictKind.CONTRADICTION:
        return by_blades
    if apart(blades, measured) is not None:
        return Verdict(VerdictKind.CONTRADICTION, f"{blades}, but {measured}")
    first, second = by_blades, by_measure
    if closer(blades, measured).measured is not None:
        first, second = second, first
    more = first.kind is VerdictKind.IN and second.proved and not first.proved
    return second if more or not first.kind.settled else first


def judge(readings: Sequence[Reading], band: Band, feel: FeelBand | None = None) -> Verdict:
    """The verdict of these readings of one valve against its setting range.

    A drag decides only at a limit: dragging, the upper limit's blade says "at limit" where, free,
    it would say "wide". Where its owner has chosen the grade by feel, ``feel`` is his band of drag:
    the verdict is the same, and only ``by_feel`` may be added to it.
    """
    heals = healing_sets(readings)
    if heals:
        return Verdict(VerdictKind.CONTRADICTION, _contradiction(heals, readings), heals=heals)
    bracket = bracket_of(readings)
    plain = _ordered(bracket)
    # A leaf that stands for a limit is that limit; for what is proved the printed one holds.
    stands = as_bladed(band, (r.feeler.leaves[0] for r in readings if len(r.feeler.leaves) == 1))
    kind, because = _kind(plain, readings, stands)
    inside = kind is VerdictKind.IN
    dragged = _limit_dragged(readings, plain, stands) if inside else None
    limit = _printed_limit(dragged, stands, band)
    if bracket.clash:
        because = _disagree(bracket, kind)
    return Verdict(
        kind,
        because,
        proved=inside
        and _inside(bracket.wide_low, bracket.wide_high, band)
        and _one_error_explains(bracket),
        at_limit=None if band.width <= QUIET else limit,
        quiet_limit=limit if band.width <= QUIET else None,
        disagree=bracket.clash,
        disagreeing=_disagreeing(readings, bracket),
        by_feel=(
            kind is VerdictKind.UNDECIDED
            and feel is not None
            and not bracket.clash
            and in_range_by_feel(readings, feel, band)
        ),
    )


def _disagreeing(readings: Sequence[Reading], bracket: Bracket) -> tuple[Reading, ...]:
    """What goes and is thicker than something that refuses, and what it clashes with."""
    low, high = bracket.low, bracket.high
    if high is None or not bracket.clash:
        return ()
    return tuple(
        r
        for r in readings
        if (r.feeler.nominal > high if r.answer.goes else r.feeler.nominal < low)
    )


def _disagree(bracket: Bracket, kind: VerdictKind) -> str:
    """What the two blades said, as they said it: nobody read the span between them."""
    assert bracket.high is not None
    made = "it makes no difference" if kind.settled else "in or out lies between them"
    return Sentence(
        "{} goes, {} refuses: two blades disagree within their error, and {}",
        bracket.low,
        bracket.high,
        made,
    )


def _one_error_explains(bracket: Bracket) -> bool:
    """Whether the blades agree, or the error of either one alone would make them.

    Where it takes both errors at once, what is left between them shrinks to a point: likelier than
    two blades off as far as they can be, the opposite way, is one reading that is wrong.
    """
    if bracket.high is None or bracket.wide_high is None or not bracket.clash:
        return True
    apart = bracket.low - bracket.high
    return apart <= min(bracket.low - bracket.wide_low, bracket.wide_high - bracket.high)


def _ordered(bracket: Bracket) -> Bracket:
    """Where two blades clash within their errors, the span between them."""
    if bracket.high is None or not bracket.clash:
        return bracket
    return Bracket(bracket.high, bracket.low, bracket.wide_low, bracket.wide_high)


def _kind(bracket: Bracket, readings: Sequence[Reading], band: Band) -> tuple[VerdictKind, str]:
    low, high = bracket.low, bracket.high
    if high is not None and high <= band.low:
        return VerdictKind.TIGHT, Sentence("{} refuses and the range starts at {}", high, band.low)
    if low > band.high:
        return VerdictKind.WIDE, Sentence("{} goes and the range ends at {}", low, band.high)
    felt = [r.answer for r in readings if r.feeler.nominal == band.high]
    free, drag = felt.count(Answer.FREE), felt.count(Answer.DRAG)
    if low == band.high and free == drag:
        again = Sentence("{}, the upper limit, was free once and dragged once: try it again", low)
        return VerdictKind.UNDECIDED, again
    if low == band.high and free > drag:
        return VerdictKind.WIDE, Sentence("{}, the upper limit, is free", low)
    if low == band.high:
        return VerdictKind.IN, Sentence("{}, the upper limit, drags", low)
    if high is not None and _inside(low, high, band):
        if _limit_dragged(readings, bracket, band) is not None:
            return VerdictKind.IN, Sentence("{}, the lower limit, drags", low)
        return VerdictKind.IN, bracket_sentence(low, high)
    return VerdictKind.UNDECIDED, bracket_sentence(low, high)


def _inside(low: Length, high: Length | None, band: Band) -> bool:
    return high is not None and band.low <= low and high <= band.high


def _printed_limit(limit: Length | None, stands: Band, band: Band) -> Length | None:
    if limit is None:
        return None
    return band.low if limit == stands.low else band.high


def _limit_dragged(readings: Sequence[Reading], bracket: Bracket, band: Band) -> Length | None:
    """The limit whose blade dragged and still is the thickest that goes."""
    for reading in readings:
        limit = reading.feeler.nominal
        at_edge = limit in (band.low, band.high) and limit == bracket.low
        if reading.answer is Answer.DRAG and at_edge:
            return limit
    return None


def bracket_sentence(low: Length, high: Length | None) -> Sentence:
    """What the blades have shown, in the one form that a bracket has: ``0.06 goes, 0.10 refuses``."""
    if high is None:
        if not low:
            return Sentence("nothing has been tried")
        return Sentence("{} goes, nothing has refused", low)
    if not low:
        return Sentence("{} refuses, nothing has gone in", high)
    return Sentence("{} goes, {} refuses", low, high)


def _contradiction(heals: tuple[tuple[Reading, ...], ...], readings: Sequence[Reading]) -> str:
    """The two that speak against each other, the latest of each.

    Where all that is doubted speaks for one side, the other is the reading that goes furthest against it.
    """
    doubted = [r for heal in heals for r in heal]
    refused = max((r for r in doubted if not r.answer.goes), key=lambda r: r.number, default=None)
    went = max((r for r in doubted if r.answer.goes), key=lambda r: r.number, default=None)
    if refused is None:
        refused = min((r for r in readings if not r.answer.goes), key=lambda r: r.feeler.nominal)
    if went is None:
        went = max((r for r in readings if r.answer.goes), key=lambda r: r.feeler.nominal)
    return Sentence("{} refuses but {} goes", refused.feeler, went.feeler)
