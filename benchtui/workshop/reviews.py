"""What stored sessions say: when the next check is due, how valves moved, which blades suit.

Long, because all that is asked of many sessions at once shares what was read.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from benchtui.blade_shelf import BladeHistory, BladeShelf, ShelvedSet, suits
from benchtui.blade_shelf import history as blade_history
from benchtui.domain.blades import BladeSet
from benchtui.domain.errors import FaultyInput, Unable
from benchtui.domain.gauging.reach import limits_of, reaches
from benchtui.domain.history.course import real, usage_of
from benchtui.domain.history.doubtful import (
    Doubt,
    doubts,
    doubts_anew,
    doubts_elsewhere,
    last_reading,
)
from benchtui.domain.history.due import Due, next_due, order
from benchtui.domain.history.engine_trend import outlook, outlook_of, was_set, worn
from benchtui.domain.history.glance import EngineGlance, checks_of, watched
from benchtui.domain.history.usage import Meter, Usage
from benchtui.domain.history.valve_trend import Findings, findings
from benchtui.domain.session.facts.events import BandChosen, FigureChosen, Particulars
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.steps.amend import fits
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.left_open import LeftOpen, left_open
from benchtui.domain.session.whole.record import SessionRecord, record_of
from benchtui.domain.sheet import Sheet
from benchtui.store.engine_names import engine_names
from benchtui.store.files import there
from benchtui.store.library import text_of_file, write_text
from benchtui.store.register import Row
from benchtui.text.reading.workshop_file import WorkshopTold, parse_workshop
from benchtui.text.words.clock_words import ahead_words
from benchtui.text.words.trouble_words import left_out_words, odd_words, unsound_words
from benchtui.workshop.data_root import DataRoot
from benchtui.workshop.engines import Engine, Engines
from benchtui.workshop.past_sessions import PastSession, PastSessions
from benchtui.workshop.taught import single_judged

if TYPE_CHECKING:
    from benchtui.text.pages.session_page import Form


@dataclass(frozen=True, slots=True)
class Shown:
    """One engine as the first screen shows it; ``unfinished`` is the id of a session not closed.

    ``gone`` is the name of an engine whose sheet's file is no longer there: only its history keeps it
    in the list, and ``newest``, the latest session of it, holds a copy of the sheet. ``open`` says how
    the latest session stands where it is no complete check. ``who`` did the last complete check.
    """

    key: str
    sheet: Sheet | None
    due: Due | None
    last: date | None
    unfinished: str | None
    gone: str = ""
    open: LeftOpen | None = None
    newest: str = ""
    who: str = ""

    @property
    def hydraulic(self) -> bool:
        """Whether there is nothing to measure."""
        return self.sheet is not None and not self.sheet.adjuster.set_by.measured


@dataclass(frozen=True, slots=True)
class LastTold:
    """What was laid in, as ``4 rags, 1 socket`` (empty where not told), and how single figures are set."""

    laid_in: str = ""
    band: BandChosen | FigureChosen | None = None


class Reviews:
    """Engines and past sessions together."""

    def __init__(
        self, root: DataRoot, engines: Engines, past: PastSessions, shelf: BladeShelf
    ) -> None:
        self._root, self._engines, self._past, self._shelf = root, engines, past, shelf

    def troubles(self) -> tuple[str, ...]:
        """What could not be read or written, a sentence each, as of the latest ``rows``.

        Whatever else is told lacks it.

        Raises:
            FaultyInput: a folder of sheets or blade sets is there and cannot be read.
        """
        unsound = [unsound_words(r.session, r.engine_name, r.damage) for r in self._past.unsound()]
        odd = [odd_words(o.name, o.reason) for o in self._root.library.odd()]
        own = self.workshop_faults()
        return tuple(t for t in (self._past.trouble, *unsound, *odd, own) if t)

    def clock_doubts(self) -> tuple[str, ...]:
        """What the latest session of each engine says of a clock that was wrong, a sentence each."""
        latest: dict[str, Row] = {}
        for row in self._past.rows():
            if row.counts:
                latest.setdefault(row.engine, row)
        now = self._root.clock()
        return tuple(
            f"{row.engine_name}, session {row.session}: {said}"
            for row in latest.values()
            for said in (row.set_back, ahead_words(row.latest, now))
            if said
        )

    def shown(self) -> list[Shown]:
        """The owner's engines with what is due, the most pressing first; nothing to set comes last.

        Before all comes where a locknut was left slack, then a check that is not closed.
        """
        mine: dict[str, list[Row]] = {}
        for row in self._past.rows():
            if not row.practice:
                mine.setdefault(row.engine, []).append(row)
        engines = self._engines.owned(mine)
        found = [self._shown(engine, mine.get(engine.key, [])) for engine in engines]
        retired = engine_names(self._root.data).retired
        found += _gone(mine, {engine.key for engine in engines} | retired)
        return sorted(found, key=_pressing)

    def _shown(self, engine: Engine, rows: list[Row]) -> Shown:
        counted = [r for r in rows if r.counts]
        last = next((r for r in counted if r.complete), None)
        unfinished = next((r.session for r in counted if r.unfinished), None)
        return Shown(
            engine.key,
            engine.sheet,
            due=None if engine.sheet is None else self.due(engine.sheet, rows),
            last=None if last is None else last.started.date(),
            unfinished=unfinished,
            open=self._left_open(counted),
            who="" if last is None else last.who,
        )

    def _left_open(self, rows: list[Row]) -> LeftOpen | None:
        """How the latest session stands, where it is no complete check and can be read."""
        if not rows or rows[0].complete or rows[0].damage:
            return None
        try:
            return left_open(fold(self._past.past(rows[0].session).events))
        except (Unable, OSError):
            return None

    def glance(self, shown: Shown) -> EngineGlance | None:
        """An engine at a glance, for the first screen; None where its sheet cannot be used."""
        if shown.sheet is None:
            return None
        checks = checks_of(self._past.records(shown.key))
        key = None if shown.hydraulic else self.usual_blades(shown.sheet)
        return EngineGlance(
            sheet=shown.sheet,
            today=self._root.clock().date(),
            due=shown.due,
            last=checks[0] if checks else None,
            before=checks[1:],
            open=shown.open,
            watched=watched(checks),
            blades=None if key is None else self._engines.blades(key),
            own_blades=key is not None and self._root.library.is_own_set(key),
        )

    def due(self, sheet: Sheet, rows: list[Row] | None = None) -> Due | None:
        """When the next check of an engine is due; None where its sheet gives no interval."""
        if sheet.interval is None:
            return None
        every = self._past.rows() if rows is None else rows
        mine = [r for r in every if r.engine == sheet.key]
        known = self._root.register.worn(sheet.key)
        if not known.judged_by(sheet) or engine_names(self._root.data).former(sheet.key):
            known = worn(self._past.records(sheet.key), sheet)  # the sheet's limits changed since
        return outlook_of(sheet, mine, known, self._root.clock().date())

    def may_be(self, gone: Shown) -> tuple[Sheet, ...]:
        """The engines without a history of their own that one may be whose sheet is gone.

        Raises:
            Unable: nothing of its latest session can be read.
        """
        was = fold(self._past.past(gone.newest).events).opened.sheet
        used = {row.engine for row in self._past.rows()}
        sheets = [
            e.sheet for e in self._engines.owned() if e.sheet is not None and e.key not in used
        ]
        return tuple(sheet for sheet in sheets if fits(was, sheet))

    def doubts(
        self, sheet: Sheet, told: Particulars, on: date | None = None, without: str = ""
    ) -> tuple[Doubt, ...]:
        """What is odd about a check of this engine on that day (today if None) with these readings.

        ``without`` is the session that it is itself, where it is stored already.
        """
        today = self._root.clock().date()
        usage = Usage(today if on is None else on, told.odometer_km, told.hours)
        return doubts(usage, self._usages(sheet, without), today, sheet.interval)

    def doubts_of(self, session: str, was: State, state: State) -> tuple[Doubt, ...]:
        """What is odd about a stored session as it stands now, and was not as it stood before."""
        sheet, told = state.opened.sheet, usage_of(record_of(state))
        others = self._usages(sheet, session)
        today = self._root.clock().date()
        if sheet.key != was.opened.sheet.key:
            return doubts_elsewhere(told, others, today, sheet.interval)
        return doubts_anew(told, usage_of(record_of(was)), others, today, sheet.interval)

    def last_reading(self, sheet: Sheet, meter: Meter, without: str = "") -> Usage | None:
        """The latest reading of a counter of this engine, but for one session; None for none."""
        return last_reading(self._usages(sheet, without), meter)

    def _usages(self, sheet: Sheet, without: str = "") -> list[Usage]:
        key = engine_names(self._root.data).renamed.get(sheet.key, sheet.key)
        rows = [r for r in self._past.rows() if r.engine == key and r.session != without]
        return [usage_of(row) for row in real(rows)]

    def due_then(self, past: PastSession) -> Due | None:
        """The next check as it was known when this session ended, whatever came later."""
        state = fold(past.events)
        sheet = state.opened.sheet
        known = [r for r in self._past.records(sheet.key) if r.started <= state.started]
        return outlook(sheet, known, state.at.date())

    def due_with(self, record: SessionRecord, sheet: Sheet) -> Due | None:
        """The next check of an engine by what is stored of it and one record more, as of its end."""
        others = [r for r in self._past.records(sheet.key) if r.session != record.session]
        known = [r for r in others if r.started <= record.started]
        return outlook(sheet, [*known, record], record.ended.date())

    def findings(self, sheet: Sheet) -> Findings:
        """What the past checks of an engine find about the drift of each valve."""
        return findings(sheet, self._past.records(sheet.key))

    def blade_history(self, shelved: ShelvedSet) -> BladeHistory:
        """What past sessions say of a set, whichever engines it measured."""
        engines = {r.engine for r in self._past.rows() if r.blades == shelved.key}
        return blade_history([r for e in sorted(engines) for r in self._past.records(e)], shelved)

    def usual_blades(self, sheet: Sheet) -> str | None:
        """The blade set to offer: the one used last on this engine, else the one that suits it best.

        Of his own and those that he has ever used, where there are any. None where there is no sound set.
        """
        names = self._engines.blade_names()
        last = self._past.last_row(sheet.key)
        if last is not None and last.blades in names:
            return last.blades
        used = dict.fromkeys(r.blades for r in self._past.rows() if r.counts and r.blades in names)
        suiting: dict[str, tuple[int, int, int]] = {}
        own = (name for name in names if self._root.library.is_own_set(name))
        for name in dict.fromkeys([*used, *own]) or names:
            try:
                suiting[name] = suits(self._engines.blades(name), sheet)
            except FaultyInput:
                continue
        return max(suiting, key=lambda name: suiting[name], default=None)

    def better_blades(self, sheet: Sheet, key: str) -> BladeSet | None:
        """A set that makes a limit of this engine where that one makes none; None where it makes any.

        One of his own, or that he has used: one that he has not got is no help.
        """

        def made(blades: BladeSet) -> int:
            return sum(r.feeler is not None for r in reaches(blades, limits_of(sheet)))

        if made(self._engines.blades(key)):  # mostly; it is asked at every key of the form
            return None
        used = {r.blades for r in self._past.rows() if r.counts}
        his = [blades for name, blades, own in self.sound_blades() if own or name in used]
        best = max(his, key=made, default=None)
        return best if best is not None and made(best) else None

    def sound_blades(self) -> tuple[tuple[str, BladeSet, bool], ...]:
        """Key and set of every sound set of blades, the owner's first, and whether it is his."""
        found = [(s.key, s.blades, s.own) for s in self._shelf.sets() if s.blades is not None]
        return tuple(sorted(found, key=lambda each: (not each[2], each[0])))

    def last_told(self, sheet: Sheet) -> LastTold:
        """What the latest session of an engine was told beside its readings."""
        row = self._past.last_row(sheet.key)
        if row is None:
            return LastTold()
        single = single_judged(self._past.records(sheet.key), sheet)
        try:
            state = fold(self._past.past(row.session).events)
        except (Unable, OSError):
            return LastTold(band=single)
        laid = ", ".join(f"{went} {item}" for item, (went, _) in state.tally.items() if went)
        return LastTold(laid, single)

    def set_in_hand(self) -> BladeSet | None:
        """The blade set used last, whatever the engine, else the first sound one."""
        names = self._engines.blade_names()
        last = [r.blades for r in self._past.rows() if r.blades in names]
        for name in (*last[:1], *names):
            try:
                return self._engines.blades(name)
            except FaultyInput:
                continue
        return None

    def last_who(self) -> str:
        """Who was last at the bench, whatever the engine; "" where nobody was named."""
        return next((r.who for r in self._past.rows() if r.who and r.counts), "")

    def workshop(self) -> WorkshopTold:
        """What the workshop tells of itself and of how it works; plain defaults where it does not."""
        path = self._root.data.root / "workshop.toml"
        try:
            return parse_workshop(text_of_file(path), path.name) if there(path) else WorkshopTold()
        except FaultyInput as unread:
            return WorkshopTold(faults=unread.faults)

    def workshop_faults(self) -> str:
        """What is wrong with the workshop's own file, in a sentence; empty where nothing is."""
        return left_out_words(self.workshop().faults)

    def letterhead(self) -> tuple[str, ...]:
        """The workshop's name and the lines below it; empty where it has not told them."""
        return self.workshop().letterhead

    def card(self, session: str, form: Form = "text") -> str:
        """The one-page card of a session.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
        """
        from benchtui.text.pages.session_page import card_page

        past = self._past.past(session)
        damage = "" if past.damage is None else f"line {past.damage.line}: {past.damage.reason}"
        return card_page(past.events, self.due_then(past), damage, self.letterhead(), form)

    def handover(self, session: str, form: Form = "text") -> str:
        """The page for whoever goes on with a session.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
        """
        from benchtui.text.pages.session_page import handover_page

        return handover_page(self._past.past(session).events, form)

    def write_card(self, session: str, form: Form = "text") -> Path:
        """Write a session's one-page card beside the data; an older card of it is replaced.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
            BenchError: the disk would not take it.
        """
        return self._write("cards", session, self.card(session, form), form)

    def write_handover(self, session: str, form: Form = "text") -> Path:
        """Write the page for whoever goes on beside the data; an older one of it is replaced.

        Raises:
            Unable: there is no such session, or nothing of it can be read.
            BenchError: the disk would not take it.
        """
        return self._write("handovers", session, self.handover(session, form), form)

    def _write(self, folder: str, session: str, page: str, form: Form) -> Path:
        from benchtui.text.pages.session_page import ENDING

        path = self._root.data.root / folder / f"{session}{ENDING[form]}"
        write_text(path, page + "\n")
        return path


