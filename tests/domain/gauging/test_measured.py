"""A measured value beside the blades: its verdict, which of the two leads, and when they clash."""

from __future__ import annotations

import pytest

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Measured, Reading, bracket_of
from benchtui.domain.gauging.measured import apart, bracket_measured, closer
from benchtui.domain.gauging.verdict import Verdict, VerdictKind, judge_both, judge_measured
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band

RANGE = Band(Length.mm("0.08"), Length.mm("0.12"))
K = VerdictKind


def measured(value: str, error: str = "0.01") -> Measured:
    return Measured(Length.mm(value), Length.mm(error))


def readings(*texts: str) -> list[Reading]:
    taken = []
    for text in texts:
        blade, answer = text.split()
        taken.append(Reading(Feeler((Leaf(Length.mm(blade)),)), Answer(answer)))
    return taken


@pytest.mark.parametrize(
    ("value", "kind", "proved"),
    [
        ("0.079999", K.TIGHT, False),
        ("0.08", K.IN, False),
        ("0.089999", K.IN, False),
        ("0.09", K.IN, True),
        ("0.11", K.IN, True),
        ("0.110001", K.IN, False),
        ("0.12", K.IN, False),
        ("0.120001", K.WIDE, False),
    ],
)
def test_simple_acceptance_and_the_guard_band(value: str, kind: VerdictKind, proved: bool) -> None:
    """In where the figure is, proved where figure and error are. Source: JCGM 106:2012 8.2 and
    ISO 14253-1 (from memory)."""
    said = judge_measured(measured(value), RANGE)
    assert (said.kind, said.proved) == (kind, proved)
    assert said.because == f"{value} measured, give or take 0.01"


def test_it_is_a_bracket_of_its_own() -> None:
    bracket = bracket_measured(measured("0.11"))
    assert (bracket.low, bracket.high) == (Length.mm("0.10"), Length.mm("0.12"))
    assert (bracket.wide_low, bracket.wide_high) == (bracket.low, bracket.high)
    assert bracket_measured(measured("0.005")).low == Length(0)


def test_whichever_tells_more_closely_leads() -> None:
    """Blades of 0.10 and 0.12 with 5 um each leave 0.03; the dial 0.02 (arithmetic)."""
    dial = measured("0.11")
    assert closer(bracket_of(readings("0.10 free", "0.12 refuses")), dial).measured == dial
    near = bracket_of(readings("0.10 free", "0.11 refuses"))
    assert closer(near, dial) == near
    assert closer(bracket_of([]), dial).measured == dial
    assert closer(near, None) == near


def both(value: str, *texts: str) -> Verdict:
    return judge_both(readings(*texts), measured(value), RANGE)


@pytest.mark.parametrize(
    ("value", "texts", "kind", "proved"),
    [
        ("0.11", (), K.IN, True),
        # What the blades leave open, the measure settles.
        ("0.11", ("0.10 free",), K.IN, True),
        ("0.125", ("0.10 free", "0.15 refuses"), K.WIDE, False),
        # The closer of the two leads, and is proved where either proves it.
        ("0.118", ("0.09 free", "0.11 refuses"), K.IN, True),
        ("0.115", ("0.10 free", "0.11 refuses"), K.IN, True),
        # Readings that clash are settled first.
        ("0.11", ("0.12 free", "0.09 refuses"), K.CONTRADICTION, False),
        # Apart by more than all errors: 0.115 at the most by blades, 0.12 at the least by dial.
        ("0.13", ("0.10 free", "0.11 refuses"), K.CONTRADICTION, False),
        ("0.125", ("0.10 free", "0.11 refuses"), K.IN, True),
    ],
)
def test_beside_blades(value: str, texts: tuple[str, ...], kind: VerdictKind, proved: bool) -> None:
    said = both(value, *texts)
    assert (said.kind, said.proved) == (kind, proved)


@pytest.mark.parametrize(
    ("value", "wider", "pad"),
    [
        ("0.125", None, False),
        ("0.13", "0.005", False),
        ("0.155", "0.03", False),
        ("0.156", "0.031", True),
        ("0.084", "-0.001", False),
    ],
)
def test_apart_from_blades_of_0_10_and_0_11(value: str, wider: str | None, pad: bool) -> None:
    """Their errors taken in, 0.095 to 0.115 mm (arithmetic); over 0.03 wider the pad is in doubt."""
    found = apart(bracket_of(readings("0.10 free", "0.11 refuses")), measured(value))
    assert (None if found is None else found.wider) == (None if wider is None else Length.mm(wider))
    assert (found is not None and found.pad_in_doubt) is pad
