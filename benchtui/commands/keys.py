"""``benchtui keys``: every key of the program, screen by screen."""

from __future__ import annotations

from benchtui.tui.keys import key_lines


def run_keys() -> int:
    """Print them."""
    print("\n".join(key_lines()))
    return 0
