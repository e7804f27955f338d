from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.pairs import agree, other_gap, together
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length


def bracket(low: str, high: str | None, err: str = ".005") -> Bracket:
    e = Length.mm(err)
    bottom, top = Length.mm(low), None if high is None else Length.mm(high)
    return Bracket(bottom, top, bottom - e, None if top is None else top + e)


# Source: interval arithmetic.
def test_two_gaps_add_up() -> None:
    whole = together(bracket(".10", ".12"), bracket(".03", ".05"))
    assert whole == bracket(".13", ".17", ".010")
    assert together(bracket(".10", ".12"), bracket(".03", None)).high is None


def test_the_other_gap_crosswise() -> None:
    other = other_gap(bracket(".15", ".17"), bracket(".10", ".12"))
    assert other == bracket(".03", ".07", ".010")
    assert other_gap(bracket(".15", ".17"), bracket(".10", None)).low == ZERO
    assert other_gap(bracket(".10", ".12"), bracket(".10", ".12")).low == ZERO
    assert other_gap(bracket(".10", ".11"), bracket(".15", ".17")).clash


def test_a_whole_that_is_not_the_sum() -> None:
    opener, closer = bracket(".10", ".12"), bracket(".03", ".05")
    assert agree(bracket(".15", ".16"), opener, closer)
    assert agree(bracket(".18", ".20"), opener, closer)  # within the blades' errors
    assert not agree(bracket(".20", ".22"), opener, closer)
    assert not agree(bracket(".08", ".10"), opener, closer)
    assert agree(bracket(".05", None), opener, closer)


UM = st.integers(0, 300_000)


@given(UM, UM, st.lists(st.integers(0, 30_000), min_size=4, max_size=4))
def test_the_true_gaps_are_always_inside(opener: int, closer: int, room: list[int]) -> None:
    def around(gap: int, below: int, above: int) -> Bracket:
        low, high = Length(max(0, gap - below)), Length(gap + above)
        return Bracket(low, high, low, high)

    one = around(opener, room[0], room[1])
    whole = around(opener + closer, room[2], room[3])
    other = other_gap(whole, one)
    assert other.high is not None
    assert other.low.nm <= closer <= other.high.nm
    two = around(closer, room[2], room[1])
    assert agree(whole, one, two)
    added = together(one, two)
    assert added.high is not None
    assert added.low.nm <= opener + closer <= added.high.nm
