"""``workshop.toml``: the workshop's name, and how its owner works."""

from __future__ import annotations

from fractions import Fraction

import pytest

from benchtui.domain.session.facts.events import Effort
from benchtui.text.reading.workshop_file import FinerWanted, WorkshopTold, parse_workshop

NAME = 'format = 1\nname = "Harbour workshop"\nlines = ["12 Quay Street"]\n'
WORK = """[work]
round = "by valve"
insertion = 2
leaf_change = 0.5
move = 1
finer_reading = "always"
"""


def told(text: str) -> WorkshopTold:
    return parse_workshop(text, "workshop.toml")


def test_the_name_alone_leaves_plain_defaults() -> None:
    assert told(NAME) == WorkshopTold(("Harbour workshop", "12 Quay Street"))
    plain = WorkshopTold()
    assert plain.effort == Effort(Fraction(1), Fraction(1, 2), Fraction(1, 5), by_leaf=True)
    assert plain.finer is FinerWanted.TWICE


def test_how_its_owner_works() -> None:
    found = told(NAME + WORK)
    assert found.effort == Effort(Fraction(2), Fraction(1, 2), Fraction(1), by_leaf=False)
    assert found.finer is FinerWanted.ALWAYS
    # The settings may stand alone: a workshop without a name has them too.
    alone = told(f"format = 1\n{WORK}")
    assert alone == WorkshopTold((), found.effort, found.finer)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('round = "by engine"', ["work.round", '"by leaf" or "by valve"']),
        ("move = -1", ["work.move", "from 0 to 100"]),
        ('leaf_change = "2 s"', ["work.leaf_change", "a number"]),
        ('finer_reading = "often"', ["work.finer_reading", '"always"']),
        ("leafs = 1", ["leafs"]),
    ],
)
def test_what_is_wrong_is_named_with_its_line(line: str, said: list[str]) -> None:
    found = told(f"{NAME}[work]\n{line}\n")
    assert found.letterhead == ("Harbour workshop", "12 Quay Street"), "the rest holds"
    assert found.effort == Effort()
    (fault,) = found.faults
    assert (fault.file, fault.line) == ("workshop.toml", 5)
    for words in said:
        assert words in f"{fault.key} {fault.wanted} {fault.found}"


def test_no_name_and_no_setting_is_a_fault() -> None:
    assert [f.key for f in told("format = 1\n").faults] == ["name"]


def test_what_is_no_toml_leaves_plain_defaults() -> None:
    found = told("name = 'Harbour\n")
    assert (found.letterhead, found.effort) == ((), Effort())
    assert [f.line for f in found.faults] == [1]
