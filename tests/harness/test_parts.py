"""The short form of the attacks on what is stored; the long one: ``python -m tests.harness``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.harness import PARTS, outcomes


@pytest.mark.parametrize("part", PARTS)
def test_nothing_confirmed_is_lost_and_nothing_is_wrong_in_silence(
    part: str, tmp_path: Path
) -> None:
    for row in outcomes(part, tmp_path, seed=1, long=False):
        assert row.sound, row


@pytest.mark.long
@pytest.mark.parametrize("part", PARTS)
def test_the_same_at_length(part: str, tmp_path: Path) -> None:
    for row in outcomes(part, tmp_path, seed=2, long=True):
        assert row.sound, row
