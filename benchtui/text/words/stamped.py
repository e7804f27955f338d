"""Blades as they are stamped: an inch leaf in inches, a metric one in millimetres.

A length has no unit of its own, so the figure tells: what is round in tenths of a thou and not in
hundredths of a millimetre was stamped in inches. Among the leaves of an inch set, what is round in
both was too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import Bracket, Reading
from benchtui.domain.length import Length
from benchtui.domain.sentence import Part, Sentence
from benchtui.domain.sheet import Band, SettingRange, Sheet
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.quantities.show import LengthUnit, bare, figure, length, seen
from benchtui.text.reading.script import marks_of, measured_of
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


def gap_unit(blades: BladeSet) -> LengthUnit:
    """The unit in which gaps are told that this set measured: that of its stamps."""
    return "in" if inch_set(blades) else "mm"


def gap_seen(length: Length, unit: LengthUnit) -> str:
    """A gap for the eye, without its unit: three decimals of a millimetre at most, five of an inch."""
    return seen(length) if unit == "mm" else figure(length, unit)


def band_unit(band: Band) -> LengthUnit:
    """The unit in which a sheet prints this range: inches where it is round in them and not in mm."""
    ends = (band.low, band.high)
    inch = any(map(inch_stamp, ends)) and not any(end.nm % _TENTH_THOU.nm for end in ends)
    return "in" if inch else "mm"


def band_seen(band: Band, unit: LengthUnit) -> str:
    """``0.06-0.10``: a range as its sheet prints it, with its unit where that is not ``unit``."""
    ends, own = (band.low,) if band.single else (band.low, band.high), band_unit(band)
    words = "-".join(figure(end, own) for end in ends)
    return words if own == unit else f"{words} {own}"


def sheet_unit(sheet: Sheet) -> LengthUnit:
    """The unit in which a sheet prints its clearances."""
    bands = [band for _, _, band in sheet.clearances.printed]
    return printed_unit(end for band in bands for end in (band.low, band.high))


def limits_told(sheet: Sheet, limits: Iterable[Length], between: str = " ") -> str:
    """Limits as the sheet prints them: ``0.06 0.10``; ``0.008 in 0.28 mm`` where it prints both units."""
    one = sheet_unit(sheet)
    inch = {end for _, _, band in sheet.clearances.printed for end in (band.low, band.high)}
    inch = {end for end in inch if inch_stamp(end)}
    if one == "in" or not inch:
        return between.join(figure(limit, one) for limit in limits)
    return between.join(length(limit, "in" if limit in inch else "mm") for limit in limits)


def band_told(band: Band) -> str:
    """``0.06 to 0.10 mm``, ``0.003 to 0.005 in``, as its sheet prints it."""
    ends, own = (band.low,) if band.single else (band.low, band.high), band_unit(band)
    return f"{' to '.join(figure(end, own) for end in ends)} {own}"


def wanted_told(setting: SettingRange) -> str:
    """``0.06 to 0.10 mm``; where its owner has it set so, ``0.10 mm, on the figure``."""
    if setting.figure is None:
        return band_told(setting.band)
    return f"{band_told(Band(setting.figure, setting.figure))}, on the figure"


def reading_told(reading: Reading, unit: LengthUnit) -> str:
    """``0.08 refuses``, ``0.003 refuses``: a blade as it is stamped, and its answer."""
    return f"{blade_label(reading.feeler, inch=unit == 'in')} {reading.answer.value}"


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


def amount(moved: Length, *, inch: bool) -> str:
    """How much something moved, ``0.017 mm``; beside an inch set ``0.0007 in``. No leaf is that size."""
    return length(moved, "in", 4) if inch else length(moved)


def blade_label(feeler: Feeler, *, inch: bool) -> str:
    """``0.010``, ``0.30+0.04``: a blade or stack on a ruler, the thickest leaf first."""
    return "+".join(label(mark, inch=inch) for mark in reversed(feeler.marks))


def blade_both(feeler: Feeler, *, inch: bool) -> str:
    """As stamped: ``0.010 in``, ``0.10``; each with its unit in a stack of both kinds of leaves."""
    units = units_of(feeler, inch=inch)
    if units == {"mm"}:
        return feeler.bare
    if units == {"in"}:
        return f"{'+'.join(figure(m, 'in') for m in reversed(feeler.marks))} in"
    each = (f"{figure(m, u)} {u}" for m in reversed(feeler.marks) for u in [unit_of(m, inch=inch)])
    return "+".join(each)


def bracket_both(bracket: Bracket, *, inch: bool) -> str:
    """``0.05 goes, 0.06 refuses``; beside an inch set with its unit."""
    measured = bracket.measured
    told = (bracket.low, bracket.high) if measured is None else (measured.value,)
    ends = [end for end in told if end]
    if not inch or not ends:
        return bracket_words(bracket)
    if any(unit_of(end, inch=True) != "in" for end in ends):
        return bracket.told(length)
    return bracket.told(lambda end: length(end, "in"))


def bracket_stamped(bracket: Bracket) -> str:
    """``0.05 goes, 0.06 refuses``, ``0.003 in goes, 0.004 in refuses``, where the set is not at hand."""
    ends = [end for end in (bracket.low, bracket.high) if end]
    return bracket_both(bracket, inch=any(map(inch_stamp, ends)))


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


def typed_measure(text: str, *, inch: bool) -> tuple[Length, Length]:
    """A measured gap and the most it may be off, as typed: bare figures as ``typed_marks`` has them.

    Raises:
        FaultyQuantity: it cannot be read, or a bare figure is no gap in inches.
    """
    bare_figures = not re.search(r"[a-zA-Z\"]", text)
    if not (inch and bare_figures):
        return measured_of(text)
    value, error = measured_of(f"{text.strip()} in")
    if value > _THICKEST_BARE:
        raise FaultyQuantity(f"{text.strip()} beside an inch set", "its unit: 0.25 mm, or 0.010 in")
    return value, error
