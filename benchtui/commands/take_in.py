"""``benchtui take-in FILE``: bring a folder that was exported into this one."""

from __future__ import annotations

from pathlib import Path

from benchtui.commands.folder import folder_checked, folder_to_fill
from benchtui.store.taking_in import check_bundle, take_in
from benchtui.text.quantities.show import inert

LEFT_ALONE = 1
"""Exit status where somebody must look: a file differs from the one here, or cannot be read."""


def run_take_in(data: str | None, file: str) -> int:
    """Bring in what is not here yet, and join what went on elsewhere; nothing that is here is lost.

    Raises:
        BundleError: the file is no exported folder, or is damaged, or the disk took no more.
    """
    folder_checked(data)
    check_bundle(Path(file))  # before a data folder is made for it
    told = take_in(Path(file), folder_to_fill(data))
    for line in told.said:
        print(inert(line))
    return LEFT_ALONE if told.kept or told.forked or told.waiting or told.unsound else 0
