"""How many of what: rags, tools and caps, as people write them."""

from __future__ import annotations


def read_counts(text: str) -> tuple[tuple[int, str], ...]:
    """``4 rags, 2 sockets`` as numbers and items; an item alone is one."""
    counts = []
    for part in text.split(","):
        words = part.split()
        if words and words[0].isdigit() and len(words) > 1:
            counts.append((int(words[0]), " ".join(words[1:])))
        elif words:
            counts.append((1, " ".join(words)))
    return tuple(counts)
