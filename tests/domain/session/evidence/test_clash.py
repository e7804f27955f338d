"""Two against one settles a clash: what is tried again, what is set aside, and what takes it back in."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.clash import Clash, Settling, clash_of, sift
from benchtui.domain.session.evidence.counting import counted, set_aside
from benchtui.domain.session.facts.commands import StrikeReading, Undo
from benchtui.domain.session.facts.events import CrankTurned
from benchtui.domain.session.facts.valve_history import Taken
from benchtui.domain.sheet import Band

RANGE = Band(Length.mm("0.08"), Length.mm("0.12"))


def read(*texts: str) -> list[Taken]:
    """``0.08 refuses``, each at stop 1 unless ``@2`` follows."""
    taken = []
    for number, text in enumerate(texts, start=1):
        words, _, stop = text.partition(" @")
        blade, answer = words.split()
        feeler = Feeler((Leaf(Length.mm(blade)),))
        taken.append(Taken(Reading(feeler, Answer(answer), number=number), int(stop or 1), None))
    return taken


def told(clash: Clash | None) -> tuple[str, str, str, bool] | None:
    if clash is None:
        return None
    return clash.how.value, str(clash.doubted), str(clash.against), clash.crank_moved


@pytest.mark.parametrize(
    ("texts", "clash", "aside"),
    [
        ([], None, []),
        (["0.08 free", "0.12 refuses"], None, []),
        # One against one: the refusal first, whichever came first (common practice).
        (["0.08 refuses", "0.10 free"], ("try again", "0.08 refuses", "0.10 free", False), []),
        (["0.10 drag", "0.08 refuses"], ("try again", "0.08 refuses", "0.10 drag", False), []),
        (["0.08 free", "0.08 refuses"], ("try again", "0.08 refuses", "0.08 free", False), []),
        # Two against one, by the same blade or by another.
        (["0.08 refuses", "0.10 free", "0.08 refuses"], None, ["0.10 free"]),
        (["0.08 refuses", "0.10 free", "0.08 drag"], ("try again", "0.10 free", "0.08 refuses",
                                                      False), []),
        (["0.08 refuses", "0.10 free", "0.08 free"], None, ["0.08 refuses"]),
        (["0.08 refuses", "0.10 free", "0.12 free"], None, ["0.08 refuses"]),
        (["0.06 refuses", "0.08 refuses", "0.10 free"], None, ["0.10 free"]),
        # Free, refused and dragged: it goes, two to one; and the drag alone is no clash with either.
        (["0.08 free", "0.08 refuses", "0.08 drag"], None, ["0.08 refuses"]),
        (["0.08 drag", "0.08 refuses"], None, []),
        # The blade that refused drags now, so the other is doubted, and comes out right either way.
        (["0.08 refuses", "0.10 free", "0.08 drag", "0.10 refuses"], None, ["0.10 free"]),
        (["0.08 refuses", "0.10 free", "0.08 drag", "0.10 free"], None, ["0.08 refuses"]),
        # Two against two: nothing is set aside.
        (
            ["0.08 refuses", "0.10 free", "0.08 refuses", "0.10 free"],
            ("strike", "0.08 refuses", "0.10 free", False),
            [],
        ),
        # Two slips apart from each other are outweighed each for itself.
        (
            ["0.04 refuses", "0.06 free", "0.08 free", "0.12 free", "0.10 refuses", "0.09 refuses"],
            None,
            ["0.04 refuses", "0.12 free"],
        ),
        # Blades that differ within their errors do not clash.
        (["0.11 free", "0.10 refuses"], None, []),
    ],
)  # fmt: skip
def test_one_stop(
    texts: list[str], clash: tuple[str, str, str, bool] | None, aside: list[str]
) -> None:
    sifted = sift(read(*texts))
    assert told(sifted.clash) == clash
    assert [str(t.reading) for t in sifted.aside] == aside
    assert len(sifted.standing) + len(aside) == len(texts)


@pytest.mark.parametrize(
    ("texts", "clash", "aside"),
    [
        # The crank was turned between the two, and each may have been right where it was read.
        (["0.08 refuses", "0.10 free @2"], ("try again", "0.08 refuses", "0.10 free", True), []),
        (["0.10 free", "0.08 refuses @2"], ("try again", "0.08 refuses", "0.10 free", True), []),
        # Two of one stop do not outvote one of another before it is read twice there too.
        (
            ["0.08 refuses", "0.06 refuses", "0.10 free @2"],
            ("try again", "0.08 refuses", "0.10 free", True),
            [],
        ),
        (["0.08 refuses", "0.10 free @2", "0.08 free @2"], None, ["0.08 refuses"]),
        (
            ["0.08 refuses", "0.10 free @2", "0.08 refuses @2"],
            ("try again", "0.08 refuses", "0.10 free", False),
            [],
        ),
        (["0.10 free", "0.08 refuses @2", "0.08 refuses @2"], None, ["0.10 free"]),
        # What was read elsewhere and agrees stays in.
        (["0.06 free", "0.10 free", "0.08 refuses @2", "0.08 refuses @2"], None, ["0.10 free"]),
        # A tie left behind is settled by two readings where the crank stands now.
        (
            ["0.08 refuses", "0.10 free", "0.08 free @2"],
            ("try again", "0.08 refuses", "0.08 free", True),
            [],
        ),
        (["0.08 refuses", "0.10 free", "0.08 free @2", "0.08 free @2"], None, ["0.08 refuses"]),
    ],
)
def test_the_crank_turned_between(
    texts: list[str], clash: tuple[str, str, str, bool] | None, aside: list[str]
) -> None:
    sifted = sift(read(*texts))
    assert told(sifted.clash) == clash
    assert [str(t.reading) for t in sifted.aside] == aside


def test_at_the_upper_limit_free_and_drag_clash_too() -> None:
    """Free there is wide, and a drag is in range: its own blade decides."""
    both = read("0.12 free", "0.12 drag")
    assert clash_of(both) is None
    assert told(clash_of(both, RANGE)) == ("try again", "0.12 free", "0.12 drag", False)
    assert clash_of(read("0.12 free", "0.12 drag", "0.12 drag"), RANGE) is None
    assert clash_of(read("0.10 free", "0.10 drag"), RANGE) is None
    # Where a thicker one goes nothing hangs on it.
    assert clash_of(read("0.12 free", "0.12 drag", "0.15 free"), RANGE) is None


SIZES = [Length.um(10 * k) for k in range(3, 31)]


def truthful(gap: Length, blade: Length) -> Answer:
    """No drag: where a blade drags there is nothing to be wrong about."""
    return Answer.FREE if blade < gap else Answer.REFUSES


def taken(blade: Length, answer: Answer, number: int, stop: int) -> Taken:
    return Taken(Reading(Feeler((Leaf(blade),)), answer, number=number), stop, None)


@given(
    gap=st.integers(30, 300).map(lambda um: Length.um(um) + Length(500)),
    blades=st.lists(st.sampled_from(SIZES), min_size=1, max_size=8),
    wrong=st.integers(0, 7),
    stops=st.lists(st.integers(0, 1), min_size=8, max_size=8),
    moves_on=st.booleans(),
)
def test_whoever_answers_truly_settles_one_wrong_reading_in_two_more(
    gap: Length, blades: list[Length], wrong: int, stops: Sequence[int], moves_on: bool
) -> None:
    """The odd one is set aside, nothing true is, and the blade asked for is one in hand already."""
    readings: list[Taken] = []
    stop = 1
    for k, blade in enumerate(blades):
        stop += stops[k]
        answer = truthful(gap, blade)
        if k == wrong % len(blades):
            answer = Answer.FREE if answer is Answer.REFUSES else Answer.REFUSES
            slip = len(readings)
        readings.append(taken(blade, answer, k + 1, stop))
    began = sift(readings)
    stop += moves_on
    more = 0
    while (clash := sift(readings).clash) is not None and clash.how is Settling.TRY_AGAIN:
        more += 1
        assert more <= 2
        blade = clash.doubted.feeler.nominal
        readings.append(taken(blade, truthful(gap, blade), len(readings) + 1, stop))
    assert clash is None
    if began.clash is not None:
        assert sift(readings).aside == (readings[slip],)


class TestAtTheBench:
    """1I of the twin: 0.06 to 0.10 mm."""

    def test_what_is_set_aside_leaves_bracket_and_verdict_and_stays_on_paper(
        self, desk: Any
    ) -> None:
        view = desk.read("1I", "0.05 refuses", "0.07 free")
        assert view.verdict.kind is VerdictKind.CONTRADICTION
        assert view.verdict.because == "0.05 refuses but 0.07 goes"
        assert told(view.clash) == ("try again", "0.05 refuses", "0.07 free", False)
        view = desk.read("1I", "0.05 free")
        assert view.clash is None
        assert [str(r) for r in view.aside] == ["0.05 refuses"]
        assert (view.bracket.low, view.bracket.high) == (Length.mm("0.07"), None)
        assert len(view.readings) == 3
        view = desk.read("1I", "0.10 refuses")
        assert view.verdict.kind is VerdictKind.IN
        assert view.done

    @pytest.mark.parametrize("back", [StrikeReading("1I"), Undo()])
    def test_struck_or_taken_back_the_reading_set_aside_is_in_again(
        self, desk: Any, back: StrikeReading | Undo
    ) -> None:
        desk.read("1I", "0.05 refuses", "0.07 free", "0.05 refuses")
        assert [str(r) for r in set_aside(desk.state.valves["1I"].current)] == ["0.07 free"]
        desk.do(back)
        view = desk.look("1I")
        assert view.aside == ()
        assert view.verdict.kind is VerdictKind.CONTRADICTION
        assert len(counted(desk.state.valves["1I"].current)) == 2

    def test_the_crank_turned_between_is_named(self, desk: Any) -> None:
        desk.read("1I", "0.05 refuses")
        desk.do(CrankTurned(Fraction(720)))
        desk.confirm("1")
        view = desk.read("1I", "0.07 free")
        assert view.clash is not None
        assert view.clash.crank_moved
