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


def test_a_set_that_makes_no_limit_stays_and_one_of_his_own_that_makes_one_is_named(
    tmp_path: Path,
) -> None:
    workshop = Workshop(DataFolder(tmp_path), lambda: datetime(2026, 5, 4, tzinfo=UTC))
    sheet = workshop.engines.sheet("quay-pump")  # 0.06 to 0.10 and 0.08 to 0.12 mm
    folder = tmp_path / "blades"
    folder.mkdir()
    (folder / "thick.toml").write_text(
        'format = 1\nname = "Thick"\nleaves = ["0.50 mm", "0.60 mm"]\n', encoding="utf-8"
    )
    opened = workshop.opening(sheet, "thick", PARTICULARS)
    workshop.open_sessions.open(opened).release()
    workshop.past_sessions.store(opened.session)
    reviews = workshop.reviews
    assert reviews.usual_blades(sheet) == "thick", "it is what lies in his hand"
    assert reviews.better_blades(sheet, "thick") is None, "a shipped set is not his"
    (folder / "mine.toml").write_text(
        'format = 1\nname = "Mine"\nleaves = ["0.06 mm", "0.10 mm"]\n', encoding="utf-8"
    )
    better = reviews.better_blades(sheet, "thick")
    assert better is not None
    assert better.name == "Mine"
    assert reviews.better_blades(sheet, "mine") is None, "it makes one itself"
