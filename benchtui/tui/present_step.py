"""A step in tall letters: its words come from ``text.words``, here it only gets its colour's role."""

from __future__ import annotations

from typing import assert_never

from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.next_step import kinds as k
from benchtui.text.words.steps import Tall
from benchtui.text.words.told import Told
from benchtui.tui.widgets.bigtext import Big
from benchtui.tui.widgets.canvas import Role


def big_step(told: Told) -> Big:
    """The tall word of a step."""
    return big_tall(told.tall, role_of(told.step))


def big_tall(tall: Tall, role: Role) -> Big:
    """A tall word in a role."""
    small = f"{tall.words} {tall.unit}".strip()
    return Big(tall.words, role, small=small, rows=tall.rows, unit=tall.unit, aside=tall.aside)


def role_of(step: k.NextStep) -> Role:
    """The role of a step: what to do is bright, what stops the work is a caution."""
    match step:
        case k.TryBlade() | k.Settle() | k.MeasureAgain() | k.SpotCheck():
            return Role.NEXT
        case k.SetOnBlade() | k.TurnBy() | k.FitShim() | k.WindBack() | k.CamsOut():
            return Role.OUT
        case k.NextValve() | k.EndRepeat() | k.Finished():
            return Role.IN
        case k.Borrow():
            return Role.UNDECIDED
        case (
            k.Resume()
            | k.NothingToMeasure()
            | k.LockIt()
            | k.ConfirmCrank()
            | k.TurnCrankTo()
            | k.LookPast()
            | k.Tell()
            | k.Wait()
            | k.StopAndLook()
            | k.CamsBack()
            | k.CloseUp()
        ):
            return Role.CAUTION
        case _:
            assert_never(step)


def key_words(step: k.NextStep) -> str:  # noqa: C901, PLR0912  # one case a step
    """The one key that does the step, as the bench has it; empty where the answers do."""
    match step:
        case k.TryBlade() | k.SpotCheck():
            return "S D F"
        case k.Settle(clash=clash):
            return "S D F" if clash.how is Settling.TRY_AGAIN else "-"
        case k.MeasureAgain(apart=apart):
            return "W" if apart.pad_in_doubt else "B"
        case k.NextValve():
            return "Space"
        case k.EndRepeat():
            return "9"
        case k.Borrow():
            return "B"
        case k.Tell(what=k.Told.METAL | k.Told.BAND) | k.Wait():
            return "0"
        case k.ConfirmCrank() | k.TurnCrankTo() | k.LookPast():
            return "P"
        case k.StopAndLook():
            return "6"
        case k.CloseUp() | k.Finished() | k.Resume() | k.NothingToMeasure():
            return "Space"
        case k.CamsOut() | k.CamsBack():
            return "Enter"
        case k.LockIt() | k.SetOnBlade() | k.TurnBy() | k.WindBack() | k.FitShim() | k.Tell():
            return "Enter"
        case _:
            assert_never(step)
