"""One data folder and what every part of the workshop needs of it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from threading import RLock

from benchtui.store.library import library
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register


class DataRoot:
    """The data folder, the clock, the names of sheets and blades, and the register."""

    def __init__(self, data: DataFolder, clock: Callable[[], datetime]) -> None:
        self.data = data
        self.clock = clock
        self.library = library(data)
        self.register = Register(data)
        # The register is not for two threads at once, and screens load beside the keys.
        self.turn = RLock()
