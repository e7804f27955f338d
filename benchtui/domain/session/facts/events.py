"""What happened at the bench: past tense, frozen, numbered; times and ids are handed in.

One file although it is long: it is the whole vocabulary of what is kept on disk, one small record
a fact and no rule in any, and who reads an old file wants to see it at once.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from enum import Enum
from fractions import Fraction

from benchtui.domain.adjusting.lock_shift import Shift
from benchtui.domain.adjusting.screw_fit import ScrewRun
from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.measured import MEASURED_ERROR
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.sheet import Sheet


class Evidence(Enum):
    """What tells compression TDC from overlap; two different ones confirm a position."""

    MARK = "mark"
    SLACK = "slack"
    SPIN = "spin"
    LOBES = "lobes"
    INLET = "inlet"
    STILL = "still"
    COMPANION = "companion"
    ROCKS = "rocks"
    TURNED = "turned"

    @property
    def tells_the_stroke(self) -> bool:
        """Whether it was seen at the cam, so that it holds even where a valve has no clearance."""
        return self in (Evidence.INLET, Evidence.STILL, Evidence.LOBES, Evidence.COMPANION)

    @property
    def felt_loose(self) -> bool:
        """Whether it was felt at the valve gear: where no clearance is found, it tells nothing."""
        return self in (Evidence.SLACK, Evidence.SPIN)


class Sign(Enum):
    """What was seen at a cylinder that speaks against its position, or settles a doubt."""

    TIGHT = "tight"
    MOVES = "moves"
    OPEN = "open"
    OPENS = "opens"
    STAYS = "stays"

    @property
    def meaning(self) -> str:
        """In words."""
        return {
            Sign.TIGHT: "nothing is loose",
            Sign.MOVES: "a valve moves while the crank is rocked",
            Sign.OPEN: "the inlet had not opened and closed before the mark",
            Sign.OPENS: "45 degrees on, the inlet opens: overlap",
            Sign.STAYS: "45 degrees on, every valve is still: it was compression",
        }[self]

    @property
    def against(self) -> bool:
        """Whether it stops the bench; only the look that finds all still does not."""
        return self is not Sign.STAYS


@dataclass(frozen=True, slots=True)
class LeftLast:
    """What was left at a valve in the last complete check.

    ``drift_low`` to ``drift_high`` is how far it has moved since then, as past checks have proved
    (below zero where it closes up); None where nothing is proved, or the distance is not known.
    """

    valve: str
    low: Length
    high: Length | None
    drift_low: Length | None = None
    drift_high: Length | None = None


@dataclass(frozen=True, slots=True)
class FittedLast:
    """The shim that the last session left in at a valve: its stamp, and a micrometer's word."""

    valve: str
    size: Length
    measured: Length | None = None


@dataclass(frozen=True, slots=True)
class ReadFinely:
    """One valve that is read on, once it is in range, until its bracket is no wider than ``enough``."""

    valve: str
    enough: Length


@dataclass(frozen=True, slots=True)
class Effort:
    """What a blade tried, a leaf changed and a move to another valve cost beside each other.

    By plain defaults changing a leaf is half of trying one, and a move a fifth (own choice). ``by_leaf``:
    the leaf in hand goes round the valves of a stop before it is changed; else valve by valve.
    """

    insertion: Fraction = Fraction(1)
    leaf_change: Fraction = Fraction(1, 2)
    move: Fraction = Fraction(1, 5)
    by_leaf: bool = True

    def keeps(self, lost: Fraction, *, moved: bool) -> bool:
        """Whether the leaf in hand is worth keeping where it loses so many insertions."""
        return lost * self.insertion + (self.move if moved else 0) <= self.leaf_change


@dataclass(frozen=True, slots=True)
class Particulars:
    """The circumstances; None for what was not (or not newly) taken.

    ``at_heat``: somebody's word, without a thermometer, that it is (or is not) at running heat.
    """

    odometer_km: Fraction | None = None
    hours: Fraction | None = None
    metal_c: Fraction | None = None
    who: str | None = None
    stood_hours: Fraction | None = None
    at_heat: bool | None = None

    @property
    def tells_heat(self) -> bool:
        """Whether they tell how warm the metal is."""
        return self.metal_c is not None or self.at_heat is not None

    def updated(self, new: Particulars) -> Particulars:
        """The same with whatever was newly taken."""
        return Particulars(
            odometer_km=self.odometer_km if new.odometer_km is None else new.odometer_km,
            hours=self.hours if new.hours is None else new.hours,
            metal_c=self.metal_c if new.metal_c is None else new.metal_c,
            who=self.who if new.who is None else new.who,
            stood_hours=self.stood_hours if new.stood_hours is None else new.stood_hours,
            at_heat=self.at_heat if new.at_heat is None else new.at_heat,
        )


