"""Screens that may be taken away before their parts have come."""

from __future__ import annotations

from textual import events
from textual.widget import Widget

_LOOKED_FOR_IN = (events.Mount, events.Resize, events.ScreenResume, events.Key)


class WithParts(Widget):
    """A screen is told of nothing that it would look for its parts at, where they never came.

    The program may be told to end, or go back to the engines, between a screen's being put up and its being
    filled; what it then looks for is not there.
    """

    async def on_event(self, event: events.Event) -> None:
        """Pass it on, unless the screen, or the whole program, is being taken away."""
        stays = self.display and self.is_attached and self.app.is_running
        if stays or not isinstance(event, _LOOKED_FOR_IN):
            await super().on_event(event)
