"""What to do now, put into words: what every place that shows it takes it from."""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchtui.domain.blades import Feeler
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import NextStep, Purpose, Settle, SpotCheck, TryBlade
from benchtui.domain.session.whole.round_by_leaf import then_for
from benchtui.text.words.crank_words import listed
from benchtui.text.words.stamped import blade_both
from benchtui.text.words.steps import Tall, before_all, in_inches, sentence, small_line, tall


@dataclass(frozen=True, slots=True)
class Told:
    """A step, its tall word, its sentence, and the small line beneath; ``inch``: beside an inch set.

    ``first`` is what the sentence begins with, where something comes before any advice.
    """

    step: NextStep
    tall: Tall
    sentence: str
    small: str
    inch: bool
    first: str = ""

    @property
    def whole(self) -> str:
        """The sentence and what stands beneath it."""
        return f"{self.sentence} {self.small}".strip()


def told_of(state: State, valve: str | None = None) -> Told:
    """What to do now at this valve, or (None) at the whole engine, in words."""
    return remembered(state, ("told", valve), lambda: told(next_step(state, valve), state))


def told(step: NextStep, state: State) -> Told:
    """A step in words, in the unit of the session's set of blades."""
    inch = in_inches(state)
    small = small_line(step, inch=inch) or _keep_in_hand(step, state, inch=inch)
    first = before_all(step, state)
    # Beside it, what each answer would make of the valve can wait.
    bare = replace(step, leads=None) if first and isinstance(step, TryBlade) else step
    said = f"{first} {sentence(bare, inch=inch)}".strip()
    return Told(step, tall(step, inch=inch), said, small, inch, first)


def _keep_in_hand(step: NextStep, state: State, *, inch: bool) -> str:
    """Where the blade to try goes next at this stop, in its order; empty where nowhere else."""
    if not isinstance(step, TryBlade) or step.purpose is not Purpose.LIMIT:
        return ""
    others = then_for(state, step.feeler, step.valve)
    if not others:
        return ""
    blade = blade_both(step.feeler, inch=inch)
    return f"{blade} is wanted at {listed(tuple(others))} too: keep it in hand."


def feeler_of(step: NextStep) -> Feeler | None:
    """The blade that a step wants tried; None where it wants none."""
    match step:
        case TryBlade(feeler=feeler):
            return feeler
        case Settle(clash=clash):
            return clash.doubted.feeler if clash.how is Settling.TRY_AGAIN else None
        case SpotCheck(spot=spot):
            return spot.feeler
        case _:
            return None
