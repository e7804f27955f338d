"""The practised hands of a data folder: one small file a person."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from benchtui.domain.errors import Unable
from benchtui.store.files import there
from benchtui.store.library import text_of_file, write_text
from benchtui.store.paths import DataFolder
from benchtui.text.reading.hand_file import PractisedHand, hand_text, parse_hand

LONGEST_NAME = 40
"""Characters of a name (design value)."""

LONGEST_FILE = 200
"""Characters that a name may take in a file's name, within every disk's bounds (design value)."""


def check_name(who: str) -> None:
    """Whether a hand can go by this name.

    Raises:
        Unable: none, too long a one, or one that cannot be printed.
    """
    name = who.strip()
    fits = bool(name) and len(name) <= LONGEST_NAME and name.isprintable()
    if not fits or len(_as_file(name)) > LONGEST_FILE:
        raise Unable(
            f"A hand goes by a name of 1 to {LONGEST_NAME} letters that can be printed.",
            "Use the name, or the initials, that stands on the record.",
        )


def path_of_hand(data: DataFolder, who: str) -> Path:
    """Where this person's practice lies; names that differ in capitals only are one person's.

    Raises:
        Unable: no name that a hand could go by.
    """
    check_name(who)
    return data.hands / f"hand-{_as_file(who)}.toml"


def _as_file(who: str) -> str:
    return quote(who.strip().casefold(), safe="")


def load_hand(data: DataFolder, who: str) -> PractisedHand | None:
    """This person's latest practice; None where there is none.

    Raises:
        FaultyInput: its file cannot be read, or has faults.
    """
    try:
        path = path_of_hand(data, who)
    except Unable:  # a name that no practice was ever kept under
        return None
    return parse_hand(text_of_file(path), str(path)) if there(path) else None


def save_hand(data: DataFolder, hand: PractisedHand) -> Path:
    """Keep a practice in place of the one before.

    Raises:
        WriteFailed: the disk would not take it; the one before is as it was.
        Unable: no name that a hand could go by.
    """
    path = path_of_hand(data, hand.who)
    write_text(path, hand_text(hand))
    return path
