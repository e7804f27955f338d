"""The sheet written out: as wide as asked for, and nothing in it said twice."""

from __future__ import annotations

from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.store.paths import DataFolder
from benchtui.text.pages.sheet_page import sheet_page, torque_words
from benchtui.workshop import Workshop


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(DataFolder(tmp_path), lambda: datetime(2026, 5, 4, tzinfo=UTC))


@pytest.mark.parametrize("columns", [60, 77, 96])
@pytest.mark.parametrize("engine", ["dredge-lift", "harbour-van", "slip-winch"])
def test_no_line_is_wider_than_asked(workshop: Workshop, engine: str, columns: int) -> None:
    page = sheet_page(workshop.sheet(engine), columns)
    assert max(len(line) for line in page.splitlines()) <= columns


def test_a_single_figure_is_one_figure_in_thou_too(workshop: Workshop) -> None:
    """0.1 mm is 3.9 thou (25.4 um each): once, not as a range of nothing."""
    page = sheet_page(workshop.sheet("slip-winch"))
    assert "one figure" in page
    assert " to 3.9 thou" not in page
    assert "3.9 thou" in page


def test_a_torque_is_not_told_twice_in_one_unit() -> None:
    """1 lbf in is 0.112985 N m, the pound force times an inch (exact definitions)."""
    nm = Fraction("0.1129848290276167")
    printed = torque_words("50 to 70 lbf*in", 50 * nm, 70 * nm)
    assert printed == "50 to 70 lbf*in = 5.6 to 7.9 N m"
    assert torque_words("14 N m", Fraction(14), Fraction(14)) == "14 N m = 10.3 lbf ft"
