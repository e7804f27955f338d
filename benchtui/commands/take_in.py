"""``benchtui take-in FILE``: bring a folder that was exported into this one."""

from __future__ import annotations

from pathlib import Path

from benchtui.store.bundle import take_in
from benchtui.store.paths import data_folder
from benchtui.text.show import inert

LEFT_ALONE = 1
"""Exit status where a file differs from the one here, which was left as it is."""


def run_take_in(data: str | None, file: str) -> int:
    """Bring in what is not here yet; nothing that is here is touched.

    Raises:
        BundleError: the file is no exported folder, or is damaged, or the disk took no more.
    """
    told = take_in(Path(file), data_folder(data))
    print(f"{len(told.new)} taken in, {len(told.same)} here already.")
    for name in told.kept:
        print(f"{inert(name)} differs from the one here, which was left as it is.")
    return LEFT_ALONE if told.kept else 0
