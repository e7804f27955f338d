"""Where a clearance stands by its sheet's service limit, beside the setting range.

The setting range is where a clearance is to be left; the service limit, the wider of the two, is how
far it may wander between checks before it counts as worn out of its bounds (common practice).
"""

from __future__ import annotations

from enum import Enum

from benchtui.domain.gauging.verdict import Verdict, VerdictKind


class ServiceStanding(Enum):
    """Where a clearance stands; the value is how other programs read it."""

    WITHIN_RANGE = "within range"
    WITHIN_SERVICE = "within service limit"
    BEYOND_SERVICE = "beyond service limit"
    NOT_TOLD_APART = "not told apart"


def service_standing(by_range: Verdict, by_limit: Verdict) -> ServiceStanding | None:
    """Where a clearance stands, by the same readings judged against its range and its service limit.

    None where no verdict may be given, or the readings contradict each other: then nothing is known.
    A limit whose blade drags belongs to what it limits, as for any range.
    """
    if not by_range.kind.settled and by_range.kind is not VerdictKind.UNDECIDED:
        return None
    if by_range.kind is VerdictKind.IN:
        return ServiceStanding.WITHIN_RANGE
    if by_limit.kind.out:
        return ServiceStanding.BEYOND_SERVICE
    # Inside the limit, and perhaps inside the range too, while that is undecided.
    if by_range.kind.out and by_limit.kind is VerdictKind.IN:
        return ServiceStanding.WITHIN_SERVICE
    return ServiceStanding.NOT_TOLD_APART
