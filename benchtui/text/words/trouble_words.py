"""What of a data folder could not be read or written, in words."""

from __future__ import annotations

from collections.abc import Sequence

from benchtui.domain.errors import Fault


def unsound_words(session: str, engine_name: str, damage: str) -> str:
    """One stored session that cannot be read, or not to its end."""
    of = f" of {engine_name}" if engine_name else ""
    return f"Session {session}{of} is damaged and counts for nothing: {damage.removesuffix('.')}."


def odd_words(name: str, reason: str) -> str:
    """One file beside the sheets and blade sets that cannot be used."""
    return f"{name} is left out: {reason}."


def left_out_words(faults: Sequence[Fault]) -> str:
    """What is wrong with the workshop's own file; nothing waits for it."""
    if not faults:
        return ""
    return f"{'; '.join(map(str, faults))}. Left out until it is mended."


def troubles_line(troubles: Sequence[str]) -> str:
    """All of them in a line: the first in full, then how many more there are."""
    if len(troubles) < 2:  # noqa: PLR2004  # none or one
        return "".join(troubles)
    return f"{troubles[0]} And {len(troubles) - 1} more: benchtui due names them."
