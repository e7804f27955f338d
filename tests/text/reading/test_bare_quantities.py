"""The slip of every newcomer, a quantity without its quotes, gets the plainest message."""

from __future__ import annotations

import pytest

from benchtui.domain.errors import FaultyInput
from benchtui.text.reading.toml_lines import read_toml


@pytest.mark.parametrize(
    ("row", "found", "wanted"),
    [
        (
            "exhaust = [0.08 mm, 0.12 mm]",
            "0.08 mm and 0.12 mm without quotes",
            'each in quotes: exhaust = ["0.08 mm", "0.12 mm"]',
        ),
        ("inlet = 0.10 mm", "0.10 mm without quotes", 'each in quotes: inlet = "0.10 mm"'),
        ("metal_below = 35 C", "35 C without quotes", 'each in quotes: metal_below = "35 C"'),
        ('inlet = ["3 thou", 5 thou]', "5 thou without quotes", 'inlet = ["3 thou", "5 thou"]'),
        ("value = 10 lbf*ft", "10 lbf*ft without quotes", 'value = "10 lbf*ft"'),
    ],
)
def test_it_names_the_line_and_shows_the_line_as_it_should_be(
    row: str, found: str, wanted: str
) -> None:
    with pytest.raises(FaultyInput) as told:
        read_toml(f"format = 1\n\n{row}   # as printed\n", "mine.toml")
    (fault,) = told.value.faults
    assert (fault.line, fault.key) == (3, row.partition(" ")[0])
    assert fault.found == found
    assert fault.wanted.endswith(wanted)


def test_another_slip_is_told_as_before() -> None:
    with pytest.raises(FaultyInput) as told:
        read_toml('format = 1\nname = "Quay pump\n', "mine.toml")
    assert told.value.faults[0].wanted.startswith("valid TOML")
