"""Attacks on what is stored, seeded: each part does harm in its way and counts what came of it.

``python -m tests.harness`` runs the long form of every part and prints the table, ``--short`` the form
that the suite runs, ``--part NAME`` one part. A part is a module listed in ``PARTS`` with a function
``run(folder, draw, long)`` that yields rows.
"""

from __future__ import annotations

import importlib
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PARTS = (
    "killed",
    "rebuilt",
    "lines",
    "displaced",
    "full_disk",
    "writers",
    "ended",
    "clocks",
    "modes",
    "register_bits",
    "network",
    "folders",
    "keys",
)


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way of doing harm: how often, confirmed answers lost, wrong without a word, tracebacks."""

    harm: str
    tried: int
    lost: int = 0
    silent: int = 0
    raised: int = 0

    @property
    def sound(self) -> bool:
        """Whether nothing went wrong, and something was tried."""
        return self.tried > 0 and not (self.lost or self.silent or self.raised)


def outcomes(part: str, folder: Path, seed: int, *, long: bool) -> Iterator[Outcome]:
    """Run one part in an empty folder."""
    module = importlib.import_module(f"tests.harness.{part}")
    yield from module.run(folder, random.Random(seed), long)
