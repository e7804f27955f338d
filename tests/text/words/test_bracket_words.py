"""One form for a bracket, wherever one is told."""

from __future__ import annotations

import pytest

from benchtui.domain.gauging.bracket import Bracket, Measured
from benchtui.domain.gauging.measured import bracket_measured
from benchtui.domain.length import Length
from benchtui.text.words.bracket_words import bracket_cell, bracket_words, felt_words

SIX, TEN = Length.mm("0.06"), Length.mm("0.10")
MEASURED = bracket_measured(Measured(Length.mm("0.11"), Length.mm("0.01")))


@pytest.mark.parametrize(
    ("bracket", "words", "cell"),
    [
        (Bracket(SIX, TEN), "0.06 goes, 0.10 refuses", "0.06-0.10"),
        (Bracket(SIX), "0.06 goes, nothing has refused", "0.06 goes"),
        (Bracket(high=TEN), "0.10 refuses, nothing has gone in", "0.10 refuses"),
        (Bracket(), "not measured", "not measured"),
        (MEASURED, "0.11 measured, give or take 0.01", "0.11+-0.01"),
    ],
)
def test_what_goes_and_what_refuses(bracket: Bracket, words: str, cell: str) -> None:
    assert bracket_words(bracket) == words == str(bracket)
    assert bracket_cell(bracket) == cell


def test_what_was_felt_is_no_bracket_of_blades() -> None:
    assert felt_words(Bracket(SIX, TEN)) == "between 0.06 and 0.10"
    assert felt_words(Bracket(SIX)) == "at least 0.06"
    assert felt_words(Bracket(high=TEN)) == "at most 0.10"
