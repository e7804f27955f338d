"""What wear has to say to the due date."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from benchtui.domain.history.limits import WearNotice
from benchtui.domain.history.usage import Meter, Point
from benchtui.domain.history.wear import Forecast, Wear
from benchtui.domain.sheet import Band


def notice(
    valves: Mapping[str, tuple[Wear, Band]], latest: Point, meter: Meter
) -> WearNotice | None:
    """The valve that may reach its limit first, or None where no drift is proved.

    Args:
        valves: each valve's last run and the band it was foretold against; the runs' x are
            ``Point.done`` of this counter.
        latest: the counter's latest reading, which turns x back into what the counter will read.
        meter: the counter.
    """
    told = [(w.forecast, name, w, band) for name, (w, band) in valves.items() if w.forecast]
    if not told:
        return None
    foretold, name, wear, band = min(told, key=lambda t: (t[0].earliest, t[1]))
    at = latest.read + foretold.earliest - latest.done
    reason = _reason(name, foretold, wear, band)
    if meter is Meter.KM:
        return WearNotice(reason, at_km=max(Fraction(0), at))
    return WearNotice(reason, at_hours=max(Fraction(0), at))


def _reason(name: str, foretold: Forecast, wear: Wear, band: Band) -> str:
    closing = foretold.limit == band.low
    doing, end = ("closing up", "lower") if closing else ("opening", "upper")
    if wear.carried:
        return f"{name} was {doing}; going on so it may reach its {end} limit"
    return f"{name} is {doing} and may reach its {end} limit"
