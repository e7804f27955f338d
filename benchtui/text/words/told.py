"""What to do now, put into words: what every place that shows it takes it from."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.session.facts.state import State, remembered
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import NextStep
from benchtui.text.words.steps import Tall, in_inches, sentence, small_line, tall


@dataclass(frozen=True, slots=True)
class Told:
    """A step, its tall word, its sentence, and the small line beneath; ``inch``: beside an inch set."""

    step: NextStep
    tall: Tall
    sentence: str
    small: str
    inch: bool

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
    return Told(
        step, tall(step, inch=inch), sentence(step, inch=inch), small_line(step, inch=inch), inch
    )
