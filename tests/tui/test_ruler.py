from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.tui.widgets.ruler import Figure, Ruler, Tried, draw
from tests.tui.gallery import RULER, bar, figure


def test_seven_rows() -> None:
    """The range is a shaded band with its limits under its ends. Above it stand a ring for free, a
    wave for drag, a block for refuses and a cross for the struck one, each with figure and word, and
    a pointer to the next blade on the upper limit. Below it the bracket is a thin line from 0.08 to
    0.12, as far as the blades may err dotted beyond it."""
    assert draw(RULER, 60, 7).lines() == [
        "                           ↓ next 0.10",
        "   0.06 free 0.08 drag     │   0.12 refuses    0.15 struck",
        "       ○         ≈         │         ■              ×",  # noqa: RUF001  the mark of struck
        "───────┤▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒├────────────────────────────────",
        "     0.06  setting range 0.10",
        "               ╶╶├━━━━━━━━━━━━━━━━━━━┤╴╴",
        "                 between 0.08 and 0.12",
    ]


CLASH = replace(
    RULER,
    readings=(
        Tried(figure("0.06"), Answer.FREE),
        Tried(figure("0.10"), Answer.REFUSES, doubted=True),
        Tried(figure("0.10"), Answer.FREE, doubted=True),
    ),
    bracket=bar("0.10", "0.10"),
    widened=None,
    clash=True,
    bracket_label="clash: no bracket",
    upcoming=None,
)


def test_what_one_blade_said_twice_is_seen_twice() -> None:
    """Over 0.10 a block and a ring, each with a question mark, under one label that asks which to
    strike; a cross below and no bar."""
    drawn = draw(CLASH, 80, 5).lines()
    assert drawn[0].split("  ")[-1].strip() == "0.10 refuses and free: again?"
    assert "■?○?" in drawn[1]
    assert drawn[4].strip() == "×"  # noqa: RUF001  the mark of struck
    assert drawn[4].index("×") == drawn[1].index("■")  # noqa: RUF001  the same


def test_two_answers_of_one_blade_that_may_both_hold_carry_no_doubt() -> None:
    """0.10 dragged once and was free once: both shapes, no question mark."""
    both = tuple(Tried(figure("0.10"), answer) for answer in (Answer.DRAG, Answer.FREE))
    drawn = draw(replace(RULER, readings=both, upcoming=None), 80, 7).lines()
    assert any("0.10 drag and free" in row for row in drawn)
    assert any("≈○" in row for row in drawn)


def test_a_high_ruler_has_a_second_row_of_words_and_thicker_bars() -> None:
    """In eleven rows no word is lost where blades lie close, and band and bar are two rows thick."""
    close = tuple(
        Tried(figure(text), Answer.FREE) for text in ("0.06", "0.065", "0.07", "0.075", "0.12")
    )
    ruler = replace(RULER, readings=close, upcoming=None)
    low, high = draw(ruler, 40, 6).lines(), draw(ruler, 40, 11).lines()
    assert sum(row.count("free") for row in high) > sum(row.count("free") for row in low)
    assert sum("▒" in row for row in high) == 2
    assert sum("━" in row for row in high) == 2


def test_two_rows_keep_band_marks_bracket_and_pointer() -> None:
    """The bracket is a pair of square brackets on the scale; the pointer stands among the marks."""
    assert draw(RULER, 60, 2).lines() == [
        "       ○         ≈         ↓ 0.10    ■              ×",  # noqa: RUF001  the mark of struck
        "───────┤▒▒▒▒▒▒▒▒▒[▒▒▒▒▒▒▒▒▒├─────────]──────────────────────",
    ]


def test_before_the_first_blade() -> None:
    """Nothing known: dots from arrow to arrow, no bar that would claim something."""
    ruler = Ruler(
        band=(figure("0.06"), figure("0.10")),
        bracket=bar("0", None),
        widened=bar("0", None),
        bracket_label="nothing known yet",
        upcoming=figure("0.08"),
    )
    drawn = draw(ruler, 40, 7).lines()
    assert drawn[5] == "◄" + "·" * 38 + "►"
    assert drawn[6].strip() == "nothing known yet"
    assert drawn[0].strip() == "↓ next 0.08"


def test_no_blade_has_refused_yet() -> None:
    """The bar runs off to the right with an arrow."""
    drawn = draw(
        replace(RULER, bracket=bar("0.12", None), widened=bar("0.115", None)), 60, 3
    ).lines()
    assert drawn[2].endswith("━►")
    assert drawn[2].index("╶") < drawn[2].index("├") < drawn[2].index("━")


