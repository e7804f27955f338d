from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.length import Length
from benchtui.domain.threads import UnknownThread, is_listed, listed, odd_pitch, pitch_of, tpi


def words(text: str) -> list[str]:
    return text.split()


# The sizes of the tap table of the PyPI distribution bd_warehouse 0.4.0, data/tap_hole_sizes.csv
# (Apache-2.0): 99 rows, the names only.
TAPS_METRIC = words("""
M1.5-0.35 M1.6-0.35 M1.8-0.35 M2-0.45 M2-0.4 M2.2-0.45 M2.5-0.45 M3-0.6 M3-0.5 M3.5-0.6 M4-0.75
M4-0.7 M4.5-0.75 M5-1 M5-0.9 M5-0.8 M5.5-0.9 M6-1 M6-0.75 M7-1.0 M7-0.75 M8-1.25 M8-1 M9-1.25 M9-1
M10-1.5 M10-1.25 M10-1 M11-1.5 M12-1.75 M12-1.5 M12-1.25 M14-2 M14-1.5 M14-1.25 M15-1.5 M16-2
M16-1.5 M17-1.5 M18-2.5 M18-2 M18-1.5 M19-2.5 M20-2.5 M21-2 M22-2.5
""")
TAPS_INCH = words("""
#0-80 #1-64 #1-72 #2-56 #2-64 #3-48 #3-56 #4-40 #4-48 #5-40 #5-44 #6-32 #6-40 #8-32 #8-36 #10-24
#10-32 #12-24 #12-28 #12-32 1/4-20 1/4-28 1/4-32 5/16-18 5/16-24 5/16-32 3/8-16 3/8-24 3/8-32
7/16-14 7/16-20 7/16-28 1/2-13 1/2-20 1/2-28 9/16-12 9/16-18 9/16-24 5/8-11 5/8-18 5/8-24 11/16-24
3/4-10 3/4-16 3/4-20 13/16-20 7/8-9 7/8-14 7/8-20 15/16-20 1-8 1-12 1-20
""")

# That table holds old and second-choice metric rows that ISO 261 does not list ...
NOT_ISO = set(words("M1.5-0.35 M2-0.45 M3-0.6 M4-0.75 M5-1 M5-0.9 M5.5-0.9 M19-2.5 M21-2"))
# ... and sizes too small, too big or too rare for an adjuster or a cover, which ours leaves out.
NOT_OURS = set(words("M1.8-0.35 M2.2-0.45 M22-2.5"))
TOO_BIG = set(words("13/16-20 7/8-9 7/8-14 7/8-20 15/16-20 1-8 1-12 1-20"))


def test_the_table_has_the_rows_it_says() -> None:
    assert len(TAPS_METRIC) + len(TAPS_INCH) == 99


@pytest.mark.parametrize("name", TAPS_METRIC)
def test_metric_taps(name: str) -> None:
    assert pitch_of(name) == Length.mm(name.split("-")[1])
    assert is_listed(name) is (name not in NOT_ISO | NOT_OURS)


@pytest.mark.parametrize("name", [n for n in TAPS_INCH if n not in TOO_BIG])
def test_inch_taps(name: str) -> None:
    assert pitch_of(name) == Length.inch(Fraction(1, int(name.split("-")[1])))
    assert is_listed(name)


def test_every_un_thread_of_ours_is_in_the_tap_table() -> None:
    ours = {n for n in listed() if n[0] != "M" and "-" in n}
    assert ours == set(TAPS_INCH) - TOO_BIG


def test_our_metric_threads_outside_the_tap_table_are_iso_fine_pitches() -> None:
    table = {(n.split("-")[0], Fraction(n.split("-")[1])) for n in TAPS_METRIC}
    ours = {tuple(n.split("x")) for n in listed() if n[0] == "M"}
    extra = {f"{s}x{p}" for s, p in ours if (s, Fraction(p)) not in table}
    # ISO 261 (from memory): fine pitches for which that table has no tap.
    assert extra == set(
        words(
            "M1.6x0.2 M2x0.25 M2.5x0.35 M3x0.35 M3.5x0.35 M4x0.5 M4.5x0.5 M5x0.5 M5.5x0.5 M8x0.75 "
            "M9x0.75 M10x0.75 M11x1 M11x0.75 M12x1 M14x1 M15x1 M16x1 M17x1 M18x1 M20x2 M20x1.5 "
            "M20x1"
        )
    )


# ASME B1.1-2019 table in the PyPI distribution screw_thread_lib 0.0.6 (read).
@pytest.mark.parametrize(
    ("name", "count"), [("10-24", 24), ("10-32", 32), ("1/4-20", 20), ("1/4-28", 28)]
)
def test_unified(name: str, count: int) -> None:
    assert pitch_of(name) == tpi(count)


