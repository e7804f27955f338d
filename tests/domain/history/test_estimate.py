"""The estimate of drift, against scipy's integrals and linear programme, and sums done by hand.

No published fit could be had whose leaves have an even error shared by all checks and whose gap has
no scatter of its own: published interval regressions estimate a normal scatter. So the limiting case
is held against the published slope range of all lines through brackets, and the likelihood itself
against an independent integral.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import linprog
from scipy.stats import uniform

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.felt import Felt
from benchtui.domain.history.estimate import estimates
from benchtui.domain.history.likelihood import GRAIN, SLIP, gaps_at_end, stretches
from benchtui.domain.history.slopes import Seen
from benchtui.domain.history.wear import ProvedTrend, Run
from benchtui.domain.length import Length

EXACT = FeelBand.exactly(Length(0), Length(0))
UM = 1000


def told(um: float, answer: Answer, error: float = 5) -> Felt:
    low, high = (Length(round((um + e) * UM)) for e in (-error, error))
    return Felt(Length(round(um * UM)), low, high, answer)


def at(x: int, *answers: Felt) -> Seen:
    return Seen(Fraction(x), None, None, answers)


def between(x: int, low: float, high: float, error: float = 5) -> Seen:
    """The lower leaf is free, the upper refuses."""
    return at(x, told(low, Answer.FREE, error), told(high, Answer.REFUSES, error))


def beside(x: int, low: float, high: float, error: float = 5) -> Seen:
    """The same of leaves so near each other that the lower drags."""
    return at(x, told(low, Answer.DRAG, error), told(high, Answer.REFUSES, error))


def test_the_likelihood_of_a_run_is_the_integral_of_shared_leaves() -> None:
    """Two checks with the same two leaves, worked out anew: for each gap the share of thicknesses that
    each leaf may have, given both of its answers, and scipy's own integral over the gap."""
    run = Run((between(0, 80, 120), at(1000, told(80, Answer.REFUSES), told(120, Answer.REFUSES))))
    ready = stretches((run,), EXACT)

    def by_hand(slope: float) -> float:
        def share(gap: float) -> float:
            later = gap + slope * 1000
            # 80 goes at first and refuses later; 120 refuses at both.
            thin = uniform(75 * UM, 10 * UM)
            goes = max(0.0, thin.cdf(gap) - thin.cdf(later))
            thick = 1 - uniform(115 * UM, 10 * UM).cdf(max(gap, later))
            return (SLIP + (1 - SLIP) * goes) * (SLIP + (1 - SLIP) * thick)

        kinks = sorted(k * UM - s for k in (75, 85, 115, 125) for s in (0.0, slope * 1000))
        return float(sum(quad(share, a, b)[0] for a, b in pairwise(kinks)))

    ratio = gaps_at_end(ready, -30.0).total / gaps_at_end(ready, -15.0).total
    assert ratio == pytest.approx(by_hand(-30.0) / by_hand(-15.0), rel=0.05)


@pytest.mark.parametrize("seed", range(4))
def test_what_is_likely_lies_where_a_line_passes_every_bracket(seed: int) -> None:
    """With leaves and a hand that never err, the slopes that no slip has to explain are those of the
    lines through every bracket: scipy.optimize.linprog gives their range."""
    random = np.random.default_rng(seed)
    slope, start = random.uniform(-0.02, 0.0), random.uniform(90, 110)
    rows = []
    for x in (0, 900, 2100, 3000):
        gap = start + slope * x
        rows.append((x, gap - random.uniform(1, 9), gap + random.uniform(1, 9)))
    run = Run(tuple(between(x, round(a, 3), round(b, 3), 0) for x, a, b in rows))
    ready = stretches((run,), EXACT)
    upper = [[x, 1] for x, _, _ in rows] + [[-x, -1] for x, _, _ in rows]
    bounds = [b for _, _, b in rows] + [-a for _, a, _ in rows]
    ends = []
    for sign in (1, -1):
        least = linprog([sign, 0], A_ub=upper, b_ub=bounds, bounds=[(None, None)] * 2)
        assert least.x is not None
        ends.append(float(least.x[0]) * UM)
    grid = np.linspace(ends[0] - 12, ends[1] + 12, 60)
    likely = [gaps_at_end(ready, float(b)).total for b in grid]
    best = max(likely)
    passing = [b for b, v in zip(grid, likely, strict=True) if v > 0.2 * best]
    grain = 2 * GRAIN / 2000
    assert ends[0] - grain <= min(passing)
    assert max(passing) <= ends[1] + grain


def test_a_valve_found_tight_again_and_again_closes_up_and_its_sister_is_told_so() -> None:
    """Three times set to 0.10 to 0.12 mm and found 10 000 km on at 0.06 to 0.07 mm: it closes by 0.03
    to 0.06 mm in that way. The sister was only ever seen in range."""
    tight = tuple(
        Run((between(k * 10_000, 100, 120), beside((k + 1) * 10_000, 60, 70))) for k in range(3)
    )
    sister = (Run(tuple(between(k * 10_000, 80, 120) for k in range(2))),)
    both = estimates({"1E": tight, "2E": sister}, 40 * UM / 10_000)
    assert both["1E"].trend is ProvedTrend.CLOSING
    low, high = both["1E"].band
    assert -6.5 <= low < high <= -2.5
    alone = estimates({"2E": sister}, 40 * UM / 10_000)["2E"]
    assert alone.trend is ProvedTrend.NONE
    assert both["2E"].closing > alone.closing == pytest.approx(0.5, abs=0.02)


def test_one_slip_moves_no_estimate_far() -> None:
    sound = [between(k * 1000, 80, 120) for k in range(8)]
    slip = [*sound[:4], between(4000, 40, 60), *sound[5:]]
    estimate = estimates({"1E": (Run(tuple(slip)),)}, 40.0)["1E"]
    assert estimate.trend is ProvedTrend.NONE
    low, high = estimate.band
    assert low < 0 < high


def test_mirrored_answers_give_a_mirrored_estimate() -> None:
    down = [beside(0, 110, 120), beside(1000, 95, 105), beside(2000, 80, 90)]
    up = [beside(2000 - int(s.x), *(f.nominal.nm / UM for f in s.felt)) for s in down]
    falls = estimates({"1E": (Run(tuple(down)),)}, 40.0)["1E"]
    rises = estimates({"1E": (Run(tuple(sorted(up, key=lambda s: s.x))),)}, 40.0)["1E"]
    assert (falls.trend, rises.trend) == (ProvedTrend.CLOSING, ProvedTrend.OPENING)
    assert falls.band[0] == pytest.approx(-rises.band[1], rel=0.03)


def test_where_the_limit_is_met_follows_from_gap_and_slope() -> None:
    """At 74 to 90 um after 2 000 km (a blade drags in a gap up to 6 um narrower than itself), closing 15 um
    in 1 000 km, give or take 7: 60 um is met 600 to 4 000 km on, the likely place between."""
    down = [beside(0, 110, 120, 1), beside(1000, 95, 105, 1), beside(2000, 80, 90, 1)]
    estimate = estimates({"1E": (Run(tuple(down)),)}, 40.0)["1E"]
    first, likely, last = estimate.meets(60 * UM)
    assert likely is not None
    assert last is not None
    assert 2500 < first < likely < last < 6000
    low, high = estimate.gap(2000.0)
    assert 70 * UM < low < high < 95 * UM
