"""By feel: the weakest grade, for the owner of the hand alone, and the verdict stays what it was."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.verdict import DecisionRule, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.decision_rule import feel_in_force, feel_of, rule_of
from benchtui.domain.session.facts.commands import CloseSession
from benchtui.domain.session.facts.events import Opened, Particulars, ParticularsEntered, RuleChosen
from benchtui.domain.session.steps.decide import check_opening
from benchtui.domain.session.whole.completeness import missing
from benchtui.domain.session.whole.record import record_of
from benchtui.text.words.refusals import refusal_words
from tests.asking import advise
from tests.refusing import must_refuse

HAND = FeelBand.exactly(Length.um(-4), Length.um(10))
Desks = Any


@pytest.fixture
def opening(desk: Any) -> Opened:
    given: Opened = desk.state.opened
    return replace(given, feel=HAND, particulars=Particulars(metal_c=Fraction(19), who="M."))


@pytest.fixture
def practised(desk: Any, opening: Opened) -> Any:
    made = type(desk)(opening)
    made.confirm("1")
    return made


def test_a_drag_inside_the_range_is_in_range_by_feel_where_its_owner_chose_so(
    practised: Any,
) -> None:
    """0.08 drags: 0.076 to 0.090 by this hand, within 0.06 to 0.10; the blades alone leave it open."""
    before = practised.read("1I", "0.08 drag")
    assert (before.verdict.kind, before.verdict.by_feel) == (VerdictKind.UNDECIDED, False)
    assert not before.done
    practised.do(RuleChosen(DecisionRule.FEEL))
    view = practised.look("1I")
    assert (view.verdict.kind, view.verdict.by_feel) == (VerdictKind.UNDECIDED, True)
    assert not view.verdict.proved
    assert view.done
    assert advise(practised.state, view) is None


@pytest.mark.parametrize(
    "readings",
    [
        ("0.10 free",),  # wide is wide
        ("0.06 refuses",),  # tight is tight
        ("0.12 free", "0.08 refuses"),  # a contradiction is one
        ("0.06 drag",),  # 0.056 to 0.070: not within 0.06 to 0.10
        ("0.08 free",),  # over 0.090 by feel, and no end
    ],
)
def test_by_feel_never_overrules_the_blades(practised: Any, readings: tuple[str, ...]) -> None:
    plain = practised.read("1I", *readings).verdict
    practised.do(RuleChosen(DecisionRule.FEEL))
    by_feel = practised.look("1I")
    assert by_feel.verdict == plain
    assert not by_feel.verdict.by_feel


def test_plain_in_range_is_more_than_by_feel_and_is_accepted_too(practised: Any) -> None:
    practised.do(RuleChosen(DecisionRule.FEEL))
    view = practised.read("1I", "0.06 free", "0.10 refuses")
    assert (view.verdict.kind, view.verdict.by_feel, view.done) == (VerdictKind.IN, False, True)


def test_nothing_more_is_asked_for_once_the_blades_have_settled_it(practised: Any) -> None:
    practised.do(RuleChosen(DecisionRule.FEEL))
    assert advise(practised.state, practised.look("1I")) is not None
    view = practised.read("1I", "0.06 free", "0.10 refuses")
    assert advise(practised.state, view) is None


def test_a_check_by_feel_is_complete_and_says_how(practised: Any) -> None:
    practised.do(RuleChosen(DecisionRule.FEEL))
    practised.read("1I", "0.08 drag")
    practised.read("1E", "0.10 drag")
    practised.confirm("2")
    practised.read("2I", "0.08 drag")
    practised.read("2E", "0.10 drag")
    assert missing(practised.state) == ()
    practised.do(CloseSession())
    record = record_of(practised.state)
    assert record.complete
    for valve in record.valves:
        assert valve.left is not None
        assert valve.left.verdict.by_feel
        assert valve.left.verdict.kind is VerdictKind.UNDECIDED


def test_another_hand_takes_over_and_by_feel_ends(practised: Any) -> None:
    practised.do(RuleChosen(DecisionRule.FEEL))
    practised.read("1I", "0.08 drag")
    practised.do(ParticularsEntered(Particulars(who="Asta")))
    assert feel_of(practised.state) is None
    assert feel_in_force(practised.state) is None
    assert rule_of(practised.state) is DecisionRule.PLAIN
    assert not practised.look("1I").done


def test_nobody_who_has_not_practised_goes_by_feel(desk: Any, opening: Opened) -> None:
    with must_refuse("Nobody is named, and"):
        desk.do(RuleChosen(DecisionRule.FEEL))
    with must_refuse(r"M\. has not practised"):
        check_opening(replace(opening, feel=None, rule=DecisionRule.FEEL))
    nobody = replace(opening, particulars=Particulars(), feel=None, rule=DecisionRule.FEEL)
    with must_refuse("Nobody is named, and") as caught:
        check_opening(nobody)
    assert "Begin with the name of somebody who has practised" in refusal_words(caught.value)
    check_opening(replace(opening, rule=DecisionRule.FEEL))


def test_a_hand_that_is_known_decides_nothing_by_itself(practised: Any) -> None:
    assert rule_of(practised.state) is DecisionRule.PLAIN
    assert feel_of(practised.state) == HAND
    assert feel_in_force(practised.state) is None
