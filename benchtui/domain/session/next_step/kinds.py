"""What there is to do now: one frozen record for each kind of step, with its figures.

Long, because it is the whole vocabulary of what a mechanic is ever told to do: small records, no
rule in any. The rules that choose among them are beside it; the words are made from the fields in
``text.words.steps``, nowhere else. ``valve`` is None where a step is the whole engine's.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.adjusting.swap import Placed
from benchtui.domain.adjusting.turns import Turn, Way
from benchtui.domain.blades import Feeler
from benchtui.domain.crank.plan import Stop
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.measured import Apart
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.clash import Clash
from benchtui.domain.session.facts.events import CamsStep, Evidence
from benchtui.domain.session.facts.metal_standing import MetalStanding
from benchtui.domain.session.whole.spot_check import Spot
from benchtui.domain.sheet import Band, Torque


@dataclass(frozen=True, slots=True)
class Finished:
    """The check is filed; ``missing`` is what a partial one lacks."""

    complete: bool
    missing: tuple[str, ...] = ()
    valve: None = None


@dataclass(frozen=True, slots=True)
class Resume:
    """Paused, every nut tight: has the crank been moved?"""

    valve: None = None


class NoMeasure(Enum):
    """Why there is nothing to measure."""

    HYDRAULIC = "hydraulic"
    NO_FIGURE = "no figure"


@dataclass(frozen=True, slots=True)
class NothingToMeasure:
    """The engine has no clearance that a blade could tell."""

    why: NoMeasure
    valve: str | None = None


class LockWhy(Enum):
    """Why a nut is locked now."""

    IN_HAND = "in hand"
    NEAR_ENOUGH = "near enough"
    NO_VERDICT = "no verdict"
    LEFT_SLACK = "left slack"


@dataclass(frozen=True, slots=True)
class LockIt:
    """Tighten the locknut of ``valves``; ``held`` is the blade to take out afterwards.

    ``back_off``: by the turns made the screw may hold the valve open, so it is backed off first.
    ``part`` is what is held meanwhile: screw, nut, eccentric.
    """

    valve: str | None
    valves: tuple[str, ...]
    why: LockWhy
    back_off: bool = False
    torque: Torque | None = None
    held: Feeler | None = None
    part: str = "screw"


class CrankWhy(Enum):
    """What brings one to the crank."""

    FIRST = "first"
    DOUBTED = "doubted"
    MOVED = "moved"
    LOOKED = "looked"
    CAMS = "cams"
    NEXT_STOP = "next stop"
    OVERLAP = "overlap"


@dataclass(frozen=True, slots=True)
class ConfirmCrank:
    """The crank should stand at ``stop``, or nobody knows: two of ``signs`` tell, the mark first."""

    valve: str | None
    stop: Stop
    signs: tuple[Evidence, ...]
    why: CrankWhy


@dataclass(frozen=True, slots=True)
class TurnCrankTo:
    """Turn ``forward`` degrees to ``stop``; the cylinders ``alone`` rock there."""

    valve: str | None
    stop: Stop
    forward: Fraction | None
    alone: tuple[str, ...]
    why: CrankWhy


@dataclass(frozen=True, slots=True)
class LookPast:
    """Nothing goes in: turn ``on`` degrees past the mark of ``cylinder`` and ``watch`` its inlets."""

    valve: str | None
    cylinder: str
    on: Fraction
    watch: tuple[str, ...]


class ToTell(Enum):
    """What has to be told before any blade can be judged."""

    METAL = "metal"
    BAND = "band"
    SHIM = "shim"


@dataclass(frozen=True, slots=True)
class Tell:
    """Something has to be told: the ``metal``'s heat, a band for the one figure printed, a shim."""

    valve: str | None
    what: ToTell
    metal: MetalStanding | None = None


@dataclass(frozen=True, slots=True)
class Wait:
    """The metal is not as the sheet asks."""

    valve: str | None
    metal: MetalStanding


@dataclass(frozen=True, slots=True)
class Settle:
    """Readings that cannot all be right: one is tried again, or all of them are struck."""

    valve: str
    clash: Clash


@dataclass(frozen=True, slots=True)
class MeasureAgain:
    """The blades and a measured value differ by more than their errors: both are taken again.

    Measured much wider, the pad is tested first, for blades bridge a dished one.
    """

    valve: str
    apart: Apart


class FarWhy(Enum):
    """What makes a clearance one that wear does not explain."""

    FAR_OUT = "far out"
    FAR_FROM_KIND = "far from its kind"
    FAR_FROM_LAST = "far from last time"


@dataclass(frozen=True, slots=True)
class StopAndLook:
    """Look at the parts before a screw is touched: ``found`` is far from ``other``."""

    valve: str
    why: FarWhy
    found: Bracket
    other: Bracket | Band
    tight: bool


class Purpose(Enum):
    """What a blade is tried for."""

    LIMIT = "limit"
    SLACK = "slack"
    NARROW = "narrow"
    ONCE_MORE = "once more"
    BEFORE_LOCK = "before lock"
    AFTER_LOCK = "after lock"
    AFTER_DECOMPRESSOR = "after decompressor"
    FOR_SHIM = "for shim"
    PROOF = "proof"
    FINER = "finer"
    """In range already: wear is learned from it. It may be left."""
    PAD = "pad"
    BLIND = "blind"


