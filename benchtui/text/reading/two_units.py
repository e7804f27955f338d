"""A figure that the manual prints in two units: ``0.011 in (0.28 mm)``. The first leads.

Each printed figure stands for itself within half of its last place; where the two do not meet so,
one of them is likely a misprint, and nobody but the reader of the page can tell which.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from benchtui.text.quantities.measure import FaultyQuantity, quoted

Ends = tuple[Fraction, ...]
"""One figure, or the two ends of a range, in one unit throughout."""

_PAIR = re.compile(r"(?P<first>[^()]+?)\s*\((?P<second>[^()]+)\)")
_LAST_NUMBER = re.compile(r"[0-9]+(?:[.,](?P<decimals>[0-9]+))?(?=[^0-9]*$)")


def leading(text: str, ends: Callable[[str], Ends]) -> str:
    """The figure that leads: all of ``text``, or what stands before the second unit in brackets.

    Raises:
        FaultyQuantity: either cannot be read, or the two do not agree.
    """
    found = _PAIR.fullmatch(text.strip())
    if found is None:
        return text
    first, second = found["first"], found["second"]
    if not agree(first, second, ends):
        raise FaultyQuantity(
            f"{quoted(text)}, which do not agree: likely a misprint",
            "two figures that mean the same: look at the page again, and leave one out if in doubt",
        )
    return first


def agree(first: str, second: str, ends: Callable[[str], Ends]) -> bool:
    """Whether two printed figures mean the same within what each was rounded to.

    Raises:
        FaultyQuantity: one of them cannot be read.
    """
    one, other = ends(first), ends(second)
    if len(one) != len(other):
        return False
    apart = max(abs(a - b) for a, b in zip(one, other, strict=True))
    return apart <= _rounding(first, one, ends) + _rounding(second, other, ends)


def _rounding(text: str, read: Ends, ends: Callable[[str], Ends]) -> Fraction:
    """Half of the last place of what is printed; nothing for a fraction of an inch, which is exact."""
    found = None if "/" in text else _LAST_NUMBER.search(text)
    if found is None:
        return Fraction(0)
    step = Decimal(1).scaleb(-len(found["decimals"] or ""))
    more = str(Decimal(found[0].replace(",", ".")) + step)
    bumped = ends(f"{text[: found.start()]}{more}{text[found.end() :]}")
    return abs(bumped[-1] - read[-1]) / 2
