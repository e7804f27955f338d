"""Readings that clash, in words: which blade is tried again, and what was set aside."""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.session.evidence.clash import Clash, Settling

STRIKE_ALL = "Two against two: strike them, wipe all, measure afresh."


def clash_words(clash: Clash) -> str:
    """What to do about it, the two readings having been named: ``Wipe 0.08, try it again. ...``."""
    if clash.how is Settling.STRIKE:
        return STRIKE_ALL
    blade, other = clash.doubted.feeler.bare, clash.against.feeler.bare
    if clash.crank_moved:
        return f"The crank moved between them: try {blade} again here."
    if clash.doubted.answer.goes == clash.against.answer.goes:  # free and drag, at the limit
        return "Two against one settles it."
    first = f"the first {blade}"
    if blade == other:
        first, other = (f"the one that {_did(r)}" for r in (clash.doubted, clash.against))
    goes, refuses = (other, first) if clash.doubted.answer.goes else (first, other)
    return f"Wipe {blade}, try it again. It refuses: {refuses} is set aside. It goes: {goes} is."


def aside_words(aside: Iterable[Reading]) -> str:
    """``0.08 refuses set aside, two against one.``; empty for none."""
    told = [f"{r.feeler.bare} {_said(r)}" for r in aside]
    return f"{' and '.join(told)} set aside, two against one." if told else ""


def _said(reading: Reading) -> str:
    return "goes" if reading.answer.goes else "refuses"


def _did(reading: Reading) -> str:
    return "went" if reading.answer.goes else "refused"
