from __future__ import annotations

import itertools
import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchtui.tui.widgets.bigtext import Big, Pair, draw, draw_pair, lines
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.pixel_font import GLYPHS, ROWS, rows_of


def test_three_rows_read_1e_and_a_blade() -> None:
    """The eye sees 1E, then 0.10, three rows high, the point on the ground line."""
    assert lines(Big("1E 0.10"), 40, 3) == [
        "▄█  █▀▀▀    ▄▀▀▄   ▄█  ▄▀▀▄",
        " █  █▀▀     █  █    █  █  █",
        "▀▀▀ ▀▀▀▀     ▀▀  ▀ ▀▀▀  ▀▀ ",
    ]


def test_five_rows_of_square_pixels_where_they_fit() -> None:
    """The eye sees a large 1I; both stand on a foot, the I has a head as well and is wider."""
    assert lines(Big("1I"), 40, 5) == [
        "  ██    ██████",
        "████      ██  ",
        "  ██      ██  ",
        "  ██      ██  ",
        "██████  ██████",
    ]


def test_narrow_letters_come_before_low_ones() -> None:
    """Too wide for square pixels: still five rows."""
    assert len(lines(Big("IN RANGE"), 40, 5)) == 5
    assert len(lines(Big("IN RANGE"), 40, 4)) == 3


@pytest.mark.parametrize(("width", "height"), [(20, 5), (60, 2), (60, 1)])
def test_one_plain_row_where_letters_do_not_fit(width: int, height: int) -> None:
    assert lines(Big("CONTRADICTION"), width, height) == ["CONTRADICTION"]


def test_the_short_form_stands_in_and_a_cut_shows() -> None:
    assert lines(Big("CONTRADICTION", small="clash"), 10, 1) == ["clash"]
    assert lines(Big("CONTRADICTION"), 10, 1) == ["CONTRADIC~"]


def test_a_letter_that_is_missing_makes_it_plain_and_never_leaves_it_out() -> None:
    assert lines(Big("0.10 µm"), 60, 5) == ["0.10 µm"]
    assert lines(Big(""), 60, 5) == [""]


def test_all_letters_and_digits_are_there_and_differ() -> None:
    for letter in string.ascii_uppercase + string.digits + " .+-/":
        assert len(GLYPHS[letter]) == ROWS
        assert len({len(row) for row in GLYPHS[letter]}) == 1
        assert set("".join(GLYPHS[letter])) <= {"#", "."}
    assert len(set(GLYPHS.values())) == len(GLYPHS)


def test_letters_that_are_easily_mixed_up_differ_by_more_than_one_pixel() -> None:
    """In 1I, O0, 5S, 8B, 2Z, E3 at least two pixels differ, or the widths do."""
    for one, other in ("1I", "O0", "5S", "8B", "2Z", "E3", "UV", "DO", "D0"):
        a, b = GLYPHS[one], GLYPHS[other]
        if len(a[0]) == len(b[0]):
            pairs = zip(itertools.chain(*a), itertools.chain(*b), strict=True)
            assert sum(x != y for x, y in pairs) >= 2, (one, other)


def test_small_letters_are_drawn_as_capitals() -> None:
    assert rows_of("in range") == rows_of("IN RANGE")


def test_the_role_goes_with_every_cell() -> None:
    grid = draw(Big("1E", Role.NEXT), 20, 5)
    assert {role for y in range(5) for text, role in grid.runs(y) if text.strip()} == {Role.NEXT}


def test_the_unit_stands_at_the_foot_in_small_and_is_never_left_out() -> None:
    """Beside 0.10 the eye sees mm on the ground line, however narrow the letters."""
    big = Big("0.10", unit="mm")
    for width in (34, 20, 12):
        drawn = lines(big, width, 5)
        assert drawn[-1].endswith(" mm")
        assert max(map(len, drawn)) <= width
    assert lines(big, 8, 1) == ["0.10 mm"]


