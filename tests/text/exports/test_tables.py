"""CSV and JSON Lines of sessions."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from io import StringIO

import pytest

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    Event,
    Evidence,
    Fact,
    ItemCounted,
    Locked,
    Noted,
    Opened,
    Particulars,
    ParticularsEntered,
    PositionConfirmed,
    ReadingStruck,
    ReadingTaken,
    RepeatBegun,
    RepeatEnded,
    ScrewTurned,
    ShimFitted,
    Sign,
    SignSeen,
    SpotChecked,
    StepUndone,
    TorqueDone,
)
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.store.library import sheet_of_file
from benchtui.store.paths import shipped_specs
from benchtui.text.exports.tables import (
    BLIND,
    COLUMNS,
    WHOLE,
    Kind,
    columns_text,
    csv_text,
    json_lines,
    no_formula,
    rows_of,
)
from benchtui.text.words.afterwards import SPOT

SHEET = sheet_of_file(shipped_specs() / "quay-pump.toml")
BLADES = BladeSet("Fine", tuple(Leaf(Length.mm(m)) for m in ("0.05", "0.06", "0.08", "0.10")))
KINDS: tuple[Kind, ...] = ("sessions", "valves", "readings")


def events(facts: Sequence[Fact], who: str = "M.") -> tuple[Event, ...]:
    opened = Opened(
        "20260501-q",
        SHEET,
        "fine",
        BLADES,
        Particulars(odometer_km=Fraction(124003, 10), metal_c=Fraction(19), who=who),
    )
    start = datetime(2026, 5, 1, 9, 0, tzinfo=UTC)
    every: list[Fact] = [opened, *facts]
    return tuple(Event(n, start + timedelta(minutes=n), f) for n, f in enumerate(every, 1))


def tried(valve: str, mark: str, answer: Answer) -> ReadingTaken:
    return ReadingTaken(valve, BLADES.feeler(Length.mm(mark)), answer)


SESSION = events(
    [
        PositionConfirmed("1", Fraction(0), (Evidence.MARK, Evidence.SLACK), ("1I", "1E")),
        tried("1I", "0.06", Answer.FREE),
        tried("1I", "0.10", Answer.REFUSES),
        tried("1E", "0.05", Answer.FREE),
        tried("1E", "0.08", Answer.REFUSES),
        tried("1E", "0.06", Answer.DRAG),
        ReadingStruck(7),
        ScrewTurned("1E", Way.IN, Fraction(45, 2)),
        Locked("1E"),
        TorqueDone("rocker cover bolts"),
        Noted('=cmd|"/c calc"!A1', "1E"),
        Noted("-2+3"),
        Noted("undone"),
        StepUndone(14),
    ]
)


def read_csv(kind: Kind, session: tuple[Event, ...] = SESSION) -> list[dict[str, str]]:
    text = csv_text(kind, rows_of(kind, session))
    return list(csv.DictReader(StringIO(text, newline="")))


def test_a_row_a_valve_with_found_turned_and_left() -> None:
    inlet, exhaust = read_csv("valves")
    assert (inlet["found_low_mm"], inlet["found_high_mm"]) == ("0.06", "0.10")
    assert inlet["found_verdict"] == "in range"
    assert inlet["left_high_mm"] == "0.10"
    assert (inlet["found_low_error_mm"], inlet["found_high_error_mm"]) == ("0.055", "0.105")
    assert (exhaust["range_low_mm"], exhaust["range_high_mm"]) == ("0.08", "0.12")
    assert exhaust["turned_deg"] == "-22.5"
    assert exhaust["locked"] == "yes"
    assert inlet["locked"] == ""  # nobody has touched it
    assert exhaust["read_after"] == "no"
    assert exhaust["left_low_mm"] == ""
    assert exhaust["struck"] == "0.06 drag"
    assert exhaust["odometer_km"] == "12400.3"


def test_a_row_a_session() -> None:
    (row,) = read_csv("sessions")
    assert row["state"] == "not closed"
    assert row["torques_done"] == "rocker cover bolts"
    assert row["torques_open"] == "adjuster locknuts"
    assert (row["steps"], row["undone"]) == ("15", "1")
    assert "undone" not in row["notes"]


def test_a_row_a_blade_tried_struck_ones_among_them() -> None:
    rows = read_csv("readings")
    assert [r["blades_mm"] for r in rows] == ["0.06", "0.10", "0.05", "0.08", "0.06"]
    assert [r["struck"] for r in rows] == ["no", "no", "no", "no", "yes"]
    assert [r["counts"] for r in rows] == ["yes", "yes", "yes", "yes", "no"]
    assert rows[0]["step"] == "3"
    assert rows[0]["at"] == "2026-05-01T09:03:00+00:00"


def test_damage_stands_in_the_row_and_the_state() -> None:
    (row,) = rows_of("sessions", SESSION, "line 9: the checksum does not fit")
    assert row["state"] == "damaged"
    assert row["damage"] == "line 9: the checksum does not fit"


@pytest.mark.parametrize("kind", KINDS)
def test_every_column_is_filled_somewhere_and_documented_with_its_unit(kind: Kind) -> None:
    rows = list(rows_of(kind, SESSION))
    assert rows
    assert all(set(row) <= set(COLUMNS[kind]) for row in rows)
    may_lack = {"hours_h", "stood_h", "shim_found_mm", "shim_left_mm"}
    may_lack |= {"shim_found_measured_mm", "shim_left_measured_mm"}
    may_lack |= {"spread_least_mm", "spread_most_mm", "odometer_mi", "metal_degF"}
    may_lack |= {name for name in COLUMNS[kind] if name.endswith("_in")}
    always = {name for name in COLUMNS[kind] if all(row.get(name) is None for row in rows)}
    assert always <= may_lack | {"left_high_mm"}
    assert columns_text(kind).count("\n") >= len(COLUMNS[kind])


@pytest.mark.parametrize("kind", KINDS)
def test_json_lines_hold_the_same_as_the_csv(kind: Kind) -> None:
    lines = [json.loads(line) for line in json_lines(kind, rows_of(kind, SESSION)).splitlines()]
    table = read_csv(kind)
    assert [list(line) for line in lines] == [list(COLUMNS[kind])] * len(table)
    for line, row in zip(lines, table, strict=True):
        for name, value in line.items():
            if isinstance(value, bool):
                assert row[name] == ("yes" if value else "no")
            elif isinstance(value, int | float):
                assert float(row[name]) == value
            elif value is None:
                assert row[name] == ""
            else:
                assert row[name] == no_formula(value)


def test_json_lines_keep_texts_as_they_are_and_escape_what_a_terminal_obeys() -> None:
    session = events([Noted("\x1b[2J=1+1")])
    text = json_lines("sessions", rows_of("sessions", session))
    assert "\x1b" not in text
    assert json.loads(text)["notes"] == "\x1b[2J=1+1"


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "  =1",
        "a;=1+1",
        "a,=1+1",
        "a\t=1",
        "\uff1d1+1",
        "\r=1",
        "x|=cmd",
    ],
)
def test_no_text_is_a_formula_whatever_parts_the_cells(text: str) -> None:
    session = events([Noted(text)], who=text)
    for kind in KINDS[:2]:
        out = csv_text(kind, rows_of(kind, session))
        for separator in ",;\t|":
            for row in csv.reader(StringIO(out, newline=""), delimiter=separator):
                for cell in row:
                    bare = cell.strip().strip('"').strip()
                    started = bare[:1] in ("=", "+", "@", "\uff1d", "\t", "\r")
                    minus = bare.startswith("-") and not bare[1:].replace(".", "").isdigit()
                    assert not started, (separator, cell)
                    assert not minus, (separator, cell)


def test_numbers_below_zero_stay_numbers() -> None:
    text = csv_text("valves", rows_of("valves", SESSION))
    assert ",-22.5," in text


def test_csv_has_crlf_and_no_control_characters() -> None:
    """RFC 4180, section 2."""
    text = csv_text("sessions", rows_of("sessions", events([Noted("a\x1b[31m\nb")])))
    assert text.endswith("\r\n")
    assert text.count("\r\n") == text.count("\n") == 2
    assert "\x1b" not in text


AFTERWARDS = events(
    [
        ParticularsEntered(Particulars(stood_hours=Fraction(6))),
        ItemCounted("rags", 4, inwards=True),
        SignSeen("1", Sign.STAYS),
        PositionConfirmed("1", Fraction(0), (Evidence.MARK, Evidence.INLET), ("1I", "1E")),
        tried("1E", "0.08", Answer.FREE),
        tried("1E", "0.10", Answer.REFUSES),
        RepeatBegun("1E"),
        tried("1E", "0.06", Answer.FREE),
        tried("1E", "0.08", Answer.REFUSES),
        RepeatEnded("1E"),
        AfterStepDone(AfterStep.TURNED_OVER),
        PositionConfirmed("1", Fraction(0), (Evidence.MARK, Evidence.SLACK), ("1I", "1E")),
        SpotChecked("1E", BLADES.feeler(Length.mm("0.08")), Answer.DRAG, fits=True),
        ItemCounted("rags", 3, inwards=False),
        AfterStepDone(AfterStep.FIRST_RUN),
    ]
)


def test_a_row_a_session_tells_the_crank_and_what_came_after() -> None:
    (row,) = read_csv("sessions", AFTERWARDS)
    assert row["rule"] == "plain"
    assert row["stood_h"] == "6"
    assert row["crank"].endswith(
        " | CYL 1 COMPRESSION: mark, inlet | CYL 1 COMPRESSION: mark, slack"
    )
    assert (row["turned_over"], row["first_run"], row["no_leaks"]) == ("yes", "yes", "no")
    assert row["spot_checks"] == "1E 0.08 drag, fits"
    assert row["counted"] == "rags 4 in, 3 out"


def test_readings_that_stand_apart_have_their_own_stage_and_step() -> None:
    rows = read_csv("readings", AFTERWARDS)
    told = [(r["stage"], r["blades_mm"], r["answer"], r["step"], r["counts"]) for r in rows]
    assert told == [
        ("as found", "0.08", "free", "6", "yes"),
        ("as found", "0.10", "refuses", "7", "yes"),
        ("spot-check", "0.08", "drag", "14", "yes"),
        ("blind repeat", "0.06", "free", "9", "no"),
        ("blind repeat", "0.08", "refuses", "10", "no"),
    ]


def test_a_row_a_valve_tells_the_spread_of_blind_repeats() -> None:
    _, exhaust = read_csv("valves", AFTERWARDS)
    assert (exhaust["spread_least_mm"], exhaust["spread_most_mm"]) == ("0.00", "0.04")


def test_a_row_a_valve_tells_the_micrometer_beside_the_stamp() -> None:
    told = events([ShimFitted("1E", Length.mm("2.80"), Length.mm("2.79"))])
    _, exhaust = read_csv("valves", told)
    assert (exhaust["shim_left_mm"], exhaust["shim_left_measured_mm"]) == ("2.80", "2.79")
    assert exhaust["shim_found_measured_mm"] == "2.79"


def test_every_stage_a_reading_may_stand_in_is_documented() -> None:
    said = COLUMNS["readings"]["stage"].split("; ")
    assert said == [*(kind.value for kind in StageKind), SPOT, BLIND, WHOLE]
