"""Lines that put stored sessions right: what ``benchtui replay`` reads where a file begins with ``amend``.

One line puts one thing right, and says why; the words are in ``WORDS``, the form in the README.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.session.facts.commands import Command, Correct, Undo
from benchtui.domain.session.facts.events import Noted, Particulars, SetAside
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity

AMEND = "amend"
BECAUSE = "because"

SheetNamed = Callable[[str], Sheet]
"""Looks an engine's sheet up by its name; raises FaultyInput where there is none."""


@dataclass(frozen=True, slots=True)
class AmendLine:
    """One line: its number and text, the session (an id, or a part of one), and what to do there."""

    line: int
    text: str
    session: str
    word: str
    value: str
    why: str

    def command(self, sheet_named: SheetNamed) -> Command:
        """The command that the line asks for; raises FaultyInput for an unknown engine."""
        return command_of(self.word, self.value, self.why, sheet_named)


def day_of(text: str) -> date:
    """A day as people write it into a form: ``2026-05-01``.

    Raises:
        FaultyQuantity: anything else.
    """
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise FaultyQuantity(measure.quoted(text), "a date, as in 2026-05-01") from None


def _who(text: str) -> str:
    if not text.strip():
        raise FaultyQuantity("nothing", "a name")
    return text.strip()


def _told(why: str, **told: Any) -> Command:
    return Correct(why, particulars=Particulars(**told))


WORDS: dict[str, Callable[[str, str, SheetNamed], Command]] = {
    "day": lambda text, why, _: Correct(why, day=day_of(text)),
    "odometer": lambda text, why, _: _told(why, odometer_km=measure.distance_km(text)),
    "hours": lambda text, why, _: _told(why, hours=measure.hours(text, bare=True)),
    "metal": lambda text, why, _: _told(why, metal_c=measure.temperature(text)),
    "stood": lambda text, why, _: _told(why, stood_hours=measure.hours(text, bare=True)),
    "who": lambda text, why, _: _told(why, who=_who(text)),
    "engine": lambda text, why, sheet_named: Correct(why, sheet=sheet_named(text.strip())),
    "aside": lambda _, why, __: SetAside(why),
    "note": lambda text, _, __: Noted(text),
    "undo": lambda _, __, ___: Undo(),
}
"""What a line may put right, and what becomes of it."""

_BARE = ("aside", "undo")
_NO_REASON = ("note", "undo")


def command_of(word: str, value: str, why: str, sheet_named: SheetNamed) -> Command:
    """The command for one of ``WORDS``.

    Raises:
        FaultyQuantity: the value cannot be read.
        FaultyInput: no such engine, or its sheet has faults.
    """
    return WORDS[word](value, why, sheet_named)


def is_amendments(text: str) -> bool:
    """Whether the first line that says anything puts a stored session right."""
    lines = (line.split() for line in map(_bare, text.splitlines()))
    return next((words[0] == AMEND for words in lines if words), False)


def parse_amendments(text: str, file: str) -> tuple[AmendLine, ...]:
    """The lines of such a file.

    Raises:
        FaultyInput: with every line that cannot be read.
    """
    made: list[AmendLine] = []
    faults: list[Fault] = []
    for number, raw in enumerate(text.splitlines(), start=1):
        line = _bare(raw)
        if not line:
            continue
        try:
            made.append(_line(number, line))
        except FaultyQuantity as wrong:
            faults.append(Fault(file, number, line.split()[0], wrong.found, wrong.wanted))
    if faults:
        raise FaultyInput(tuple(faults))
    return tuple(made)


def _bare(raw: str) -> str:
    return re.sub(r"(^|\s)#.*", "", raw).strip()


def _line(number: int, line: str) -> AmendLine:
    first, _, rest = line.partition(" ")
    if first != AMEND:
        raise FaultyQuantity(
            measure.quoted(line), "nothing but amend lines, where a file begins with one"
        )
    session, _, rest = rest.strip().partition(" ")
    word, _, rest = rest.strip().partition(" ")
    if word not in WORDS:
        raise FaultyQuantity(
            measure.quoted(word) if word else "nothing", f"amend SESSION and {', '.join(WORDS)}"
        )
    value, why = rest.strip(), ""
    if word not in _NO_REASON:
        value, why = _parted(value)
    if word in _BARE and value:
        raise FaultyQuantity(measure.quoted(value), f"nothing between {word} and its reason")
    if word not in _BARE and not value:
        raise FaultyQuantity("nothing", f"what is right, after {word}")
    if word not in _NO_REASON and not why:
        raise FaultyQuantity(measure.quoted(line), f"{BECAUSE} and the reason, at its end")
    made = AmendLine(number, line, session, word, value, why)
    if word != "engine":
        made.command(_no_sheet)  # whatever cannot be read is named before anything is done
    return made


def _parted(text: str) -> tuple[str, str]:
    value, _, why = f" {text} ".partition(f" {BECAUSE} ")
    return value.strip(), why.strip()


def _no_sheet(name: str) -> Sheet:
    raise LookupError(name)
