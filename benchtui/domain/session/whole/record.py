"""What is kept of a whole session for later: found and left per valve, verdicts, circumstances."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.screw_fit import ScrewRun
from benchtui.domain.adjusting.turns import closing_way
from benchtui.domain.gauging.bracket import Bracket, Reading
from benchtui.domain.gauging.felt import Felt, felt
from benchtui.domain.gauging.verdict import Verdict
from benchtui.domain.length import Length
from benchtui.domain.remembering import replace
from benchtui.domain.session.evidence.cams import cams_out_since
from benchtui.domain.session.evidence.counting import counted, gauged, set_aside, valve_of
from benchtui.domain.session.evidence.setting import setting_of
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.events import Noted
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import Stage, ValveState
from benchtui.domain.session.valve.assessment import gap_told, left_of, verdict_of
from benchtui.domain.session.valve.lock_shift import shifts_seen
from benchtui.domain.session.valve.sheet_runs import Thread, runs_seen, thread_of
from benchtui.domain.session.whole.moved import moved_by
from benchtui.domain.sheet import Band, GapRole, SettingRange, ValveKind


@dataclass(frozen=True, slots=True)
class Gauged:
    """A bracket with what was said of it."""

    bracket: Bracket
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class ValveRecord:
    """One valve in one session.

    ``found`` and ``left`` are None where nothing that counts was read. ``left`` is what ``found``
    is where nothing was touched. ``turned`` is the signed degrees in all (plus opens the gap),
    ``locked`` whether it was locked at the end, ``read_after`` whether it was measured since it was
    last touched. ``shim_found`` and ``shim_left`` are the sizes where shims are fitted,
    as they are stamped; ``shim_left_measured`` is what a micrometer said of the one left in.
    ``set_aside`` are readings that stood alone against two.
    ``felt_found`` and ``felt_left`` are what the blades said where it counts, the metal as the sheet
    wants it; ``moved`` is how far the gap was moved in all, from the least to the most, plus where
    it opened, None where that is not known. Wear is learned from these.
    """

    name: str
    kind: ValveKind
    setting: Band | None
    owners_band: bool
    found: Gauged | None
    left: Gauged | None
    touched: bool
    turned: Fraction
    locked: bool
    read_after: bool
    struck: tuple[Reading, ...]
    shim_found: Length | None = None
    shim_left: Length | None = None
    shim_left_measured: Length | None = None
    set_aside: tuple[Reading, ...] = ()
    felt_found: tuple[Felt, ...] = ()
    felt_left: tuple[Felt, ...] = ()
    moved: tuple[Length, Length] | None = None
    role: GapRole = GapRole.OPENER
    on_figure: bool = False

    @property
    def tolerance(self) -> Length | None:
        """Half of the range: the owner's own tolerance either side, where the band is his."""
        return None if self.setting is None else self.setting.width.scaled(Fraction(1, 2))


@dataclass(frozen=True, slots=True)
class SessionRecord:
    """One session as later screens ask for it.

    ``runs`` are the turns that were gauged before and after, ``thread`` what they were judged by.
    ``set_aside`` is the reason why it counts for nothing; empty where it was not set aside. What was
    put right after its end is in its figures already.
    """

    session: str
    engine: str
    engine_name: str
    started: datetime
    ended: datetime
    who: str
    blades: str
    odometer_km: Fraction | None
    hours: Fraction | None
    metal_c: Fraction | None
    closed: bool
    complete: bool
    practice: bool
    missing: tuple[str, ...]
    valves: tuple[ValveRecord, ...]
    shifts: tuple[Shift, ...]
    notes: tuple[str, ...]
    runs: tuple[ScrewRun, ...] = ()
    thread: Thread | None = None
    set_aside: str = ""
    by_blade: bool | None = None
    """How its owner set the engine: on a blade held in, or by degrees; None where he did not choose."""
    band: Length | None = None
    on_figure: bool = False
    """How he had single figures judged: by this band of his own, or on the figure."""

    @property
    def slack(self) -> tuple[str, ...]:
        """The valves whose locknut was left slack."""
        return tuple(v.name for v in self.valves if not v.locked)

    @property
    def counts(self) -> bool:
        """Whether it says anything of the engine: it is neither practice nor set aside."""
        return not (self.practice or self.set_aside)


