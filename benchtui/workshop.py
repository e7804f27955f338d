"""The workshop: engines, blades and past sessions, for whoever may not touch the store itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from threading import RLock

from benchtui.bench import Bench
from benchtui.blade_shelf import BladeHistory, BladeShelf, ShelvedSet
from benchtui.blade_shelf import history as blade_history
from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import FaultyInput, Refusal
from benchtui.domain.gauging.feel import FeelBand, Try
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.history.drift import Drift, drifts_since
from benchtui.domain.history.due import Due, next_due, order
from benchtui.domain.history.finding import Findings, findings
from benchtui.domain.history.outlook import outlook, outlook_of
from benchtui.domain.history.usage import Usage
from benchtui.domain.session.decide import check_opening
from benchtui.domain.session.events import Event, FittedLast, LeftLast, Opened, Particulars
from benchtui.domain.session.fold import fold
from benchtui.domain.session.record import SessionRecord, record_of
from benchtui.domain.session.screw_runs import carried
from benchtui.domain.sheet import AdjusterKind, Sheet
from benchtui.store.clock import new_session_id
from benchtui.store.hands import check_name, load_hand, save_hand
from benchtui.store.journal import SUFFIX, Damage, FileJournal, SessionBusy, read_session
from benchtui.store.library import NAME, library, template, text_of_file, write_text
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register
from benchtui.store.register import Row as Row  # noqa: PLC0414  # the screens name it too
from benchtui.text.hand_file import PractisedHand

PAST_SHIFTS = 20
"""So many of the latest lock shifts are carried into a new session."""


@dataclass(frozen=True, slots=True)
class Engine:
    """One engine on the shelf: its sheet, or what is wrong with it."""

    key: str
    sheet: Sheet | None
    faults: FaultyInput | None = None


@dataclass(frozen=True, slots=True)
class PastSession:
    """A session as its file tells it: every event, the record, and any damage."""

    events: tuple[Event, ...]
    record: SessionRecord
    damage: Damage | None


@dataclass(frozen=True, slots=True)
class Shown:
    """One engine as the first screen shows it; ``unfinished`` is the id of a session not closed."""

    key: str
    sheet: Sheet | None
    due: Due | None
    last: date | None
    unfinished: str | None

    @property
    def hydraulic(self) -> bool:
        """Whether there is nothing to measure."""
        return self.sheet is not None and self.sheet.adjuster.kind is AdjusterKind.HYDRAULIC


class LiveSession:
    """A session at work. ``journal`` is None where it can only be looked at."""

    def __init__(self, bench: Bench, journal: FileJournal | None) -> None:
        self.bench = bench
        self._journal = journal

    @property
    def session(self) -> str:
        """The session's id."""
        return self.bench.state.opened.session

    @property
    def read_only(self) -> bool:
        """Whether another program has it open, so that it can only be looked at."""
        return self._journal is None

    def release(self) -> None:
        """Let go of the file, so that another program may go on with it."""
        if self._journal is not None:
            self._journal.close()


class _Reader:
    """The journal of a session that another program writes."""

    def __init__(self, why: str) -> None:
        self._why = why

    def append(self, event: Event) -> None:
        del event
        raise Refusal(f"{self._why}: here it can only be looked at.", "Close it there first.")


