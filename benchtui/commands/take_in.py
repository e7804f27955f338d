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
    print(f"{len(told.new)} taken in, {len(told.same)} here already.")
    for name, reason in told.unsound:
        print(f"{inert(name)} is kept as it came, and cannot be read whole: {inert(reason)}")
    for name in told.longer:
        print(
            f"{inert(name)} went on elsewhere: the longer one, which begins with it, is here now."
        )
    for name, other in told.forked:
        print(
            f"{inert(name)} and the one here do not go on from each other: both are kept, "
            f"the one taken in as {inert(other)}."
        )
    for name, why in told.waiting:
        print(f"{inert(name)} was left out, for {inert(why)}: take it in again later.")
    for name in told.kept:
        print(f"{inert(name)} differs from the one here, which was left as it is.")
    return LEFT_ALONE if told.kept or told.forked or told.waiting or told.unsound else 0
