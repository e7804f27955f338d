"""The state of a session: what ``fold`` makes of its events."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from fractions import Fraction

from benchtui.domain.gauging.bracket import Bracket, Reading, bracket_of
from benchtui.domain.length import Length
from benchtui.domain.remembering import remembered as remembered  # noqa: PLC0414  # asked of a state
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.valve_history import Taken, ValveState


@dataclass(frozen=True, slots=True)
class Place:
    """A confirmed crank position; ``number`` is that of the event that confirmed it.

    ``looked``: the look past TDC, the time before, found every valve still.
    """

    number: int
    confirmed: facts.PositionConfirmed
    looked: bool = False


@dataclass(frozen=True, slots=True)
class Repeat:
    """A blind repeat of one valve; ``stage`` counts the touches of its adjuster before it."""

    valve: str
    stage: int
    readings: tuple[Reading, ...] = ()

    @property
    def bracket(self) -> Bracket:
        """What it has left by itself."""
        return bracket_of(self.readings)


@dataclass(frozen=True, slots=True)
class WrittenDown:
    """What a session was written down with: its day, its engine's name, the circumstances."""

    day: date
    engine: str
    particulars: facts.Particulars


@dataclass(frozen=True, slots=True)
class Amendment:
    """What was put right, or noted, after the end of a session; ``was`` is what stood there before."""

    number: int
    at: datetime
    fact: facts.Corrected | facts.SetAside | facts.Noted
    was: WrittenDown


@dataclass(frozen=True)
class State:
    """A session as it stands after its last event.

    ``crank`` is the crank angle as far as it is known: confirmed, or reckoned from the turns made since
    (``turned``). ``since`` is the event that first confirmed where the crank stands, at ``stood_at``,
    None once it has moved: a doubt covers every reading taken since. ``signs`` were seen since the last
    confirmed position. ``after`` are the steps done since a valve was last touched. ``metal_at``: when
    the metal's heat was last told.
    """

    opened: facts.Opened
    started: datetime
    particulars: facts.Particulars
    number: int
    valves: Mapping[str, ValveState]
    at: datetime
    metal_at: datetime | None = None
    band: Length | None = None
    on_figure: bool = False
    """Whether its owner sets single figures on the figure, instead of by a band of his own."""
    place: Place | None = None
    places: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    doubted: str | None = None
    signs: tuple[facts.SignSeen, ...] = ()
    crank: Fraction | None = None
    since: int | None = None
    stood_at: Fraction | None = None
    turned: bool = False
    after: frozenset[facts.AfterStep] = frozenset()
    cautions: frozenset[str] = frozenset()
    tally: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    torques: frozenset[str] = frozenset()
    notes: tuple[facts.Noted, ...] = ()
    paused: bool = False
    closed: facts.Closed | None = None
    rule_chosen: facts.RuleChosen | None = None
    last_valve: str | None = None
    undoable: tuple[int, ...] = ()
    whole: Mapping[str, tuple[Taken, ...]] = field(default_factory=dict)
    """The whole free play of valves with two gaps, by the valve's name without the gap."""
    spares: tuple[facts.SpareTold, ...] = ()
    """Every shim that was told to lie in the drawer, those fitted since among them."""
    cams_out: int | None = None
    """The number of the event that last put a shim in with the cams out; None where none did."""
    cams_done: frozenset[facts.CamsStep] = frozenset()
    """The steps around the cams that were told since they last came out."""
    looked_over: frozenset[str] = frozenset()
    """The valves whose parts were looked at and found sound."""
    by_blade: bool | None = None
    """Whether its owner sets this engine on a blade held in; None where he has not chosen."""
    aside: facts.SetAside | None = None
    """Why the session counts for nothing; None where it counts."""
    amendments: tuple[Amendment, ...] = ()
    repeat: Repeat | None = None
    repeats: tuple[Repeat, ...] = ()
    memo: dict[object, object] = field(default_factory=dict, init=False, compare=False, repr=False)
    """What was worked out from this state, once: see ``remembered``. A changed copy begins anew."""

    @property
    def short(self) -> Mapping[str, int]:
        """Items that went in and have not come out, with how many."""
        return {item: i - o for item, (i, o) in self.tally.items() if i > o}
