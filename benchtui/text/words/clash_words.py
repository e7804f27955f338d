"""Readings that were set aside, two against one, in words."""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.gauging.bracket import Reading
from benchtui.domain.gauging.measured import Apart


def apart_words(apart: Apart) -> str:
    """What to do where blades and a measured value do not agree, the two having been named."""
    if apart.pad_in_doubt:
        return "Blades bridge a dished pad: believe neither before it is tested."
    return "Try the blades again too, and strike what was wrong."


def aside_words(aside: Iterable[Reading]) -> str:
    """``0.08 refuses set aside, two against one.``; empty for none."""
    told = [f"{r.feeler.bare} {_said(r)}" for r in aside]
    return f"{' and '.join(told)} set aside, two against one." if told else ""


def _said(reading: Reading) -> str:
    return "goes" if reading.answer.goes else "refuses"
