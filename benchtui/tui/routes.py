"""Where each screen is, by its name: screens never import one another, they ask the app."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from benchtui.domain.session.next_step import kinds as k
from benchtui.tui.keys import BENCH, CLOSING, CRANK, SETTING, SHIMS, TORQUES

if TYPE_CHECKING:
    from benchtui.tui.frame import WorkScreen


def screen_named(name: str, valve: str = "") -> WorkScreen:
    """A new screen of that name, at ``valve`` where it is about one.

    Raises:
        KeyError: there is none of that name.
    """
    match name:
        case "bench":
            from benchtui.tui.screens.bench import BenchScreen

            return BenchScreen()
        case "crank":
            from benchtui.tui.screens.crank import CrankScreen

            return CrankScreen(valve)
        case "setting":
            from benchtui.tui.screens.setting import SettingScreen

            return SettingScreen(valve)
        case "closing":
            from benchtui.tui.screens.closing import ClosingScreen

            return ClosingScreen()
        case "shims":
            from benchtui.tui.screens.shims import ShimsScreen

            return ShimsScreen()
        case "torques":
            from benchtui.tui.screens.torques import TorquesScreen

            return TorquesScreen()
        case _:
            raise KeyError(name)


NAMES = (BENCH, CRANK, SETTING, CLOSING, SHIMS, TORQUES)
"""The screens of the work, as ``screen_named`` knows them."""


def place_of(step: k.NextStep) -> str:
    """The screen on which a step is done."""
    match step:
        case k.ConfirmCrank() | k.TurnCrankTo() | k.LookPast():
            return CRANK
        case (
            k.LockIt()
            | k.SetOnBlade()
            | k.TurnBy()
            | k.WindBack()
            | k.FitShim()
            | k.Tell(what=k.ToTell.SHIM)
        ):
            return SETTING
        case k.CamsOut() | k.CamsBack():
            return SHIMS
        case k.SpotCheck() | k.CloseUp():
            return CLOSING
        case (
            k.Finished()
            | k.Resume()
            | k.NothingToMeasure()
            | k.Tell()
            | k.Wait()
            | k.Settle()
            | k.MeasureAgain()
            | k.StopAndLook()
            | k.TryBlade()
            | k.EndRepeat()
            | k.Borrow()
            | k.NextValve()
        ):
            return BENCH
        case _:
            assert_never(step)
