from __future__ import annotations

from fractions import Fraction

import pytest

from benchtui.domain.length import Length
from benchtui.domain.sheet import Torque
from benchtui.domain.torque import LBF_FT, LBF_IN, Wrench
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.words.torque_words import (
    OnWrench,
    extension_of,
    setting_words,
    torque_notes,
    torque_units,
    wrench_of,
    wrench_words,
)


def torque(value: Fraction, thread: str = "", what: str = "nuts") -> Torque:
    return Torque(what, "as printed", value, value, thread)


def inch(value: int) -> Length:
    return Length.inch(value)


def test_every_unit() -> None:
    # Source: TM 5-3825-226-24, a locknut: 24 lb ft beside 32 (+-7) N m.
    assert torque_units(torque(24 * LBF_FT)) == ("33 N m", "24 lbf ft", "288 lbf in")


@pytest.mark.parametrize(
    ("length", "extension", "wanted", "unit", "said"),
    [
        # Sources: TM 1-1500-204-23-9; TM 9-2350-261-20-1; TM 9-254 turned round.
        (10, 4, 300 * LBF_IN, "lbf in", "214.3"),
        (12, 4, 40 * LBF_FT, "lbf ft", "30"),
        (12, 2, 70 * LBF_IN, "lbf in", "60"),
    ],
)
def test_published_settings(
    length: int, extension: int, wanted: Fraction, unit: str, said: str
) -> None:
    wrench = Wrench(inch(length), Fraction(1), Fraction(500))
    on = OnWrench(wrench, inch(extension))
    words = setting_words(torque(wanted), on)
    newton_metres = float(words.split()[1])
    scale = LBF_IN if unit == "lbf in" else LBF_FT
    assert newton_metres / float(scale) == pytest.approx(float(said), rel=0.01)


def test_square_to_the_wrench_nothing_changes() -> None:
    # Source: TM 9-254.
    wrench = Wrench(inch(12), Fraction(5), Fraction(100))
    straight = setting_words(torque(Fraction(30)), OnWrench(wrench))
    square = OnWrench(wrench, inch(4), Fraction(90))
    assert setting_words(torque(Fraction(30)), square) == straight == "set 30 N m (22 lbf ft)"


def test_outside_its_range_a_wrench_is_refused_with_what_to_do() -> None:
    wrench = Wrench(inch(12), Fraction(20), Fraction(100))
    below = setting_words(torque(Fraction(22)), OnWrench(wrench, inch(4)))
    assert "below its range" in below
    assert "Use a smaller wrench" in below
    assert "Use a bigger wrench" in setting_words(torque(Fraction(200)), OnWrench(wrench))


def test_small_threads_and_figures_far_off() -> None:
    assert torque_notes(torque(Fraction(8), "M6")) == (
        "M6: this small thread takes the manual's figure only.",
    )
    # Source: AC 43.13-1B table 7-1: 5/16-24 takes 100 to 140 lb in.
    assert torque_notes(torque(120 * LBF_IN, "5/16-24")) == ()
    (doubt,) = torque_notes(torque(120 * LBF_FT, "5/16-24"))
    assert "lbf in read as lbf ft" in doubt


def test_a_wrench_as_people_write_it() -> None:
    wrench = wrench_of("300 mm, 5 to 25 N*m")
    assert wrench == Wrench(Length.mm(300), Fraction(5), Fraction(25))
    assert wrench_of("12 in, 10 to 80 lbf*ft").length == inch(12)
    assert wrench_words(OnWrench(wrench)) == "Wrench 300 mm, 5 to 25 N m, nothing on it."
    on = OnWrench(wrench, Length.mm(50), Fraction(90))
    assert wrench_words(on).endswith("with 50 mm on it at 90 degrees.")


@pytest.mark.parametrize("text", ["", "300 mm", "300 mm,", "300 mm, 5 N*m", "5 to 25 N*m", "x, y"])
def test_what_is_no_wrench_is_asked_for(text: str) -> None:
    with pytest.raises(FaultyQuantity):
        wrench_of(text)


@pytest.mark.parametrize(
    ("text", "length", "angle"),
    [
        ("50 mm", Length.mm(50), 0),
        ("2 in at 45", Length.inch(2), 45),
        ("50 mm at 90 degrees", Length.mm(50), 90),
        ("none", Length(0), 0),
        ("", Length(0), 0),
    ],
)
def test_an_extension_as_people_write_it(text: str, length: Length, angle: int) -> None:
    assert extension_of(text) == (length, Fraction(angle))


@pytest.mark.parametrize("text", ["fifty", "50", "50 mm at", "50 mm at x"])
def test_what_is_no_extension_is_asked_for(text: str) -> None:
    with pytest.raises(FaultyQuantity):
        extension_of(text)
