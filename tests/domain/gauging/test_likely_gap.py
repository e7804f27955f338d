"""The likelihood of the drags, against scipy's own integral."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from benchtui.domain.blades import Feeler, Leaf
from benchtui.domain.gauging.bracket import Answer, Reading, bracket_of
from benchtui.domain.gauging.feel import USUAL_BAND, FeelBand
from benchtui.domain.gauging.likely_gap import likely_gap
from benchtui.domain.length import Length

um = Length.um


def read(micrometres: int, answer: Answer, error: int = 5) -> Reading:
    return Reading(Feeler((Leaf(um(micrometres), error=um(error)),)), answer)


D, F, R = Answer.DRAG, Answer.FREE, Answer.REFUSES


def oracle(readings: tuple[Reading, ...], band: FeelBand) -> float:
    """The mean in um, each answer a ramp over its blade's error and the doubt of the band."""

    def ramp(x: float, a: Length, b: Length) -> float:
        width = max(b.in_mm - a.in_mm, 1e-6)
        return min(1.0, max(0.0, (x - a.in_mm) / width))

    def weight(x: float) -> float:
        product = 1.0
        for r in readings:
            thin, thick = r.feeler.thinnest, r.feeler.thickest
            begun = ramp(x, thin + band.floor, thick + band.refused_to)
            ended = ramp(x, thin + band.free_from, thick + band.ceiling)
            product *= {F: ended, D: begun * (1 - ended), R: 1 - begun}[r.answer]
        return product

    places = sorted(
        {
            e.in_mm
            for r in readings
            for t in (r.feeler.thinnest, r.feeler.thickest)
            for e in (t + band.floor, t + band.refused_to, t + band.free_from, t + band.ceiling)
        }
    )
    spots = list(pairwise(places))
    mass = sum(integrate.quad(weight, a, b)[0] for a, b in spots)
    first = sum(integrate.quad(lambda x: x * weight(x), a, b)[0] for a, b in spots)
    return 1000 * first / mass


@pytest.mark.parametrize(
    "readings",
    [
        (read(70, D),),
        (read(60, F), read(70, D), read(80, R)),
        (read(60, D), read(70, D)),
        (read(70, D, error=0), read(75, R, error=0)),
        (read(100, D), read(110, R), read(90, F, error=2)),
    ],
)
@pytest.mark.parametrize(
    "band", [USUAL_BAND, FeelBand(um(-6), um(-3), um(9), um(14)), FeelBand.exactly(um(0), um(12))]
)
def test_the_centre_is_the_mean_of_the_likelihood(
    readings: tuple[Reading, ...], band: FeelBand
) -> None:
    found = likely_gap(readings, band)
    assert found is not None
    plain = bracket_of(readings)
    wanted = oracle(readings, band)
    if plain.high is not None:
        wanted = min(max(wanted, plain.low.nm / 1000), plain.high.nm / 1000)
    assert found.nm / 1000 == pytest.approx(wanted, abs=0.3)


@pytest.mark.parametrize(
    "readings", [(), (read(60, F), read(70, R)), (read(60, F),), (read(50, D), read(90, D))]
)
def test_without_a_drag_or_where_nothing_fits_there_is_none(readings: tuple[Reading, ...]) -> None:
    assert likely_gap(readings, USUAL_BAND) is None


def test_a_stack_that_drags_only_goes() -> None:
    pair = Feeler((Leaf(um(30)), Leaf(um(50))))
    assert likely_gap((Reading(pair, D), read(90, R)), USUAL_BAND) is None
    beside = likely_gap((read(80, D), Reading(pair, D)), USUAL_BAND)
    freed = likely_gap((read(80, D), Reading(pair, F)), USUAL_BAND)
    assert beside == freed


@given(st.lists(st.tuples(st.integers(30, 150), st.sampled_from([D, F, R])), max_size=6))
def test_it_is_aimed_from_inside_the_bracket(told: list[tuple[int, Answer]]) -> None:
    readings = tuple(read(size, answer) for size, answer in told)
    found, plain = likely_gap(readings, USUAL_BAND), bracket_of(readings)
    if found is not None and plain.high is not None and not plain.clash:
        assert plain.low <= found <= plain.high
