"""How far to turn an eccentric, learned from what was read at this valve in this session."""

from __future__ import annotations

from fractions import Fraction

from benchtui.domain.adjusting.eccentric import FARTHEST, FIRST, Stand, check_side, eccentric_turn
from benchtui.domain.adjusting.turns import Turn, closing_way, rotation_of
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, midpoint
from benchtui.domain.session.evidence.counting import gap_of, gauged
from benchtui.domain.session.facts.state import State
from benchtui.domain.sheet import Adjuster, Band

LEARN_FIRST = (
    "How far this eccentric moves the gap is not known yet: turn it so far, gauge it again, and the "
    "two readings tell."
)
CUT_SHORT = "More will be wanted: gauge it on the way, for an eccentric moves less and less."
STOP = "Stop where the gap begins to go back: that is its turning point."


def stands(state: State, name: str) -> list[Stand]:
    """What was gauged at which angle, in order; angles grow the way that should open the gap."""
    opening = closing_way(state.opened.sheet.adjuster).other
    angle, found = Fraction(0), []
    for stage in state.valves[name].stages:
        for turn in stage.turns:
            angle += turn.degrees if turn.way is opening else -turn.degrees
        if gauged(stage):
            found.append(Stand(angle, gap_of(stage)))
    return found


def eccentric_advice(state: State, name: str, band: Band) -> tuple[Turn, str]:
    """The turn to make at a valve that was just gauged, and what to say with it.

    Raises:
        Refusal: the bracket is open or lies on both sides of the middle, the turning point has
            been passed, or the blades do not show which way the gap moves.
    """
    known = stands(state, name)
    adjuster = state.opened.sheet.adjuster
    now = known[-1].bracket if known else Bracket()
    if now.high is not None and not now.clash and len({s.angle for s in known}) == 1:
        check_side(now, band)
        closes = midpoint(now.low, now.high) > band.middle
        return _turn(adjuster, band, (FIRST, FIRST, FIRST), opens=not closes), LEARN_FIRST
    advised = eccentric_turn(known, band)
    ends = sorted(min(abs(end), FARTHEST) for end in (advised.degrees_low, advised.degrees_high))
    span = (abs(advised.degrees), ends[0], ends[1])
    note = f"{CUT_SHORT} {STOP}" if advised.cut_short else STOP
    return _turn(adjuster, band, span, opens=advised.degrees > 0, wanted=_wanted(now, band)), note


def _wanted(now: Bracket, band: Band) -> bool:
    """Whether the gap is to become smaller."""
    assert now.high is not None
    return (now.low - band.middle) + (now.high - band.middle) > ZERO


def _turn(
    adjuster: Adjuster,
    band: Band,
    span: tuple[Fraction, Fraction, Fraction],
    *,
    opens: bool,
    wanted: bool | None = None,
) -> Turn:
    """``opens`` is the way along the scale of angles, ``wanted`` whether the gap is to close."""
    way = closing_way(adjuster).other if opens else closing_way(adjuster)
    closes = not opens if wanted is None else wanted
    return Turn(way, rotation_of(way, adjuster), closes, *span, band.middle)
