"""The page before a check: how each line is read, what it was understood as, what lies ahead."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from benchtui.domain.blades import BladeSet
from benchtui.domain.crank.plan import plan
from benchtui.domain.gauging.reach import limits_of, reaches
from benchtui.domain.history.glance import Watched
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.evidence.metal import (
    OVERNIGHT,
    bounds_wanted,
    metal_standing,
    metal_words,
)
from benchtui.domain.session.facts.events import BandChosen, FigureChosen, Particulars
from benchtui.domain.sheet import Sheet
from benchtui.text.pages.engine_glance import limit_blades, watched_words
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import figure, hours, temperature
from benchtui.text.words.blade_words import set_words
from benchtui.text.words.refusals import error_words
from benchtui.text.words.stamped import sheet_unit

STOOD = "overnight"
"""What stands in the metal line where no thermometer was held to it."""

ON_FIGURE = "on the figure"
"""What stands in the band's line where single figures are set as the handbook says."""


@dataclass(frozen=True, slots=True)
class MetalTold:
    """What the metal line says: a temperature, or how long the engine stood."""

    metal_c: Fraction | None = None
    stood: Fraction | None = None


def read_metal(text: str) -> MetalTold:
    """``19`` and ``66 F`` are temperatures, ``6 h`` and ``overnight`` say how long it stood.

    Raises:
        FaultyQuantity: anything else.
    """
    text = text.strip()
    if text.lower() == STOOD:
        return MetalTold(stood=OVERNIGHT)
    if text.lower().endswith("h") or "min" in text.lower():
        return MetalTold(stood=measure.hours(text))
    number = text.removeprefix("-").removeprefix("+")
    is_bare = number.replace(".", "", 1).replace(",", "", 1).isdigit()
    return MetalTold(metal_c=measure.temperature(f"{text} C" if is_bare else text))


read_hours = partial(measure.hours, bare=True)
read_distance = partial(measure.distance_km, bare=True)
"""A bare number is hours, kilometres."""


def read_band(text: str) -> BandChosen | FigureChosen:
    """How single figures are judged: ``on the figure``, or by so much either side, bare millimetres."""
    if text.lower().removeprefix("on ").removeprefix("the ") == "figure":
        return FigureChosen()
    return BandChosen(measure.length(text, bare_mm=True))


def band_words(chosen: BandChosen | FigureChosen) -> str:
    """As the line that asks for it takes it."""
    return ON_FIGURE if isinstance(chosen, FigureChosen) else str(chosen.tolerance)


READ: dict[str, Callable[[str], object]] = {
    "metal": read_metal,
    "heat": measure.yes,
    "odometer": read_distance,
    "hours": read_hours,
    "band": read_band,
}


def metal_told(sheet: Sheet, particulars: Particulars) -> tuple[bool, str]:
    """Whether a verdict may be given in this metal, and the words beside its line."""
    standing = metal_standing(sheet.clearances, particulars)
    fault = metal_words(standing)
    if fault:
        return False, fault
    if particulars.metal_c is not None:
        wanted = bounds_wanted(standing)
        as_wanted = f", {wanted} as the sheet wants it" if wanted else ""
        return True, f"{temperature(particulars.metal_c)}{as_wanted}"
    if particulars.stood_hours is not None:
        return True, f"stood {hours(particulars.stood_hours)}: as cold as the shed"
    return True, ""


def blades_told(sheet: Sheet, blades: BladeSet) -> tuple[bool, str]:
    """Whether the set makes every limit of this engine, and which it does not make."""
    found = reaches(blades, limits_of(sheet))
    leaves = set_words(blades).removeprefix(f"{blades.name}: ")
    unit = sheet_unit(sheet)
    lacking = [figure(r.limit, unit) for r in found if r.feeler is None]
    if lacking:
        return False, f"none makes {', '.join(lacking)}; {leaves}"
    stacks = sum(r.leaves > 1 for r in found)
    by = "" if not stacks else f", {stacks} by stacks"
    # The set's own name says the rest: beside a line of the form there is room for no more.
    every = "the figure" if len(found) == 1 else f"all {len(found)} limits"
    return True, f"has {every}{by}; {len(blades.leaves)} leaves"


def better_words(better: BladeSet) -> str:
    """Beside a set that makes no limit of the engine: one that does."""
    return f"Makes no limit here. {better.name} does."


def set_choice(blades: BladeSet, *, own: bool) -> str:
    """A set in the list by its name; a usual set that is not his is told as one."""
    return blades.name if own else f"usual: {blades.name}"


def ahead_lines(
    sheet: Sheet, watched: tuple[Watched, ...], blades: BladeSet | None, *, fewest: bool
) -> tuple[str, ...]:
    """What lies ahead: stops, valves and the blades to wipe, then what to watch."""
    try:
        stops = plan(sheet, fewest=fewest).stops
    except Refusal as refusal:
        return (error_words(refusal),)
    valves = len(sheet.layout.valves)
    wipe = ""
    if blades is not None:
        any_made = any(r.feeler is not None for r in reaches(blades, limits_of(sheet)))
        wipe = f"; {'wipe ' if any_made else ''}{limit_blades(blades, sheet)}"
    first = f"Plan: {_count(len(stops), 'crank stop')}, {_count(valves, 'valve')}{wipe}."
    return (first, *(f"{watched_words(w)}." for w in watched))


def asks_band(sheet: Sheet) -> bool:
    """Whether a single figure is printed and the sheet gives no band of its owner's."""
    printed = sheet.clearances
    singles = any(printed.of(valve).single for valve in sheet.layout.valves)
    return singles and printed.owner_band is None


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
