"""A written-down session on its way through the bench, in a workshop: kept on disk, or not."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from benchtui.bench import Bench
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.session.events import Particulars
from benchtui.replay import Played, Player, Script, load_script
from benchtui.store.clock import clock_from, wall_clock
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import text_of_file
from benchtui.store.paths import DataFolder
from benchtui.workshop import LiveSession, Workshop


def script_of_file(path: Path, folder: DataFolder) -> Script:
    """The script in a file, its sheet and blades looked up in this data folder.

    Raises:
        FaultyInput: the file, or a sheet or blade set that it names, has faults.
    """
    return load_script(text_of_file(path), str(path), Workshop(folder, wall_clock))


class Playing:
    """Plays one script; use it as a context, so that what is kept is also filed.

    A session on disk is filed in the register at the end, also where an error cut the play short.
    """

    def __init__(self, script: Script, folder: DataFolder, *, keep: bool) -> None:
        self.script = script
        self.clock = wall_clock if script.day is None else clock_from(script.day)
        self._keep = keep
        self._workshop = Workshop(folder, self.clock)
        self._live: LiveSession | None = None
        self._player = Player(script, self._begin)

    @property
    def bench(self) -> Bench | None:
        """The bench as it stands; None while, or because, no session was opened."""
        return self._player.bench

    def steps(self) -> Iterator[Played]:
        """Each step in turn, played as it is asked for.

        Raises:
            BenchError: a step could not be written.
        """
        return self._player.play()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._live is not None:
            self._live.release()
            self._workshop.store(self._live.session)

    def _begin(self, particulars: Particulars, rule: DecisionRule) -> Bench:
        script = self.script
        opened = self._workshop.opening(
            script.sheet, script.blades_key, particulars, rule=rule, fewest=script.fewest
        )
        if not self._keep:
            return Bench.open(MemoryJournal(), self.clock, opened)
        self._live = self._workshop.open(opened)
        return self._live.bench
