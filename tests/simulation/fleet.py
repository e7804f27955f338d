"""A mixed fleet of invented engines and the blade sets of its workshop, for rehearsals."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.sheet import Band, Interval, ScrewEnd, Sheet
from tests.engines import SCREW, band, even, fired, printed

FIRING = {1: "1", 2: "1-2", 3: "1-2-3", 4: "1-3-4-2"}


def engine(
    key: str,
    cylinders: int,
    inlet: Band,
    exhaust: Band,
    *,
    pitch: str = "0.75",
    ratio: str | None = None,
    interval: Interval | None = None,
) -> Sheet:
    """An engine in line with screws, fired evenly; with a ``ratio`` they are at the pushrod end."""
    adjuster = replace(SCREW, pitch=Length.mm(pitch), ratio=Fraction(ratio or 1))
    if ratio is not None:
        adjuster = replace(adjuster, at=ScrewEnd.PUSHROD)
    layout, clearances = fired(even(FIRING[cylinders])), printed(inlet, exhaust)
    return Sheet(key, key, layout, clearances, adjuster, interval=interval)


def blade_set(name: str, *marks: str, error_um: int = 5) -> BladeSet:
    """A set of leaves known by their stamps, in millimetres."""
    return BladeSet(name, tuple(Leaf(Length.mm(m), error=Length.um(error_um)) for m in marks))


FINE = blade_set(
    "fine", "0.03", "0.04", "0.05", "0.06", "0.07", "0.08", "0.09", "0.10", "0.12", "0.15", "0.20"
)
MIXED = blade_set(
    "mixed",
    *(f"0.{k:02}" for k in range(3, 11)),
    *(f"0.{k}" for k in (15, 20, 25, 30, 35, 40, 45, 50)),
)
HUNDREDTHS = blade_set("hundredths", *(f"0.{k:02}" for k in range(3, 31)))
COARSE = blade_set("coarse", *(f"0.{k:02}" for k in range(5, 55, 5)))
INCH = BladeSet(
    "inch",
    tuple(
        Leaf(Length.thou(t), error=Length.thou(Fraction(1, 5)))
        for t in (Fraction(3, 2), *range(2, 26))
    ),
)


@dataclass(frozen=True, slots=True)
class Case:
    """An engine met with a blade set."""

    sheet: Sheet
    blades: BladeSet

    @property
    def bands(self) -> tuple[Band, ...]:
        """The printed ranges, one a kind."""
        return tuple(b for _, _, b in self.sheet.clearances.printed)

    @property
    def particulars(self) -> Particulars:
        """The circumstances of a check: the metal as the sheet wants it."""
        hot = self.sheet.clearances.metal_above
        return Particulars(metal_c=Fraction(20) if hot is None else hot + 5)


FLEET: tuple[Case, ...] = (
    Case(engine("winch", 1, band("0.06", "0.10"), band("0.08", "0.12")), FINE),
    Case(engine("launch", 2, band("0.08", "0.12"), band("0.10", "0.15")), FINE),
    Case(
        engine("van", 4, band("0.15", "0.25"), band("0.25", "0.35"), pitch="1.0", ratio="1.5"),
        COARSE,
    ),
    Case(
        engine(
            "dredger", 3, band("0.2032", "0.254"), band("0.28", "0.34"), pitch="1.0", ratio="1.4"
        ),
        INCH,
    ),
    Case(engine("crane", 2, band("0.10", "0.15"), band("0.15", "0.20")), MIXED),
    Case(engine("tender", 4, band("0.15", "0.20"), band("0.20", "0.30")), HUNDREDTHS),
    Case(engine("barge", 4, band("0.28", "0.34"), band("0.38", "0.46"), pitch="1.0"), MIXED),
)
"""Several ranges and several blade sets, some of them without a leaf at a limit."""
