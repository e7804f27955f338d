"""Lines of so many columns."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.text.quantities.wrapping import wrap


@pytest.mark.parametrize(
    "figure", ["3 588 h", "0.105 mm", "85 110 km", "8 N m", "4 thou", "1I-left"]
)
def test_a_figure_stands_whole_in_one_line(figure: str) -> None:
    """Whatever the width, as long as it fits at all."""
    words = f"due as soon as the meter shows {figure} or in spring"
    for width in range(len(figure), len(words)):
        assert any(figure in line for line in wrap(words, width)), width


@given(st.text("ab 12 mmh-", max_size=80), st.integers(8, 40))
def test_no_word_is_lost(text: str, width: int) -> None:
    assert "".join("".join(wrap(text, width)).split()) == "".join(text.split())
