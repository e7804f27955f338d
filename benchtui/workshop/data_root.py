"""One data folder and what every part of the workshop needs of it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from threading import RLock

from benchtui.blade_shelf import BladeShelf
from benchtui.store.library import library
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register


class Premises:
    """The data folder, the clock, the names of sheets and blades, and the register."""

    def __init__(self, data: DataFolder, clock: Callable[[], datetime]) -> None:
        self.data = data
        self.clock = clock
        self._library = library(data)
        self._register = Register(data)
        # The register is not for two threads at once, and screens load beside the keys.
        self._turn = RLock()
        self.shelf = BladeShelf(data, self._library)
