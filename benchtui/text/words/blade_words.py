"""A set of blades in words: each leaf in both systems, and what the record says."""

from __future__ import annotations

from collections.abc import Sequence

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.errors import Fault
from benchtui.domain.history.suspects import Suspect
from benchtui.domain.length import Length
from benchtui.text.quantities.show import figure, length
from benchtui.text.words.stamped import gap_unit

HEADING = f"{'stamped mm':>11} {'thou':>6} {'measured mm':>12} {'error mm':>9}"


def set_words(blades: BladeSet) -> str:
    """``Fine metric set: 11 leaves, 0.03 to 0.20 mm``."""
    thinnest, thickest = blades.leaves[0].thickness, blades.leaves[-1].thickness
    count = "1 leaf" if len(blades.leaves) == 1 else f"{len(blades.leaves)} leaves"
    unit = gap_unit(blades)
    return f"{blades.name}: {count}, {figure(thinnest, unit)} to {length(thickest, unit)}"


def leaf_lines(blades: BladeSet) -> tuple[str, ...]:
    """A heading and a line a leaf, thinnest first; exact in both systems."""
    return (HEADING, *(_leaf(leaf) for leaf in blades.leaves))


def _leaf(leaf: Leaf) -> str:
    measured = "-" if leaf.measured is None else figure(leaf.measured)
    thou = figure(leaf.marked, "thou")
    return f"{figure(leaf.marked):>11} {thou:>6} {measured:>12} {figure(leaf.error):>9}"


def fault_lines(faults: Sequence[Fault]) -> tuple[str, ...]:
    """Each fault at its line and key, under the name of its file."""
    lines: list[str] = []
    for fault in faults:
        if fault.file not in lines:
            lines.append(fault.file)
        place = ", ".join(
            x for x in ("" if fault.line is None else f"line {fault.line}", fault.key) if x
        )
        lines.append(f"  {place}: found {fault.found}; wanted {fault.wanted}")
    return tuple(lines)


def history_lines(
    suspects: tuple[Suspect, ...], to_get: tuple[tuple[Length, int], ...]
) -> tuple[str, ...]:
    """Leaves to doubt and blades to get, a line each."""
    lines = []
    if suspects:
        named = ", ".join(f"{length(s.marked)} ({s.sessions} sessions)" for s in suspects)
        lines.append(f"Doubtful: {named}. Clean and measure with a micrometer.")
    if to_get:
        named = ", ".join(f"{length(size)} ({_times(times)})" for size, times in to_get[:_MOST])
        lines.append(f"Blades to get: {named}. They would have decided what stayed open.")
    return tuple(lines)


_MOST = 6


def _times(times: int) -> str:
    return "once" if times == 1 else f"{times} times"