def record_of(state: State) -> SessionRecord:
    """The record of a session as it stands, closed or not."""
    opened, particulars = state.opened, state.particulars
    if state.closed is not None and state.closed.complete:
        # What was filed as complete stands as filed, also by a program that asked for less.
        state = replace(state, cams_out=None)
    return SessionRecord(
        session=opened.session,
        engine=opened.sheet.key,
        engine_name=opened.sheet.name,
        started=state.started,
        ended=state.at,
        who=particulars.who or "",
        blades=opened.blades_key,
        odometer_km=particulars.odometer_km,
        hours=particulars.hours,
        metal_c=particulars.metal_c,
        closed=state.closed is not None,
        complete=_complete(state),
        practice=opened.practice,
        missing=state.closed.missing if state.closed is not None else (),
        valves=tuple(_valve_record(state, name) for name in state.valves),
        shifts=shifts_seen(state) if opened.sheet.adjuster.threaded else (),
        notes=_notes(state),
        runs=runs_seen(state),
        thread=thread_of(opened.sheet.adjuster),
        by_blade=state.by_blade,
        band=state.band,
        on_figure=state.on_figure,
        set_aside="" if state.aside is None else state.aside.why,
    )


def _complete(state: State) -> bool:
    """Whether it counts as a check."""
    filed = state.closed is not None and state.closed.complete
    return filed and state.aside is None and not state.opened.practice


def _notes(state: State) -> tuple[str, ...]:
    """Those of the session, then with their day those that were added after its end."""
    later = [(a.at, a.fact) for a in state.amendments if isinstance(a.fact, Noted)]
    told = [(f"{n.valve}: " if n.valve else "", n.text) for n in state.notes]
    told += [(f"{at.date()}, {n.valve or 'afterwards'}: ", n.text) for at, n in later]
    return tuple(f"{head}{text}" for head, text in told)


def _valve_record(state: State, name: str) -> ValveRecord:
    sheet = state.opened.sheet
    valve = valve_of(sheet, name)
    history = state.valves[name]
    setting = setting_of(state, valve)
    current = history.current
    return ValveRecord(
        name=name,
        kind=valve.kind,
        setting=None if setting is None else _printed(setting),
        owners_band=setting is not None and setting.owners,
        on_figure=setting is not None and setting.figure is not None,
        found=_found(state, name, setting.band if setting is not None else None),
        left=None if current.unread else Gauged(*left_of(state, name)),
        touched=history.touched,
        turned=_turned(state, history),
        locked=name not in slack_nuts(state),
        read_after=gauged(current),
        struck=tuple(t.reading for s in history.stages for t in s.taken if t.struck),
        shim_found=history.found.shim,
        shim_left=history.shim,
        shim_left_measured=history.shim_measured,
        set_aside=tuple(r for s in history.stages for r in set_aside(s)),
        felt_found=_felt(state, name, history.found),
        felt_left=_felt(state, name, current),
        moved=moved_by(history, sheet.adjuster, shifts_seen(state)) if history.touched else None,
        role=valve.role,
    )


def _printed(setting: SettingRange) -> Band:
    """The range; on the figure that alone."""
    return setting.band if setting.figure is None else Band(setting.figure, setting.figure)


def _felt(state: State, name: str, stage: Stage) -> tuple[Felt, ...]:
    """What counts for wear: in metal as asked for, and not from before the cams were out."""
    if stage is state.valves[name].current and cams_out_since(state, name):
        return ()
    if not all(t.metal_right for t in stage.counting):
        return ()
    return felt(counted(stage))


def _found(state: State, name: str, band: Band | None) -> Gauged | None:
    stage = state.valves[name].found
    if not gauged(stage):
        return None
    return Gauged(gap_told(state, name, stage), verdict_of(state, name, stage, band))


def _turned(state: State, history: ValveState) -> Fraction:
    """Signed degrees in all; plus opens the gap."""
    closing = closing_way(state.opened.sheet.adjuster)
    turns = [t for stage in history.stages for t in stage.turns]
    return sum((-t.degrees if t.way is closing else t.degrees for t in turns), Fraction(0))
