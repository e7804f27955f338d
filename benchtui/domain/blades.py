"""Feeler blades: leaves, the sets they come in, and stacks of up to three."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations

from benchtui.domain.length import ZERO, Length

MARKED_ERROR = Length.um(5)
"""Taken for a leaf known only by its stamp; no tolerance table could be read (owner's own data)."""

MEASURED_ERROR = Length.um(2)
"""Taken for a leaf that was measured with a micrometer (owner's own data)."""

JOINT = Length.um(7)
"""What oil and burrs may add at each joint of a stack, on the thick side only.

Ten leaves of 0.010 in were once measured together at 0.105 to 0.106 in: up to 6 thou over nine
joints is 17 um a joint at the very worst for dirty leaves; 7 um is for wiped ones (design value).
"""

MOST_STACKED = 3


@dataclass(frozen=True, slots=True)
class Leaf:
    """One feeler blade: the stamped thickness, and what a micrometer said if anyone asked it."""

    marked: Length
    measured: Length | None = None
    error: Length = MARKED_ERROR
    borrowed: bool = False

    def __post_init__(self) -> None:
        if self.marked <= ZERO:
            raise ValueError(f"a leaf has a thickness above zero, not {self.marked}")
        if self.measured is not None and self.measured <= ZERO:
            raise ValueError(f"a measured thickness is above zero, not {self.measured}")
        if self.error < ZERO:
            raise ValueError(f"an error is zero or above, not {self.error}")

    @property
    def thickness(self) -> Length:
        """The best known thickness: measured if it was, else marked."""
        return self.marked if self.measured is None else self.measured


@dataclass(frozen=True, slots=True)
class Feeler:
    """What goes into the gap at once: one leaf, or up to three together.

    Thicknesses add and errors add outright (worst case, not in quadrature); each joint adds
    nothing to up to ``JOINT`` on the thick side.

    ``nominal`` is the sum of the best known thicknesses, ``thinnest`` and ``thickest`` what it can
    be with every error, and every joint, against us. They are asked for so often that they are
    worked out once.
    """

    leaves: tuple[Leaf, ...]
    nominal: Length = field(init=False, compare=False, repr=False)
    thinnest: Length = field(init=False, compare=False, repr=False)
    thickest: Length = field(init=False, compare=False, repr=False)
    marks: tuple[Length, ...] = field(init=False, compare=False, repr=False)
    """The stamps, thinnest first: what tells one feeler from another."""

    def __post_init__(self) -> None:
        count = len(self.leaves)
        if not 1 <= count <= MOST_STACKED:
            raise ValueError(f"one to {MOST_STACKED} leaves make a feeler, not {count}")
        nominal = sum(leaf.thickness.nm for leaf in self.leaves)
        error = sum(leaf.error.nm for leaf in self.leaves)
        object.__setattr__(self, "nominal", Length(nominal))
        object.__setattr__(self, "thinnest", Length(nominal - error))
        object.__setattr__(self, "thickest", Length(nominal + error + JOINT.nm * (count - 1)))
        object.__setattr__(self, "marks", tuple(sorted(leaf.marked for leaf in self.leaves)))

    def __str__(self) -> str:
        return f"{self.bare} mm"

    @property
    def bare(self) -> str:
        """The stamps without the unit, for use in a sentence: ``0.20+0.05``."""
        return "+".join(m.bare for m in reversed(self.marks))


@dataclass(frozen=True, slots=True)
class BladeSet:
    """The blades somebody owns, thinnest first."""

    name: str
    leaves: tuple[Leaf, ...]

    def __post_init__(self) -> None:
        if not self.leaves:
            raise ValueError("a blade set has at least one leaf")
        ordered = tuple(sorted(self.leaves, key=lambda leaf: (leaf.thickness, leaf.marked)))
        object.__setattr__(self, "leaves", ordered)

    def leaf(self, marked: Length) -> Leaf | None:
        """The leaf with this stamp, or None where the set has none."""
        return next((leaf for leaf in self.leaves if leaf.marked == marked), None)

    def feeler(self, *marked: Length) -> Feeler:
        """A feeler of these stamps; a stamp that is not in the set is taken as borrowed.

        Raises:
            ValueError: more leaves than may be stacked, or none.
        """
        return Feeler(tuple(self.leaf(m) or Leaf(m, borrowed=True) for m in marked))

    def beside(self, thickness: Length, *, thicker: bool) -> Feeler:
        """The nearest leaf that is thicker, or thinner; the outermost where there is none."""
        singles = self.singles()
        if thicker:
            return next((f for f in singles if f.nominal > thickness), singles[-1])
        return next((f for f in reversed(singles) if f.nominal < thickness), singles[0])

    def singles(self) -> tuple[Feeler, ...]:
        """Each leaf by itself, thinnest first."""
        return tuple(Feeler((leaf,)) for leaf in self.leaves)

    def stacks(self, count: int) -> tuple[Feeler, ...]:
        """Every stack of exactly ``count`` different leaves, in no promised order."""
        return tuple(Feeler(c) for c in combinations(self.leaves, count))
