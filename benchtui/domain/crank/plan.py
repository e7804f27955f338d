"""The stops of the crank at which every valve is measured once, turning forward only."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from benchtui.domain.crank.angles import (
    ONE_TURN,
    OVERLAP_TDC,
    crank_angle_of,
    cylinder_angle,
    degrees,
    from_dead_centre,
    in_turning_order,
    mark_angle,
    marks_at,
    wrapped,
)
from benchtui.domain.crank.cover import CrankChoice, fewest_stops
from benchtui.domain.crank.faults import faults_of
from benchtui.domain.crank.windows import (
    Authority,
    Permission,
    is_rocking,
    may_measure,
    row_angle,
    rows_at,
    stop_valves,
)
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.sheet import Cylinder, Layout, Sheet


def place_name(angle: Fraction) -> str:
    """Which stroke a cylinder stands at, by its angle: ``COMPRESSION``, ``OVERLAP``, ``+45``."""
    return {Fraction(0): "COMPRESSION", OVERLAP_TDC: "OVERLAP"}.get(angle, f"+{degrees(angle)}")


@dataclass(frozen=True, slots=True)
class Stop:
    """One position of the crank and what is measured there.

    The crank stands at ``crank_angle`` (0 to 720, from the zero of the firing angles), which is
    ``angle`` degrees after the compression TDC of ``cylinder``. ``forward``: degrees to turn from
    the stop before, None at the first. ``mark``: what to look for. ``permissions`` give the valves
    and the reason for each; all are allowed ones. ``rocking``: the cylinders in overlap here of
    which the manual's table has no valve in this stop.
    """

    at: str
    cylinder: str
    angle: Fraction
    crank_angle: Fraction
    forward: Fraction | None
    mark: str
    authority: Authority
    permissions: tuple[Permission, ...]
    rocking: tuple[str, ...]

    @property
    def valves(self) -> tuple[str, ...]:
        """The names of the valves to measure here."""
        return tuple(p.valve for p in self.permissions)

    @property
    def place(self) -> str:
        """Which stroke, in one word: ``COMPRESSION``, ``OVERLAP``; else degrees on, ``+45``."""
        return place_name(self.angle)

    @property
    def name(self) -> str:
        """The one name of this stop wherever it is told: ``CYL 1 COMPRESSION``."""
        return f"CYL {self.cylinder} {self.place}"


@dataclass(frozen=True, slots=True)
class Plan:
    """Stops in turning order. Every valve is in exactly one of them."""

    stops: tuple[Stop, ...]
    authority: Authority

    @property
    def turned(self) -> Fraction:
        """Degrees from the first stop to the last."""
        return sum((s.forward for s in self.stops if s.forward is not None), Fraction(0))


@lru_cache(maxsize=64)
def plan(sheet: Sheet, *, fewest: bool = False) -> Plan:
    """Where to stop and what to measure there.

    The manual's own table is followed where the sheet has it, from its first row on. Else one stop a
    cylinder, in firing order, at its compression TDC; or with ``fewest`` the least number of stops,
    out of the compression TDCs, the marks and the same places one turn on, those that can be seen
    before the others. The order turns forward the least.
    Which zero the firing angles count from changes nothing.

    Raises:
        Refusal: the layout, the timing or the printed plan has a fault (``faults_of``).
    """
    faults = faults_of(sheet.layout, sheet.timing, sheet.plan)
    if faults:
        listed = "; ".join(
            f"{key}: found {found}, wanted {wanted}" for key, found, wanted in faults
        )
        raise Refusal(Why.FAULTY_PLAN, faults=listed)
    if sheet.plan:
        rows = {a for row in sheet.plan if (a := row_angle(sheet, row)) is not None}
        first = row_angle(sheet, sheet.plan[0]) or Fraction(0)
        order = tuple(sorted(rows, key=lambda a: wrapped(a - first)))
        return Plan(_shared_out(sheet, order), Authority.PRINTED)
    authority = Authority.COMPRESSION_ONLY if sheet.timing is None else Authority.GEOMETRY
    if fewest:
        return Plan(_shared_out(sheet, _fewest(sheet)), authority)
    layout = sheet.layout
    stops = {c.firing: c for c in layout.cylinders if c.valves}
    order = in_turning_order(tuple(stops), _datum(layout))
    took = [stop_valves(sheet, stops[a].name) for a in order]
    return Plan(_stops(sheet, order, took), authority)


def _datum(layout: Layout) -> Fraction:
    """The compression TDC of the cylinder named first: a place on the engine, not on paper."""
    return layout.cylinders[0].firing if layout.cylinders else Fraction(0)


def _fewest(sheet: Sheet) -> tuple[Fraction, ...]:
    layout = sheet.layout
    datum = _datum(layout)
    placed = (mark_angle(layout, mark) for mark in layout.marks)
    spots = {c.firing for c in layout.cylinders} | {a for a in placed if a is not None}
    spots |= {wrapped(a + ONE_TURN) for a in spots}
    candidates = tuple(_candidate(sheet, spot, datum) for spot in sorted(spots))
    found = fewest_stops(candidates, frozenset(v.name for v in layout.valves))
    # Every valve rests at its own compression TDC, or faults_of would have said so.
    assert found is not None
    return tuple(wrapped(a + datum) for a in found)


def _candidate(sheet: Sheet, spot: Fraction, datum: Fraction) -> CrankChoice:
    layout = sheet.layout
    rests = frozenset(v.name for v in layout.valves if may_measure(sheet, v, spot).allowed)
    # A place that can be seen beats one that cannot; a compression TDC, which the valves
    # themselves bear out, beats another place.
    unseen = 0 if marks_at(layout, spot) else 2
    loose = 0 if any(c.firing == spot for c in layout.cylinders) else 1
    return CrankChoice(wrapped(spot - datum), unseen + loose, rests)


def _shared_out(sheet: Sheet, order: tuple[Fraction, ...]) -> tuple[Stop, ...]:
    """Each valve goes to its own compression TDC if that is a stop, else to the first that may."""
    took: list[list[Permission]] = [[] for _ in order]
    for valve in sheet.layout.valves:
        offers = [
            (i, p) for i, a in enumerate(order) if (p := may_measure(sheet, valve, a)).allowed
        ]
        own = sheet.layout.cylinder(valve.cylinder)
        at_own = [(i, p) for i, p in offers if own is not None and order[i] == own.firing]
        place, permission = (at_own or offers)[0]
        took[place].append(permission)
    kept = [i for i in range(len(order)) if took[i]]
    return _stops(sheet, tuple(order[i] for i in kept), [tuple(took[i]) for i in kept])


def _stops(
    sheet: Sheet, order: tuple[Fraction, ...], took: list[tuple[Permission, ...]]
) -> tuple[Stop, ...]:
    stops = []
    for i, crank in enumerate(order):
        cylinder = _named_by(sheet.layout, crank)
        angle = cylinder_angle(cylinder, crank)
        rows = rows_at(sheet, crank)
        at = " / ".join(dict.fromkeys(r.at for r in rows)) if rows else _at(cylinder, angle)
        stops.append(
            Stop(
                at=at,
                cylinder=cylinder.name,
                angle=angle,
                crank_angle=crank,
                forward=wrapped(crank - order[i - 1]) if i else None,
                mark=mark_words(sheet.layout, crank),
                authority=took[i][0].authority,
                permissions=took[i],
                rocking=_left_alone(sheet, crank, took[i]),
            )
        )
    return tuple(stops)


def rocking_at(sheet: Sheet, crank_angle: Fraction) -> tuple[str, ...]:
    """The cylinders that are in overlap with the crank here."""
    return tuple(
        c.name
        for c in sheet.layout.cylinders
        if is_rocking(sheet.timing, cylinder_angle(c, crank_angle))
    )


def _left_alone(sheet: Sheet, crank: Fraction, took: tuple[Permission, ...]) -> tuple[str, ...]:
    valves = {p.valve for p in took}
    measured = {v.cylinder for v in sheet.layout.valves if v.name in valves}
    return tuple(name for name in rocking_at(sheet, crank) if name not in measured)


def _named_by(layout: Layout, crank: Fraction) -> Cylinder:
    """The cylinder a stop is called after: one at compression TDC, at overlap TDC, or the first."""
    for angle in (Fraction(0), OVERLAP_TDC):
        for cylinder in layout.cylinders:
            if crank_angle_of(cylinder, angle) == crank:
                return cylinder
    return layout.cylinders[0]


def _at(cylinder: Cylinder, angle: Fraction) -> str:
    return f"{cylinder.name} {from_dead_centre(angle)}"


def mark_words(layout: Layout, crank_angle: Fraction) -> str:
    """Which mark to look for, or how far it is from the nearest one that can be seen."""
    here = marks_at(layout, crank_angle)
    if here:
        return here[0].text or here[0].name
    placed = [(a, m) for m in layout.marks if (a := mark_angle(layout, m)) is not None]
    if not placed:
        return "the top, for which the sheet gives no mark"
    behind, mark = min(((crank_angle - a) % ONE_TURN, m.text or m.name) for a, m in placed)
    return f"no mark of its own: {degrees(behind)} degrees forward from {mark}"
