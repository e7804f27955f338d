"""How each step is asked for in a line, what "as it says" records, and the caution that binds there.

What is to be done is decided by ``next_step`` and worded in ``text.words.steps``: here it is only said
which answers are taken.
"""

from __future__ import annotations

from fractions import Fraction
from typing import assert_never

from benchtui.domain.cautions import CautionAt
from benchtui.domain.session.facts.commands import CloseSession, Command
from benchtui.domain.session.facts.events import (
    AfterStep,
    AfterStepDone,
    CamsStep,
    CamsStepDone,
    CautionAcknowledged,
    CrankTurned,
    Locked,
    LookedOver,
    RepeatEnded,
    ScrewSetOn,
    ScrewTurned,
    ShimFitted,
    TorqueDone,
    WayChosen,
    WoundBack,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.text.quantities.show import whole_degrees
from benchtui.text.words.stamped import blade_both
from benchtui.text.words.steps import in_inches
from benchtui.text.words.told import feeler_of

BLADE = "refuses S, drags D, or goes free F?"

_AFTER = {
    k.ClosePart.TURN_OVER: AfterStep.TURNED_OVER,
    k.ClosePart.FIRST_RUN: AfterStep.FIRST_RUN,
    k.ClosePart.LEAKS: AfterStep.NO_LEAKS,
}


def question(step: k.NextStep, state: State) -> str:  # noqa: C901, PLR0912  # one case a step
    """The answers that this step takes, in a line that names the valve."""
    at = f"{step.valve}: " if step.valve else ""
    feeler = feeler_of(step)
    if feeler is not None:
        leave = (
            " Or: next." if isinstance(step, k.TryBlade) and step.purpose is k.Purpose.FINER else ""
        )
        return f"{step.valve}, {blade_both(feeler, inch=in_inches(state))}: {BLADE}{leave}"
    match step:
        case k.Resume():
            return "1 no, it has not moved. 2 yes, it has moved. 3 not sure."
        case k.LockIt():
            return f"{step.valves[0]}: locked, or torqued (by a wrench, to its figure)?"
        case k.ConfirmCrank() | k.TurnCrankTo(forward=None):
            return "Which do you see? Two different numbers, as in 1 2. Not sure: doubt."
        case k.TurnCrankTo():
            return "Turned, or how many degrees was it turned? Not sure: doubt."
        case k.LookPast(cylinder=cylinder):
            return f"Cylinder {cylinder}, 45 degrees on: opens, or still?"
        case k.Tell(what=k.ToTell.METAL, metal=metal) if metal is not None and metal.hot_set:
            return "Its temperature, as in 80 C; or: hot."
        case k.Tell(what=k.ToTell.METAL) | k.Wait():
            return "The metal's temperature, as in 19; or how long it stood, as in 6 h."
        case k.Tell(what=k.ToTell.BAND):
            return f"{at}figure (set on it), or your own band either side, as in 0.03?"
        case k.Tell():
            return f"{at}which shim is in, as in 2.80, or 2.80 measured 2.79?"
        case k.Settle():
            return f"{at}strike all (of this valve)?"
        case k.MeasureAgain(apart=apart):
            again = "pad 72 (wound to nothing, then back so far)" if apart.pad_in_doubt else ""
            return f"{at}{again or 'measured 0.11, or a blade, as in 0.10 refuses'}?"
        case k.StopAndLook():
            return f"{at}looked (every part is sound)?"
        case k.EndRepeat():
            return f"{at}done?"
        case k.Borrow():
            return f"{at}a blade and its answer, as in 0.10 refuses; or measured 0.11?"
        case k.SetOnBlade(otherwise=turn):
            other = ", or turned" if turn is not None else ""
            return f"{at}set{other}? Otherwise: on 0.10, or out 22. Set and locked: locked."
        case k.TurnBy(otherwise=held):
            other = ", or set on the blade" if held is not None else ""
            return f"{at}turned{other}? Otherwise: out 22, or on 0.10."
        case k.WindBack(degrees=back):
            return f"{at}done (back {whole_degrees(back)})?"
        case k.FitShim(size=None):
            return f"{at}which shim is in now, as in shim 2.75?"
        case k.FitShim():
            return f"{at}done? Another size: shim 2.75."
        case k.CamsOut():
            return "Done? A shim in the drawer: spare 2.75."
        case k.CamsBack(left=left):
            return f"{left[0].value.capitalize()}: done?"
        case k.NextValve(to=to):
            return f"{at}next (to {to}), or set?"
        case k.CloseUp(part=k.ClosePart.COUNT_OUT):
            return "How many of what came out, as in 4 rags?"
        case k.CloseUp(part=k.ClosePart.FILE):
            return "File?"
        case k.CloseUp():
            return "Done? Or: file."
        case k.TryBlade() | k.SpotCheck() | k.Finished() | k.NothingToMeasure():
            return ""
        case _:
            assert_never(step)


def done(step: k.NextStep) -> tuple[Command, ...]:  # noqa: C901, PLR0912  # one case a step
    """What is recorded where the step was done as it says; empty where more must be told."""
    match step:
        case k.LockIt(valves=valves):
            return (Locked(valves[0]),)
        case k.TurnCrankTo(forward=forward) if forward is not None:
            return (CrankTurned(forward),)
        case k.StopAndLook(valve=valve):
            return (LookedOver(valve),)
        case k.EndRepeat(valve=valve):
            return (RepeatEnded(valve),)
        case k.SetOnBlade(valve=valve, feeler=feeler):
            return (ScrewSetOn(valve, feeler), WayChosen(by_blade=True))
        case k.TurnBy(valve=valve, turn=turn):
            return (ScrewTurned(valve, turn.way, Fraction(whole_degrees(turn.degrees))),)
        case k.WindBack(valve=valve, degrees=back):
            return (WoundBack(valve, back),)
        case k.FitShim(valve=valve, size=size) if size is not None:
            return (ShimFitted(valve, size),)
        case k.CamsOut():
            return (CamsStepDone(CamsStep.OUT),)
        case k.CamsBack(left=left) if left:
            return (CamsStepDone(left[0]),)
        case k.CloseUp(part=k.ClosePart.TORQUES, torques=torques):
            return (TorqueDone(torques[0].what),)
        case k.CloseUp(part=k.ClosePart.WORK, left=left):
            return (CautionAcknowledged(left[0]),)
        case k.CloseUp(part=k.ClosePart.FILE):
            return (CloseSession(),)
        case k.CloseUp(part=part) if part in _AFTER:
            return (AfterStepDone(_AFTER[part]),)
        case _:
            return ()


DONE = {
    k.LockIt: ("locked", "lock"),
    k.TurnCrankTo: ("turned",),
    k.StopAndLook: ("looked", "sound", "6"),
    k.SetOnBlade: ("set",),
    k.TurnBy: ("turned",),
    k.CloseUp: ("turned over", "no leaks", "first run"),
}
"""Beside "done", what a step that was done as it says is called."""


def is_done(step: k.NextStep, words: str) -> bool:
    """Whether these words say that the step was done as it says."""
    if isinstance(step, k.StopAndLook):  # not by a word that comes too easily
        return words in DONE[k.StopAndLook]
    if isinstance(step, k.CloseUp) and step.part is k.ClosePart.FILE:
        return False  # filing asks what is missing first
    return words == "done" or words in DONE.get(type(step), ())


def caution_of(step: k.NextStep) -> CautionAt | None:
    """Where in the work this step stands, for the caution that binds there."""
    match step:
        case k.ConfirmCrank() | k.TurnCrankTo() | k.LookPast() | k.Resume():
            return CautionAt.CRANK
        case (
            k.LockIt()
            | k.SetOnBlade()
            | k.TurnBy()
            | k.WindBack()
            | k.FitShim()
            | k.CamsOut()
            | k.CamsBack()
        ):
            return CautionAt.SET
        case k.CloseUp():
            return CautionAt.CLOSE
        case (
            k.TryBlade()
            | k.SpotCheck()
            | k.Settle()
            | k.MeasureAgain()
            | k.Borrow()
            | k.StopAndLook()
            | k.EndRepeat()
        ):
            return CautionAt.GAUGE
        case k.Tell() | k.Wait() | k.NextValve() | k.Finished() | k.NothingToMeasure():
            return None
        case _:
            assert_never(step)
