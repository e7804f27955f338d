"""What the first picture needs of the workshop: the engines' names. The rest comes when asked for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from threading import Lock
from typing import TYPE_CHECKING, Any, cast

from benchtui.store.engine_names import engine_names
from benchtui.store.library import is_untouched, library
from benchtui.store.paths import DataFolder

if TYPE_CHECKING:
    from benchtui.workshop import Workshop


class _ShopFront:
    """Stands for a workshop and opens it at the first thing asked of it beside the names.

    Loading the workshop takes a third of the time to the first picture, which shows names only.
    """

    def __init__(self, data: DataFolder, clock: Callable[[], datetime]) -> None:
        self._data, self._clock = data, clock
        self._library = library(data)
        self._behind: Workshop | None = None
        self._door = Lock()

    def titles(self) -> list[tuple[str, str]]:
        """Key and name of each of the owner's engines, as the workshop gives them."""
        retired = engine_names(self._data).retired
        return [(key, name) for key, name in self._library.titles() if key not in retired]

    def untouched(self) -> bool:
        """Whether there is neither an engine nor a session of the owner's, as at the first start."""
        return is_untouched(self._data, self._library)

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        with self._door:
            if self._behind is None:
                from benchtui.workshop import Workshop

                self._behind = Workshop(self._data, self._clock)
        return getattr(self._behind, name)


def shop_front(data: DataFolder, clock: Callable[[], datetime]) -> Workshop:
    """A workshop that is loaded when it is first needed."""
    return cast("Workshop", _ShopFront(data, clock))
