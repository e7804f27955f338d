"""Run the parts and print the table."""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from tests.harness import PARTS, outcomes


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.harness")
    parser.add_argument("--short", action="store_true")
    parser.add_argument("--part", choices=PARTS, action="append")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    sound = True
    print("| Part | Harm | Tried | Lost | Wrong in silence | Tracebacks | Seconds |")
    print("|---|---|---|---|---|---|---|")
    for part in asked.part or PARTS:
        began = time.monotonic()
        with tempfile.TemporaryDirectory() as folder:
            for row in outcomes(part, Path(folder), asked.seed, long=not asked.short):
                took = time.monotonic() - began
                print(
                    f"| {part} | {row.harm} | {row.tried} | {row.lost} | {row.silent} | {row.raised} "
                    f"| {took:.0f} |",
                    flush=True,
                )
                sound = sound and row.sound
                began = time.monotonic()
    return 0 if sound else 1


if __name__ == "__main__":
    raise SystemExit(main())