def test_a_word_is_broken_where_that_makes_it_larger() -> None:
    """0.25+0.07 in eleven rows: 0.25+ over 0.07, both in square letters of five rows."""
    big = Big("0.25+0.07", rows=("0.25+", "0.07"))
    drawn = lines(big, 46, 11)
    assert len(drawn) == 11
    assert not drawn[5].strip()
    assert len(lines(big, 46, 5)) == 5


def test_the_largest_letters_are_ten_rows_high() -> None:
    assert len(lines(Big("0.10"), 56, 10)) == 10
    assert len(lines(Big("0.10"), 56, 9)) == 5


@given(
    st.sampled_from(["1I", "12E", "2I-left", "11E-right"]),
    st.sampled_from(["0.10", ".0015", "OUT 121.6", "0.25+0.07", "0.30+0.15+0.07", "CRANK?"]),
    st.integers(30, 120),
    st.integers(5, 12),
)
@settings(max_examples=60, deadline=None)
def test_a_pair_never_touches_and_is_never_cut(
    valve: str, blade: str, width: int, height: int
) -> None:
    """Four blank columns at least between the two words, and no ``~`` at a bench's width."""
    kind, dash, side = valve.upper().partition("-")
    first = Big(valve.upper(), rows=(f"{kind}-", side) if dash else ())
    *thick, thin = blade.split("+")
    second = Big(blade, Role.NEXT, rows=("+".join(thick) + "+", thin) if thick else (), unit="mm")
    grid = draw_pair(Pair(first, second), width, height)
    runs = [list(grid.runs(y)) for y in range(height)]
    left = [
        sum(len(text) for text, _ in row[: n + 1])
        for row in runs
        for n, (_, role) in enumerate(row)
        if role is Role.STRONG
    ]
    right = [
        sum(len(text) for text, _ in row[:n])
        for row in runs
        for n, (_, role) in enumerate(row)
        if role is Role.NEXT
    ]
    assert left
    assert right
    assert min(right) - max(left) >= 4 or width < 54
    assert "~" not in "".join(grid.lines()) or width < 54


@pytest.mark.parametrize("width", [50, 58, 80, 120])
@pytest.mark.parametrize("blade", ["0.06", "0.10", "SET 0.10", "OUT 22"])
def test_the_valve_and_the_blade_are_drawn_in_the_same_letters(width: int, blade: str) -> None:
    """Of one size, so that neither reads as an aside of the other; eight columns between them."""
    grid = draw_pair(Pair(Big("1I"), Big(blade, Role.NEXT)), width, 10)
    drawn: dict[Role, list[str]] = {Role.STRONG: [], Role.NEXT: []}
    starts, ends = [], []
    for y in range(10):
        at = 0
        for text, role in grid.runs(y):
            if role in drawn and text.strip():
                drawn[role].append(text)
                if role is Role.STRONG:
                    ends.append(at + len(text.rstrip()))
                else:
                    starts.append(at)
            at += len(text)
    valve, figure = drawn[Role.STRONG], drawn[Role.NEXT]
    assert any(
        lines(Big("1I"), x, len(valve))[0].strip() == valve[0].strip()
        and lines(Big(blade), z, len(figure))[0].strip() == figure[0].strip()
        for x in range(6, 60)
        for z in range(6, 100)
    )
    assert len(valve) == len(figure)
    assert min(starts) - max(ends) >= 8


def test_a_unit_without_room_at_the_foot_stands_over_the_point() -> None:
    """Else ``3E`` and ``0.25`` would both be drawn narrow for two small letters."""
    pair = Pair(Big("3E"), Big("0.25", unit="mm"))
    assert draw_pair(pair, 58, 5).lines() == [
        "██████    ████████          ████          ████    ████████",
        "      ██  ██              ██    ██      ██    ██  ██",
        "  ████    ██████          ██    ██          ██    ██████",
        "      ██  ██              ██    ██  mm    ██            ██",
        "██████    ████████          ████    ██  ████████  ██████",
    ]
    assert draw_pair(pair, 61, 5).lines()[4].endswith("██████   mm")
