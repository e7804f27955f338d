"""What sheets and blade sets may be filed under: safe as a file's name on every platform."""

from __future__ import annotations

import re
from collections.abc import Iterable

from benchtui.domain.errors import Unable

SHAPE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
"""A name as it is written; a device's name has this shape, too."""

DEVICE = re.compile(r"(?i:con|prn|aux|nul|com[0-9]|lpt[0-9])")
"""What Windows keeps for its devices, whatever the capitals and whatever stands after a dot.

Source: that platform's published rules for naming files, from memory.
"""

NAME = re.compile(rf"(?!{DEVICE.pattern}\Z){SHAPE.pattern}")
"""A name that may be used, here and on whatever machine the folder is carried to."""


def check_new_name(name: str, taken: Iterable[str], what: str) -> None:
    """Whether a new file may have this name beside those that are there.

    Raises:
        Unable: it is taken, in whatever capitals, or not safe as a file's name on every platform.
    """
    if DEVICE.fullmatch(name.rstrip(" .").partition(".")[0]):
        raise Unable(
            f"Found {name!r}, which Windows keeps for a device.",
            "Choose another name: the folder may be read there one day.",
        )
    if not NAME.fullmatch(name):
        raise Unable(
            f"Found {name!r}; wanted 1 to 64 letters, digits, - and _, the first a letter or digit: "
            f"no spaces, no dots."
        )
    # Some platforms take names that differ in capitals only for one file.
    same = next((t for t in taken if t.casefold() == name.casefold()), None)
    if same is not None:
        raise Unable(f"There is a {what} {same!r} already.", "Choose another name.")
