from __future__ import annotations

import pytest

from benchtui.domain.gauging.prior import from_left
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import LeftLast
from benchtui.text.words.sure_words import chance_sentence, landed_sentence

mm = Length.mm
ODDS = "ut of range all the same: about 1 in 40."


@pytest.mark.parametrize(
    ("last", "told"),
    [
        (None, f"O{ODDS}"),
        (LeftLast("1I", mm("0.08"), None), f"O{ODDS}"),
        (LeftLast("1I", mm("0.08"), mm("0.09")), f"Left 0.08 to 0.09 mm last time: o{ODDS}"),
        (
            LeftLast("1I", mm("0.08"), mm("0.09"), -mm("0.02"), -mm("0.01")),
            f"Left 0.08 to 0.09 mm last time, moved -0.02 to -0.01 since as past checks have it: o{ODDS}",
        ),
    ],
)
def test_where_it_was_left_and_how_sure_that_makes_it(last: LeftLast | None, told: str) -> None:
    assert chance_sentence(0.025, last) == told


def test_where_it_was_meant_to_land() -> None:
    assert landed_sentence(0.025, from_left(mm("0.05"), mm("0.09"))) == (
        f"By the turn and what locking takes it should stand at 0.05 to 0.09 mm: o{ODDS}"
    )