def test_british_association_follows_its_formula_and_the_published_table() -> None:
    published = words("1.00 .90 .81 .73 .66 .59 .53 .48 .43 .39 .35")  # published BA table (read)
    for number, pitch in enumerate(published):
        formula = (Decimal("0.9") ** number).quantize(Decimal("0.01"), ROUND_HALF_UP)
        assert pitch_of(f"{number} BA") == Length.mm(pitch) == Length.mm(formula)


# Published BSF table (read).
@pytest.mark.parametrize(
    ("size", "count"), [("3/16", 32), ("7/32", 28), ("1/4", 26), ("5/16", 22), ("3/8", 20)]
)
def test_british_standard_fine(size: str, count: int) -> None:
    assert pitch_of(f"BSF {size}") == tpi(count) == pitch_of(f"{size} BSF")


# Published CEI table (read): 26 tpi for 7/32 to 3/4; 32 for 5/32 and 3/16.
@pytest.mark.parametrize(
    ("size", "count"),
    [("7/32", 26), ("1/4", 26), ("5/16", 26), ("3/8", 26), ("3/4", 26), ("5/32", 32), ("3/16", 32)],
)
def test_cycle_engineers(size: str, count: int) -> None:
    assert pitch_of(f"CEI {size}") == tpi(count) == pitch_of(f"{size}-{count} BSC")


# From memory.
@pytest.mark.parametrize(("name", "count"), [("BSW 1/4", 20), ("5/16 BSW", 18), ("BSW 3/8", 16)])
def test_whitworth(name: str, count: int) -> None:
    assert pitch_of(name) == tpi(count)


def test_26_tpi_in_millimetres() -> None:
    # Published table (read): 26 tpi is 0.976923 mm.
    assert pitch_of("26 tpi") == Length(976_923)
    assert pitch_of("26tpi") == Length(976_923)


@pytest.mark.parametrize(
    ("name", "pitch"),
    [
        ("M6", "1"),
        ("M5", "0.8"),
        ("M8", "1.25"),
        ("M6x0.75", "0.75"),
        ("M6 x 0.75", "0.75"),
        ("m6\u00d70.75", "0.75"),
        ("M6-0.75", "0.75"),
        ("M6x0.8", "0.8"),  # not listed, but printed so
        ("2BA", "0.81"),
        ("BA 2", "0.81"),
    ],
)
def test_ways_of_writing(name: str, pitch: str) -> None:
    assert pitch_of(name) == Length.mm(pitch)


@pytest.mark.parametrize(
    "name", ["No. 8-36", "no 8-36", "No.8-36", "# 8-36", "#8-36", "8-36", "No. 8 UNF"]
)
def test_a_numbered_screw_by_either_spelling(name: str) -> None:
    assert pitch_of(name) == tpi(36)
    assert is_listed(name)


def test_an_unlisted_pitch_is_told_from_a_listed_one() -> None:
    assert is_listed("M6x0.75")
    assert is_listed("M6x1.0")
    assert not is_listed("M6x0.8")
    assert not is_listed("1/4-26")
    assert is_listed("26 tpi")
    assert is_listed("BSF 1/4")


@pytest.mark.parametrize(
    "name",
    [
        "",
        "26",
        "0.75",
        "M",
        "M6x",
        "M6x6",
        "M6x0",
        "M13",
        "M15",
        "11 BA",
        "BSF 1/3",
        "1/4 BSF 20",
        "1/4-20 BSF",
        "1/3-20",
        "1/4-0",
        "#7-32",
        "0 tpi",
        "1 tpi",
        "#0 UNC",
        "1/4-26 UNF",
        "inf tpi",
        "26 tpi 26 tpi",
        "\u0662 BA",
        "1" * 500,
    ],
)
def test_what_names_no_thread_is_refused(name: str) -> None:
    with pytest.raises(UnknownThread) as caught:
        pitch_of(name)
    assert caught.value.wanted


def test_series_names() -> None:
    assert pitch_of("1/4 UNF") == pitch_of("1/4-28 UNF") == tpi(28)
    assert pitch_of("#10 UNC") == tpi(24)
    assert pitch_of("5/16 UNEF") == tpi(32)


@pytest.mark.parametrize("mm", ["0.35", "0.75", "1.0", "1.5"])
def test_usual_pitches(mm: str) -> None:
    assert odd_pitch(Length.mm(mm)) is None


@pytest.mark.parametrize(
    ("mm", "words"),
    [
        ("0.34", "unusual"),
        ("1.51", "unusual"),
        ("3.0", "unusual"),
        ("0.2", "unusual"),
        ("0.19", "outside"),
        ("3.01", "outside"),
        ("26", "outside"),
    ],
)
def test_odd_pitches(mm: str, words: str) -> None:
    assert words in (odd_pitch(Length.mm(mm)) or "")


@given(st.text(max_size=10) | st.text("M0123456789/#-xX .BASFCEITPIUN", max_size=12))
def test_any_text_is_a_pitch_or_unknown(name: str) -> None:
    try:
        pitch = pitch_of(name)
    except UnknownThread:
        return
    assert Length.mm("0.2") <= pitch <= Length.mm("3")
    assert is_listed(name) in (True, False)
