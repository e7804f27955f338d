from __future__ import annotations

from itertools import product

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Bracket, Reading, bracket_of
from benchtui.domain.gauging.lacking import blades_to_get, lacking
from benchtui.domain.gauging.verdict import judge
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band

mm = Length.mm
SETTING = Band(mm("0.28"), mm("0.34"))


def read(answer: Answer, mark: Length, measured: Length | None = None) -> Reading:
    error = Length.um(5 if measured is None else 2)
    return Reading(Feeler((Leaf(mark, measured, error),)), answer)


def test_an_open_top_asks_for_the_upper_limit() -> None:
    lack = lacking(Bracket(mm("0.30"), None, mm("0.295"), None), SETTING, proof=False)
    assert (lack.side, lack.best) == ("upper limit", mm("0.34"))
    assert lack.between == (mm("0.30"), mm("0.34"))
    assert "0.013 in lies there too" in lack.sentence  # 0.3302 mm, the nearest half thou below


def test_the_wanted_sizes_settle_it_whatever_they_answer() -> None:
    readings = [read(Answer.FREE, mm("0.25")), read(Answer.REFUSES, mm("0.40"))]
    lack = lacking(bracket_of(readings), SETTING, proof=False)
    assert lack.side == "both limits"
    for answers in product((Answer.FREE, Answer.REFUSES), repeat=2):
        if answers == (Answer.REFUSES, Answer.FREE):
            continue  # the thicker goes and the thinner does not: no clearance does that
        more = [read(a, size) for a, size in zip(answers, lack.wanted, strict=True)]
        assert judge([*readings, *more], SETTING).kind.settled


def test_a_blade_of_the_size_named_proves_it() -> None:
    readings = [read(Answer.FREE, mm("0.28")), read(Answer.REFUSES, mm("0.32"))]
    lack = lacking(bracket_of(readings), SETTING, proof=True)
    assert lack.side == "proof of the lower limit"
    assert lack.wanted == (mm("0.285"),)
    assert judge([*readings, read(Answer.FREE, lack.wanted[0])], SETTING).proved


def test_closer_in_only_a_measured_blade_may_prove_it() -> None:
    readings = [read(Answer.FREE, mm("0.28")), read(Answer.REFUSES, mm("0.284"))]
    lack = lacking(bracket_of(readings), SETTING, proof=True)
    assert "a measured blade between 0.282 and 0.284 mm may" in lack.sentence
    size = lack.wanted[0]
    assert judge([*readings, read(Answer.FREE, size, size)], SETTING).proved


def test_where_no_blade_can_prove_it_the_advice_is_to_set_it() -> None:
    readings = [read(Answer.FREE, mm("0.28")), read(Answer.REFUSES, mm("0.282"))]
    lack = lacking(bracket_of(readings), SETTING, proof=True)
    assert "no blade of ours can prove it" in lack.sentence
    assert lack.wanted == ()


def test_both_limits_to_prove_take_two_blades() -> None:
    readings = [read(Answer.FREE, mm("0.28")), read(Answer.REFUSES, mm("0.34"))]
    lack = lacking(bracket_of(readings), SETTING, proof=True)
    assert "two blades between 0.285 and 0.335 mm may" in lack.sentence
    more = [read(Answer.FREE, lack.wanted[0]), read(Answer.REFUSES, lack.wanted[1])]
    assert judge([*readings, *more], SETTING).proved


def test_no_inch_size_where_none_lies_between() -> None:
    bracket = Bracket(mm("0.332"), mm("0.342"), mm("0.327"), mm("0.347"))
    lack = lacking(bracket, SETTING, proof=False)
    assert lack.inch_size is None
    assert "in lies" not in lack.sentence


def test_blades_to_get_most_wanted_first() -> None:
    open_top = lacking(Bracket(mm("0.30"), None, mm("0.295"), None), SETTING, proof=False)
    both = lacking(Bracket(mm("0.25"), mm("0.40"), ZERO, None), SETTING, proof=False)
    assert blades_to_get([both, open_top]) == ((mm("0.34"), 2), (mm("0.28"), 1))
