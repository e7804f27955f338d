"""Who may read what is stored, whatever the umask; and with a group, where the folder is its own."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from pathlib import Path

from tests.harness import Outcome
from tests.harness.bench_of import AT, begun, say


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    del draw, long
    if os.name == "nt":
        return
    for shared, wanted in ((False, {0o700, 0o600}), (True, {0o2770, 0o660})):
        tried = wrong = 0
        for umask in (0o000, 0o022, 0o077):
            tree = folder / f"{shared}-{umask}"
            before = os.umask(umask)
            try:
                if shared:
                    tree.mkdir()
                    tree.chmod(0o2770)
                found = _made(tree)
            finally:
                os.umask(before)
            tried += len(found)
            wrong += sum(mode not in wanted for mode in found)
        yield Outcome("shared with a group" if shared else "of one's own", tried, silent=wrong)


def _made(tree: Path) -> list[int]:
    from benchtui.store.paths import DataFolder
    from benchtui.workshop import Workshop

    journal, bench = begun(tree)
    say(bench, "note")
    journal.close()
    shop = Workshop(DataFolder(tree), lambda: AT)
    shop.past_sessions.rows()
    shop.reviews.write_handover("one", "text")
    shop.engines.keep_sheet("net-hauler", "x\n", new=True)
    return [path.stat().st_mode & 0o7777 for path in (tree, *tree.rglob("*"))]
