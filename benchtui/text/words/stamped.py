"""Blades as they are stamped: an inch leaf in inches, a metric one in millimetres.

A length has no unit of its own, so the figure tells: what is round in tenths of a thou and not in
hundredths of a millimetre was stamped in inches. Among the leaves of an inch set, what is round in
both was too.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sentence import Part, Sentence
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.quantities.show import LengthUnit, bare, figure, length
from benchtui.text.reading.script import marks_of
from benchtui.text.words.bracket_words import bracket_words

_TENTH_THOU = Length(2_540)
_HALF_THOU = Length(12_700)
_HUNDREDTH_MM = Length.um(10)


def inch_stamp(length: Length) -> bool:
    """Whether this figure is round in inches only."""
    return bool(length.nm % _HUNDREDTH_MM.nm) and not length.nm % _TENTH_THOU.nm


def inch_set(blades: BladeSet) -> bool:
    """Whether most leaves of the set are stamped in inches."""
    return 2 * sum(inch_stamp(leaf.marked) for leaf in blades.leaves) > len(blades.leaves)


def printed_unit(figures: Iterable[Length]) -> LengthUnit:
    """The unit in which a sheet prints its limits: inches where all of them are round in inches only."""
    found = tuple(figures)
    return "in" if found and all(map(inch_stamp, found)) else "mm"


def unit_of(length: Length, *, inch: bool) -> LengthUnit:
    """The unit a figure is stamped or printed in; ``inch``: beside an inch set."""
    return "in" if inch_stamp(length) or (inch and not length.nm % _HALF_THOU.nm) else "mm"


def units_of(feeler: Feeler, *, inch: bool) -> frozenset[LengthUnit]:
    """The unit of a blade, or the units of a stack."""
    return frozenset(unit_of(mark, inch=inch) for mark in feeler.marks)


def tall_figures(feeler: Feeler, *, inch: bool) -> tuple[tuple[str, ...], str]:
    """What stands on each leaf, the thickest first, and the unit: ``(".010", ".008"), "in"``.

    Inches begin at the point, as they are stamped. A stack of both kinds of leaves is given in mm.
    """
    if units_of(feeler, inch=inch) == {"in"}:
        figures = (figure(mark, "in").removeprefix("0") for mark in reversed(feeler.marks))
        return tuple(figures), "in"
    return tuple(bare(mark) for mark in reversed(feeler.marks)), "mm"


def label(length: Length, *, inch: bool) -> str:
    """A figure on a ruler of inches or of millimetres, with its unit where it is not the ruler's."""
    unit = unit_of(length, inch=inch)
    words = figure(length, unit)
    return words if (unit == "in") is inch else f"{words} {unit}"


def blade_label(feeler: Feeler, *, inch: bool) -> str:
    """``0.010``, ``0.30+0.04``: a blade or stack on a ruler, the thickest leaf first."""
    return "+".join(label(mark, inch=inch) for mark in reversed(feeler.marks))


def blade_both(feeler: Feeler, *, inch: bool) -> str:
    """As stamped, and in mm where that is another figure: ``0.010 in (0.254 mm)``, ``0.10``."""
    units = units_of(feeler, inch=inch)
    if units == {"mm"}:
        return feeler.bare
    if units == {"in"}:
        return f"{'+'.join(figure(m, 'in') for m in reversed(feeler.marks))} in ({feeler})"
    each = (f"{figure(m, u)} {u}" for m in reversed(feeler.marks) for u in [unit_of(m, inch=inch)])
    return f"{'+'.join(each)} ({feeler})"


def bracket_both(bracket: Bracket, *, inch: bool) -> str:
    """``0.05 goes, 0.06 refuses``; beside an inch set with its units, and millimetres after it."""
    measured = bracket.measured
    told = (bracket.low, bracket.high) if measured is None else (measured.value,)
    ends = [end for end in told if end]
    if not inch or not ends:
        return bracket_words(bracket)
    if any(unit_of(end, inch=True) != "in" for end in ends):
        return bracket.told(length)
    both = " and ".join(end.bare for end in ends)
    return f"{bracket.told(lambda end: length(end, 'in'))} ({both} mm)"


def told(why: str, feeler: Feeler, *, inch: bool) -> str:
    """The reason for a blade, which begins with its figure in mm, with what is stamped on it."""
    return blade_both(feeler, inch=inch) + why.removeprefix(feeler.bare)


def printed(text: str, *, inch: bool) -> str:
    """A sentence with its lengths in the unit that they are stamped in; ``inch``: beside an inch set."""
    if not isinstance(text, Sentence):
        return text
    return text.template.format(*(_part(part, inch=inch) for part in text.parts))


def _part(part: Part, *, inch: bool) -> str:
    if isinstance(part, str):
        return part
    if isinstance(part, Feeler):
        whole = inch and units_of(part, inch=True) == {"in"}
        return blade_label(part, inch=inch) + (" in" if whole else "")
    unit = unit_of(part, inch=inch)
    return f"{figure(part, 'in')} in" if unit == "in" else bare(part)


_THICKEST_BARE = Length.thou(100)


def typed_marks(text: str, *, inch: bool) -> tuple[Length, ...]:
    """A blade or stack as typed at the bench: bare figures are inches beside an inch set, else mm.

    Raises:
        FaultyQuantity: it cannot be read, or a bare figure is no thickness of an inch leaf.
    """
    if not inch:
        return marks_of(text)
    parts = [(part.strip(), part.strip().replace(".", "").isdigit()) for part in text.split("+")]
    marks = marks_of("+".join(f"{part} in" if bare_figure else part for part, bare_figure in parts))
    for (part, bare_figure), mark in zip(parts, marks, strict=True):
        if bare_figure and mark > _THICKEST_BARE:
            raise FaultyQuantity(f"{part} beside an inch set", "its unit: 0.25 mm, or 0.010 in")
    return marks
