from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from benchtui.tui.widgets.crank_dial import CrankDial, DialMark, Stroke, lines

DIAL = CrankDial(
    (
        DialMark("T 1.4", Fraction(0)),
        DialMark("T 2.3", Fraction(180)),
        DialMark("fan bolt", Fraction(250)),
    ),
    clockwise=True,
    strokes=(
        Stroke("1", "compression TDC", ready=True),
        Stroke("2", "exhaust, going up"),
        Stroke("3", "inlet, going down"),
        Stroke("4", "overlap: do not touch"),
    ),
    pointer="rib on the case",
    text="Next: turn 180 degrees on, forward only",
)


def test_the_dial_with_its_strokes() -> None:
    """A circle under a fixed pointer, the mark T 1.4 right below it and named beside it, T 2.3 at the
    bottom, the fan bolt lower right; an arrow round the middle goes clockwise. On the right the
    strokes, an arrow at the cylinder that may be measured; below it what to do next."""
    assert lines(DIAL, 76, 12) == [
        "              rib on the case",
        "                     ▼  T 1.4",
        "               ⢀⡠⠔⠒⠉⠉⡏⠉⠒⠢⢄⡀",
        "              ⡔⠃     ⠇    ⠘⢢                ► 1  compression TDC",
        "            ⢀⠎    ⢀⣀⠤⠤⣀⡀    ⠱⡀                2  exhaust, going up",
        "            ⡜    ⡠⠊    ⠑⢄    ⢣                3  inlet, going down",
        "            ⡇    ⡇     ⢰⣸⡠   ⢸                4  overlap: do not touch",
        "            ⢣    ⠘      ⠋ ⠢⠤⣀⡜ fan bolt",
        "            ⠈⢆              ⡰⠁",
        "              ⠣⡄     ⡆    ⢠⠜",
        "               ⠈⠑⠢⠤⣀⣀⣇⣀⠤⠔⠊⠁ T 2.3",
        "Next: turn 180 degrees on, forward only",
    ]


@pytest.mark.parametrize(
    ("ahead", "clockwise", "seen"),
    [(90, True, 270), (90, False, 90), (0, True, 0), (360, False, 0), (10, True, 350)],
)
def test_a_mark_still_to_come_stands_before_the_pointer(
    ahead: int, clockwise: bool, seen: int
) -> None:
    """Turning clockwise, what comes next is on the left of the pointer."""
    mark = DialMark("F", Fraction(ahead))
    assert CrankDial((mark,), clockwise).seen_at(mark) == seen


def test_turned_the_other_way_it_is_a_mirror() -> None:
    drawn = "\n".join(lines(replace(DIAL, clockwise=False), 76, 12))
    fan = next(line for line in drawn.splitlines() if "fan bolt" in line)
    assert fan.index("fan bolt") < 21


def test_every_name_and_stroke_is_shown_at_eighty_by_twelve() -> None:
    drawn = "\n".join(lines(DIAL, 80, 12))
    for word in ("T 1.4", "T 2.3", "fan bolt", "compression TDC", "overlap: do not touch"):
        assert word in drawn


def test_where_both_do_not_fit_the_words_stay() -> None:
    drawn = lines(DIAL, 40, 8)
    assert "► 1  compression TDC" in drawn
    assert not any("⡇" in line for line in drawn)


@pytest.mark.parametrize("height", range(9))
@pytest.mark.parametrize("width", [0, 1, 27, 50, 80])
def test_any_room_will_do(width: int, height: int) -> None:
    drawn = lines(DIAL, width, height)
    assert len(drawn) == height
    assert all(len(line) <= width for line in drawn)


def test_narrow_and_high_the_strokes_stand_below_the_dial() -> None:
    """The circle with its pointer and names above, the four cylinders under it."""
    drawn = lines(DIAL, 34, 14)
    assert "▼  T 1.4" in drawn[1]
    assert [line[:3].strip(" ►") for line in drawn[-5:-1]] == ["1", "2", "3", "4"]
    assert any("⠉" in line for line in drawn)


def test_lower_still_only_what_may_be_measured_stands_there() -> None:
    drawn = lines(DIAL, 34, 9)
    assert any("⠉" in line for line in drawn)
    assert "► 1  compression TDC" in drawn
    assert not any("overlap" in line for line in drawn)