@dataclass(frozen=True)
class Opened:
    """A session began, with frozen copies of the sheet and the blade set.

    ``fewest``: the owner wants the plan with the fewest stops instead of one cylinder at a time.
    ``left_last``, ``past_shifts``, ``fitted_last`` and ``past_runs`` are what past sessions taught,
    frozen too, so that a replay gives the same advice as the day itself did. ``practice``: no real
    engine, never counts as a check. ``feel`` is the band of drag that whoever is named here showed
    in practice.
    """

    session: str
    sheet: Sheet
    blades_key: str
    blades: BladeSet
    particulars: Particulars
    rule: DecisionRule = DecisionRule.PLAIN
    left_last: tuple[LeftLast, ...] = ()
    past_shifts: tuple[Shift, ...] = ()
    fewest: bool = False
    practice: bool = False
    fitted_last: tuple[FittedLast, ...] = ()
    feel: FeelBand | None = None
    past_runs: tuple[ScrewRun, ...] = ()
    left_slack: tuple[str, ...] = ()
    """The valves whose locknut the last session left slack."""
    memo: dict[object, object] = field(default_factory=dict, init=False, compare=False, repr=False)
    by_blade: bool | None = None
    """How this engine was set the last time; None where nobody has chosen."""
    band: Length | None = None
    on_figure: bool = False
    """How its owner had single figures judged the last time: by this band of his, or on the figure."""
    finer: ReadFinely | None = None
    """The valve that wear is learned from this time; None where none is."""
    effort: Effort | None = None
    """How its owner goes round a stop; None in sessions from before it was asked: there the leaf in hand
    goes round, and no blade is chosen by it."""
    written_in: str = ""
    """The name of the written-down file that it was made from; empty where it was none."""


@dataclass(frozen=True, slots=True)
class ParticularsEntered:
    """Circumstances were taken, or taken again, while the session ran."""

    particulars: Particulars


@dataclass(frozen=True, slots=True)
class RuleChosen:
    """The owner chose how much the blades must show before a valve counts as in range."""

    rule: DecisionRule


@dataclass(frozen=True, slots=True)
class BandChosen:
    """The owner named his own tolerance either side of single figures; it is stored as his."""

    tolerance: Length


@dataclass(frozen=True, slots=True)
class FigureChosen:
    """The owner sets single figures on the figure, as the handbook says, instead of by a band."""


@dataclass(frozen=True, slots=True)
class CautionAcknowledged:
    """Somebody read a caution and said so."""

    caution: str