def _pressing(shown: Shown) -> tuple[int, tuple[int, int, Fraction], str]:
    """A slack nut or cams out, a check not closed, what is due, what cannot be told, nothing to set."""
    last = (9, 0, Fraction(0))
    if shown.open is not None and (shown.open.slack or shown.open.cams_out):
        rank = 0
    elif shown.unfinished is not None:
        rank = 1
    elif shown.hydraulic:
        rank = 4
    else:
        rank = 2 if shown.due is not None else 3
    return rank, last if shown.due is None else order(shown.due), shown.key


def _gone(rows: dict[str, list[Row]], known: set[str]) -> list[Shown]:
    """Engines that have no sheet any more and a history, by their keys."""
    found = []
    for key in sorted(rows.keys() - known - {""}):
        mine = [r for r in rows[key] if r.counts and not r.damage]
        if not mine:
            continue
        open_one = next((r.session for r in mine if r.unfinished), None)
        last = next((r.started.date() for r in mine if r.complete), None)
        name = mine[0].engine_name or key
        found.append(Shown(key, None, None, last, open_one, gone=name, newest=mine[0].session))
    return found


def due_after(record: SessionRecord, sheet: Sheet, now: datetime) -> Due | None:
    """When the next check is due, counted from this session if it was a check."""
    if sheet.interval is None:
        return None
    at = Usage(record.started.date(), record.odometer_km, record.hours)
    last = at if record.complete else None
    touched = was_set([record])
    return next_due(sheet.interval, last, Usage(now.date()), (at,), was_set=touched)
