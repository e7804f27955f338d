"""The hands that have practised on known gaps."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from benchtui.domain.gauging.feel import FeelBand, Try
from benchtui.store.hands import check_name, load_hand, save_hand
from benchtui.text.reading.hand_file import PractisedHand
from benchtui.workshop.data_root import DataRoot


class Hands:
    """The practised hands of the data folder."""

    def __init__(self, root: DataRoot) -> None:
        self._root = root

    def feel(self, who: str | None) -> FeelBand | None:
        """The band of drag that this person showed in practice; None without enough of it.

        Raises:
            FaultyInput: the file of the practice cannot be read, or has faults.
        """
        hand = self.hand(who) if who else None
        return None if hand is None else hand.band

    def hand(self, who: str) -> PractisedHand | None:
        """This person's latest practice; see ``feel``."""
        return load_hand(self._root.data, who)

    @staticmethod
    def check_hand(who: str) -> None:
        """Whether a hand can go by this name; Unable if not."""
        check_name(who)

    def keep_hand(self, who: str, tries: Sequence[Try]) -> Path:
        """Keep a practice on known gaps in place of the one before.

        Raises:
            WriteFailed: the disk would not take it.
            Unable: no name that a hand could go by.
        """
        made = PractisedHand(who.strip(), self._root.clock().date(), tuple(tries))
        return save_hand(self._root.data, made)
