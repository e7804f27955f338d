"""Steps of the work that only some engines have: the sheet names them, somebody ticks each.

All of them are common practice; the sheet's own words say how this engine wants it done.
"""

from __future__ import annotations

from enum import Enum


class WorkStep(Enum):
    """One step, by the name under which it is ticked."""

    SPARK_PLUG = "spark plug"
    STOP_LEVER = "stop lever"
    CHAIN_TENSIONER = "chain tensioner"
    GASKET = "gasket"
    TIMING_PLUG = "timing plug"

    @property
    def before(self) -> bool:
        """Whether it comes before the crank is turned; the others come when closing up."""
        return self in (WorkStep.SPARK_PLUG, WorkStep.STOP_LEVER)


Work = tuple[tuple[WorkStep, str], ...]
"""The steps of one engine with the sheet's words for each."""


def work_lines(work: Work, *, before: bool) -> tuple[str, ...]:
    """The lines to tick before the crank is turned, or when closing up: ``Gasket: a new one, dry``."""
    return tuple(
        f"{step.value.capitalize()}: {words}" for step, words in work if step.before is before
    )


def line_of(work: Work, name: str) -> str:
    """The line that this name of a step stands for; ``name`` itself where it is none."""
    lines = (*work_lines(work, before=True), *work_lines(work, before=False))
    return next((x for x in lines if x.partition(":")[0].lower() == name.lower()), name)