class Workshop:
    """Everything in one data folder."""

    def __init__(self, data: DataFolder, clock: Callable[[], datetime]) -> None:
        self.data = data
        self.clock = clock
        self._library = library(data)
        self._register = Register(data)
        # The register is not for two threads at once, and screens load beside the keys.
        self._turn = RLock()
        self.shelf = BladeShelf(data, self._library)

    # Engines and blades

    def titles(self) -> list[tuple[str, str]]:
        """Key and name of every engine, quickly: the sheets are not checked."""
        return self._library.titles()

    def shown(self) -> list[Shown]:
        """Every engine with what is due, the most pressing first; faulty and hydraulic ones last."""
        mine: dict[str, list[Row]] = {}
        for row in self.rows():
            mine.setdefault(row.engine, []).append(row)
        engines = [self._shown(engine, mine.get(engine.key, [])) for engine in self.engines()]
        dated = [e for e in engines if e.due is not None and not e.hydraulic]
        others = [e for e in engines if e.due is None or e.hydraulic]
        dated.sort(key=lambda e: order(e.due) if e.due is not None else (9, 0, Fraction(0)))
        return dated + sorted(others, key=lambda e: (e.hydraulic, e.sheet is None, e.key))

    def _shown(self, engine: Engine, rows: list[Row]) -> Shown:
        mine = [r for r in rows if r.engine == engine.key and not r.practice]
        last = next((r.started.date() for r in mine if r.complete), None)
        unfinished = next((r.session for r in mine if not r.closed and not r.damage), None)
        due = None if engine.sheet is None else self.due(engine.sheet, rows)
        return Shown(engine.key, engine.sheet, due, last, unfinished)

    def check_new_name(self, name: str) -> None:
        """Whether a new sheet may be filed under this name.

        Raises:
            Refusal: it is taken, or not safe as a file's name.
        """
        if not NAME.fullmatch(name):
            raise Refusal(f"Found {name!r}; wanted letters, digits, - and _, no spaces.")
        if name in self._library.sheet_names():
            raise Refusal(f"There is a sheet {name!r} already.", "Choose another name.")

    def add_engine(self, name: str) -> str:
        """Put a fresh sheet to fill in into the data folder; its key is returned.

        Raises:
            Refusal: the name cannot be used.
            BenchError: it could not be written.
        """
        self.check_new_name(name)
        write_text(self.data.sheets / f"{name}.toml", template(name))
        return name

    def mark_checked(self, key: str) -> None:
        """Note in the owner's own sheet that its figures were read twice in the manual.

        Raises:
            FaultyInput: no such sheet.
            Refusal: it does not say ``checked = false``, so that there is nothing to change safely.
            BenchError: it could not be written.
        """
        path = self.own_sheet(key)
        text = text_of_file(path)
        changed = re.sub(r"\bchecked\s*=\s*false\b", "checked = true", text, count=1)
        if changed == text:
            raise Refusal(
                "The sheet has no `checked = false`.", "Write `checked = true` into its source."
            )
        write_text(path, changed)

    def own_sheet(self, key: str) -> Path:
        """The owner's own file of a sheet; a shipped one is copied first, so that it stays as it is.

        Raises:
            FaultyInput: no such sheet.
            BenchError: the copy could not be written.
        """
        path = self._library.sheet_path(key)
        own = self.data.sheets / f"{key}.toml"
        if path != own:
            write_text(own, text_of_file(path))
        return own

    def engines(self) -> tuple[Engine, ...]:
        """Every engine, those with faulty sheets included."""
        return tuple(self._engine(key) for key in self._library.sheet_names())

    def _engine(self, key: str) -> Engine:
        try:
            return Engine(key, self._library.sheet(key))
        except FaultyInput as faults:
            return Engine(key, None, faults)

    def sheet(self, key: str) -> Sheet:
        """The sheet of that name, or FaultyInput."""
        return self._library.sheet(key)

    def blades(self, key: str) -> BladeSet:
        """The blade set of that name, or FaultyInput."""
        return self._library.blades(key)

    def blade_names(self) -> tuple[str, ...]:
        """The names of all blade sets."""
        return self._library.blade_names()

    def usual_blades(self, sheet: Sheet) -> str | None:
        """The blade set to offer: the one used last, else the one with most leaves for this engine.

        None where there is no sound set at all.
        """
        names = self.blade_names()
        last = self.last_row(sheet.key)
        if last is not None and last.blades in names:
            return last.blades
        bands = [b for _, _, b in sheet.clearances.printed]
        counts: dict[str, int] = {}
        for name in names:
            try:
                leaves = self.blades(name).leaves
            except FaultyInput:
                continue
            counts[name] = sum(b.low <= x.thickness <= b.high for x in leaves for b in bands)
        return max(counts, key=lambda name: counts[name], default=None)

    # Sessions

    def opening(
        self,
        sheet: Sheet,
        blades_key: str,
        particulars: Particulars,
        *,
        rule: DecisionRule | None = None,
        fewest: bool = False,
    ) -> Opened:
        """The opening of a new session, with what past ones taught.

        Without a ``rule`` the sheet's own holds, else plain.

        Raises:
            FaultyInput: the blade set, or the hand of whoever is named, cannot be used.
        """
        records = self.records(sheet.key)
        past = [r for r in records if r.complete]
        now = Usage(self.clock().date(), particulars.odometer_km, particulars.hours)
        shifts = tuple(s for r in past for s in r.shifts)[-PAST_SHIFTS:]
        return Opened(
            session=new_session_id(sheet.key, self.clock()),
            sheet=sheet,
            blades_key=blades_key,
            blades=self.blades(blades_key),
            particulars=particulars,
            rule=rule or sheet.clearances.rule or DecisionRule.PLAIN,
            left_last=_left_last(past, drifts_since(records, now)),
            fitted_last=_fitted_last(self.records(sheet.key)),
            past_shifts=shifts,
            past_runs=carried(records, sheet.adjuster),
            fewest=fewest,
            feel=self.feel(particulars.who),
        )

    # Hands

    def feel(self, who: str | None) -> FeelBand | None:
        """The band of drag that this person showed in practice; None without enough of it.

        Raises:
            FaultyInput: the file of the practice cannot be read, or has faults.
        """
        hand = self.hand(who) if who else None
        return None if hand is None else hand.band

    def hand(self, who: str) -> PractisedHand | None:
        """This person's latest practice; see ``feel``."""
        return load_hand(self.data, who)

    @staticmethod
    def check_hand(who: str) -> None:
        """Whether a hand can go by this name; Refusal if not."""
        check_name(who)

    def last_who(self) -> str:
        """Who was last at the bench, whatever the engine; "" where nobody was named."""
        return next((r.who for r in self.rows() if r.who and not r.practice), "")

    def set_in_hand(self) -> BladeSet | None:
        """The blade set used last, whatever the engine, else the first sound one."""
        names = self.blade_names()
        last = [r.blades for r in self.rows() if r.blades in names]
        for name in (*last[:1], *names):
            try:
                return self.blades(name)
            except FaultyInput:
                continue
        return None

    def keep_hand(self, who: str, tries: Sequence[Try]) -> Path:
        """Keep a practice on known gaps in place of the one before.

        Raises:
            WriteFailed: the disk would not take it.
            Refusal: no name that a hand could go by.
        """
        made = PractisedHand(who.strip(), self.clock().date(), tuple(tries))
        return save_hand(self.data, made)

    def open(self, opened: Opened) -> LiveSession:
        """Begin a session on disk.

        Raises:
            Refusal: this engine cannot be measured; nothing was written.
            BenchError: the session file could not be written.
        """
        check_opening(opened)
        journal = FileJournal.create(self.data.sessions, opened.session)
        return LiveSession(Bench.open(journal, self.clock, opened), journal)

    def resume(self, session: str) -> LiveSession:
        """Go on with a session that was not closed, read-only where another program has it open.

        Raises:
            WriteFailed: its file is damaged.
            Refusal: there is no such session.
        """
        path = self._path(session)
        try:
            journal, recorded = FileJournal.resume(path)
        except SessionBusy as busy:
            reader = _Reader(str(busy))
            return LiveSession(Bench(reader, self.clock, read_session(path).events), None)
        return LiveSession(Bench(journal, self.clock, recorded.events), journal)

    def past(self, session: str) -> PastSession:
        """A session to look at, whatever its state.

        Raises:
            Refusal: there is no such session, or nothing of it can be read.
        """
        recorded = read_session(self._path(session))
        if not recorded.events:
            reason = recorded.damage.reason if recorded.damage else "it is empty"
            raise Refusal(f"Nothing of session {session} can be read: {reason}.")
        record = record_of(fold(recorded.events))
        return PastSession(recorded.events, record, recorded.damage)

    def store(self, session: str) -> None:
        """Take the session's file into the register."""
        with self._turn:
            self._register.take_in(session)

    def rows(self) -> list[Row]:
        """Every session in a line, newest first."""
        with self._turn:
            return self._register.rows()

    def last_row(self, engine: str) -> Row | None:
        """The latest session of an engine, checks and partial ones alike."""
        return next((r for r in self.rows() if r.engine == engine and not r.practice), None)

    def records(self, engine: str) -> list[SessionRecord]:
        """The full records of one engine, oldest first."""
        with self._turn:
            return self._register.records(engine)

    def findings(self, sheet: Sheet) -> Findings:
        """What the past checks of an engine find about the drift of each valve."""
        return findings(sheet, self.records(sheet.key))

    def blade_history(self, shelved: ShelvedSet) -> BladeHistory:
        """What past sessions say of a set, whichever engines it measured."""
        engines = {r.engine for r in self.rows() if r.blades == shelved.key}
        return blade_history([r for e in sorted(engines) for r in self.records(e)], shelved)

    def write_card(self, session: str) -> Path:
        """Write a session's one-page card beside the data; an older card of it is replaced.

        Raises:
            Refusal: there is no such session, or nothing of it can be read.
            BenchError: the disk would not take it.
        """
        from benchtui.text.card import card_text

        past = self.past(session)
        damage = "" if past.damage is None else f"line {past.damage.line}: {past.damage.reason}"
        state = fold(past.events)
        path = self.data.root / "cards" / f"{session}.txt"
        write_text(path, card_text(state, self.due_then(past), damage) + "\n")
        return path

    def write_handover(self, session: str, page: str) -> Path:
        """Write a handover page beside the data; an older one of that session is replaced.

        Raises:
            BenchError: the disk would not take it.
        """
        path = self.data.root / "handovers" / f"{session}.txt"
        write_text(path, page + "\n")
        return path

    def due_then(self, past: PastSession) -> Due | None:
        """The next check as it was known when this session ended, whatever came later."""
        state = fold(past.events)
        sheet = state.opened.sheet
        known = [r for r in self.records(sheet.key) if r.started <= state.started]
        return outlook(sheet, known, state.at.date())

    def unfinished(self) -> list[Row]:
        """Sessions that were not closed and can be gone on with."""
        return [r for r in self.rows() if not r.closed and not r.damage]

    def due(self, sheet: Sheet, rows: list[Row] | None = None) -> Due | None:
        """When the next check of an engine is due; None where its sheet gives no interval."""
        if sheet.interval is None:
            return None
        every = self.rows() if rows is None else rows
        mine = [r for r in every if r.engine == sheet.key]
        return outlook_of(sheet, mine, self._register.worn(sheet.key), self.clock().date())

    @property
    def trouble(self) -> str:
        """Why the register could not be written; empty where it could."""
        return self._register.trouble

    def _path(self, session: str) -> Path:
        path = self.data.sessions / f"{session}{SUFFIX}"
        if Path(session).name != session or not path.is_file():
            raise Refusal(f"There is no session {session!r}.")
        return path


def due_after(record: SessionRecord, sheet: Sheet, now: datetime) -> Due | None:
    """When the next check is due, counted from this session if it was a check."""
    if sheet.interval is None:
        return None
    at = Usage(record.started.date(), record.odometer_km, record.hours)
    return next_due(sheet.interval, at if record.complete else None, Usage(now.date()), (at,))


def _left_last(past: list[SessionRecord], drifts: dict[str, Drift]) -> tuple[LeftLast, ...]:
    """What the last complete check left at each valve, and how far it has moved since."""
    if not past:
        return ()
    gauged = [(v.name, v.left.bracket) for v in past[-1].valves if v.left is not None]
    return tuple(
        LeftLast(name, b.low, b.high, *drifts.get(name, (None, None)))
        for name, b in gauged
        if not b.clash
    )


def _fitted_last(records: list[SessionRecord]) -> tuple[FittedLast, ...]:
    """The shim that each valve was left with, whenever it was last told, checks and partial ones alike."""
    known: dict[str, FittedLast] = {}
    for record in (r for r in records if not r.practice):
        for valve in record.valves:
            if valve.shim_left is not None:
                left = FittedLast(valve.name, valve.shim_left, valve.shim_left_measured)
                known[valve.name] = left
    return tuple(known.values())
