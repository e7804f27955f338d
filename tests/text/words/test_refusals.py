"""Every refusal has its words, made of what it is told with, in the unit of the set."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import benchtui
from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.text.words.refusals import WORDS, reason_words, refusal_words


def made() -> Iterator[tuple[str, str, set[str]]]:
    """Every refusal that the source makes of one kind: where, its kind, what it is told with."""
    for path in sorted(Path(benchtui.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            match node:
                case ast.Call(ast.Name("Refusal"), [ast.Attribute(ast.Name("Why"), why)], told):
                    yield f"{path.name}:{node.lineno}", why, {k.arg or "" for k in told}


def wanted(why: str) -> set[str]:
    return {name for text in WORDS[Why[why]] for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize(("place", "why", "told"), list(made()))
def test_what_it_is_told_with_is_what_its_words_want(place: str, why: str, told: set[str]) -> None:
    assert told == wanted(why), place


def test_every_kind_is_made_somewhere_and_worded() -> None:
    assert set(WORDS) == set(Why)
    named = {
        why
        for path in Path(benchtui.__file__).parent.rglob("*.py")
        if path.name != "refusals.py"
        for why in re.findall(r"\bWhy\.([A-Z_]+)", path.read_text(encoding="utf-8"))
    }
    assert named == {why.name for why in Why}


@pytest.mark.parametrize("why", Why)
def test_the_reason_is_a_sentence(why: Why) -> None:
    reason, instead = WORDS[why]
    assert reason.endswith((".", "{because}"))
    assert not instead or instead.endswith((".", "?", "}"))


def test_lengths_and_blades_are_told_in_the_unit_of_the_set() -> None:
    # 0.008 in is 0.2032 mm exactly (an inch is 25.4 mm by definition).
    wide = Refusal(Why.TOO_WIDE, width=Length.thou(2))
    assert reason_words(wide, inch=True).startswith("The bracket is 0.002 in wide")
    assert reason_words(Refusal(Why.TOO_WIDE, width=Length.mm("0.05"))).startswith(
        "The bracket is 0.05 mm wide"
    )
    held = Refusal(Why.STACK_HELD, feeler=Feeler((Leaf(Length.thou(4)), Leaf(Length.thou(4)))))
    assert "0.004+0.004 in is" in refusal_words(held, inch=True)
