"""The first picture waits for nothing that it does not show."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from benchtui.store.library import text_of_file, write_text
from benchtui.store.paths import DataFolder, shipped_specs

LOOK = """
import asyncio, sys
from pathlib import Path
from benchtui.store.clock import wall_clock
from benchtui.store.paths import DataFolder
from benchtui.titles import shop_front
from benchtui.tui.app import BenchApp

def display(self, screen, drawn):
    loaded = sorted(sys.modules)
    was(self, screen, drawn)
    if drawn and any("Quay pump" in row.text for row in screen._compositor.render_strips()):
        BenchApp._display = was
        print("\\n".join(loaded), file=sys.__stdout__)
        self.exit()

was, BenchApp._display = BenchApp._display, display
BenchApp(shop_front(DataFolder(Path(sys.argv[1])), wall_clock)).run(headless=True)
"""

NOT_YET = (
    "pint", "tinydb", "cattrs", "filelock", "tomlkit", "textual_serve", "sqlite3",
    "benchtui.workshop", "benchtui.bench", "benchtui.practice", "benchtui.plain",
    "benchtui.store.register", "benchtui.store.codec", "benchtui.store.file_journal",
    "benchtui.domain.session", "benchtui.domain.history", "benchtui.domain.adjusting",
    "benchtui.tui.screens.bench", "benchtui.tui.screens.first", "benchtui.text.pages",
)  # fmt: skip
"""What takes long to load, and is needed by later pictures only."""


def test_what_is_loaded_before_the_engines_stand_there(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path)
    write_text(folder.sheets / "quay-pump.toml", text_of_file(shipped_specs() / "quay-pump.toml"))
    ran = subprocess.run(
        [sys.executable, "-c", LOOK, str(tmp_path)],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    loaded = ran.stdout.splitlines()
    assert "benchtui.tui.screens.home" in loaded
    too_soon = [m for m in loaded for n in NOT_YET if m == n or m.startswith(f"{n}.")]
    assert not too_soon
