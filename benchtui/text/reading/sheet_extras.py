"""What a sheet may have beyond its three tables: source, timing, plan, torques, interval."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from functools import partial

from benchtui.domain.sheet import Interval, Opening, Papers, PrintedStop, Source, Timing, Torque
from benchtui.domain.work_steps import Work, WorkStep
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.checked import Table
from benchtui.text.reading.readers import (
    as_checked,
    as_flag,
    as_label,
    as_number,
    as_quantity,
    as_text,
    as_whole,
    described,
)
from benchtui.text.reading.two_units import leading

FURTHEST = Fraction(120)
"""Degrees from a dead centre at which a valve still opens or closes (design value)."""

_EVENTS = {  # key: the dead centre it is counted from, in degrees after compression TDC
    "inlet_opens": ("TDC", Fraction(360), "28 BTDC"),
    "inlet_closes": ("BDC", Fraction(540), "71 ABDC"),
    "exhaust_opens": ("BDC", Fraction(180), "78 BBDC"),
    "exhaust_closes": ("TDC", Fraction(360), "45 ATDC"),
}


def parse_source(table: Table) -> Source:
    """Where the figures come from; all of it may be missing."""
    return table.record(Source, title=as_text, page=as_label, entered_by=as_text, checked=as_flag)


def parse_papers(table: Table) -> Papers:
    """Whose engine it is, its number plate and its serial number; all of it may be missing."""
    return table.record(Papers, customer=as_text, plate=as_label, serial=as_label)


def parse_timing(table: Table) -> Timing | None:
    """The valve timing, or None where one of its four phrases is missing or faulty."""
    found: dict[str, Fraction] = {}
    for key, (centre, at, example) in _EVENTS.items():
        wanted = f'degrees before or after {centre}, as in "{example}"'
        value = table.need(key, _phrase(centre, at, wanted), wanted)
        if value is not None:
            found[key] = value
    margin = table.get("margin", _margin, Fraction(20))
    table.done()
    if len(found) != len(_EVENTS):
        return None
    inlet = Opening(found["inlet_opens"], found["inlet_closes"])
    exhaust = Opening(found["exhaust_opens"], found["exhaust_closes"])
    return Timing(inlet, exhaust, margin)


def _phrase(centre: str, at: Fraction, wanted: str) -> Callable[[object], Fraction]:
    """A reader of ``28 BTDC``: degrees after the cylinder's own compression TDC."""

    def read(value: object) -> Fraction:
        text = as_text(value).upper()
        if text == centre:
            return at
        found = re.fullmatch(rf"(.*?)\s*([AB]){centre}", text)
        if found is None:
            raise FaultyQuantity(described(value), wanted)
        try:
            degrees = measure.angle(found[1].lower())
        except FaultyQuantity:
            raise FaultyQuantity(described(value), wanted) from None
        if degrees > FURTHEST:
            raise FaultyQuantity(described(value), f"at most {FURTHEST} degrees")
        return at + degrees if found[2] == "A" else at - degrees

    return read


_MARGIN = "0 to 90 degrees, as in 20"


def _degrees(value: object) -> Fraction:
    plain = as_number(Fraction(0), Fraction(90), _MARGIN)
    return measure.angle(value) if isinstance(value, str) else plain(value)


_margin = as_checked(_degrees, lambda margin: margin <= 90, _MARGIN)  # noqa: PLR2004 - as it says


_STOP = re.compile(
    r"(?P<cylinder>[A-Za-z0-9]+) (?P<where>compression|overlap)(?: TDC)?"
    r"(?: ?(?P<sign>[+-]) ?(?P<degrees>[0-9]{1,3}(?:\.[0-9]{1,3})?))?"
)
_STOPS = 'as in "1 compression TDC", "1 overlap TDC" or "1 compression TDC + 180"'


def _stop(value: object) -> tuple[str, str, Fraction]:
    """The words, the cylinder, and degrees after its compression TDC, 0 <= angle < 720."""
    text = " ".join(as_text(value).split())
    found = _STOP.fullmatch(text)
    if found is None:
        raise FaultyQuantity(described(value), _STOPS)
    further = Fraction(found["degrees"] or 0)
    if found["sign"] == "-":
        further = -further
    start = 360 if found["where"] == "overlap" else 0
    return text, found["cylinder"], (start + further) % 720


def parse_plan(tables: tuple[Table, ...]) -> tuple[PrintedStop, ...] | None:
    """The manual's own table, or None where a row is faulty."""
    found: list[PrintedStop] = []
    for table in tables:
        at = table.need("at", _stop, _STOPS)
        wanted = 'the valves of this stop, as in ["1I", "1E"]'
        valves = table.each("valves", as_text, wanted)
        if not table.has("valves"):
            table.fault("valves", "nothing", wanted)
        table.done()
        if at is None or valves is None:
            continue
        table.once("valves", valves, "each valve once a stop")
        found.append(PrintedStop(at[0], at[1], at[2], valves))
    return tuple(found) if len(found) == len(tables) else None


def parse_torques(tables: tuple[Table, ...]) -> tuple[Torque, ...]:
    """The torques; a faulty one is left out."""
    found: list[Torque] = []
    for table in tables:
        what = table.need("what", as_text, 'what is tightened, as in "rocker cover bolts"')
        wanted = 'a torque with its unit, as in "10 lbf*ft" or "12 to 15 lbf*in"'
        value = table.need("value", as_quantity(_torque, "10 lbf*ft"), wanted)
        thread = table.get("thread", as_text, "")
        table.done()
        if what is not None and value is not None:
            found.append(Torque(what, *value, thread=thread))
    return tuple(found)


def _torque(text: str) -> tuple[str, Fraction, Fraction]:
    return (" ".join(text.split()), *measure.torque_nm(leading(text, measure.torque_nm)))


def parse_work(table: Table) -> Work:
    """The steps that this engine wants ticked, in the order of the work; all may be missing."""
    told = [(step, table.take(step.name.lower(), as_text)) for step in WorkStep]
    table.done()
    return tuple((step, words) for step, words in told if words is not None)


_MONTHS = as_whole(1, 240, "whole months, 1 to 240, as in 6")
_DISTANCE = as_checked(
    as_quantity(measure.distance_km, "5000 km"), lambda km: km > 0, "a distance above zero"
)
_HOURS = "hours above zero, as in 100"


def _running(value: object) -> Fraction:
    """Hours of running: the key names the unit, so that a plain number will do."""
    plain = as_number(Fraction(0), Fraction(100_000), _HOURS)
    return measure.hours(value) if isinstance(value, str) else plain(value)


_hours = as_checked(_running, lambda hours: hours > 0, _HOURS)


def parse_interval(table: Table, *, inner: bool = False) -> Interval | None:
    """When a check is due, None where nothing is said."""
    further = partial(parse_interval, inner=True)
    found = Interval(
        table.take("months", _MONTHS),
        table.take("distance", _DISTANCE),
        table.take("hours", _hours),
        None if inner else table.part("first", further),
        None if inner else table.part("after_setting", further),
    )
    table.done()
    return None if found == Interval() else found
