"""Which blades a check is offered first."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from benchtui.domain.session.facts.events import Particulars
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop

PARTICULARS = Particulars()


@pytest.mark.parametrize(
    ("engine", "step_nm"), [("harbour-van", 10_000), ("dredge-lift", 12_700), ("quay-pump", 10_000)]
)
def test_the_blades_offered_are_in_the_sheets_own_unit(
    tmp_path: Path, engine: str, step_nm: int
) -> None:
    """Whatever was last in hand at another engine."""
    workshop = Workshop(DataFolder(tmp_path), lambda: datetime(2026, 5, 4, tzinfo=UTC))
    for last in workshop.engines.blade_names():
        other = "dredge-lift" if engine != "dredge-lift" else "quay-pump"
        opened = workshop.opening(workshop.engines.sheet(other), last, PARTICULARS)
        workshop.open_sessions.open(opened).release()
        workshop.past_sessions.store(opened.session)
    chosen = workshop.reviews.usual_blades(workshop.engines.sheet(engine))
    assert chosen is not None
    stamped = [leaf.marked for leaf in workshop.engines.blades(chosen).leaves]
    assert not any(mark.nm % step_nm for mark in stamped)


def test_what_was_last_used_on_this_engine_is_offered_again(tmp_path: Path) -> None:
    workshop = Workshop(DataFolder(tmp_path), lambda: datetime(2026, 5, 4, tzinfo=UTC))
    sheet = workshop.engines.sheet("harbour-van")
    opened = workshop.opening(sheet, "workshop-inch", PARTICULARS)
    workshop.open_sessions.open(opened).release()
    workshop.past_sessions.store(opened.session)
    assert workshop.reviews.usual_blades(sheet) == "workshop-inch"
