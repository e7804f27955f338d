"""A sheet written by the form reads back as it was answered; one changed by it keeps the rest."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.length import Length
from benchtui.domain.sheet import AdjusterKind, Band, ScrewEnd, ValveKind
from benchtui.store.paths import shipped_specs
from benchtui.text.forms.engine_fields import DEFAULTS, FIELDS
from benchtui.text.forms.engine_form import copied, examine, file_name
from benchtui.text.forms.sheet_out import answers_of, changed_sheet, new_sheet
from benchtui.text.reading.sheet_file import parse_sheet

SHEETS = sorted(shipped_specs().glob("*.toml"))

SINGLE = {
    **DEFAULTS,
    "name": "Net hauler",
    "cylinders": "1",
    "book": "Hauler's book",
    "page": "12",
    "inlet": ".06-.10 mm",
    "exhaust": ".08-.12",
    "metal_below": "35",
    "stood": "4",
    "kind": "screw",
    "thread": "M6x0.75",
    "turns": "anticlockwise from the flywheel",
    "mark": "line on the flywheel at the case rib",
    "every": "6 months, 100 h",
    "locknut": "8 N m",
    "cover": "10 lbf ft",
}


def test_a_single_answered_in_short_becomes_the_sheet_a_person_would_have_written() -> None:
    done = examine(SINGLE)
    assert done.musts == (5, 5)
    sheet = done.sheet
    assert sheet is not None
    assert sheet.key == "net-hauler"
    assert [v.name for v in sheet.layout.valves] == ["1I", "1E"]
    bands = {k: b for k, _, b in sheet.clearances.printed}
    assert bands[ValveKind.INLET] == Band(Length.mm("0.06"), Length.mm("0.10"))
    assert bands[ValveKind.EXHAUST] == Band(Length.mm("0.08"), Length.mm("0.12"))
    assert sheet.clearances.metal_below == 35
    assert sheet.clearances.stood_hours == 4
    assert sheet.adjuster.pitch == Length.mm("0.75")
    assert sheet.interval is not None
    assert (sheet.interval.months, sheet.interval.hours) == (6, Fraction(100))
    assert {t.what for t in sheet.torques} == {"adjuster locknuts", "rocker cover bolts"}
    assert not sheet.source.checked, "nothing was read twice yet"
    assert 'inlet = ["0.06 mm", "0.10 mm"]' in done.text
    assert done.text.count("[[torque]]") == 2
    assert examine(SINGLE, checked=True).sheet.source.checked  # type: ignore[union-attr]


def test_a_four_asks_for_its_firing_order_and_its_lever() -> None:
    four = {**SINGLE, "cylinders": "4", "firing": "1-3-4-2", "at": "pushrod", "ratio": "1,5"}
    sheet = examine(four).sheet
    assert sheet is not None
    # The firing order 1-3-4-2, 180 degrees apart: common practice of four cylinders in line.
    assert {c.name: c.firing for c in sheet.layout.cylinders} == {
        "1": 0,
        "3": 180,
        "4": 360,
        "2": 540,
    }
    assert sheet.adjuster.at is ScrewEnd.PUSHROD
    assert sheet.adjuster.ratio == Fraction(3, 2)
    assert "firing" not in {f.id for f in examine(SINGLE).fields}
    missing = examine({k: v for k, v in four.items() if k != "firing"})
    assert missing.sheet is None
    assert missing.musts == (5, 6)


@pytest.mark.parametrize(
    ("line", "typed", "wanted"),
    [
        ("inlet", ".06-.10", None),  # taken in the exhaust's unit
        ("inlet", "0.10 to 0.06 mm", "smaller figure first"),
        ("inlet", "six", "a range as the manual prints it"),
        ("thread", "0.75", "0.75 mm"),
        ("locknut", "8", "N m, lbf ft or lbf in"),
        ("cylinders", "13", "1 to 12"),
        ("every", "when it rattles", "months, hours or a distance"),
        ("metal_below", "warm", "temperature"),
        ("name", "Quay pump", "of that name already"),
    ],
)
def test_a_fault_stands_beside_its_own_line_and_nothing_else_changes(
    line: str, typed: str, wanted: str | None
) -> None:
    answers = {**SINGLE, "exhaust": ".08-.12 mm", line: typed}
    found = examine(answers, taken=["quay-pump"])
    bad = {id_ for id_, remark in found.remarks.items() if not remark.good}
    if wanted is None:
        assert bad == set()
        return
    assert bad == {line}
    assert wanted in found.remarks[line].words
    assert found.sheet is None


def test_a_figure_without_any_unit_is_asked_about_never_guessed() -> None:
    found = examine({**SINGLE, "inlet": ".06-.10", "exhaust": ".08-.12"})
    assert (
        found.remarks["inlet"].words == "0.06 to 0.10 of what? its unit behind it: mm, thou or in"
    )
    assert found.sheet is None


@pytest.mark.parametrize("path", SHEETS, ids=lambda p: p.stem)
def test_answering_what_stands_there_already_changes_no_letter_of_a_file(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    checked = parse_sheet(text, path.stem, str(path)).source.checked
    assert changed_sheet(text, answers_of(text), checked=checked) == text


@pytest.mark.parametrize("path", SHEETS, ids=lambda p: p.stem)
def test_one_answer_changed_leaves_every_other_line_and_comment(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    answers = {**answers_of(text), "page": "99", "turns": "the other way, from the fan"}
    after = changed_sheet(text, answers, checked=False)
    sheet = parse_sheet(after, path.stem, "after")
    assert sheet.source.page == "99"
    assert sheet.layout.turns == "the other way, from the fan"
    kept = [line for line in text.splitlines() if not line.startswith(("source", "turns"))]
    assert [ln for ln in after.splitlines() if not ln.startswith(("source", "turns"))] == kept


def test_comments_survive_a_change_on_their_own_line() -> None:
    text = (
        '# Mine.\nformat = 1\nname = "Pump"\n\n[layout]\ncylinders = ["1"]\n'
        'valves = { 1 = ["1I", "1E"] }\n\n[clearance]\n'
        'inlet = ["0.06 mm", "0.10 mm"]   # read by lamp light\nexhaust = "0.10 mm"\n\n'
        '[adjuster]\nkind = "screw"  # brass\n'
    )
    after = changed_sheet(text, {**answers_of(text), "inlet": "3 to 5 thou"})
    assert 'inlet = ["3 thou", "5 thou"]   # read by lamp light' in after
    assert after.replace('"3 thou", "5 thou"', '"0.06 mm", "0.10 mm"') == text


def test_of_an_example_no_figure_is_copied_and_of_ones_own_everything_but_the_name() -> None:
    text = (shipped_specs() / "harbour-van.toml").read_text(encoding="utf-8")
    example = copied(text, own=False)
    assert set(example) <= {"cylinders", "firing", "valves", "kind", "at", "closes", "under_bucket"}
    assert example["firing"] == "1-3-4-2"
    own = copied(text, own=True)
    assert own["inlet"] == "0.15 mm to 0.25 mm"
    assert "name" not in own


WORDS = st.text(
    st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=30
).filter(lambda t: t.strip())
HUNDREDTHS = st.integers(1, 60)


@given(
    title=WORDS,
    turns=WORDS,
    ends=st.tuples(HUNDREDTHS, HUNDREDTHS).map(sorted),
    unit=st.sampled_from(["mm", "thou"]),
    count=st.integers(1, 12),
    kind=st.sampled_from(["screw", "pillar nut", "eccentric"]),
    months=st.integers(1, 240),
)
def test_what_is_written_reads_back_as_it_was_answered(  # noqa: PLR0917  one line each
    title: str, turns: str, ends: list[int], unit: str, count: int, kind: str, months: int
) -> None:
    low, high = ends
    figures = f"{low / 100:.2f} to {high / 100:.2f} mm" if unit == "mm" else f"{low}-{high} thou"
    names = [str(n + 1) for n in range(count)]
    answers = {
        **DEFAULTS,
        "name": "Engine",
        "cylinders": str(count),
        "firing": ", ".join(f"{n} {at * 50}" for at, n in enumerate(names)),
        "book": title,
        "turns": turns,
        "inlet": figures,
        "exhaust": figures,
        "kind": kind,
        "every": f"{months} months",
    }
    text = new_sheet(answers)
    sheet = parse_sheet(text, "engine", "engine")
    band = sheet.clearances.printed[0][2]
    scale = Length.mm(Fraction(1, 100)) if unit == "mm" else Length(25_400)
    assert (band.low, band.high) == (scale * low, scale * high)
    assert sheet.source.title == title.strip()
    assert sheet.layout.turns == turns.strip()
    assert [c.name for c in sheet.layout.cylinders] == names
    assert sheet.adjuster.kind is AdjusterKind(kind)
    assert sheet.interval is not None
    assert sheet.interval.months == months
    # Answered again with what stands there, not a letter changes.
    assert changed_sheet(text, answers_of(text)) == text


def test_every_line_explains_itself_with_an_example_and_fits_a_narrow_screen() -> None:
    for field in FIELDS:
        assert field.help.endswith(".")
        assert len(field.help) <= 108, field.id
        assert len(field.label) <= 14


def test_a_name_becomes_a_file_name_that_is_safe_anywhere() -> None:
    assert file_name("Quay pump 2") == "quay-pump-2"
    assert file_name("../../Øre: net\n") == "re-net"


@pytest.mark.parametrize(
    ("typed", "echoed"),
    [
        ("0.006 to 0.008 in", "0.006 to 0.008 in (0.152 to 0.203 mm)"),
        ("0.06 to 0.10 mm", "0.06 to 0.10 mm (2.4 to 3.9 thou)"),
    ],
)
def test_a_range_comes_back_in_the_unit_of_the_page_first(typed: str, echoed: str) -> None:
    """The other unit beside it (25.4 mm to the inch)."""
    assert examine({"inlet": typed, "exhaust": typed}).remarks["inlet"].words == echoed


@pytest.mark.parametrize(
    ("line", "typed", "said"),
    [
        ("exhaust", "1.5-2.0 mm", "so wide, printed so?"),
        ("metal_below", "350", "not cold, printed so?"),
    ],
)
def test_a_figure_that_no_book_prints_is_asked_about(line: str, typed: str, said: str) -> None:
    """No small engine's clearance is over a millimetre, nor its metal cold at 60 C (common practice)."""
    done = examine(SINGLE | {line: typed})
    assert said in done.remarks[line].words
    assert said not in examine(SINGLE).remarks[line].words


def test_an_engines_name_is_no_cylinder() -> None:
    assert not examine(SINGLE | {"cylinders": "Shed washer"}).remarks["cylinders"].good
    assert examine(SINGLE | {"cylinders": "F R", "firing": "F 0, R 412"}).remarks["cylinders"].good


@pytest.mark.parametrize("said", ["none", "No", "-"])
def test_no_decompressor_is_no_instruction(said: str) -> None:
    sheet = examine(SINGLE | {"decompressor": said}).sheet
    assert sheet is not None
    assert sheet.layout.decompressor == ""
