"""Names as people write them: which one is meant, and which one may be."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def meant(text: str, known: Iterable[str]) -> str | None:
    """The one name that ``text`` spells but for capitals, or an s at its end; None if none or several."""
    names = list(known)
    if text in names:
        return text
    for fold in (str.casefold, _single):
        found = [name for name in names if fold(name) == fold(text)]
        if found:
            return found[0] if len(found) == 1 else None
    return None


def did_you_mean(text: str, known: Iterable[str]) -> str:
    """``did you mean drag?`` with the nearest of the known names; "" where none is near."""
    by_fold = {name.casefold(): name for name in known}
    near = difflib.get_close_matches(text.casefold(), by_fold, n=1)
    return f"did you mean {by_fold[near[0]]}?" if near else ""


def or_meant(wanted: str, text: str, known: Iterable[str]) -> str:
    """What is wanted, and at its end the nearest of the known names where ``text`` is near one."""
    asked = did_you_mean(text, known)
    return f"{wanted}; {asked}" if asked else wanted


def _single(text: str) -> str:
    return text.casefold().removesuffix("s")
