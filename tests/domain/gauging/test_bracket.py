from __future__ import annotations

from itertools import chain, combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.blades import JOINT, Feeler, Leaf
from benchtui.domain.gauging.bracket import OPEN, Answer, Bracket, Reading, bracket_of, healing_sets
from benchtui.domain.length import ZERO, Length

FREE, DRAG, REFUSES = Answer.FREE, Answer.DRAG, Answer.REFUSES


def feeler(*sizes: str, error: int = 5) -> Feeler:
    return Feeler(tuple(Leaf(Length.mm(s), error=Length.um(error)) for s in sizes))


def reading(text: str, error: int = 5) -> Reading:
    blade, answer = text.split()
    return Reading(feeler(*blade.split("+"), error=error), Answer(answer))


def readings(*texts: str) -> list[Reading]:
    return [reading(t) for t in texts]


def mm(low: str, high: str | None) -> tuple[Length, Length | None]:
    return Length.mm(low), None if high is None else Length.mm(high)


@pytest.mark.parametrize(
    ("texts", "plain", "wide"),
    [
        ([], ("0", None), ("0", None)),
        (["0.06 free"], ("0.06", None), ("0.055", None)),
        (["0.06 drag"], ("0.06", None), ("0.055", None)),
        (["0.06 refuses"], ("0", "0.06"), ("0", "0.065")),
        (["0.06 free", "0.10 refuses"], ("0.06", "0.10"), ("0.055", "0.105")),
        (
            ["0.06 free", "0.07 drag", "0.12 refuses", "0.10 refuses"],
            ("0.07", "0.10"),
            ("0.065", "0.105"),
        ),
        (["0.25+0.07 refuses", "0.30 free"], ("0.30", "0.32"), ("0.295", "0.337")),
        (["0.05+0.04+0.03 refuses"], ("0", "0.12"), ("0", "0.149")),
        (["0.05+0.04+0.03 free"], ("0.12", None), ("0.105", None)),
    ],
)
def test_plain_and_widened(
    texts: list[str], plain: tuple[str, str | None], wide: tuple[str, str | None]
) -> None:
    """Errors of 0.005 a leaf, joints of 0.007 on the thick side only (arithmetic)."""
    found = bracket_of(readings(*texts))
    assert (found.low, found.high) == mm(*plain)
    assert (found.wide_low, found.wide_high) == mm(*wide)


@pytest.mark.parametrize(
    ("goes", "refuses", "low", "high"),
    [
        ("0.011", "0.013", "0.2794", "0.3302"),  # source: TM 5-3820-233-12/1
        ("0.025", "0.027", "0.635", "0.6858"),  # source: TM 5-3820-245-14&P
        ("0.013", "0.015", "0.3302", "0.381"),  # source: TM 5-3810-300-24&P-3
    ],
)
def test_go_and_no_go_pairs_of_printed_manuals(
    goes: str, refuses: str, low: str, high: str
) -> None:
    found = bracket_of(
        [
            Reading(Feeler((Leaf(Length.inch(goes)),)), FREE),
            Reading(Feeler((Leaf(Length.inch(refuses)),)), REFUSES),
        ]
    )
    assert (found.low, found.high) == mm(low, high)


def test_a_thicker_worse_blade_that_goes_does_not_undo_a_surer_one() -> None:
    sure, unsure = reading("0.10 free", error=2), reading("0.101 free", error=9)
    assert bracket_of([sure, unsure]).wide_low == Length.mm("0.098")
    assert bracket_of([sure, unsure]).low == Length.mm("0.101")


def test_nothing_read_is_open() -> None:
    assert bracket_of([]) == OPEN == Bracket()
    assert not OPEN.closed
    assert OPEN.width is None
    assert not OPEN.clash
    assert not OPEN.clash_beyond_error


def test_the_width_is_that_of_the_plain_bracket() -> None:
    assert bracket_of(readings("0.06 free", "0.10 refuses")).width == Length.mm("0.04")


def test_gone_only_by_force_counts_as_refused() -> None:
    forced = Reading(feeler("0.06"), REFUSES, forced=True)
    assert bracket_of([forced]).high == Length.mm("0.06")
    for answer in (FREE, DRAG):
        with pytest.raises(ValueError, match="by force"):
            Reading(feeler("0.06"), answer, forced=True)


@pytest.mark.parametrize(
    ("texts", "clash", "beyond"),
    [
        (["0.10 free", "0.09 refuses"], True, False),  # 0.01 apart, 0.005 each: just explained
        (["0.12 drag", "0.10 refuses"], True, True),
        (["0.10 free", "0.10 refuses"], False, False),
        (["0.09 free", "0.10 refuses"], False, False),
    ],
)
def test_clashes_within_and_beyond_the_blades_errors(
    texts: list[str], clash: bool, beyond: bool
) -> None:
    found = bracket_of(readings(*texts))
    assert (found.clash, found.clash_beyond_error) == (clash, beyond)


sizes = st.integers(3, 14).map(lambda k: f"{k / 100:.2f}")
one_reading = st.builds(
    lambda size, answer, error: Reading(feeler(size, error=error), answer),
    sizes,
    st.sampled_from(Answer),
    st.sampled_from([0, 2, 5, 12]),
)
several = st.lists(one_reading, max_size=6)


