"""A step in tall letters: its words come from ``text.words``, here it only gets its colour's role."""

from __future__ import annotations

from typing import assert_never

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
