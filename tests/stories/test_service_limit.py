"""A crane's valves beyond their range, told through ``replay`` and on the card; limits by the sheet."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from benchtui.text.pages.card import card_of, card_text
from benchtui.text.pages.card_html import card_html
from benchtui.text.pages.card_markdown import card_markdown
from tests.text.pages.test_card import played

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]

# FI: range 0.08 to 0.12 mm, service limit 0.06 to 0.15; FE: 0.10 to 0.15, 0.08 to 0.20 (the sheet's).
BEGIN = """sheet mole-crane
blades fine-metric
"""

STORY = """date 2026-05-01
metal 18 C
position F mark slack
FI 0.12 free
FI 0.15 refuses
FI 0.12 free
FI turn in 15
FI lock
FI 0.08 free
FI 0.12 refuses
FE 0.20 free
FE 0.25 refuses
"""

NOTES = {
    "FI 0.12 free": (
        "not told apart",
        "Range and service limit not told apart yet (0.06 to 0.15 mm).",
    ),
    "FI 0.15 refuses": (
        "within service limit",
        "Beyond the range but within the service limit (0.06 to 0.15 mm).",
    ),
    "FI turn in 15": (None, ""),
    "FI lock": (None, ""),
    # In range or not is open still: nothing is said, though nothing is told apart.
    "FI 0.08 free": ("not told apart", ""),
    "FI 0.12 refuses": ("within range", ""),
    "FE 0.20 free": ("beyond service limit", "Beyond the service limit (0.08 to 0.20 mm)."),
}


def test_told_at_each_valve(play: Play) -> None:
    lines = {line["text"]: line for line in reversed(play(BEGIN + STORY)) if "text" in line}
    for step, (standing, note) in NOTES.items():
        assert lines[step]["service"] == standing, step
        message = lines[step]["message"]
        assert note in message
        assert ("service limit" in message) is bool(note), step


def test_a_sheet_without_limits_says_nothing(play: Play) -> None:
    story = STORY.replace("F mark", "1 mark").replace("FI", "1I").replace("FE", "1E")
    for line in play("sheet quay-pump\nblades fine-metric\n" + story):
        assert line.get("service") is None
        assert "service" not in line.get("message", "")


@pytest.mark.parametrize("form", [card_text, card_html, card_markdown])
def test_found_and_left_on_the_card(form: Callable[[Any], str]) -> None:
    told = " ".join(form(card_of(played(STORY, "mole-crane"), None)).split())
    told = told.replace("\\", "")
    found = "found beyond the range but within the service limit, left within the range"
    assert f"FI (0.06 to 0.15 mm) {found}" in told
    assert "FE (0.08 to 0.20 mm) found beyond the service limit, left as found" in told
    without = form(card_of(played("position 1 mark slack\n"), None))
    assert "service limits" not in without