@dataclass(frozen=True, slots=True)
class PositionConfirmed:
    """Two pieces of evidence put this cylinder ``angle`` degrees after its compression TDC.

    ``valves`` are those that may be measured there and ``why`` names the authority (the printed
    plan, the valve timing, or compression TDC alone): decided once and kept, so that a later
    change of the rules cannot change what was recorded.
    """

    cylinder: str
    angle: Fraction
    evidence: tuple[Evidence, ...]
    valves: tuple[str, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class PositionDoubted:
    """It may be overlap after all: what was read in this position no longer counts."""

    cylinder: str


@dataclass(frozen=True, slots=True)
class SignSeen:
    """Something was seen at this cylinder; ``valves`` names those it was seen at, if any."""

    cylinder: str
    sign: Sign
    valves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CrankTurned:
    """The crank was turned forward by this much; the new position is still to be confirmed."""

    degrees: Fraction


@dataclass(frozen=True, slots=True)
class ReadingTaken:
    """A blade was tried."""

    valve: str
    feeler: Feeler
    answer: Answer
    forced: bool = False


@dataclass(frozen=True, slots=True)
class ClearanceMeasured:
    """A dial at the valve, or a strip that was measured, said what the clearance is.

    ``error`` is the most that it may be off, either way.
    """

    valve: str
    value: Length
    error: Length = MEASURED_ERROR


@dataclass(frozen=True, slots=True)
class ReadingStruck:
    """A reading was struck out; it stays on paper and no longer counts."""

    number: int


@dataclass(frozen=True, slots=True)
class ReadingsMoved:
    """The readings in hand belonged to another valve."""

    valve: str
    to: str


@dataclass(frozen=True, slots=True)
class ScrewTurned:
    """The locknut was slackened and the adjuster turned."""

    valve: str
    way: Way
    degrees: Fraction


@dataclass(frozen=True, slots=True)
class ScrewSetOn:
    """With the locknut slack, the screw was run to a light drag on this blade held in the gap."""

    valve: str
    feeler: Feeler


@dataclass(frozen=True, slots=True)
class WayChosen:
    """How its owner sets this engine: on a blade held in, or by degrees of the screw."""

    by_blade: bool


@dataclass(frozen=True, slots=True)
class LookedOver:
    """Somebody looked at the parts of a valve that stood far out, and found all of them sound."""

    valve: str


@dataclass(frozen=True, slots=True)
class Locked:
    """The locknut was tightened; the clearance is unknown until it is read again.

    ``torqued``: to the sheet's figure, by a wrench.
    """

    valve: str
    torqued: bool = False


@dataclass(frozen=True, slots=True)
class ShimFitted:
    """A shim of this size (its stamp) is in now; ``measured`` is what a micrometer said of it.

    ``found``: it was in already when the readings in hand were taken.
    """

    valve: str
    size: Length
    measured: Length | None = None
    found: bool = False


class CamsStep(Enum):
    """The steps around shims under the buckets: the cams out, and back in."""

    OUT = "out"
    TIMING_MARKS = "timing marks"
    CAPS_IN_STEPS = "caps in steps"
    CHAIN_AND_TENSIONER = "chain and tensioner"
    TWO_SLOW_TURNS = "two slow turns"


@dataclass(frozen=True, slots=True)
class CamsStepDone:
    """The cams were taken out, or one of the steps that put them back was done."""

    step: CamsStep


@dataclass(frozen=True, slots=True)
class SpareTold:
    """A shim lies in the drawer: its stamp, and a micrometer's word."""

    size: Length
    measured: Length | None = None


@dataclass(frozen=True, slots=True)
class WoundBack:
    """The screw was wound to zero clearance, then backed off so many degrees: the pad test."""

    valve: str
    degrees: Fraction


@dataclass(frozen=True, slots=True)
class WholePlayRead:
    """A blade was tried in the whole free play of a valve: opener's and closer's gap in one."""

    valve: str
    feeler: Feeler
    answer: Answer
    forced: bool = False


@dataclass(frozen=True, slots=True)
class ItemCounted:
    """Rags, tools, caps: ``count`` of them went in (or came out again)."""

    item: str
    count: int
    inwards: bool


@dataclass(frozen=True, slots=True)
class TorqueDone:
    """A fastening of the sheet's list was tightened to its figure."""

    what: str


class AfterStep(Enum):
    """What is left to do once the valves are set."""

    TURNED_OVER = "turned over"
    FIRST_RUN = "first run"
    NO_LEAKS = "no leaks"

    @property
    def meaning(self) -> str:
        """In words."""
        return {
            AfterStep.TURNED_OVER: "the engine was turned over twice by hand",
            AfterStep.FIRST_RUN: "the engine was run for the first time",
            AfterStep.NO_LEAKS: "looked for leaks, none seen",
        }[self]


@dataclass(frozen=True, slots=True)
class AfterStepDone:
    """One of the steps after the setting was done."""

    step: AfterStep


@dataclass(frozen=True, slots=True)
class SpotChecked:
    """One blade was tried again at a valve that was done, after the engine was turned over.

    ``fits`` says whether it agreed with what was left; decided once and kept.
    """

    valve: str
    feeler: Feeler
    answer: Answer
    fits: bool


@dataclass(frozen=True, slots=True)
class RepeatBegun:
    """A valve is measured once more, what was read before hidden: it tells a hand's own spread.

    What is read until it ends is kept apart and decides nothing.
    """

    valve: str


@dataclass(frozen=True, slots=True)
class RepeatEnded:
    """The blind repeat of a valve came to its end."""

    valve: str


@dataclass(frozen=True, slots=True)
class Noted:
    """A free note, about one valve or (empty) the whole."""

    text: str
    valve: str = ""


@dataclass(frozen=True, slots=True)
class Paused:
    """Work stopped for now."""


class Crank(Enum):
    """Has the crank moved while nobody looked?"""

    UNMOVED = "unmoved"
    MOVED = "moved"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True)
class Resumed:
    """Work went on; unless the crank surely has not moved, the position is open again."""

    crank: Crank


@dataclass(frozen=True, slots=True)
class StepUndone:
    """The step recorded as event ``number`` was taken back; it stays in the file."""

    number: int


@dataclass(frozen=True, slots=True)
class Closed:
    """The session ended. Only a complete one counts as a check."""

    complete: bool
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Corrected:
    """After its end, a session that was written down wrongly was put right, for this reason.

    None stands for what was right. ``sheet`` is that of the engine that was really checked.
    ``ending`` is how the session ends by the figures as they are now, where a verdict may hang on
    what was put right: decided once and kept.
    """

    why: str
    day: date | None = None
    particulars: Particulars = field(default_factory=Particulars)
    sheet: Sheet | None = None
    ending: Closed | None = None


@dataclass(frozen=True, slots=True)
class SetAside:
    """The session counts for nothing, for this reason; it stays in its file and is shown struck."""

    why: str


Fact = (
    Opened
    | ParticularsEntered
    | RuleChosen
    | BandChosen
    | FigureChosen
    | CautionAcknowledged
    | PositionConfirmed
    | PositionDoubted
    | SignSeen
    | CrankTurned
    | ReadingTaken
    | ClearanceMeasured
    | ReadingStruck
    | ReadingsMoved
    | ScrewTurned
    | ScrewSetOn
    | WayChosen
    | LookedOver
    | Locked
    | CamsStepDone
    | ShimFitted
    | SpareTold
    | WoundBack
    | WholePlayRead
    | ItemCounted
    | TorqueDone
    | AfterStepDone
    | SpotChecked
    | RepeatBegun
    | RepeatEnded
    | Noted
    | Paused
    | Resumed
    | StepUndone
    | Closed
    | Corrected
    | SetAside
)


@dataclass(frozen=True, slots=True)
class Event:
    """One fact with its number in the session (1, 2, 3 ...) and the time it was recorded."""

    number: int
    at: datetime
    fact: Fact
