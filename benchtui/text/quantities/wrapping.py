"""Text in lines of so many columns: no figure or valve is parted, nor a unit from its figure."""

from __future__ import annotations

import re
from textwrap import wrap as _wrap

_WITHIN = re.compile(
    r"(?<=\d) (?=\d{3}\b|(?:mm|thou|in|km|mi|h|C|F|N|lbf|degrees|tpi)\b)"
    r"|(?<=\bN) (?=m\b)|(?<=\blbf) (?=ft\b|in\b)"
)
_HELD = "\u00a0"


def wrap(
    text: str, width: int, *, initial_indent: str = "", subsequent_indent: str = ""
) -> list[str]:
    """The lines of ``text``, each at most ``width`` columns unless a single word is longer."""
    lines = _wrap(
        _WITHIN.sub(_HELD, text),
        width,
        initial_indent=initial_indent,
        subsequent_indent=subsequent_indent,
        break_on_hyphens=False,
    )
    return [line.replace(_HELD, " ") for line in lines]
