"""What Enter does at the crank, by what was ticked and what speaks against it."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchtui.domain.session.facts.events import Evidence
from benchtui.domain.session.whole.next_stop import stops_ahead
from benchtui.tui.present_confirming import confirming, wanted_words
from tests.tui.shed import Shed, Tell, teller


@pytest.fixture
def tell(tmp_path: Path) -> Tell:
    return teller(tmp_path / "data")


def test_enter_is_told_by_what_was_seen(tell: Tell) -> None:
    """One tick is too few; after the look showed overlap the turn is wanted, or the inlet seen."""
    mark, slack, inlet = Evidence.MARK, Evidence.SLACK, Evidence.INLET

    async def story(shed: Shed) -> None:
        await shed.begin("plain", "leaves-f", ("metal", "19 C"))
        (here,) = stops_ahead(shed.stored())
        assert confirming(shed.stored(), here.stop, {slack, mark}).evidence == (mark, slack)
        assert wanted_words(shed.stored(), here, {mark}) == "One more sign, and the bench opens:"
        assert wanted_words(shed.stored(), here, {mark, slack}) == "Enter: the bench opens."
        await shed.keys("5", "4")
        (here,) = stops_ahead(shed.stored())
        assert "say the turn made" in wanted_words(shed.stored(), here, {mark, slack})
        assert wanted_words(shed.stored(), here, {mark, inlet}) == "Enter: the bench opens."
        await shed.keys("5", "1")
        (here,) = stops_ahead(shed.stored())
        assert "does not fit" in wanted_words(shed.stored(), here, {mark, slack})

    tell(story)
