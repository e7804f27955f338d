"""Every stored session as rows with named columns: CSV for a spreadsheet, JSON Lines for programs.

Three kinds of rows: one a session, one a valve in a session, one a blade tried. Columns carry their
unit in the name; ``COLUMNS`` says what each means. They are only ever added to.

Long, because the columns of all three kinds stand beside each other: who reads one wants the others.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from io import StringIO
from typing import Literal

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.counting import set_aside
from benchtui.domain.session.evidence.decision_rule import rule_of
from benchtui.domain.session.facts.events import AfterStep, Event, StepUndone
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Taken
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.valve.blind_repeat import repeated
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord, record_of
from benchtui.domain.typed import as_typed
from benchtui.text.pages.sheet_page import source_words
from benchtui.text.quantities.show import bare, inert, number, stamps
from benchtui.text.words.afterwards import SPOT, crank_words, spot_words, tally_words
from benchtui.text.words.amendment_words import amended_lines
from benchtui.text.words.history_words import ending_words
from benchtui.text.words.stamped import blade_label, gap_unit
from benchtui.text.words.valve_words import verdict_words

BLIND, WHOLE = "blind repeat", "whole free play"

Value = str | int | bool | Fraction | Length | None
Row = Mapping[str, Value]
Kind = Literal["sessions", "valves", "readings"]

_SESSION = {
    "session": "the session's id",
    "engine": "the name the sheet is filed under",
    "engine_name": "what the engine is called",
    "started": "date and time, with the offset from UTC",
    "state": "complete, partial, not closed, practice, set aside, or damaged",
    "who": "who did it",
    "odometer_km": "odometer",
    "hours_h": "hour meter",
    "metal_degC": "temperature of the metal, last taken",
}

_TYPED = {
    "date": "the day it was started, YYYY-MM-DD",
    "odometer_mi": "odometer, where it was typed in miles; odometer_km is the same",
    "metal_degF": "metal, where it was typed in Fahrenheit; metal_degC is the same",
}
"""Of every row, after the others."""

_GAPS = ("range_low", "range_high", "found_low", "found_high", "left_low", "left_high")
"""Gaps that are told in inches as well where the blades are stamped so."""

_BRACKET = {
    "low_mm": "thickest that goes; 0: none did",
    "high_mm": "thinnest that refuses; empty: none did",
    "low_error_mm": "the same low, the blades' errors against us",
    "high_error_mm": "the same high, the blades' errors against us",
    "verdict": "in words, against the range",
}

COLUMNS: dict[Kind, dict[str, str]] = {
    "sessions": {
        **_SESSION,
        "ended": "date and time of the last step",
        "blades": "the blade set",
        "source": "where the figures come from",
        "valves": "how many valves the engine has",
        "steps": "how many steps were recorded, those taken back included",
        "undone": "how many steps were taken back",
        "torques_done": "fastenings ticked, apart by a bar",
        "torques_open": "fastenings not ticked, apart by a bar",
        "missing": "what a complete check lacked at closing, apart by a bar",
        "notes": "all notes, apart by a bar",
        "damage": "where the file stops making sense, and how",
        "rule": "decision rule: plain, proved or feel",
        "stood_h": "how long it had stood",
        "crank": "how the crank was found: cylinder, evidence, signs against it, apart by a bar",
        "turned_over": "whether it was turned over by hand after the last touch",
        "spot_checks": "blades tried again after that, and whether they fitted, apart by a bar",
        "first_run": "whether the first run was told",
        "no_leaks": "whether somebody looked for leaks and saw none",
        "counted": "rags and tools in and out, apart by a bar",
        "put_right": "what was put right after its end, with the figures struck, apart by a bar",
        **_TYPED,
    },
    "valves": {
        **_SESSION,
        "valve": "the valve",
        "kind": "inlet or exhaust",
        "range_low_mm": "setting range, lower end",
        "range_high_mm": "setting range, upper end",
        "owners_band": "whether the width of the range is the owner's own",
        **{f"found_{name}": f"as found: {says}" for name, says in _BRACKET.items()},
        "turned_deg": "all turns together; plus opens the gap",
        "locked": "whether the locknut was done up at the end; empty: it was never touched",
        "read_after": "whether it was measured since it was last touched",
        "shim_found_mm": "shim as found",
        "shim_left_mm": "shim as left",
        **{f"left_{name}": f"as left: {says}" for name, says in _BRACKET.items()},
        "struck": "readings struck out, apart by a bar",
        "set_aside": "readings that stood alone against two, apart by a bar",
        "shim_left_measured_mm": "shim as left, by micrometer",
        "shim_found_measured_mm": "shim as found, by micrometer",
        "spread_least_mm": "blind repeats of what was left: at least so far apart",
        "spread_most_mm": "the same, at most; empty: not known",
        **_TYPED,
        **{f"{name}_in": f"{name}_mm where the blades are stamped in inches" for name in _GAPS},
    },
    "readings": {
        **_SESSION,
        "valve": "the valve",
        "step": "the number of the step in the session",
        "at": "date and time",
        "stage": "as found; turned, nut slack; locked; shim fitted; doubted by the spot-check; "
        "cams back in; spot-check; blind repeat; whole free play",
        "blades_mm": "the stamps, joined by + in a stack",
        "thickness_mm": "best known thickness of the blades",
        "thinnest_mm": "the least it can be",
        "thickest_mm": "the most it can be",
        "answer": "free, drag or refuses",
        "forced": "whether it went only by force, which counts as refuses",
        "struck": "whether it was struck out",
        "set_aside": "whether it stood alone against two",
        "counts": "whether it counts: not struck, set aside or blind, the crank position confirmed",
        **_TYPED,
        "blades_in": "the stamps of inch blades",
    },
}
"""What each column of each kind of row means, in order."""

_PLACES = 6
"""Decimals of a figure that has no end; an inch gap of a metric blade has none."""

FORMULA_NOTE = (
    "In CSV a text that a spreadsheet would take for a formula has an apostrophe set before it; "
    "JSON Lines holds the text as it is."
)


def rows_of(kind: Kind, events: tuple[Event, ...], damage: str = "") -> Iterator[Row]:
    """The rows of one session; ``damage`` is what is wrong with its file, where something is."""
    state = fold(events)
    record = record_of(state)
    shared = _shared(record, damage)
    match kind:
        case "sessions":
            yield {**shared, **_session(state, record, events, damage)}
        case "valves":
            for valve in record.valves:
                yield {**shared, **_in_inches(state, _valve(state, valve))}
        case "readings":
            at = {e.number: e.at.isoformat() for e in events}
            aside = {
                reading.number
                for history in state.valves.values()
                for stage in history.stages
                for reading in set_aside(stage)
            }
            for name, stage_name, taken in _every_reading(state):
                alone = taken.reading.number in aside
                row = _reading(stage_name, taken, at, alone=alone)
                row = {**row, "blades_in": _inch_stamps(state, taken.reading.feeler)}
                yield {**shared, "valve": name, **row}


def csv_text(kind: Kind, rows: Iterable[Row]) -> str:
    """The rows as CSV (RFC 4180, CRLF), every text harmless in a spreadsheet."""
    names = list(COLUMNS[kind])
    text = StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(names)
    writer.writerows([_cell(row.get(name)) for name in names] for row in rows)
    return text.getvalue()


def json_lines(kind: Kind, rows: Iterable[Row]) -> str:
    """The rows as JSON Lines: the same names, numbers as numbers, null where nothing is known."""
    lines = ({name: _plain(row.get(name)) for name in COLUMNS[kind]} for row in rows)
    return "".join(f"{json.dumps(line)}\n" for line in lines)


def columns_text(kind: Kind) -> str:
    """What the columns mean, one a line."""
    width = max(len(name) for name in COLUMNS[kind])
    listed = [f"{name:<{width}}  {says}" for name, says in COLUMNS[kind].items()]
    return "\n".join([*listed, "", FORMULA_NOTE])


_FORMULA = re.compile(r"(^|[;,|\t])(\s*)(?=[=+\-@\uff1d\uff0b\uff0d\uff20])")


def no_formula(text: str) -> str:
    """``text`` so that no spreadsheet runs it, at its start or after what may part cells there.

    Control characters, tabs and line ends among them, are shown instead of kept.
    """
    return _FORMULA.sub(r"\1\2'", inert(text))


def _shared(record: SessionRecord, damage: str) -> Row:
    return {
        "session": record.session,
        "engine": record.engine,
        "engine_name": record.engine_name,
        "started": record.started.isoformat(),
        "state": "damaged" if damage else ending_words(record),
        "who": record.who,
        "odometer_km": record.odometer_km,
        "hours_h": record.hours,
        "metal_degC": record.metal_c,
        "date": record.started.date().isoformat(),
        "odometer_mi": _typed(record.odometer_km, "mi"),
        "metal_degF": _typed(record.metal_c, "F"),
    }


def _typed(value: Fraction | None, unit: str) -> Fraction | None:
    """The figure in the unit that it was typed in, if that is this one."""
    told = None if value is None else as_typed(value, "")
    return told[0] if told is not None and told[1] == unit else None


def _in_inches(state: State, row: Row) -> Row:
    """The row with its gaps in inches beside, where the blades are stamped so."""
    if gap_unit(state.opened.blades) != "in":
        return row
    ends = {name: row.get(f"{name}_mm") for name in _GAPS}
    inches = {
        f"{n}_in": Fraction(v.nm, 25_400_000) for n, v in ends.items() if isinstance(v, Length)
    }
    return {**row, **inches}


def _inch_stamps(state: State, feeler: Feeler) -> str | None:
    unit = gap_unit(state.opened.blades)
    return None if unit == "mm" else blade_label(feeler, inch=True)


def _session(state: State, record: SessionRecord, events: tuple[Event, ...], damage: str) -> Row:
    sheet = state.opened.sheet
    return {
        "ended": record.ended.isoformat(),
        "blades": state.opened.blades.name,
        "source": source_words(sheet.source),
        "valves": len(record.valves),
        "steps": len(events),
        "undone": sum(isinstance(e.fact, StepUndone) for e in events),
        "torques_done": _joined(t.what for t in sheet.torques if t.what in state.torques),
        "torques_open": _joined(t.what for t in sheet.torques if t.what not in state.torques),
        "missing": _joined(record.missing),
        "notes": _joined(record.notes),
        "damage": damage,
        "rule": rule_of(state).value,
        "stood_h": state.particulars.stood_hours,
        "crank": _joined(crank_words(events)),
        "turned_over": AfterStep.TURNED_OVER in state.after,
        "spot_checks": _joined(spot_words(state)),
        "first_run": AfterStep.FIRST_RUN in state.after,
        "no_leaks": AfterStep.NO_LEAKS in state.after,
        "counted": _joined(tally_words(state)),
        "put_right": _joined(amended_lines(state)),
    }


def _valve(state: State, valve: ValveRecord) -> Row:
    setting = valve.setting
    blind = repeated(state, valve.name)
    return {
        "valve": valve.name,
        "kind": valve.kind.value,
        "range_low_mm": None if setting is None else setting.low,
        "range_high_mm": None if setting is None else setting.high,
        "owners_band": valve.owners_band,
        **_gauged("found", valve.found),
        "turned_deg": valve.turned,
        "locked": valve.locked if valve.touched else None,
        "read_after": valve.read_after,
        "shim_found_mm": valve.shim_found,
        "shim_left_mm": valve.shim_left,
        **_gauged("left", valve.left),
        "struck": _joined(str(reading) for reading in valve.struck),
        "set_aside": _joined(str(reading) for reading in valve.set_aside),
        "shim_left_measured_mm": valve.shim_left_measured,
        "shim_found_measured_mm": state.valves[valve.name].found.shim_measured,
        "spread_least_mm": None if blind is None else blind.spread.least,
        "spread_most_mm": None if blind is None else blind.spread.most,
    }


def _gauged(when: str, gauged: Gauged | None) -> Row:
    if gauged is None:
        return {}
    bracket: Bracket = gauged.bracket
    return {
        f"{when}_low_mm": bracket.low,
        f"{when}_high_mm": bracket.high,
        f"{when}_low_error_mm": bracket.wide_low,
        f"{when}_high_error_mm": bracket.wide_high,
        f"{when}_verdict": verdict_words(gauged.verdict),
    }


def _every_reading(state: State) -> Iterator[tuple[str, str, Taken]]:
    """Valve, stage in words, and the reading: valve by valve, those that stand apart last."""
    for name, history in state.valves.items():
        for stage in history.stages:
            yield from ((name, stage.kind.value, taken) for taken in stage.taken)
        for spot in history.spot:
            # A spot-check is only taken at a confirmed position; which one is not kept.
            yield name, SPOT, Taken(spot, spot.number, state.particulars.metal_c)
        for again in (*state.repeats, *([state.repeat] if state.repeat is not None else [])):
            if again.valve == name:
                for blind in again.readings:
                    yield name, BLIND, Taken(blind, None, state.particulars.metal_c)
    for base, whole in state.whole.items():
        yield from ((base, WHOLE, taken) for taken in whole)


def _reading(stage: str, taken: Taken, at: Mapping[int, str], *, alone: bool) -> Row:
    reading, feeler = taken.reading, taken.reading.feeler
    return {
        "step": reading.number,
        "at": at.get(reading.number),
        "stage": stage,
        "blades_mm": stamps(feeler),
        "thickness_mm": feeler.nominal,
        "thinnest_mm": feeler.thinnest,
        "thickest_mm": feeler.thickest,
        "answer": reading.answer.value,
        "forced": reading.forced,
        "struck": taken.struck,
        "set_aside": alone,
        "counts": not (taken.struck or alone) and taken.place is not None,
    }


def _joined(texts: Iterable[str]) -> str:
    return " | ".join(texts)


def _cell(value: Value) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int():
            return str(value)
        case Fraction():
            return number(value, _PLACES)
        case Length():
            return bare(value)
        case _:
            return no_formula(value)


def _plain(value: Value) -> str | int | bool | float | None:
    match value:
        case Fraction():
            return float(number(value, _PLACES))
        case Length():
            return value.in_mm
        case _:
            return value
