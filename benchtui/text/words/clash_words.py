"""Readings that were set aside, two against one, in words."""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.gauging.bracket import Reading


def aside_words(aside: Iterable[Reading]) -> str:
    """``0.08 refuses set aside, two against one.``; empty for none."""
    told = [f"{r.feeler.bare} {_said(r)}" for r in aside]
    return f"{' and '.join(told)} set aside, two against one." if told else ""


def _said(reading: Reading) -> str:
    return "goes" if reading.answer.goes else "refuses"
