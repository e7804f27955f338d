"""A stored session's line: its verdicts in the signs that a narrow column holds."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from benchtui.store.register import Row
from benchtui.text.words.standing import Standing
from benchtui.tui.present_rows import listed

AT = datetime(2026, 5, 4, 9, tzinfo=UTC)


@pytest.mark.parametrize(
    ("kept", "shown"),
    [
        ("1 none", f"1 {Standing.NO_VERDICT.sign}"),
        ("6 in, 2 tight -> 8 in", "6 √ 2 ▼ → 8 √"),
        ("2 undecided", "2 ?"),
        ("nothing measured", "nothing measured"),
    ],
)
def test_verdicts_in_signs(kept: str, shown: str) -> None:
    (line,) = listed([Row("a", AT, 1, 1, engine="quay-pump", verdicts=kept)])
    assert line.verdicts == shown
