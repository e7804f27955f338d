"""The metal's heat: whether what is read now may be judged against the sheet.

A clearance is never converted between temperatures: published warm-up tables are not even
monotonic. Without a thermometer the trade's own test is taken: an engine that stood overnight is
cold all through (common practice).
"""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from benchtui.domain.remembering import remembered, replace
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.session.facts.metal_standing import (
    NOT_ASKED,
    MetalBy,
    MetalKind,
    MetalStanding,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.sheet import Clearances, Condition
from benchtui.domain.typed import like, temperature_words

OVERNIGHT = Fraction(8)
"""Hours that count as cold where the sheet names none: "stood overnight" (common practice)."""


def metal_standing(
    clearances: Clearances, particulars: Particulars, told_ago: timedelta | None = None
) -> MetalStanding:
    """How the metal stands to the sheet, by what was told.

    A temperature told outranks hours stood and somebody's word. ``told_ago`` is how long ago the
    heat was told: on a hot-set sheet it goes stale after ``clearances.heat_lasts`` minutes.
    """
    hot = clearances.condition is Condition.HOT
    stood_wanted = _stood_wanted(clearances)
    if not (_bounded(clearances) or stood_wanted or (hot and clearances.heat_lasts)):
        return NOT_ASKED
    bare = MetalStanding(
        MetalKind.NOT_TOLD,
        below=clearances.metal_below,
        above=clearances.metal_above,
        metal_c=particulars.metal_c,
        stood=particulars.stood_hours,
        stood_wanted=stood_wanted,
        hot_set=hot,
    )
    if hot and particulars.tells_heat and _stale(clearances, told_ago):
        return replace(bare, stale=True)
    if particulars.metal_c is not None and _bounded(clearances):
        kind = _by_figure(clearances, particulars.metal_c)
        return replace(bare, kind=kind, by=MetalBy.FIGURE)
    if hot and particulars.at_heat is not None:
        kind = MetalKind.RIGHT if particulars.at_heat else MetalKind.TOO_COOL
        return replace(bare, kind=kind, by=MetalBy.WORD)
    if particulars.at_heat:
        return replace(bare, kind=MetalKind.TOO_WARM, by=MetalBy.WORD)
    return _by_hours(bare, bounded=_bounded(clearances))


def _by_figure(clearances: Clearances, metal_c: Fraction) -> MetalKind:
    below, above = clearances.metal_below, clearances.metal_above
    if below is not None and metal_c >= below:
        return MetalKind.TOO_WARM
    return MetalKind.TOO_COOL if above is not None and metal_c <= above else MetalKind.RIGHT


def _by_hours(bare: MetalStanding, *, bounded: bool) -> MetalStanding:
    if bare.stood is None or bare.stood_wanted is None:
        # Hours alone were asked and not told: the sheet's words stand among the cautions.
        return bare if bounded or bare.hot_set else NOT_ASKED
    if bare.stood >= bare.stood_wanted:
        return replace(bare, kind=MetalKind.RIGHT, by=MetalBy.STOOD)
    # Too short a stand may be made good by a thermometer, where the sheet has a figure for it.
    kind = MetalKind.NOT_TOLD if bounded else MetalKind.TOO_WARM
    return replace(bare, kind=kind, by=MetalBy.STOOD)


def metal_now(state: State) -> MetalStanding:
    """How the metal stands in this session, as of its last step."""
    clearances, told = state.opened.sheet.clearances, state.particulars
    ago = None if state.metal_at is None else state.at - state.metal_at
    if clearances.condition is Condition.HOT:  # it cools: not the same at the next step
        return metal_standing(clearances, told, ago)
    # By its identity, which stays its own while it is kept with the answer: its hash is slow to make.
    key = ("metal", id(told))
    return remembered(state.opened, key, lambda: (told, metal_standing(clearances, told)))[1]


def touched_in_wrong_metal(state: State, name: str) -> MetalStanding | None:
    """The metal in which this valve was last turned or locked, where it is known to have been wrong.

    The touch is kept; what it left is to be measured again in metal as the sheet asks. None once it
    has been read since.
    """
    stage = state.valves[name].current
    touched = stage.kind in (StageKind.TURNED, StageKind.LOCKED) and stage.unread
    wrong = stage.metal.kind in (MetalKind.TOO_WARM, MetalKind.TOO_COOL)
    return stage.metal if touched and wrong else None


def bounds_wanted(standing: MetalStanding) -> str:
    """``below 35 C``, ``above 60 C`` or both; empty where the sheet prints no figure."""
    below, above = standing.below, standing.above
    bounds = [f"below {_beside(below, standing)}"] if below is not None else []
    bounds += [f"above {_beside(above, standing)}"] if above is not None else []
    return " and ".join(bounds)


def metal_words(standing: MetalStanding) -> str:
    """Why nothing may be judged in this metal, and what to do; empty where it may.

    ``62 C, too warm: wait until it is below 35 C``.
    """
    match standing.kind:
        case MetalKind.RIGHT | MetalKind.NOT_ASKED:
            return ""
        case MetalKind.NOT_TOLD:
            return _not_told(standing)
        case MetalKind.TOO_WARM:
            limit = (
                "cold" if standing.below is None else f"below {_beside(standing.below, standing)}"
            )
            return f"{how_warm(standing)}: wait until it is {limit}"
        case MetalKind.TOO_COOL:
            limit = (
                "to running heat"
                if standing.above is None
                else f"above {_beside(standing.above, standing)}"
            )
            how = "run it up" if standing.hot_set else "warm it"
            return f"{how_warm(standing)}: {how} {limit}"


def how_warm(standing: MetalStanding) -> str:
    """``62 C, too warm``, ``stood 2 h of 6 h, too warm``, ``at running heat, too warm``."""
    wrong = standing.kind.value
    if standing.by is MetalBy.FIGURE and standing.metal_c is not None:
        return f"{temperature_words(standing.metal_c)}, {wrong}"
    if standing.by is MetalBy.STOOD:
        return f"{_hours(standing)}, {wrong}"
    return f"{'not at' if standing.hot_set else 'at'} running heat, {wrong}"


def read_in(standing: MetalStanding) -> str:
    """In what wrong metal something was read: ``read at 62 C, too warm``."""
    if standing.kind is MetalKind.NOT_TOLD:
        return "the metal's heat was not told when this was read"
    at = "" if standing.by is not MetalBy.FIGURE else "at "
    return f"read {at}{how_warm(standing)}"


def metal_note(standing: MetalStanding) -> str:
    """What the metal was judged by where it was no thermometer: ``taken as cold: stood 12 h``."""
    if standing.kind is not MetalKind.RIGHT:
        return ""
    if standing.by is MetalBy.STOOD and standing.stood is not None:
        return f"taken as cold: stood {_figure(standing.stood)} h"
    return "taken as hot: told so, no temperature" if standing.by is MetalBy.WORD else ""


def _not_told(standing: MetalStanding) -> str:
    if standing.hot_set:
        wanted = bounds_wanted(standing)
        asked = f"the sheet wants it {wanted}" if wanted else "is it at running heat?"
        if standing.stale:
            return f"the heat told is too old, the metal cools: tell it again, {asked}"
        return f"the metal's heat is not told: {asked}"
    hours = (
        "" if standing.stood_wanted is None else f", or stood {_figure(standing.stood_wanted)} h"
    )
    wanted = f"the sheet wants it {bounds_wanted(standing)}{hours}"
    if standing.by is MetalBy.STOOD:
        return f"{_hours(standing)}: tell the metal's temperature; {wanted}"
    return f"the metal's temperature is not told; {wanted}"


def _hours(standing: MetalStanding) -> str:
    wanted = standing.stood_wanted or OVERNIGHT
    return f"stood {_figure(standing.stood or Fraction(0))} h of {_figure(wanted)} h"


def _bounded(clearances: Clearances) -> bool:
    return clearances.metal_below is not None or clearances.metal_above is not None


def _stood_wanted(clearances: Clearances) -> Fraction | None:
    """Hours that count as cold; none where the sheet wants the metal warmer than so much."""
    if clearances.condition is Condition.HOT:
        return None
    if clearances.stood_hours is not None:
        return clearances.stood_hours
    to_be_cool = clearances.metal_below is not None and clearances.metal_above is None
    return OVERNIGHT if to_be_cool else None


def _stale(clearances: Clearances, told_ago: timedelta | None) -> bool:
    lasts = clearances.heat_lasts
    return told_ago is not None and lasts is not None and told_ago > timedelta(minutes=float(lasts))


def _beside(limit: Fraction, standing: MetalStanding) -> str:
    """A limit of the sheet in the unit in which the metal was told, for the two are compared."""
    told = standing.metal_c
    return temperature_words(limit if told is None else like(Fraction(limit), told))


def _figure(value: Fraction) -> str:
    return f"{float(round(value, 1)):g}"
