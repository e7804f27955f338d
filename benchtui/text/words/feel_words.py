"""A practice on known gaps in words."""

from __future__ import annotations

from benchtui.domain.gauging.feel import (
    LEAST_DRAGS,
    LEAST_PLACES,
    LEAST_TRIES,
    Practice,
    Try,
    steady,
)
from benchtui.domain.length import Length
from benchtui.text.quantities.show import figure, length
from benchtui.text.words.sure_words import feel_words


def excess_words(one: Try) -> str:
    """``0.10 in 0.104: drag (+0.004)``."""
    return (
        f"{figure(one.blade)} in {length(one.gap)}: {one.answer.value} "
        f"({figure(one.excess, signed=True)})"
    )


def wanted_words(practice: Practice, blade: str, asked: Length | None) -> str:
    """What to try next with this blade."""
    if asked is not None:
        return f"Set the micrometer to {length(asked)} (Space), wipe, and try {blade}."
    if practice.band is not None:
        return "That is enough: Enter keeps it."
    return "Type the gap, as the micrometer has it."


def practice_lines(practice: Practice) -> tuple[str, ...]:
    """What it has shown so far, and how many tries it has taken."""
    band = practice.band
    count = f"{len(practice.tries)} tries"
    if band is None:
        kinds = f"{LEAST_DRAGS} drags, a refusal and a free blade"
        gaps = f"in {LEAST_PLACES} different gaps at least"
        return (f"{count}; wanted are {LEAST_TRIES} {gaps}, {kinds} among them.",)
    lines = [f"{count}: {feel_words(band)}."]
    if not steady(practice.tries):
        lines.append(
            "The answers overlap, so the band is as wide as they reach: draw it alike each time."
        )
    return tuple(lines)
