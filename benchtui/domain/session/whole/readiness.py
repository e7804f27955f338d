"""What is to be made sure of before a check: the sheet read twice, cold, stood long enough."""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.session.evidence.metal import metal_note, metal_now, metal_words
from benchtui.domain.session.facts.metal_standing import MetalKind, MetalStanding
from benchtui.domain.session.facts.state import State
from benchtui.domain.typed import temperature_words

UNREAD = (
    "This sheet's figures were read only once: read each again in the manual before a screw is "
    "turned by them."
)
"""Acknowledged like a caution; ``checked = true`` in the sheet's source takes it away."""


@dataclass(frozen=True, slots=True)
class Ready:
    """One thing: whether it is as it should be (None: not known), and what stands."""

    good: bool | None
    words: str


def sheet_read_twice(state: State) -> Ready:
    """Whether a second reading of the manual's page has borne the sheet's figures out."""
    source = state.opened.sheet.source
    where = ", ".join(w for w in (source.title, f"page {source.page}" if source.page else "") if w)
    told = f"figures from {where}" if where else "the sheet does not say where its figures are from"
    if source.checked:
        return Ready(True, f"{told}, read twice")  # noqa: FBT003  # the field's name says it
    return Ready(UNREAD in state.cautions, f"{told}. {UNREAD}")


def cooled(state: State) -> tuple[Ready, ...]:
    """The metal's temperature, and the hours it stood, where the sheet asks for them."""
    clearances, taken = state.opened.sheet.clearances, state.particulars
    lines = []
    metal = metal_now(state)
    if metal.kind is not MetalKind.NOT_ASKED:
        good = None if metal.kind is MetalKind.NOT_TOLD else metal.right
        lines.append(Ready(good, metal_words(metal) or metal_note(metal) or _as_wanted(metal)))
    wanted, stood = clearances.stood_hours, taken.stood_hours
    if wanted is not None:
        asked = f"the sheet wants it to have stood {float(wanted):g} h"
        if stood is None:
            lines.append(Ready(None, f"{asked}; not told how long it did"))
        else:
            lines.append(Ready(stood >= wanted, f"stood {float(stood):g} h; {asked}"))
    return tuple(lines)


def _as_wanted(metal: MetalStanding) -> str:
    """The temperature told, which is as the sheet asks."""
    if metal.metal_c is None:
        raise ValueError("only a temperature is told as wanted")
    return f"metal at {temperature_words(metal.metal_c)}, as it wants"
