"""The lines of a blank form at which valves are measured and set."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchtui.domain.adjusting.pad import PAD_GAP, back_off_for
from benchtui.domain.blades import BladeSet
from benchtui.domain.crank.plan import Plan, Stop
from benchtui.domain.session.evidence.cams import STEPS_BACK
from benchtui.domain.session.evidence.pairs import pair_of
from benchtui.domain.sheet import GapRole, Sheet, Valve, setting_range
from benchtui.text.quantities import show
from benchtui.text.words.form_words import ANSWER, BLADE, NAME, Room, said, stamp
from benchtui.text.words.stamped import band_told

AGAIN = "measure again, always"


def stop_valves(sheet: Sheet, stop: Stop, blades: BladeSet, room: Room) -> Iterator[str]:
    """Every valve of a stop: blades, then what sets it."""
    valves = [v for name in stop.valves if (v := sheet.layout.valve(name)) is not None]
    later = sheet.adjuster.set_by.cams_out
    for valve in valves:
        yield from _found(sheet, valve, blades, room)
        if room is Room.ALL and not later:
            yield from _setting(sheet, valve.name)
    if sheet.adjuster.set_by.shims and room is Room.LEAST:
        yield _shim_found(NAME)
    if room is not Room.ALL and not later:
        for name in _named(stop, room):
            yield from _setting(sheet, name)


def measured_again(planned: Plan, room: Room) -> Iterator[str]:
    """Shims under buckets: what was fitted with the cams out, then the blades at every stop."""
    yield ""
    yield from said("With the cams out, where a shim was changed:")
    for stop in planned.stops:
        for name in _named(stop, room):
            yield f"#{name} shim {BLADE} measured {BLADE}"
    yield from said("Cams back, before the crank is turned; then every valve is measured again.")
    yield from (f"#cams {step.value}" for step in STEPS_BACK)
    for stop in planned.stops:
        angle = f" +{show.number(stop.angle)}" if stop.angle else ""
        if stop.forward is not None and room is not Room.LEAST:
            yield f"#forward {show.number(stop.forward)}"
        yield f"#position {stop.cylinder}{angle} {ANSWER} {ANSWER}"
        for name in _named(stop, room) if room is Room.LEAST else stop.valves:
            yield from [_blank(name)] * 2


def _found(sheet: Sheet, valve: Valve, blades: BladeSet, room: Room) -> Iterator[str]:
    """The limits first, where the set has them: they decide most valves."""
    setting = setting_range(sheet, valve)
    band = sheet.clearances.of(valve) if setting is None else setting.band
    limits = [x for x in dict.fromkeys((band.low, band.high)) if blades.leaf(x) is not None]
    lines = [f"#{valve.name} {stamp(limit)} {ANSWER}" for limit in limits]
    wanted = 2 if room is Room.LEAST or not limits else 3
    lines += [_blank(valve.name)] * (wanted - len(limits))
    role = " closer" if valve.role is GapRole.CLOSER else ""
    lines[0] += f"     # {valve.kind.value}{role}: {band_told(band)}"
    yield from lines
    pair = pair_of(sheet, valve)
    if pair is not None and pair[0] == valve:
        play = f"#{valve.name} whole {BLADE} {ANSWER}"
        yield f"{play}     # the whole free play, opener and closer in one"
        yield play
    if sheet.adjuster.set_by.shims and room is not Room.LEAST:
        yield _shim_found(valve.name)


def _setting(sheet: Sheet, name: str) -> Iterator[str]:
    """What sets one valve, and the blades after it."""
    by = sheet.adjuster.set_by
    if by.shims:
        yield f"#{name} shim {BLADE} measured {BLADE}     # fitted"
        yield f"{_blank(name)}     # {AGAIN}"
    elif by.locked:
        if sheet.adjuster.reckoned:
            degrees = show.number(back_off_for(sheet.adjuster, PAD_GAP))
            yield f"#{name} pad ......     # if in doubt: back from zero, as {degrees}; then blades"
        yield f"#{name} turn ...... ......     # way (in or out) and degrees"
        yield f"#{name} lock"
        yield f"{_blank(name)}     # after locking: {AGAIN}"
    else:
        return
    yield _blank(name)


def _named(stop: Stop, room: Room) -> Sequence[str]:
    """The names before the lines that set the valves of a stop; dots for one to be filled in."""
    match room:
        case Room.ALL:
            return stop.valves
        case Room.HALF:
            return [NAME] * -(-len(stop.valves) // 2)
        case Room.LEAST:
            return [NAME]


def _shim_found(name: str) -> str:
    return f"#{name} shim found {BLADE} measured {BLADE}"


def _blank(name: str) -> str:
    return f"#{name} {BLADE} {ANSWER}"
