"""What a person may ask of the bench; each is decided into events or refused.

Most steps are asked for just as they are recorded: then the fact itself is handed in. Only what is
decided into another fact than was asked for has a command of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.session.facts import events as facts
from benchtui.domain.sheet import Sheet


@dataclass(frozen=True, slots=True)
class ConfirmPosition:
    """This cylinder stands ``angle`` degrees after its compression TDC, by this evidence."""

    cylinder: str
    evidence: tuple[facts.Evidence, ...]
    angle: Fraction = Fraction(0)


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
class CheckSpot:
    """A blade was tried again at a valve that is done."""

    valve: str
    feeler: Feeler
    answer: Answer


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
    particulars: facts.Particulars = field(default_factory=facts.Particulars)
    sheet: Sheet | None = None


Command = (
    ConfirmPosition
    | StrikeReading
    | CheckSpot
    | Undo
    | CloseSession
    | Correct
    | facts.ParticularsEntered
    | facts.RuleChosen
    | facts.BandChosen
    | facts.FigureChosen
    | facts.CautionAcknowledged
    | facts.PositionDoubted
    | facts.SignSeen
    | facts.CrankTurned
    | facts.ReadingTaken
    | facts.ClearanceMeasured
    | facts.ReadingsMoved
    | facts.ScrewTurned
    | facts.ScrewSetOn
    | facts.WayChosen
    | facts.LookedOver
    | facts.CamsStepDone
    | facts.Locked
    | facts.ShimFitted
    | facts.SpareTold
    | facts.WoundBack
    | facts.WholePlayRead
    | facts.ItemCounted
    | facts.TorqueDone
    | facts.AfterStepDone
    | facts.RepeatBegun
    | facts.RepeatEnded
    | facts.Noted
    | facts.Paused
    | facts.Resumed
    | facts.SetAside
)
