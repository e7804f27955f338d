"""A written-down session on its way through the bench, in a workshop: kept on disk, or not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC
from enum import Enum
from pathlib import Path

from benchtui.bench import Bench
from benchtui.domain.errors import Unable
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.history.doubtful import Doubt
from benchtui.domain.history.due import Due
from benchtui.domain.session.evidence.decision_rule import check_rule
from benchtui.domain.session.facts.events import (
    Closed,
    Event,
    Fact,
    Noted,
    Opened,
    Particulars,
    Paused,
    Resumed,
    SetAside,
)
from benchtui.domain.session.whole.completeness import NOTHING_DONE, anything_done
from benchtui.domain.session.whole.record import SessionRecord
from benchtui.replay_script import Named, Played, Player, Script, load_script
from benchtui.store.clock import clock_from, wall_clock
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import text_of_file
from benchtui.store.paths import DataFolder
from benchtui.text.reading.script import UseBlades, UseSheet
from benchtui.text.words.refusals import refusal_words
from benchtui.text.words.stamped import inch_set
from benchtui.workshop import Workshop


def script_of_file(path: Path, folder: DataFolder) -> Script:
    """The script in a file, its sheet and blades looked up in this data folder.

    Raises:
        FaultyInput: the file, or a sheet or blade set that it names, has faults.
    """
    workshop = Workshop(folder, wall_clock)

    def filed(deed: Named) -> Named:
        if isinstance(deed, UseSheet):
            return UseSheet(workshop.engines.sheet_key(deed.name))
        return UseBlades(workshop.engines.blades_key(deed.name))

    return load_script(text_of_file(path), str(path), workshop.engines, filed)


class Keep(Enum):
    """Whether a play is filed: never, only where every step was taken, or what could be taken."""

    NOTHING = "nothing"
    WHOLE = "whole"
    THE_REST = "the rest"


@dataclass(frozen=True, slots=True)
class KeptAs:
    """The id of the stored session; ``before`` if it was stored already, so that nothing was added."""

    session: str
    before: bool = False


@dataclass(frozen=True, slots=True)
class Filing:
    """What became of a play that was to be kept.

    ``kept`` is what it was stored as, None where nothing was: then ``withheld`` says why, and
    ``refused`` are the steps that were not taken. ``replaced`` is the session that the same file had
    filed before, set aside now. ``doubts`` are what is odd about its day and its counters.
    """

    kept: KeptAs | None = None
    withheld: str = ""
    refused: tuple[Played, ...] = ()
    replaced: str = ""
    doubts: tuple[Doubt, ...] = ()


class Playing:
    """Plays one script in memory and, if it is to be kept, stores it once it has been played whole.

    ``filing`` says what became of it; a play that an error cuts short leaves nothing. A script that
    says what a stored session of the same day says already is played, and no second copy is stored;
    one that was mended since takes the place of what it had filed before.
    """

    def __init__(self, script: Script, folder: DataFolder, *, keep: Keep) -> None:
        self.script = script
        self.clock = wall_clock if script.day is None else clock_from(script.day)
        self._keep = keep
        self._workshop = Workshop(folder, self.clock)
        self._journal = MemoryJournal()
        self._before: KeptAs | None = None
        self._mended = self._filed_before() if keep is not Keep.NOTHING else ""
        self.filing = Filing()
        self._player = Player(script, self._begin, self._check)

    @property
    def bench(self) -> Bench | None:
        """The bench as it stands; None while, or because, no session was opened."""
        return self._player.bench

    def due(self, record: SessionRecord) -> Due | None:
        """The next check after this session, by what the folder knows of the engine besides."""
        return self._workshop.reviews.due_with(record, self.script.sheet)

    def steps(self) -> Iterator[Played]:
        """Each step in turn, played as it is asked for; after the last one the session is stored.

        Raises:
            NotKept: it could not be stored; nothing is left of it.
        """
        refused: list[Played] = []
        for played in self._player.play():
            refused += [played] if played.refused is not None else []
            yield played
        if self._keep is not Keep.NOTHING and self.bench is not None:
            self.filing = self._file(self.bench, tuple(refused))

    def _file(self, bench: Bench, refused: tuple[Played, ...]) -> Filing:
        doubts = self._doubts(bench)
        if self._before is not None:
            return Filing(self._before, doubts=doubts)
        whole = self._keep is Keep.WHOLE
        if refused and whole:
            return Filing(None, REFUSED, refused, doubts=doubts)
        if not anything_done(bench.state) and whole:
            return Filing(None, NOTHING_DONE, doubts=doubts)
        for step in refused:
            assert step.refused is not None
            why = refusal_words(step.refused, inch=inch_set(self.script.blades))
            bench.do(Noted(f"not taken when it was written in: {step.step.text}: {why}"))
        kept = self._workshop.open_sessions.put(self._journal.events)
        if self._mended:
            why = f"written in anew from {self.script.file}, as {kept}"
            self._workshop.open_sessions.amend(self._mended, SetAside(why))
        return Filing(KeptAs(kept), "", refused, self._mended, doubts)

    def _doubts(self, bench: Bench) -> tuple[Doubt, ...]:
        state = bench.state
        itself = self._mended if self._before is None else self._before.session
        now = Workshop(self._workshop.data, wall_clock)
        return now.reviews.doubts(
            state.opened.sheet, state.particulars, state.started.date(), without=itself
        )

    def _begin(self, particulars: Particulars, rule: DecisionRule) -> Bench:
        opened = self._opening(particulars, rule)
        stored = self._stored_before(opened) if self._keep is not Keep.NOTHING else None
        if stored is not None:
            self._before = KeptAs(stored.session, before=True)
        return Bench.open(self._journal, self.clock, opened if stored is None else stored)

    def _opening(self, particulars: Particulars, rule: DecisionRule) -> Opened:
        script = self.script
        opened = self._workshop.opening(
            script.sheet,
            script.blades_key,
            particulars,
            rule=rule,
            fewest=script.fewest,
            without=self._mended,
        )
        return replace(opened, written_in=script.file)

    def _check(self, particulars: Particulars, rule: DecisionRule) -> None:
        opened = self._opening(particulars, rule)
        stored = self._stored_before(opened) if self._keep is not Keep.NOTHING else None
        # A session that was stored before goes by the hand that was practised then.
        check_rule(rule, opened if stored is None else stored)

    def _of_this_day(self) -> Iterator[tuple[str, tuple[Event, ...]]]:
        """The sound sessions of this engine and day, by id, those set aside left out."""
        now = self.clock()
        for row in self._workshop.past_sessions.rows():
            # What was put right since may have moved it to another day or engine; its id has both.
            here = row.engine == self.script.sheet.key
            today = row.started.astimezone(now.tzinfo).date() == now.date()
            by_id = f"{now.astimezone(UTC):%Y%m%d}-", f"-{self.script.sheet.key}-"
            if row.set_aside or not (
                (here and today) or all(part in row.session for part in by_id)
            ):
                continue
            try:
                past = self._workshop.past_sessions.past(row.session)
            except (Unable, OSError):  # nothing of it can be read
                continue
            if past.damage is None:
                yield row.session, past.events

    def _stored_before(self, opened: Opened) -> Opened | None:
        """The opening of a stored session of this day in which everything is as this script says it.

        One that the program has gone on with since, or that was put right, is still that session.
        """
        for _, events in self._of_this_day():
            told = [event.fact for event in events]
            beginning = _taught_as(opened, told[0])
            said = _facts(self.script, beginning)
            rest = told[len(said) :]
            ended = isinstance(said[-1], Closed)
            gone_on = not rest or ended or isinstance(rest[0], Paused | Resumed | Noted)
            if told[: len(said)] == said and gone_on:
                return replace(beginning, rule=_opening_of(said).rule)
        return None

    def _filed_before(self) -> str:
        """The session of this day that a file of this name was written in as; "" where none was."""
        for session, events in self._of_this_day():
            if self.script.file and _opening_of([events[0].fact]).written_in == self.script.file:
                return session
        return ""


REFUSED = "steps were refused"


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
        left_slack=stored.left_slack,
        by_blade=stored.by_blade,
        band=stored.band,
        on_figure=stored.on_figure,
        finer=stored.finer,
        effort=stored.effort,
        written_in=stored.written_in,
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
