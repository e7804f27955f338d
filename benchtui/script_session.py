"""A written-down session on its way through the bench, in a workshop: kept on disk, or not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.session.evidence.decision_rule import check_rule
from benchtui.domain.session.facts.events import Fact, Opened, Particulars, Paused, Resumed
from benchtui.replay_script import Played, Player, Script, load_script
from benchtui.store.clock import clock_from, wall_clock
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import text_of_file
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop


def script_of_file(path: Path, folder: DataFolder) -> Script:
    """The script in a file, its sheet and blades looked up in this data folder.

    Raises:
        FaultyInput: the file, or a sheet or blade set that it names, has faults.
    """
    return load_script(text_of_file(path), str(path), Workshop(folder, wall_clock))


@dataclass(frozen=True, slots=True)
class KeptAs:
    """The id of the stored session; ``before`` if it was stored already, so that nothing was added."""

    session: str
    before: bool = False


class Playing:
    """Plays one script in memory and, if it is to be kept, stores it once it has been played whole.

    ``kept`` is what it was stored as; None while, or because, nothing is stored: a play that an error
    cuts short leaves nothing. A script that says what a stored session of the same day says already is
    played, and no second copy is stored.
    """

    def __init__(self, script: Script, folder: DataFolder, *, keep: bool) -> None:
        self.script = script
        self.clock = wall_clock if script.day is None else clock_from(script.day)
        self._keep = keep
        self._workshop = Workshop(folder, self.clock)
        self._journal = MemoryJournal()
        self.kept: KeptAs | None = None
        self._player = Player(script, self._begin, self._check)

    @property
    def bench(self) -> Bench | None:
        """The bench as it stands; None while, or because, no session was opened."""
        return self._player.bench

    def steps(self) -> Iterator[Played]:
        """Each step in turn, played as it is asked for; after the last one the session is stored.

        Raises:
            NotKept: it could not be stored; nothing is left of it.
        """
        yield from self._player.play()
        if self._keep and self.kept is None and self._journal.events:
            self.kept = KeptAs(self._workshop.put(self._journal.events))

    def _begin(self, particulars: Particulars, rule: DecisionRule) -> Bench:
        opened = self._opening(particulars, rule)
        stored = self._stored_before(opened) if self._keep else None
        if stored is not None:
            self.kept = KeptAs(stored.session, before=True)
        return Bench.open(self._journal, self.clock, opened if stored is None else stored)

    def _opening(self, particulars: Particulars, rule: DecisionRule) -> Opened:
        script = self.script
        return self._workshop.opening(
            script.sheet, script.blades_key, particulars, rule=rule, fewest=script.fewest
        )

    def _check(self, particulars: Particulars, rule: DecisionRule) -> None:
        opened = self._opening(particulars, rule)
        stored = self._stored_before(opened) if self._keep else None
        # A session that was stored before goes by the hand that was practised then.
        check_rule(rule, opened if stored is None else stored)

    def _stored_before(self, opened: Opened) -> Opened | None:
        """The opening of a stored session of this day in which everything is as this script says it.

        One that the program has gone on with since is still that session.
        """
        now = self.clock()
        for row in self._workshop.rows():
            if row.engine != opened.sheet.key:
                continue
            if row.started.astimezone(now.tzinfo).date() != now.date():
                continue
            try:
                past = self._workshop.past(row.session)
            except (Refusal, OSError):  # nothing of it can be read
                continue
            told = [event.fact for event in past.events]
            beginning = _taught_as(opened, told[0])
            said = _facts(self.script, beginning)
            rest = told[len(said) :]
            gone_on = not rest or isinstance(rest[0], Paused | Resumed)
            if past.damage is None and told[: len(said)] == said and gone_on:
                return replace(beginning, rule=_opening_of(said).rule)
        return None


def _taught_as(opened: Opened, stored: Fact) -> Opened:
    """The same opening with the id, and what past sessions had taught, of the stored one.

    The stored session may itself be what the newer opening has learned from.
    """
    stored = _opening_of([stored])
    return replace(
        opened,
        session=stored.session,
        left_last=stored.left_last,
        past_shifts=stored.past_shifts,
        past_runs=stored.past_runs,
        fitted_last=stored.fitted_last,
        feel=stored.feel,
    )


def _opening_of(facts: list[Fact]) -> Opened:
    if not isinstance(facts[0], Opened):
        raise TypeError("a session begins with its opening")
    return facts[0]


def _facts(script: Script, opened: Opened) -> list[Fact]:
    """Everything that the script would record after this opening; none of it is stored."""
    journal = MemoryJournal()
    clock = wall_clock if script.day is None else clock_from(script.day)

    def begin(particulars: Particulars, rule: DecisionRule) -> Bench:
        return Bench.open(journal, clock, replace(opened, particulars=particulars, rule=rule))

    def check(particulars: Particulars, rule: DecisionRule) -> None:
        check_rule(rule, replace(opened, particulars=particulars))

    for _ in Player(script, begin, check).play():
        pass
    return [event.fact for event in journal.events]
