"""What a valve is judged by: the printed range, the owner's own band, or on the figure."""

from __future__ import annotations

from collections.abc import Sequence

from benchtui.domain.gauging.bracket import Measured, Reading
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.gauging.on_figure import figure_band, judge_on_figure
from benchtui.domain.gauging.verdict import Verdict, judge, judge_both
from benchtui.domain.session.facts.state import State
from benchtui.domain.sheet import Band, SettingRange, Valve, setting_range


def on_figure(state: State, valve: Valve) -> bool:
    """Whether its owner has this valve set on the one figure that is printed."""
    return state.on_figure and state.opened.sheet.clearances.of(valve).single


def setting_of(state: State, valve: Valve) -> SettingRange | None:
    """The range to judge ``valve`` by; on the figure it runs from there to the next leaf up."""
    if on_figure(state, valve):
        figure = state.opened.sheet.clearances.of(valve).low
        return SettingRange(figure_band(figure, state.opened.blades), figure=figure)
    return setting_range(state.opened.sheet, valve, state.band)


def judged(  # noqa: PLR0917  # what is judged, and by what
    state: State,
    valve: Valve,
    readings: Sequence[Reading],
    band: Band,
    feel: FeelBand | None = None,
    measured: Measured | None = None,
) -> Verdict:
    """The verdict of these readings, by what this valve is judged by."""
    if measured is not None:
        return judge_both(readings, measured, band, feel)
    if on_figure(state, valve):
        return judge_on_figure(readings, band)
    return judge(readings, band, feel)
