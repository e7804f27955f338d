"""A bench for a written-down session, in memory; refused steps fail unless they may be refused."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.domain.session.facts.state import State
from benchtui.replay_script import Player, load_script
from benchtui.store.clock import clock_from
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import library
from benchtui.store.paths import DataFolder
from benchtui.text.reading.sheet_file import parse_sheet

NOWHERE = Path("/nonexistent-benchtui")


class Shelf:
    """The shipped sheets and blades, and sheets made from them by changes in their text."""

    def __init__(self, changed: dict[str, str] | None = None) -> None:
        self._library = library(DataFolder(NOWHERE))
        self._changed = changed or {}

    def sheet(self, name: str) -> object:
        if name in self._changed:
            return parse_sheet(self._changed[name], name, name)
        return self._library.sheet(name)

    def blades(self, name: str) -> object:
        return self._library.blades(name)


def written(text: str, changed: dict[str, str] | None = None, **opened: object) -> Bench:
    """The bench after a written-down session; ``opened`` are further fields of its opening."""
    script = load_script(text, "written", Shelf(changed))  # type: ignore[arg-type]  # duck-typed

    def begin(particulars: Particulars, rule: DecisionRule) -> Bench:
        return Bench.open(
            MemoryJournal(),
            clock_from(date(2026, 5, 1)),
            Opened(
                "s",
                script.sheet,
                script.blades_key,
                script.blades,
                particulars,
                rule,
                fewest=script.fewest,
                **opened,  # type: ignore[arg-type]  # fields of Opened
            ),
        )

    player = Player(script, begin)
    refused = [(p.step.text, str(p.refused)) for p in player.play() if p.refused]
    assert not refused, refused
    assert player.bench is not None
    return player.bench


def state_of(text: str, changed: dict[str, str] | None = None, **opened: object) -> State:
    return written(text, changed, **opened).state
