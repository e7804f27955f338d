"""What three answers are worth: ``python -m tests.benchmarks.by_feel [sessions per case]``.

The same simulated engines, blades that are what they are marked, and one hand that drags from -0.004 to
+0.010 mm, once by the plain rule and once by feel, through the real bench. Prints, for each range and
set of the invented fleet, insertions a valve as found, and how many of the valves called done are in
truth out of range. Prints only: nothing here passes or fails.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.metal import Metal, draw_gaps
from tests.simulation.fleet import FLEET, Case
from tests.simulation.player import play

HAND = FeelBand(Length.um(-5), Length.um(-4), Length.um(9), Length.um(10))
"""What a short practice shows of that hand."""


@dataclass(slots=True)
class Count:
    """Over all valves: insertions as found, valves, those done, and those of them out in truth."""

    insertions: int = 0
    valves: int = 0
    done: int = 0
    wrong: int = 0


def run(case: Case, rule: DecisionRule, sessions: int) -> Count:
    """So many seeded sessions; the engines are the same whatever the rule."""
    count = Count()
    exact = {leaf: leaf.thickness.nm for leaf in case.blades.leaves}
    for seed in range(sessions):
        gaps = draw_gaps(case.sheet, Random(seed))
        random = Random(seed + 1)
        metal = Metal(case.sheet, case.blades, STORY_HAND, random, gaps=gaps, leaves=exact)
        who = Particulars(metal_c=Fraction(15), who="M.")
        opened = Opened(f"s{seed}", case.sheet, "b", case.blades, who, rule, feel=HAND)
        for valve in play(opened, metal).valves:
            count.insertions += valve.insertions
            count.valves += 1
            count.done += valve.done
            true = metal.gaps[valve.name]
            count.wrong += valve.done and not valve.band.low.nm <= true <= valve.band.high.nm
    return count


def main() -> int:
    """Print a line a case."""
    sessions = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    print(f"{'engine':<10}{'set':<12}{'plain':>7}{'by feel':>9}{'ratio':>7}   out though done")
    for case in FLEET:
        plain, feel = (run(case, r, sessions) for r in (DecisionRule.PLAIN, DecisionRule.FEEL))
        means = [c.insertions / c.valves for c in (plain, feel)]
        wrong = f"{plain.wrong}/{plain.done} plain, {feel.wrong}/{feel.done} by feel"
        print(
            f"{case.sheet.key:<10}{case.blades.name:<12}{means[0]:>7.2f}{means[1]:>9.2f}"
            f"{means[1] / means[0]:>7.2f}   {wrong}"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
