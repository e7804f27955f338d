"""Every verdict, at the limits to the nanometre."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.verdict import Verdict, VerdictKind, judge, no_verdict
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

RANGE = Band(Length.mm("0.08"), Length.mm("0.12"))
NM = Length(1)
K = VerdictKind


def reading(text: str, error: int = 5) -> Reading:
    blade, answer = text.split()
    # Measured, so that none stands for a limit that it only lies near.
    sizes = [Length.mm(s) for s in blade.split("+")]
    leaves = tuple(Leaf(size, measured=size, error=Length.um(error)) for size in sizes)
    return Reading(Feeler(leaves), Answer(answer))


def verdict(*texts: str, band: Band = RANGE, error: int = 5) -> Verdict:
    return judge([reading(t, error) for t in texts], band)


@pytest.mark.parametrize(
    ("texts", "kind"),
    [
        # tight: the thinnest that refuses is at the lower limit or under it
        (["0.08 refuses"], K.TIGHT),
        (["0.07 refuses"], K.TIGHT),
        (["0.06 free", "0.08 refuses"], K.TIGHT),
        (["0.080001 refuses"], K.UNDECIDED),
        # wide: over the upper limit, or its very blade is free
        (["0.12 free"], K.WIDE),
        (["0.120001 drag"], K.WIDE),
        (["0.15 free"], K.WIDE),
        (["0.12 free", "0.15 refuses"], K.WIDE),
        (["0.119999 free"], K.UNDECIDED),
        # in range: the plain bracket lies inside
        (["0.08 free", "0.12 refuses"], K.IN),
        (["0.08 drag", "0.12 refuses"], K.IN),
        (["0.09 free", "0.10 refuses"], K.IN),
        (["0.12 drag"], K.IN),
        (["0.12 drag", "0.15 refuses"], K.IN),
        (["0.08 free", "0.12 drag"], K.IN),
        (["0.079999 free", "0.12 refuses"], K.UNDECIDED),
        (["0.08 free", "0.120001 refuses"], K.UNDECIDED),
        # undecided otherwise
        ([], K.UNDECIDED),
        (["0.08 free"], K.UNDECIDED),
        (["0.12 refuses"], K.UNDECIDED),
        (["0.07 free", "0.15 refuses"], K.UNDECIDED),
        # contradiction
        (["0.12 drag", "0.10 refuses"], K.CONTRADICTION),
        (["0.10 free", "0.10 refuses"], K.CONTRADICTION),
    ],
)
def test_each_verdict_at_its_edge(texts: list[str], kind: VerdictKind) -> None:
    assert verdict(*texts).kind is kind
    assert verdict(*reversed(texts)).kind is kind


@pytest.mark.parametrize(
    ("texts", "proved"),
    [
        (["0.09 free", "0.10 refuses"], True),
        (["0.085 free", "0.115 refuses"], True),
        (["0.084999 free", "0.115 refuses"], False),
        (["0.085 free", "0.115001 refuses"], False),
        (["0.08 free", "0.12 refuses"], False),
        (["0.09 free", "0.04+0.06 refuses"], True),  # 0.10 + 0.010 + 0.007 = 0.117
        (["0.09 free", "0.04+0.07 refuses"], False),  # 0.11 + 0.010 + 0.007 = 0.127
    ],
)
def test_proved_is_the_guard_band_of_the_blades_own_errors(texts: list[str], proved: bool) -> None:
    """Conforming iff LSL + U <= y <= USL - U. Source: ISO 14253-1 (from memory)."""
    said = verdict(*texts)
    assert (said.kind, said.proved) == (K.IN, proved)


@pytest.mark.parametrize(
    ("texts", "limit"),
    [
        (["0.12 drag"], "0.12"),
        (["0.12 drag", "0.15 refuses"], "0.12"),
        (["0.08 drag", "0.12 refuses"], "0.08"),
        (["0.08 drag", "0.09 refuses"], "0.08"),
        (["0.05+0.07 drag"], "0.12"),
        (["0.08 drag", "0.09 drag", "0.12 refuses"], None),  # 0.09 goes: no longer at the limit
        (["0.08 free", "0.12 refuses"], None),
        (["0.10 drag", "0.12 refuses"], None),
    ],
)
def test_at_limit_is_a_drag_on_a_limit_blade(texts: list[str], limit: str | None) -> None:
    said = verdict(*texts)
    assert said.kind is K.IN
    assert said.limit == (None if limit is None else Length.mm(limit))
    assert ("limit, drags" in said.because) is (limit is not None)
    assert not (said.limit and said.proved)


@pytest.mark.parametrize(
    ("texts", "disagreeing"),
    [
        (["0.09 free", "0.10 refuses"], []),
        (["0.10 free"], []),
        (["0.10 free", "0.095 refuses"], ["0.10 free", "0.095 refuses"]),
        # Only the blades that clash, not those that agree with both.
        (
            ["0.06 free", "0.10 free", "0.095 refuses", "0.15 refuses"],
            ["0.10 free", "0.095 refuses"],
        ),
        # At the upper limit: somewhere between the two, and that is in range.
        (["0.12 free", "0.115 refuses"], ["0.12 free", "0.115 refuses"]),
        (["0.12 drag", "0.12 free", "0.115 refuses"], ["0.12 drag", "0.12 free", "0.115 refuses"]),
        # One and the same blade clashes with nothing: goes and refuses at its own size is a drag.
        (["0.10 drag", "0.10 refuses"], []),
    ],
)
def test_two_blades_that_disagree_within_their_error_are_named(
    texts: list[str], disagreeing: list[str]
) -> None:
    said = verdict(*texts)
    assert said.kind is (K.UNDECIDED if texts == ["0.10 free"] else K.IN)
    assert [str(r) for r in said.disagreeing] == disagreeing
    assert said.disagree is bool(disagreeing)
    assert ("two blades disagree" in said.because) is bool(disagreeing)


def test_blades_that_clash_over_a_limit_prove_nothing() -> None:
    """Errors in, 0.117 to 0.119 is all that is left, and yet one of the two blades is off."""
    said = verdict("0.122 drag", "0.114 refuses")
    assert (said.kind, said.proved, said.disagree) == (K.UNDECIDED, False, True)


@pytest.mark.parametrize(
    ("texts", "kind", "by_feel"),
    [
        # This hand drags from 4 um over the gap to 10 under it: 0.086 to 0.10 (arithmetic).
        (["0.09 drag", "0.15 refuses"], K.UNDECIDED, True),
        (["0.09 drag", "0.10 refuses"], K.IN, False),
        (["0.09 free", "0.15 refuses"], K.UNDECIDED, False),
        (["0.115 drag", "0.15 refuses"], K.UNDECIDED, False),
        (["0.13 drag"], K.WIDE, False),
    ],
)
def test_by_feel_is_only_said_where_the_blades_leave_it_open(
    texts: list[str], kind: VerdictKind, by_feel: bool
) -> None:
    taken = [reading(t) for t in texts]
    hand = FeelBand.exactly(Length.um(-4), Length.um(10))
    assert (judge(taken, RANGE, hand).kind, judge(taken, RANGE, hand).by_feel) == (kind, by_feel)
    assert not judge(taken, RANGE).by_feel


@pytest.mark.parametrize(
    ("texts", "because"),
    [
        (["0.08 free"], "0.08 goes, nothing has refused"),
        (["0.10 free", "0.15 refuses"], "0.10 goes, 0.15 refuses"),
        (["0.05 free", "0.10 refuses"], "0.05 goes, 0.10 refuses"),
        (["0.12 refuses"], "0.12 refuses, nothing has gone in"),
    ],
)
def test_undecided_says_what_the_blades_have_shown(texts: list[str], because: str) -> None:
    assert verdict(*texts).kind is K.UNDECIDED
    assert verdict(*texts).because == because


@pytest.mark.parametrize("texts", [["0.08 drag", "0.15 refuses"], ["0.08 drag"]])
def test_a_drag_decides_nothing_else(texts: list[str]) -> None:
    assert verdict(*texts).kind is K.UNDECIDED
    assert verdict(*texts).limit is None


def test_a_limit_blade_free_once_and_dragging_once_settles_nothing() -> None:
    said = verdict("0.12 drag", "0.12 free")
    assert said.kind is K.UNDECIDED
    assert "try it again" in said.because


def test_a_contradiction_names_the_two_that_clash() -> None:
    said = verdict("0.10 refuses", "0.05 free", "0.12 drag")
    assert {tuple(str(r) for r in heal) for heal in said.heals} == {
        ("0.10 refuses",),
        ("0.12 drag",),
    }
    assert said.because == "0.10 refuses but 0.12 goes"


@pytest.mark.parametrize(
    ("texts", "kind"),
    [
        (["0.10 free", "0.095 refuses"], K.IN),
        (["0.121 free", "0.115 refuses"], K.UNDECIDED),
        (["0.079 free", "0.075 refuses"], K.TIGHT),
        (["0.13 free", "0.125 refuses"], K.WIDE),
    ],
)
def test_blades_that_disagree_within_their_errors_are_judged_by_the_span_between(
    texts: list[str], kind: VerdictKind
) -> None:
    said = verdict(*texts)
    assert (said.kind, said.disagree) == (kind, True)
    assert "disagree within their error" in said.because
    # Each blade is told as it was read; nobody read the span the other way round.
    went, refused = (text.split()[0] for text in texts)
    assert said.because.startswith(f"{went} goes, {refused} refuses")


@pytest.mark.parametrize(
    ("texts", "proved"),
    [
        (["0.10 free", "0.10 refuses"], None),
        (["0.102 free", "0.10 refuses"], True),
        (["0.105 free", "0.10 refuses"], True),
        # Only both errors at once explain it: what is left, 0.100 to 0.104, then to a point.
        (["0.106 free", "0.10 refuses"], False),
        (["0.109 free", "0.10 refuses"], False),
        (["0.11 free", "0.10 refuses"], False),
    ],
)
def test_a_bracket_that_shrinks_to_a_point_proves_nothing(
    texts: list[str], proved: bool | None
) -> None:
    """Each blade is good for 5 um (design value), the range is 0.08 to 0.12 (arithmetic)."""
    said = verdict(*texts)
    assert (None if said.kind is K.CONTRADICTION else said.proved) is proved


@pytest.mark.parametrize(
    ("texts", "kind"),
    [
        (["0.12 free", "0.12 drag"], K.UNDECIDED),
        (["0.12 free", "0.12 drag", "0.12 drag"], K.IN),
        (["0.12 free", "0.12 drag", "0.12 free"], K.WIDE),
    ],
)
def test_free_and_drag_at_the_upper_limit_two_against_one(
    texts: list[str], kind: VerdictKind
) -> None:
    assert verdict(*texts).kind is kind
    assert verdict(*reversed(texts)).kind is kind


def test_inches_meet_their_limit_in_millimetres_exactly() -> None:
    """0.0039 in is 0.09906 mm. Source: 1 in = 25.4 mm exactly (scipy.constants.inch)."""
    band = Band(Length.mm("0.05"), Length.mm("0.09906"))
    leaf = Feeler((Leaf(Length.inch("0.0039")),))
    thin = reading("0.06 free")
    assert judge([thin, Reading(leaf, Answer.REFUSES)], band).kind is K.IN
    assert judge([thin, Reading(leaf, Answer.FREE)], band).kind is K.WIDE


def test_no_verdict_carries_its_reason() -> None:
    said = no_verdict("too warm")
    assert (said.kind, said.because, said.proved) == (K.NONE, "too warm", False)
    assert not said.kind.settled
    assert not said.kind.out


@given(
    clearance=st.integers(20_000, 200_000),
    marks=st.lists(st.integers(2, 20), min_size=2, max_size=9, unique=True),
    errors=st.lists(st.integers(-5_000, 5_000), min_size=9, max_size=9),
)
def test_proved_in_range_is_never_wrong_and_nothing_contradicts(
    clearance: int, marks: list[int], errors: list[int]
) -> None:
    """Leaves anywhere within their error, and a hand that feels their true thickness."""
    taken = []
    for mark, error in zip(marks, errors, strict=False):
        goes = mark * 10_000 + error <= clearance
        answer = Answer.FREE if goes else Answer.REFUSES
        taken.append(Reading(Feeler((Leaf(Length.um(mark * 10)),)), answer))
    said = judge(taken, RANGE)
    assert said.kind is not K.CONTRADICTION
    if said.proved:
        assert RANGE.low.nm <= clearance <= RANGE.high.nm
    error = 5_000
    if said.kind is K.TIGHT:
        assert clearance < RANGE.low.nm + error
    if said.kind is K.WIDE:
        assert clearance >= RANGE.high.nm - error


@pytest.mark.parametrize(
    ("texts", "told"),
    [
        (["0.05 refuses", "0.06 refuses", "0.08 free"], "0.05 refuses but 0.08 goes"),
        (["0.08 free", "0.09 free", "0.05 refuses"], "0.05 refuses but 0.09 goes"),
    ],
)
def test_where_all_that_is_doubted_is_on_one_side_the_other_is_named_too(
    texts: list[str], told: str
) -> None:
    found = verdict(*texts)
    assert (found.kind, found.because) == (VerdictKind.CONTRADICTION, told)


@pytest.mark.parametrize(("high", "loud"), [("0.12", False), ("0.121", True)])
def test_a_drag_at_a_limit_is_a_note_on_a_narrow_range_and_a_state_on_a_wider_one(
    high: str, loud: bool
) -> None:
    found = verdict("0.08 drag", "0.10 refuses", band=Band(Length.mm("0.08"), Length.mm(high)))
    assert (found.kind, found.limit) == (K.IN, Length.mm("0.08"))
    assert (found.at_limit is not None, found.quiet_limit is not None) == (loud, not loud)
