"""The sheet written out: as wide as asked for, and nothing in it said twice."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchtui.store.paths import DataFolder
from benchtui.text.pages.sheet_page import sheet_page
from benchtui.workshop import Workshop


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(DataFolder(tmp_path), lambda: datetime(2026, 5, 4, tzinfo=UTC))


@pytest.mark.parametrize("columns", [60, 77, 96])
@pytest.mark.parametrize("engine", ["dredge-lift", "harbour-van", "slip-winch"])
def test_no_line_is_wider_than_asked(workshop: Workshop, engine: str, columns: int) -> None:
    page = sheet_page(workshop.engines.sheet(engine), columns)
    assert max(len(line) for line in page.splitlines()) <= columns


def test_a_single_figure_is_one_figure_in_the_sheets_own_unit(workshop: Workshop) -> None:
    """Once, not as a range of nothing, and not in inches where it is printed in millimetres."""
    page = sheet_page(workshop.engines.sheet("slip-winch"))
    assert "one figure" in page
    assert " to 0.10" not in page
    assert "0.10 mm" in page
    assert "thou" not in page
