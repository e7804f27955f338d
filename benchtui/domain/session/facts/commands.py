"""What a person may ask of the bench; each is decided into events or refused.

A step that is asked for just as it is recorded has no command of its own: the fact is handed in.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import (
    AfterStep,
    CamsStepDone,
    ClearanceMeasured,
    Crank,
    Evidence,
    FigureChosen,
    LookedOver,
    Particulars,
    ScrewSetOn,
    Sign,
    WayChosen,
)
from benchtui.domain.sheet import Sheet


@dataclass(frozen=True, slots=True)
class EnterParticulars:
    """Odometer, hours, metal temperature, who: those that are not None."""

    particulars: Particulars


@dataclass(frozen=True, slots=True)
class ChooseRule:
    """How much the blades must show before a valve counts as in range."""

    rule: DecisionRule


@dataclass(frozen=True, slots=True)
class ChooseBand:
    """The owner's own tolerance either side of single figures."""

    tolerance: Length


@dataclass(frozen=True, slots=True)
class AcknowledgeCaution:
    """A caution was read."""

    caution: str


@dataclass(frozen=True, slots=True)
class ConfirmPosition:
    """This cylinder stands ``angle`` degrees after its compression TDC, by this evidence."""

    cylinder: str
    evidence: tuple[Evidence, ...]
    angle: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class DoubtPosition:
    """It looks like overlap, or nobody is sure."""

    cylinder: str


@dataclass(frozen=True, slots=True)
class SeeSign:
    """Something was seen at this cylinder that speaks against its position, or settles a doubt."""

    cylinder: str
    sign: Sign
    valves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TurnCrank:
    """The crank was turned forward by so many degrees."""

    degrees: Fraction


@dataclass(frozen=True, slots=True)
class TakeReading:
    """A blade was tried; ``forced`` if it went only by force, which counts as refuses."""

    valve: str
    feeler: Feeler
    answer: Answer
    forced: bool = False


@dataclass(frozen=True, slots=True)
class StrikeReading:
    """Strike the last live reading of this valve with this feeler; None: the last of any.

    ``whole``: of those taken in its whole free play. ``measured``: the last measured value instead.
    """

    valve: str
    feeler: Feeler | None = None
    whole: bool = False
    measured: bool = False


@dataclass(frozen=True, slots=True)
class MoveReadings:
    """The readings in hand of ``valve`` belonged to ``to``."""

    valve: str
    to: str


@dataclass(frozen=True, slots=True)
class TurnScrew:
    """The adjuster was turned this way, so many degrees."""

    valve: str
    way: Way
    degrees: Fraction


@dataclass(frozen=True, slots=True)
class LockNut:
    """The locknut was tightened; ``torqued``: to the sheet's figure."""

    valve: str
    torqued: bool = False


@dataclass(frozen=True, slots=True)
class FitShim:
    """A shim of this size is in now; before any reading: this size was found.

    ``measured`` is what a micrometer says of it. ``found``: it was in when the readings in hand
    were taken.
    """

    valve: str
    size: Length
    measured: Length | None = None
    found: bool = False


@dataclass(frozen=True, slots=True)
class TellSpare:
    """A shim lies in the drawer and may be used; ``measured`` is what a micrometer says of it."""

    size: Length
    measured: Length | None = None


@dataclass(frozen=True, slots=True)
class WindBack:
    """The screw was wound to zero clearance and backed off so far, to test pad and thread."""

    valve: str
    degrees: Fraction


@dataclass(frozen=True, slots=True)
class ReadWholePlay:
    """A blade was tried in the whole free play of a valve that has an opener's and a closer's gap."""

    valve: str
    feeler: Feeler
    answer: Answer
    forced: bool = False


@dataclass(frozen=True, slots=True)
class CountItem:
    """So many of an item went in, or came out."""

    item: str
    count: int
    inwards: bool


@dataclass(frozen=True, slots=True)
class TickTorque:
    """A fastening was tightened to its figure."""

    what: str


@dataclass(frozen=True, slots=True)
class TickAfterStep:
    """A step after the setting was done."""

    step: AfterStep


@dataclass(frozen=True, slots=True)
class SpotCheck:
    """A blade was tried again at a valve that is done."""

    valve: str
    feeler: Feeler
    answer: Answer


@dataclass(frozen=True, slots=True)
class BeginRepeat:
    """Measure this valve once more, blind."""

    valve: str


@dataclass(frozen=True, slots=True)
class EndRepeat:
    """Enough of the blind repeat."""

    valve: str


@dataclass(frozen=True, slots=True)
class AddNote:
    """A free note."""

    text: str
    valve: str = ""


@dataclass(frozen=True, slots=True)
class Pause:
    """Stop for now."""


@dataclass(frozen=True, slots=True)
class Resume:
    """Go on; has the crank moved?"""

    crank: Crank


@dataclass(frozen=True, slots=True)
class Undo:
    """Take the last step back."""


@dataclass(frozen=True, slots=True)
class CloseSession:
    """End the session: complete if nothing is missing, else as partial."""


@dataclass(frozen=True, slots=True)
class Correct:
    """Put right what a session that has ended was written down with; see ``Corrected``."""

    why: str
    day: date | None = None
    particulars: Particulars = field(default_factory=Particulars)
    sheet: Sheet | None = None


@dataclass(frozen=True, slots=True)
class LayAside:
    """Let a session count for nothing."""

    why: str


Command = (
    EnterParticulars
    | ChooseRule
    | ChooseBand
    | FigureChosen
    | AcknowledgeCaution
    | ConfirmPosition
    | DoubtPosition
    | SeeSign
    | TurnCrank
    | TakeReading
    | ClearanceMeasured
    | StrikeReading
    | MoveReadings
    | TurnScrew
    | ScrewSetOn
    | WayChosen
    | LookedOver
    | CamsStepDone
    | LockNut
    | FitShim
    | TellSpare
    | WindBack
    | ReadWholePlay
    | CountItem
    | TickTorque
    | TickAfterStep
    | SpotCheck
    | BeginRepeat
    | EndRepeat
    | AddNote
    | Pause
    | Resume
    | Undo
    | CloseSession
    | Correct
    | LayAside
)
