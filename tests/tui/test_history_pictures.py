"""The bars of sessions and of drifts, as the eye must see them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from benchtui.domain.length import ZERO, Length
from benchtui.tui.widgets import drift_bars, gap_bars
from benchtui.tui.widgets.drift_bars import DriftBars, DriftRow
from benchtui.tui.widgets.gap_bars import GapBars, GapRow, NoteRow
from benchtui.tui.widgets.ruler import Bar, Figure


def _figure(text: str) -> Figure:
    return Figure(Length.mm(text), text)


BAND = (_figure("0.08"), _figure("0.12"))


def _row(low: str, high: str | None) -> str:
    bar = Bar(Length.mm(low), None if high is None else Length.mm(high))
    view = GapBars((GapRow("1E", bar, BAND, "said"),))
    return gap_bars.draw(view, 60, 3).lines()[1]


def test_a_tight_gap_lies_before_the_range_and_a_wide_one_behind() -> None:
    tight, wide = _row("0.05", "0.07"), _row("0.14", "0.16")
    assert tight.rindex("┤") < tight.index("[")
    assert wide.index("├") > wide.index("]")


def test_a_gap_that_fills_the_range_leaves_its_limits_in_sight() -> None:
    row = _row("0.08", "0.12")
    assert row.index("[") + 1 == row.index("━")
    assert row.rindex("━") + 1 == row.index("]")


def test_open_ends_are_arrows_and_nothing_known_draws_nothing() -> None:
    assert "►" in _row("0.10", None)
    assert "◄" in _row("0.00", "0.10")
    nothing = GapBars((GapRow("1E", Bar(ZERO, None), BAND, "not measured"),))
    assert "━" not in "".join(gap_bars.draw(nothing, 60, 3).lines())


def test_an_undecided_gap_is_dashed_and_what_was_found_lies_behind_the_range() -> None:
    bar, before = (Bar(Length.mm(a), Length.mm(b)) for a, b in (("0.09", "0.10"), ("0.05", "0.09")))
    row = GapRow("1E", bar, BAND, "said", undecided=True, before=before)
    drawn = gap_bars.draw(GapBars((row,)), 60, 3).lines()[1]
    assert "╌" in drawn
    assert "━" not in drawn
    assert drawn.index("░") < drawn.index("[")
    assert "░" not in drawn[drawn.index("[") :]


def test_no_figure_is_cut_where_the_words_behind_it_do_not_fit() -> None:
    long = GapRow("1E", None, BAND, "0.08 to 0.09 √ in range", short="0.08-0.09 √")
    assert "0.08 to 0.09 √ in range" in gap_bars.draw(GapBars((long,)), 60, 2).lines()[1]
    for width in range(16, 44):
        assert "0.08-0.09 √" in gap_bars.draw(GapBars((long,)), width, 2).lines()[1]


def test_the_same_length_falls_in_one_column_in_every_row() -> None:
    rows = (
        GapRow("1I", Bar(Length.mm("0.06"), Length.mm("0.10")), None, "a"),
        NoteRow("turned"),
        GapRow("1E", Bar(Length.mm("0.10"), Length.mm("0.14")), None, "a longer word"),
    )
    lines = gap_bars.draw(GapBars(rows), 70, 5).lines()
    assert lines[1].index("┤") == lines[3].index("├")
    assert lines[2].strip() == "turned"


def test_the_limits_are_labelled_over_their_places() -> None:
    lines = gap_bars.draw(GapBars((GapRow("1E", None, BAND, "said"),)), 60, 3).lines()
    for text, bracket in (("0.08", "["), ("0.12", "]")):
        assert abs(lines[0].index(text) + 2 - lines[1].index(bracket)) <= 1


@pytest.mark.parametrize("width", [0, 1, 8, 20])
def test_narrow_places_keep_the_words_and_never_fail(width: int) -> None:
    view = GapBars((GapRow("1E found", Bar(ZERO, None), BAND, "0.06 to 0.07"),))
    for line in gap_bars.draw(view, width, 2).lines():
        assert len(line) <= width


def _drift(
    low: int | None, high: int | None, *, label: str = "1E", current: bool = False
) -> DriftRow:
    ends = [None if e is None else Fraction(e) for e in (low, high)]
    return DriftRow(label, ends[0], ends[1], known=True, said="said", current=current)


def test_a_proved_drift_is_clear_of_zero() -> None:
    closing, none = drift_bars.draw(
        DriftBars((_drift(-5, -1), _drift(-4, 3)), "Drift"), 60, 9
    ).lines()[2:6:3]
    assert closing.rindex("█") < closing.index("│")
    assert none.index("█") < none.index("┃") < none.rindex("█")


def test_drifts_without_bound_are_arrows() -> None:
    down, up = drift_bars.draw(
        DriftBars((_drift(None, -1), _drift(2, None)), "Drift"), 60, 9
    ).lines()[2:6:3]
    assert "◄" in down
    assert up.endswith("►")


def test_with_too_many_valves_the_current_one_is_still_shown() -> None:
    rows = tuple(_drift(-i, i, label=f"{i}E", current=i == 11) for i in range(1, 13))
    assert any(
        x.startswith("11E") for x in drift_bars.draw(DriftBars(rows, "Drift"), 60, 12).lines()
    )