class Lead(Enum):
    """What an answer would make of the valve."""

    IN_RANGE = "in range"
    ON_FIGURE = "on the figure"
    AT_LIMIT = "at its limit"
    TIGHT = "tight"
    WIDE = "wide"
    MORE = "one blade more"
    CLASH = "a clash"
    LOCK = "lock it"
    OPEN = "open it a little"
    CLOSE = "close it a little"
    HOLD = "set it on a blade"


@dataclass(frozen=True, slots=True)
class Leads:
    """What each of the three answers would make of the valve."""

    refuses: Lead
    drags: Lead
    free: Lead


class Limit(Enum):
    """Which limit of the range."""

    LOWER = "lower"
    UPPER = "upper"


@dataclass(frozen=True, slots=True)
class TryBlade:
    """Try ``feeler``. ``leads`` is None where the answer decides nothing by itself.

    ``at`` is the limit whose size it has, ``made`` the gap that the thread makes in a pad test.
    """

    valve: str
    feeler: Feeler
    purpose: Purpose
    leads: Leads | None = None
    out: Lead | None = None
    at: Limit | None = None
    made: Length | None = None
    shims: bool = False


@dataclass(frozen=True, slots=True)
class EndRepeat:
    """The blind repeat has shown enough."""

    valve: str


@dataclass(frozen=True, slots=True)
class Borrow:
    """No leaf and no stack of the set decides: borrow one, or measure the gap."""

    valve: str
    lack: CannotDecide


@dataclass(frozen=True, slots=True)
class TurnBy:
    """Turn the adjuster; ``slacken``: the nut is tight still; ``learn``: it teaches how far it moves."""

    valve: str
    turn: Turn
    slacken: bool
    learn: bool = False
    still_out: bool = False
    torque: Torque | None = None
    otherwise: SetOnBlade | None = None


@dataclass(frozen=True, slots=True)
class SetOnBlade:
    """Hold ``feeler``, one leaf, in the gap and run the adjuster to a light drag.

    ``way`` is the screw's way from where it stands, None where that is not known. ``took`` is what
    locking is known to take (None: nothing is known). ``turned_past``: an eccentric has passed its
    turning point. ``by_hand``: no leaf of the set allows for what locking takes, so the hand is to:
    looser on the leaf where it closes the gap, firmer where it opens it.
    """

    valve: str
    feeler: Feeler
    way: Way | None
    slacken: bool
    took: Length | None = None
    touch: bool = False
    no_clearance: bool = False
    turned_past: bool = False
    torque: Torque | None = None
    otherwise: TurnBy | None = None
    by_hand: bool = False


@dataclass(frozen=True, slots=True)
class WindBack:
    """A dished pad, where blades lie: wind to nothing, back ``degrees``, lock."""

    valve: str
    degrees: Fraction


@dataclass(frozen=True, slots=True)
class FitShim:
    """Fit ``size`` (None: any from ``low`` to ``high``), from another valve or bought."""

    valve: str
    size: Length | None
    low: Length
    high: Length
    from_valve: str | None = None
    buy: bool = False
    sure: bool = False


@dataclass(frozen=True, slots=True)
class CamsOut:
    """All measured: order the ``order``, then the cams come out; ``unread`` valves' shims are not known."""

    order: tuple[tuple[Length, int], ...]
    moves: tuple[Placed, ...]
    valve: str | None = None
    unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CamsBack:
    """The last shim is in: ``left`` is what is still to be seen to before the crank is turned on."""

    left: tuple[CamsStep, ...]
    valve: str | None = None


class Remark(Enum):
    """What is said with a valve that is done."""

    HAD_NO_CLEARANCE = "had no clearance"
    PAD_DISHED = "pad dished"
    ON_FIGURE = "on the figure"
    OTHER_STOP = "not for this stop"
    WAITS_FOR_CAMS = "waits for the cams"
    BLIND_ELSEWHERE = "another is measured blind"


@dataclass(frozen=True, slots=True)
class NextValve:
    """Nothing more to do at ``valve`` now: on to ``to``."""

    valve: str
    to: str
    limit: Limit | None = None
    remark: Remark | None = None


@dataclass(frozen=True, slots=True)
class SpotCheck:
    """Turned over twice: try one blade again."""

    spot: Spot

    @property
    def valve(self) -> str:
        """The valve to try."""
        return self.spot.valve


class ClosePart(Enum):
    """The steps that end a check, in their order."""

    TURN_OVER = "turn over"
    COUNT_OUT = "count out"
    WORK = "work"
    """A step that the sheet names: chain tensioner, gasket, timing plug."""
    TORQUES = "torques"
    FIRST_RUN = "first run"
    LEAKS = "leaks"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class CloseUp:
    """One step of closing up; ``left`` names what is still to be ticked or counted."""

    part: ClosePart
    left: tuple[str, ...] = ()
    torques: tuple[Torque, ...] = ()
    on_figure: bool = False
    valve: None = None


NextStep = (
    Finished
    | Resume
    | NothingToMeasure
    | LockIt
    | ConfirmCrank
    | TurnCrankTo
    | LookPast
    | Tell
    | Wait
    | Settle
    | MeasureAgain
    | StopAndLook
    | TryBlade
    | EndRepeat
    | Borrow
    | SetOnBlade
    | TurnBy
    | WindBack
    | FitShim
    | CamsOut
    | CamsBack
    | NextValve
    | SpotCheck
    | CloseUp
)
