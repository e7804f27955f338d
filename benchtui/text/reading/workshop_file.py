"""The workshop's own name, and how its owner works, from the text of ``workshop.toml`` in the data folder.

``name = "Harbour workshop"`` and, if wanted, ``lines = ["12 Quay Street", "open in the mornings"]``: what a
card for a customer is headed with. In ``[work]`` stands how one goes round a stop: ``round``, and what a
blade tried, a leaf changed and a move to another valve cost beside each other; ``finer_reading`` is whether
one valve a check is read on, so that wear can be learned.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.session.facts.events import Effort
from benchtui.text.reading.checked import Table, open_table
from benchtui.text.reading.readers import as_number, as_one_of, as_text


class Round(Enum):
    """How the valves of a stop are gone round."""

    LEAF = "by leaf"
    VALVE = "by valve"


class FinerWanted(Enum):
    """Where one valve is read on once it is in range."""

    TWICE = "found out twice"
    ALWAYS = "always"
    NEVER = "never"


@dataclass(frozen=True, slots=True)
class WorkshopTold:
    """What stands above a customer's card, and how the work goes."""

    letterhead: tuple[str, ...] = ()
    effort: Effort = field(default_factory=Effort)
    finer: FinerWanted = FinerWanted.TWICE
    faults: tuple[Fault, ...] = ()


def parse_workshop(text: str, file: str) -> WorkshopTold:
    """The name with the other lines, and the settings; ``faults`` is what is wrong with it, top down.

    What is wrong is left out and the rest holds: a slip in it is no reason to stand idle at an engine.
    """
    try:
        return _parsed(text, file)
    except FaultyInput as none_of_it:
        return WorkshopTold(faults=none_of_it.faults)


def _parsed(text: str, file: str) -> WorkshopTold:
    top = open_table(text, file)
    wanted = 'what the workshop is called, as in "Harbour workshop"'
    nameless = top.has("work") and not top.has("lines")  # settings alone may stand in it
    name = top.take("name", as_text) if nameless else top.need("name", as_text, wanted)
    lines = 'texts in quotes, as in ["12 Quay Street"]'
    others = (top.each("lines", as_text, lines) or ()) if top.has("lines") else ()
    told = top.part("work", _work, "a table, as in [work]") if top.has("work") else None
    top.done()
    effort, finer = told or (Effort(), FinerWanted.TWICE)
    return WorkshopTold((name, *others) if name else (), effort, finer, top.faults.found)


def _work(table: Table) -> tuple[Effort, FinerWanted]:
    plain = Effort()
    price = as_number(Fraction(0), Fraction(100), "a number from 0 to 100, as in 0.5")
    effort = Effort(
        table.get("insertion", price, plain.insertion),
        table.get("leaf_change", price, plain.leaf_change),
        table.get("move", price, plain.move),
        table.get("round", as_one_of(Round), Round.LEAF) is Round.LEAF,
    )
    finer = table.get("finer_reading", as_one_of(FinerWanted), FinerWanted.TWICE)
    table.done()
    return effort, finer
