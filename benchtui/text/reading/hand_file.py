"""What one hand felt in practice on known gaps, from the text of its file and back.

The file keeps the tries themselves; the band of drag is learned from them anew each time, so that it
can never say more than they did.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand, Try, learn
from benchtui.domain.length import ZERO, Length
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.checked import Table, open_table
from benchtui.text.reading.readers import as_checked, as_one_of, as_quantity, as_text, described

MOST_TRIES = 500
"""More than anybody's patience (design value)."""

WIDEST = Length.mm(5)
"""A wider gap, or a thicker blade, teaches nothing for valves (design value)."""

_length = as_checked(
    as_quantity(measure.length, "0.10 mm"), lambda found: found <= WIDEST, f"at most {WIDEST}"
)


@dataclass(frozen=True, slots=True)
class PractisedHand:
    """One person's latest practice."""

    who: str
    on: date
    tries: tuple[Try, ...]

    @property
    def band(self) -> FeelBand | None:
        """What it shows; None while the tries are too few to tell."""
        return learn(self.tries)


def parse_hand(text: str, file: str) -> PractisedHand:
    """The practice in ``text``.

    Raises:
        FaultyInput: everything that is wrong in it, from the top down.
    """
    top = open_table(text, file)
    who = top.need("who", as_text, "a name in quotes")
    on = top.need("on", _day, 'the day of the practice, as in "2026-05-01"')
    tables = top.tables("try")
    if len(tables) > MOST_TRIES:
        top.fault("try", f"{len(tables)} tries", f"at most {MOST_TRIES}")
    tries = [_try(table) for table in tables]
    top.done()
    top.faults.raise_any()
    if who is None or on is None:
        raise AssertionError("a fault was noted for what is missing")
    return PractisedHand(who, on, tuple(t for t in tries if t is not None))


def _try(table: Table) -> Try | None:
    gap = table.need("gap", _length, 'the known gap, as in "0.104 mm"')
    blade = table.need("blade", _length, 'the blade, as in "0.10 mm"')
    answer = table.need("answer", as_one_of(Answer), "free, drag or refuses")
    doubt = table.get("doubt", _length, ZERO)
    table.done()
    if gap is None or blade is None or answer is None:
        return None
    return Try(gap, blade, answer, doubt)


def _day(value: object) -> date:
    try:
        return date.fromisoformat(as_text(value))
    except ValueError:
        raise FaultyQuantity(described(value), 'a day in quotes, as in "2026-05-01"') from None


def hand_text(hand: PractisedHand) -> str:
    """The file of a practice."""
    lines = [
        "# What one hand felt on known gaps, tried with feeler blades. Made by benchtui.",
        "format = 1",
        f"who = {json.dumps(hand.who, ensure_ascii=False)}",  # a string of JSON is one of TOML too
        f'on = "{hand.on.isoformat()}"',
    ]
    for one in hand.tries:
        lines += [
            "",
            "[[try]]",
            f'gap = "{one.gap}"',
            f'blade = "{one.blade}"',
            f'answer = "{one.answer.value}"',
            *([f'doubt = "{one.doubt}"'] if one.doubt else []),
        ]
    return "\n".join(lines) + "\n"