def test_all_blades_refused() -> None:
    """The bar comes in from the left with an arrow."""
    drawn = draw(replace(RULER, bracket=bar("0", "0.03"), widened=bar("0", "0.035")), 60, 3).lines()
    assert drawn[2].startswith("◄━")
    assert drawn[2].rstrip().endswith("━┤╴╴")


def test_a_single_figure_is_a_line_and_no_band() -> None:
    ruler = Ruler(
        band=(figure("0.08"), figure("0.08")),
        band_label="no tolerance printed",
        readings=(Tried(figure("0.05"), Answer.FREE),),
    )
    drawn = draw(ruler, 60, 4).lines()
    assert "▒" not in "".join(drawn)
    assert drawn[1].count("┼") == 1
    assert "0.08 no tolerance printed" in drawn[2]


def test_limits_too_close_for_two_labels_share_one() -> None:
    ruler = Ruler(
        band=(figure("0.10"), figure("0.11")), readings=(Tried(figure("0.60"), Answer.REFUSES),)
    )
    assert "0.10 setting range 0.11" in draw(ruler, 40, 4).lines()[2]


def test_the_bar_lies_within_the_widened_one_and_by_the_blades() -> None:
    """The line's ends stand exactly under the marks of the blades that made it."""
    drawn = draw(RULER, 80, 7).lines()
    assert drawn[5].index("├") == drawn[2].index("≈")
    assert drawn[5].index("┤") == drawn[2].index("■")
    assert drawn[5].index("╶") < drawn[5].index("├")


def test_until_it_is_decided_the_line_is_dashed() -> None:
    """While one more blade is wanted nothing reads as settled."""
    drawn = draw(replace(RULER, decided=False), 80, 7).lines()
    assert "╌" in drawn[5]
    assert "━" not in drawn[5]


def test_in_few_rows_the_next_blade_and_the_words_share_one() -> None:
    """Five rows, as the bench has them at 80 by 24: the words stay, and the bracket's are in its line."""
    drawn = draw(
        replace(RULER, upcoming=figure("0.11"), bracket_label="0.08 to 0.12"), 80, 5
    ).lines()
    assert "↓ next 0.11" in drawn[0]
    assert "free" in drawn[0]
    assert " 0.08 to 0.12 " in drawn[4]


def test_nothing_to_show_is_a_bare_line() -> None:
    assert draw(Ruler(), 40, 2).lines() == ["", "─" * 40]


lengths = st.integers(0, 1_000).map(Length.um)
figures = lengths.map(lambda x: Figure(x, f"{x.nm / 1e6:.3f}"))
tried = st.builds(Tried, figures, st.sampled_from(Answer), st.booleans())


@given(
    st.lists(tried, max_size=9).map(tuple),
    st.tuples(figures, figures).map(lambda p: tuple(sorted(p, key=lambda f: f.at))),
    st.one_of(st.none(), figures),
    st.integers(40, 130),
    st.integers(2, 7),
)
def test_any_ruler_fits_its_widget(
    readings: tuple[Tried, ...],
    band: tuple[Figure, Figure],
    upcoming: Figure | None,
    width: int,
    height: int,
) -> None:
    """Nothing is wider or higher than the widget, and readings leave their marks."""
    ruler = Ruler(band=band, readings=readings, upcoming=upcoming)
    drawn = draw(ruler, width, height).lines()
    assert len(drawn) == height
    assert max(map(len, drawn)) <= width
    if readings:
        assert any(shape in "".join(drawn) for shape in "○≈■×│")  # noqa: RUF001  the marks


@pytest.mark.parametrize("width", [40, 80, 120])
def test_the_scale_is_true(width: int) -> None:
    """0.08 lies half way between 0.06 and 0.10, to a cell."""
    drawn = draw(RULER, width, 7).lines()
    left, right = drawn[3].index("┤"), drawn[3].index("├")
    assert abs(drawn[2].index("≈") - (left + right) / 2) <= 1


@given(st.integers(0, 900), st.integers(0, 900), st.integers(40, 130))
def test_the_thinner_blade_never_stands_to_the_right(one: int, other: int, width: int) -> None:
    thin, thick = sorted((Length.um(one), Length.um(other)))
    ruler = Ruler(
        readings=(
            Tried(Figure(thin, "thin"), Answer.FREE),
            Tried(Figure(thick, "thick"), Answer.REFUSES),
        )
    )
    marks = draw(ruler, width, 3).lines()[0]
    # At the same cell the later reading covers the earlier one.
    assert "○" not in marks or marks.index("○") < marks.index("■")
