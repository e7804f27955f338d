from __future__ import annotations

import pytest

from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import LeftLast
from benchtui.text.words.sure_words import left_sentence

mm = Length.mm


@pytest.mark.parametrize(
    ("last", "told"),
    [
        (LeftLast("1I", mm("0.08"), None), "Left over 0.08 mm last time."),
        (LeftLast("1I", mm("0.08"), mm("0.09")), "Left 0.08 to 0.09 mm last time."),
        (
            LeftLast("1I", mm("0.08"), mm("0.09"), -mm("0.02"), -mm("0.01")),
            "Left 0.08 to 0.09 mm last time, moved -0.02 to -0.01 since as past checks have it.",
        ),
    ],
)
def test_where_it_was_left_and_how_far_it_moved(last: LeftLast, told: str) -> None:
    assert left_sentence(last) == told