@given(several, st.randoms(use_true_random=False))
def test_the_order_of_the_readings_does_not_matter(taken: list[Reading], dice: object) -> None:
    shuffled = list(taken)
    dice.shuffle(shuffled)  # type: ignore[attr-defined]  # hypothesis types it as object
    assert bracket_of(shuffled) == bracket_of(taken)
    assert len(healing_sets(shuffled)) == len(healing_sets(taken))


def clashes(taken: list[Reading]) -> bool:
    """Written out pair by pair: by more than the errors explain, or one blade free and refused."""
    return any(
        goes.answer.goes
        and no.answer is REFUSES
        and (
            goes.feeler.thinnest > no.feeler.thickest
            or (goes.answer is FREE and goes.feeler.marks == no.feeler.marks)
        )
        for goes in taken
        for no in taken
    )


def brute_force(taken: list[Reading]) -> set[tuple[int, ...]]:
    """Every least set of places whose removal leaves no clash, by trying them all."""
    places = range(len(taken))
    every = chain.from_iterable(combinations(places, n) for n in range(len(taken) + 1))
    healing = [
        drop for drop in every if not clashes([r for i, r in enumerate(taken) if i not in drop])
    ]
    least = min(len(drop) for drop in healing)
    return {drop for drop in healing if len(drop) == least and least}


@given(several)
def test_healing_sets_against_brute_force(taken: list[Reading]) -> None:
    numbered = [Reading(r.feeler, r.answer, number=i) for i, r in enumerate(taken)]
    found = {tuple(r.number for r in heal) for heal in healing_sets(numbered)}
    assert found == brute_force(numbered)


@pytest.mark.parametrize(
    ("texts", "heals"),
    [
        (["0.06 free", "0.10 refuses"], []),
        (["0.12 drag", "0.10 refuses"], [["0.10 refuses"], ["0.12 drag"]]),
        (["0.10 refuses", "0.05 free", "0.12 drag"], [["0.10 refuses"], ["0.12 drag"]]),
        (["0.06 refuses", "0.10 free", "0.12 free"], [["0.06 refuses"]]),
        (["0.10 free", "0.10 refuses"], [["0.10 free"], ["0.10 refuses"]]),
        (["0.10 drag", "0.10 refuses"], []),
    ],
)
def test_the_latest_reading_never_silently_wins(texts: list[str], heals: list[list[str]]) -> None:
    for order in (readings(*texts), readings(*reversed(texts))):
        found = sorted([str(r) for r in heal] for heal in healing_sets(order))
        assert found == sorted(heals)


@given(
    near=st.tuples(st.integers(0, 10**3), st.integers(-6_000, 26_000)),
    marks=st.lists(st.integers(3, 20), min_size=4, max_size=8, unique=True),
    errors=st.lists(st.integers(-5_000, 5_000), min_size=8, max_size=8),
    joints=st.lists(st.integers(0, JOINT.nm), min_size=40, max_size=40),
    drag=st.integers(0, 10_000),
)
def test_the_widened_bracket_always_holds_the_true_clearance(
    near: tuple[int, int], marks: list[int], errors: list[int], joints: list[int], drag: int
) -> None:
    """Each leaf within its error, each joint within its own, and a hand that feels the true total.

    The clearance lies about the size of one of them, for there their errors tell. The plain bracket
    need not hold it; the widened one must, and such readings never contradict.
    """
    leaves = [
        (Leaf(Length.um(m * 10)), m * 10_000 + e) for m, e in zip(marks, errors, strict=False)
    ]
    spare = iter(joints)
    stacks = [
        *combinations(leaves, 1),
        *list(combinations(leaves, 2))[:12],
        *list(combinations(leaves, 3))[:4],
    ]
    which, off = near
    at = stacks[which % len(stacks)]
    true_clearance = sum(leaf.marked.nm for leaf, _ in at) + off
    taken = []
    for stack in stacks:
        total = sum(true for _, true in stack) + sum(next(spare) for _ in stack[1:])
        answer = (
            REFUSES if total > true_clearance else FREE if total + drag < true_clearance else DRAG
        )
        taken.append(Reading(Feeler(tuple(leaf for leaf, _ in stack)), answer))
    found = bracket_of(taken)
    assert found.wide_low.nm <= true_clearance
    assert found.wide_high is None or true_clearance <= found.wide_high.nm
    assert not found.clash_beyond_error
    assert healing_sets(taken) == ()
    assert found.wide_low <= found.low
    assert found.low >= ZERO


@pytest.mark.parametrize(
    ("blade", "answer", "true_clearance"),
    [
        ("0.10", FREE, 95_000),  # the leaf is 0.005 thinner than its stamp
        ("0.10", REFUSES, 104_999),  # and 0.005 thicker
        ("0.05+0.04", FREE, 80_000),  # both are thinner, the joint is dry
        ("0.05+0.04", REFUSES, 106_999),  # both are thicker, and the joint adds 0.007
        ("0.05+0.04+0.03", REFUSES, 148_999),
    ],
)
def test_at_its_worst_a_blade_still_leaves_the_truth_in(
    blade: str, answer: Answer, true_clearance: int
) -> None:
    """The furthest that a leaf's error and a stack's joints can mislead (arithmetic)."""
    found = bracket_of(readings(f"{blade} {answer.value}"))
    assert found.wide_low.nm <= true_clearance
    assert found.wide_high is None or true_clearance <= found.wide_high.nm
