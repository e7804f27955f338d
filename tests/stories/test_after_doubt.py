"""A doubted position must not hold a valve up once the position is sure again."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

Lines = list[dict[str, Any]]


def test_advice_goes_on_after_a_doubt_without_striking(play: Callable[..., Lines]) -> None:
    """The readings of the doubted position stay, uncounted; the next blade is told all the same."""
    lines = play(
        "sheet plain-single\nblades leaves-f\nmetal 19 C\nposition 1 mark slack\n"
        "1I 0.07 refuses\nposition 1 doubt\nposition 1 mark still\n1I note again\n"
        "1I 0.10 refuses\n1I 0.06 free\n"
    )
    refused = [line for line in lines if "refused" in line]
    assert not refused, json.dumps(refused)
    by_text = {line["text"]: line for line in lines if "text" in line}
    assert by_text["1I note again"]["verdict"] == "none"
    assert by_text["1I note again"]["next"] is not None
    assert by_text["1I 0.06 free"]["verdict"] == "in"
    assert by_text["1I 0.06 free"]["bracket_mm"] == [0.06, 0.1]
