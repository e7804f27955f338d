"""The tour: the real bench on a pump that is not real, with a drawn hand that says what it feels.

What is to be done is the bench's own next step; here it is only said what the hand meets there, and
which key that is. Nothing of it is kept.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.facts.events import AfterStep, Particulars
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.session import WHO, Rehearsal, set_up
from benchtui.text.words.practice_words import feel_words
from benchtui.text.words.stamped import blade_both
from benchtui.workshop import Workshop

ENGINE, BLADES = "quay-pump", "fine-metric"
"""A plain single, whoever else has one of that name: the tour is on the example that ships."""

STEPS = (
    "engine", "cold", "crank", "refuses", "free", "tight", "set on a blade", "again after the lock",
    "close up", "card",
)  # fmt: skip

GAPS = {"1I": 85_000, "1E": 62_000}
"""Nanometres: the inlet in its range of 0.06 to 0.10 mm, the exhaust tight on 0.08 to 0.12 mm."""

MARK = "TOUR, NOT REAL"

KEYS = {
    Answer.REFUSES: "That is S, or J: refuses. Wrong key: Backspace.",
    Answer.DRAG: "That is D, or K: drags. Wrong key: Backspace.",
    Answer.FREE: "That is F, or L: free. Wrong key: Backspace.",
}


class Tour(Rehearsal):
    """A rehearsal that is led through its ten steps."""

    mark = MARK

    def tells_first(self, valve: str, feeler: Feeler) -> bool:
        """Never: the guide has told the feel already."""
        del valve, feeler
        return False

    def guide(self, screen: str, valve: str = "", feeler: Feeler | None = None) -> tuple[str, ...]:
        """What the drawn hand met at this step of the bench, and the key for it; two lines, or none."""
        state = self.bench.state
        step = next_step(state, valve or None)
        number, met, key = self._met(step, screen, feeler)
        if not number:
            return ()
        return (f"Tour {number}  The hand {met}.", f"{number} of 10, {STEPS[number - 1]}. {key}")

    def _met(  # noqa: C901  # one case a step
        self, step: k.NextStep, screen: str, feeler: Feeler | None
    ) -> tuple[int, str, str]:
        closing = AfterStep.TURNED_OVER in self.bench.state.after
        match step:
            case k.ConfirmCrank():
                met = "brought the mark to its place; both rockers rattle when shaken"
                keys = {
                    "crank": "1, then 2: two signs, and the bench opens.",
                    "closing": "Space tries it once more.",
                }
                return 9 if closing else 3, met, keys.get(screen, "C: the crank.")
            case k.TryBlade(valve=valve):
                return self._felt(valve, feeler or step.feeler, step)
            case k.SpotCheck(spot=spot):
                _, met, key = self._felt(spot.valve, spot.feeler, step)
                return 9, met, "Space on its line asks for it." if screen == "closing" else key
            case k.Settle(valve=valve, clash=clash):
                return self._felt(valve, feeler or clash.doubted.feeler, step)
            case k.SetOnBlade(feeler=held) if screen == "setting":
                blade = blade_both(held, inch=False)
                met = f"holds {blade} in, turns to a light drag, does the nut up"
                return 7, met, "Enter: set, and locked."
            case k.SetOnBlade() | k.TurnBy():
                return 7, "has felt it twice: this valve is out of its range", "Enter: set it."
            case k.LockIt():
                return 7, "holds the screw still and does the nut up", "Enter: locked."
            case k.NextValve(to=to):
                return 5, "is done with this valve", f"Space: on to {to}."
            case k.CloseUp(part=k.ClosePart.FILE):
                return 9, "has done all of it", "Enter: file it, and see the card."
            case k.CloseUp() if screen == "closing":
                return 9, "does each line as you tick it", "↑ ↓ to a line, Space ticks it."
            case k.CloseUp():
                return 9, "is done with both valves", "Enter: close up."
            case _:
                return 0, "", ""

    def _felt(self, valve: str, feeler: Feeler, step: k.NextStep) -> tuple[int, str, str]:
        """What this blade feels like, and at which step of the tour that is."""
        answer, over = self.felt(valve, feeler)
        view = self.bench.look(valve)
        number = 4 if answer is Answer.REFUSES else 5
        if view.verdict.kind is VerdictKind.TIGHT or getattr(step, "out", None) is k.Lead.TIGHT:
            number = 6
        elif self.bench.state.valves[valve].touched:
            number = 8
        blade = blade_both(feeler, inch=False)
        return number, f"put {blade} to {valve}: {feel_words(answer, over)}", KEYS[answer]


def begin_tour(workshop: Workshop, metal_c: Fraction) -> Tour:
    """The tour's pump and hand; always the same.

    Raises:
        BenchError: the blades that ship cannot be used.
    """
    sheet = replace(workshop.engines.example(ENGINE), key="tour-pump", name="Tour pump")
    hand = replace(STORY_HAND, overlap=0.0)
    told = Particulars(metal_c=metal_c, who=WHO)
    same = Random(1)  # for everybody
    stood = set_up(workshop, sheet, BLADES, told, gaps=dict(GAPS), hand=hand, random=same)
    return Tour(*stood)
