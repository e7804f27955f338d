"""A whole session in inches, miles and Fahrenheit, and one in metric units: each comes out as typed."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest

from benchtui.cli import main

SHEET = """
format = 1
name = "Slip lorry"
[layout]
cylinders = ["1"]
firing = {{ 1 = 0 }}
valves = {{ 1 = ["1I", "1E"] }}
[clearance]
inlet = {inlet}
exhaust = {exhaust}
condition = "cold"
metal_below = "{below}"
[adjuster]
kind = "screw"
at = "valve"
pitch = "{pitch}"
closes = "clockwise"
[timing]
inlet_opens = "18 BTDC"
inlet_closes = "52 ABDC"
exhaust_opens = "54 BBDC"
exhaust_closes = "22 ATDC"
margin = 20
[interval]
months = 6
distance = "{every}"
"""

INCH = {
    "inlet": '["0.003 in", "0.005 in"]',
    "exhaust": '["0.007 in", "0.009 in"]',
    "below": "95 F",
    "pitch": "1/32 in",
    "every": "3100 mi",
}
METRIC = {
    "inlet": '["0.08 mm", "0.12 mm"]',
    "exhaust": '["0.18 mm", "0.22 mm"]',
    "below": "35 C",
    "pitch": "0.75 mm",
    "every": "5000 km",
}

SCRIPT = """
sheet slip-lorry
blades own
date {day}
odometer {read}
metal {metal}
who M.
position 1 mark slack
1I {a} free
1I {b} refuses
1E {a} free
1E {b} refuses
1E turn out 40
1E lock
1E {c} free
1E {d} refuses
note the screw of 1E is worn
turned over
position 1 mark slack
1E spot {c} free
first run
no leaks
close
"""

IMPERIAL = re.compile(r"\d ?(in|thou|mi|F)\b(?!\s+(goes|range|and set))|[Ii]nch|\bthou\b|miles")
SI = re.compile(r"\d ?(mm|km|C|um)\b|[Mm]illimet|kilomet|Celsius|0\.0762|0\.2032|0\.127\b")


def pages(tmp_path: Path, capsys: pytest.CaptureFixture[str], **units: str) -> Iterator[str]:
    """Everything that the command line prints of two sessions."""
    folder = tmp_path / "data"
    for kind in ("sheets", "blades"):
        (folder / kind).mkdir(parents=True)
    (folder / "sheets" / "slip-lorry.toml").write_text(SHEET.format(**units), encoding="utf-8")
    leaves = ", ".join(f'"{leaf}"' for leaf in units["leaves"].split(", "))
    blades = f'format = 1\nname = "Own set"\nleaves = [{leaves}]\nerror = "{units["error"]}"\n'
    (folder / "blades" / "own.toml").write_text(blades, encoding="utf-8")

    def ran(*argv: str) -> str:
        assert main(["--data", str(folder), *argv]) in (0, 1)
        return capsys.readouterr().out

    for day, read in (("2025-05-02", units["first"]), ("2025-10-20", units["second"])):
        script = tmp_path / "script.txt"
        script.write_text(SCRIPT.format(day=day, read=read, **units), encoding="utf-8")
        yield ran("replay", str(script), "--keep")
    for form in ("text", "markdown", "html"):
        yield ran("card", "last", "--form", form)
    yield ran("card", "last", "--handover")
    yield ran("due")
    yield ran("sheet", "slip-lorry")
    yield ran("due", "--ics", str(tmp_path / "due.ics"))
    yield (tmp_path / "due.ics").read_text(encoding="utf-8")


def bare(page: str) -> str:
    """A page without its style and its sizes, which are no figures of the owner's."""
    return re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)


def test_a_session_in_inches_miles_and_fahrenheit_shows_no_other_units(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    leaves = ", ".join(f"0.{n:03} in" for n in range(2, 13))
    told = {**INCH, "leaves": leaves, "error": "0.0002 in", "metal": "66 F"}
    told |= {"a": "0.003 in", "b": "0.005 in", "c": "0.007 in", "d": "0.009 in"}
    told |= {"first": "61500 mi", "second": "64400 mi"}
    shown = [bare(page) for page in pages(tmp_path, capsys, **told)]
    for page in shown:
        assert not (found := SI.search(page)), page[max(0, found.start() - 60) : found.end() + 20]
    every = "\n".join(shown)
    for wanted in ("64 400 mi", "66 F", "67 500 mi", "0.003-0.005", "0.009 in must refuse"):
        assert wanted in every, wanted


def test_a_metric_session_shows_no_other_units(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    leaves = ", ".join(f"0.{n:02} mm" for n in range(4, 30))
    told = {**METRIC, "leaves": leaves, "error": "0.004 mm", "metal": "19 C"}
    told |= {"a": "0.08", "b": "0.12", "c": "0.18", "d": "0.22"}
    told |= {"first": "61500 km", "second": "64400 km"}
    shown = [bare(page) for page in pages(tmp_path, capsys, **told)]
    for page in shown:
        assert not (found := IMPERIAL.search(page)), page[max(0, found.start() - 60) :][:120]
    every = "\n".join(shown)
    for wanted in ("64 400 km", "19 C", "69 400 km", "0.08-0.12"):
        assert wanted in every, wanted


def test_an_export_names_the_unit_and_has_si_beside(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A mile is 1.609344 km (international yard and pound agreement, 1959), an inch 25.4 mm."""
    told = {**INCH, "leaves": "0.003 in, 0.005 in, 0.007 in, 0.009 in", "error": "0.0002 in"}
    told |= {"a": "0.003 in", "b": "0.005 in", "c": "0.007 in", "d": "0.009 in"}
    told |= {"metal": "66 F", "first": "61500 mi", "second": "64400 mi"}
    list(pages(tmp_path, capsys, **told))
    assert main(["--data", str(tmp_path / "data"), "export"]) == 0
    row = next(csv.DictReader(StringIO(capsys.readouterr().out, newline="")))
    assert (row["odometer_mi"], row["odometer_km"]) == ("61500", "98974.656")
    assert (row["metal_degF"], row["metal_degC"]) == ("66", "18.888889")
    assert (row["found_low_in"], row["found_low_mm"]) == ("0.003", "0.0762")
    assert row["date"] == "2025-05-02"
