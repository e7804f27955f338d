"""The practised hands of a data folder: one small file a person."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from benchtui.domain.errors import Refusal
from benchtui.store.library import text_of_file, write_text
from benchtui.store.paths import DataFolder
from benchtui.text.hand_file import PractisedHand, hand_text, parse_hand

LONGEST_NAME = 40
"""Characters of a name, so that its file's name stays within every disk's bounds (design value)."""


def check_name(who: str) -> None:
    """Whether a hand can go by this name.

    Raises:
        Refusal: none, too long a one, or one that cannot be printed.
    """
    name = who.strip()
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise Refusal(
            f"A hand goes by a name of 1 to {LONGEST_NAME} letters that can be printed.",
            "Use the name, or the initials, that stands on the record.",
        )


def path_of_hand(data: DataFolder, who: str) -> Path:
    """Where this person's practice lies; names that differ in capitals only are one person's.

    Raises:
        Refusal: no name that a hand could go by.
    """
    check_name(who)
    name = quote(who.strip().casefold(), safe="")
    return data.hands / f"hand-{name}.toml"


def load_hand(data: DataFolder, who: str) -> PractisedHand | None:
    """This person's latest practice; None where there is none.

    Raises:
        FaultyInput: its file cannot be read, or has faults.
    """
    try:
        path = path_of_hand(data, who)
    except Refusal:  # a name that no practice was ever kept under
        return None
    return parse_hand(text_of_file(path), str(path)) if path.exists() else None


def save_hand(data: DataFolder, hand: PractisedHand) -> Path:
    """Keep a practice in place of the one before.

    Raises:
        WriteFailed: the disk would not take it; the one before is as it was.
        Refusal: no name that a hand could go by.
    """
    path = path_of_hand(data, hand.who)
    write_text(path, hand_text(hand))
    return path
