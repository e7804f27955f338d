"""An engine's spec sheet: what its maker, or its owner, wants of it.

Angles are exact fractions of a degree of crank; temperatures fractions of a degree Celsius;
distances fractions of a kilometre; hours fractions of an hour; torques fractions of a newton metre.

Long, because it holds every record of a sheet and nothing else; who fills one in finds it all here.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from benchtui.domain.adjusting.kinds import SetBy, set_by
from benchtui.domain.length import ZERO, Length, midpoint
from benchtui.domain.rule import DecisionRule
from benchtui.domain.work_steps import Work

FULL_CYCLE = Fraction(720)
"""Degrees of crank in one cycle of a four-stroke."""


class ValveKind(Enum):
    """Which side of the port a valve is on."""

    INLET = "inlet"
    EXHAUST = "exhaust"


class GapRole(Enum):
    """Which gap of a valve is measured; only opener-and-closer gear has two."""

    OPENER = "opener"
    CLOSER = "closer"


@dataclass(frozen=True, slots=True)
class Valve:
    """One gap to measure: ``name`` as the sheet gives it (``1I``, ``2E-left``, ``1I-closer``)."""

    name: str
    cylinder: str
    kind: ValveKind
    role: GapRole = GapRole.OPENER


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark that can be seen: at ``angle`` degrees after the first cylinder's compression TDC.

    ``cylinder`` is the cylinder whose TDC it shows, or None for a mark of its own (then ``angle``
    is given). Where ``angle`` is None the cylinder's firing angle is meant.
    """

    name: str
    text: str
    cylinder: str | None
    angle: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Cylinder:
    """``firing``: degrees of crank after the first one's compression TDC, 0 <= firing < 720."""

    name: str
    firing: Fraction
    valves: tuple[Valve, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """Which cylinders, in which order along the engine, how they fire, how the crank is turned.

    ``valve_rows``: 1 where all valves of a bank stand in one row, in the sheet's order; 2 where the
    exhausts stand across from the inlets.
    """

    cylinders: tuple[Cylinder, ...]
    turns: str = ""
    marks: tuple[Mark, ...] = ()
    decompressor: str = ""
    valve_rows: int = 2

    @property
    def valves(self) -> tuple[Valve, ...]:
        """Every valve, cylinder by cylinder."""
        return tuple(v for c in self.cylinders for v in c.valves)

    @property
    def firing_order(self) -> tuple[Cylinder, ...]:
        """The cylinders by firing angle."""
        return tuple(sorted(self.cylinders, key=lambda c: c.firing))

    def cylinder(self, name: str) -> Cylinder | None:
        """The cylinder of that name."""
        return next((c for c in self.cylinders if c.name == name), None)

    def valve(self, name: str) -> Valve | None:
        """The valve of that name."""
        for cylinder in self.cylinders:
            for valve in cylinder.valves:
                if valve.name == name:
                    return valve
        return None


@dataclass(frozen=True, slots=True)
class Band:
    """From ``low`` to ``high``, both belonging to it."""

    low: Length
    high: Length

    def __post_init__(self) -> None:
        if not ZERO <= self.low <= self.high:
            raise ValueError(f"a band runs upwards from zero, not {self.low} to {self.high}")

    @property
    def single(self) -> bool:
        """Whether it is one figure with no tolerance."""
        return self.low == self.high

    @property
    def middle(self) -> Length:
        """Half way, to the nearest nanometre."""
        return midpoint(self.low, self.high)

    @property
    def width(self) -> Length:
        """High less low."""
        return self.high - self.low

    def moved(self, by: Length) -> Band:
        """The same band ``by`` further up, cut off at zero."""
        return Band(max(ZERO, self.low + by), max(ZERO, self.high + by))

    def __str__(self) -> str:
        if self.single:
            return str(self.low)
        return f"{str(self.low).removesuffix(' mm')} to {self.high}"


class Condition(Enum):
    """How warm the metal is when the printed clearance holds."""

    COLD = "cold"
    HOT = "hot"


@dataclass(frozen=True, slots=True)
class Clearances:
    """The printed setting ranges by kind and role, and the condition they hold in.

    A single figure stands as a band with ``low == high``. ``owner_band`` is the owner's own
    tolerance either side of single figures: his, never invented. ``service`` are wider service
    limits where a manual prints them. ``rule`` is how much its owner wants the blades to show on
    this engine, where the sheet says so. ``heat_lasts``: minutes for which a heat told of a hot-set
    engine holds; None in sheets that were frozen before it was asked, where nothing goes stale.
    """

    printed: tuple[tuple[ValveKind, GapRole, Band], ...]
    condition: Condition = Condition.COLD
    metal_below: Fraction | None = None
    metal_above: Fraction | None = None
    stood_hours: Fraction | None = None
    owner_band: Length | None = None
    service: tuple[tuple[ValveKind, GapRole, Band], ...] = ()
    rule: DecisionRule | None = None
    heat_lasts: Fraction | None = None

    def of(self, valve: Valve) -> Band:
        """What is printed for this valve: a range, or one figure.

        Raises:
            KeyError: nothing is printed for its kind and role.
        """
        band = self._find(self.printed, valve)
        if band is None:
            raise KeyError(f"no clearance for {valve.kind.value} {valve.role.value}")
        return band

    def service_of(self, valve: Valve) -> Band | None:
        """The service limits of this valve, where the sheet gives them."""
        return self._find(self.service, valve)

    @staticmethod
    def _find(table: tuple[tuple[ValveKind, GapRole, Band], ...], valve: Valve) -> Band | None:
        return next((b for k, r, b in table if k is valve.kind and r is valve.role), None)


class AdjusterKind(Enum):
    """What is turned, or swapped, to set a clearance."""

    SCREW = "screw"
    PILLAR_NUT = "pillar nut"
    ECCENTRIC = "eccentric"
    SHIM = "shim"
    HYDRAULIC = "hydraulic"


class ScrewEnd(Enum):
    """Which end of the rocker carries the screw."""

    VALVE = "valve"
    PUSHROD = "pushrod"


class Gear(Enum):
    """What stands between cam and valve, as far as it can be seen and felt with the cover off."""

    ROCKERS = "rockers"
    PUSHRODS = "pushrods"
    BUCKETS = "buckets"


class Rotation(Enum):
    """Seen from the tool."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"

    @property
    def other(self) -> Rotation:
        """The opposite way."""
        clockwise = self is Rotation.CLOCKWISE
        return Rotation.ANTICLOCKWISE if clockwise else Rotation.CLOCKWISE


@dataclass(frozen=True, slots=True)
class Adjuster:
    """How a clearance is set.

    ``pitch`` is the thread's; ``ratio`` is valve arm over pushrod arm as the sheet prints it (for a
    shim under a finger follower, valve-side movement over shim-side movement). ``closes`` is the
    rotation, seen from the tool, that makes the gap smaller. ``left_hand``: the thread is.
    ``bridged`` says that one adjuster serves two valves through a bridge. ``shim_sizes`` are the
    sizes that can be had; ``under_bucket`` shims come out with the cams only. ``gear_told`` is the
    sheet's own word where the gear is not what the adjuster suggests.
    """

    kind: AdjusterKind
    at: ScrewEnd = ScrewEnd.VALVE
    pitch: Length | None = None
    thread: str = ""
    ratio: Fraction = Fraction(1)
    closes: Rotation = Rotation.CLOCKWISE
    left_hand: bool = False
    bridged: bool = False
    shim_sizes: tuple[Length, ...] = ()
    under_bucket: bool = False
    gear_told: Gear | None = None

    @property
    def lever(self) -> Fraction:
        """Gap moved over screw moved: 1 with the screw at the valve end."""
        at_pushrod = self.at is ScrewEnd.PUSHROD or self.set_by.shims
        return self.ratio if at_pushrod else Fraction(1)

    @property
    def gear(self) -> Gear:
        """What is felt or looked at to know that a valve is off its cam (common practice).

        Shims sit in buckets or under followers that the lobes bear on; a pillar nut, or a screw at
        the pushrod end, is pushrod gear; else rockers.
        """
        if self.gear_told is not None:
            return self.gear_told
        if self.set_by.shims:
            return Gear.BUCKETS
        at_pushrod = self.threaded and self.at is ScrewEnd.PUSHROD
        return Gear.PUSHRODS if at_pushrod or self.set_by.pushrods else Gear.ROCKERS

    @property
    def set_by(self) -> SetBy:
        """What sets a valve here, and what that asks for: ask it, never which kind it is."""
        return set_by(self.kind.value, under_bucket=self.under_bucket)

    @property
    def threaded(self) -> bool:
        """Whether a thread moves the gap."""
        return self.set_by.threaded

    @property
    def reckoned(self) -> bool:
        """Whether a turn can be worked out: a thread moves the gap, and its pitch is known."""
        return self.threaded and self.pitch is not None


@dataclass(frozen=True, slots=True)
class Opening:
    """When a valve is off its seat, in degrees after its own cylinder's compression TDC.

    ``opens`` < ``closes``; both lie in 0 to 720, for the valves of a running engine are shut at
    compression TDC.
    """

    opens: Fraction
    closes: Fraction


@dataclass(frozen=True, slots=True)
class Timing:
    """Valve timing by kind, and the ``margin`` in degrees kept clear of each end for the ramps."""

    inlet: Opening
    exhaust: Opening
    margin: Fraction = Fraction(20)

    def of(self, kind: ValveKind) -> Opening:
        """The opening of this kind of valve."""
        return self.inlet if kind is ValveKind.INLET else self.exhaust


@dataclass(frozen=True, slots=True)
class PrintedStop:
    """One row of the manual's own table: ``angle`` degrees after ``cylinder``'s compression TDC."""

    at: str
    cylinder: str
    angle: Fraction
    valves: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Torque:
    """A tightening torque: ``printed`` as the sheet has it, ``low`` to ``high`` newton metres."""

    what: str
    printed: str
    low: Fraction
    high: Fraction
    thread: str = ""


@dataclass(frozen=True, slots=True)
class Interval:
    """Due after any of these, whichever comes first; ``first`` holds for the first check.

    ``after_setting`` is the early recheck that some manuals want once something was set.
    """

    months: int | None = None
    distance_km: Fraction | None = None
    hours: Fraction | None = None
    first: Interval | None = None
    after_setting: Interval | None = None


@dataclass(frozen=True, slots=True)
class Source:
    """Where the figures come from, and whether a second reading of the page confirmed them."""

    title: str = ""
    page: str = ""
    entered_by: str = ""
    checked: bool = False


@dataclass(frozen=True, slots=True)
class Papers:
    """Whose engine it is, and which: what a card for a customer is headed with."""

    customer: str = ""
    plate: str = ""
    serial: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One engine's sheet. ``key`` is the name it is filed under (the file's stem)."""

    key: str
    name: str
    layout: Layout
    clearances: Clearances
    adjuster: Adjuster
    source: Source = Source()
    timing: Timing | None = None
    plan: tuple[PrintedStop, ...] = ()
    torques: tuple[Torque, ...] = ()
    interval: Interval | None = None
    work: Work = ()
    papers: Papers = Papers()


@dataclass(frozen=True, slots=True)
class SettingRange:
    """What a clearance is judged against: the band, and whether the width is the owner's own.

    ``figure`` is the one that is printed where the owner has it set on the figure: then the band only
    says between which leaves that is.
    """

    band: Band
    owners: bool = False
    figure: Length | None = None


def setting_range(sheet: Sheet, valve: Valve, owners: Length | None = None) -> SettingRange | None:
    """The range to judge ``valve`` by.

    ``owners`` is his tolerance either side of a single figure; the sheet's ``owner_band`` stands in
    where none is given. None is returned for a single figure with neither: no tolerance is
    printed and none is invented.
    """
    printed = sheet.clearances.of(valve)
    if not printed.single:
        return SettingRange(printed)
    tolerance = owners if owners is not None else sheet.clearances.owner_band
    if tolerance is None:
        return None
    low = max(ZERO, printed.low - tolerance)
    return SettingRange(Band(low, printed.high + tolerance), owners=True)
