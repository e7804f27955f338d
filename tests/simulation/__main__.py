"""``python -m tests.simulation``: thousands of sessions that never were, counted up."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from tests.simulation.report import Report


def main() -> None:
    """Print the report."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.simulation",
        description="Plays whole sessions on engines that are not real and counts what came of it.",
    )
    parser.add_argument("--sessions", type=int, default=10, help="on each engine (default 10)")
    parser.add_argument("--rounds", type=int, default=2, help="of five settings (default 2)")
    parser.add_argument("--seeds", type=int, default=8, help="of settings (default 8)")
    parser.add_argument("--seed", type=int, default=1, help="the first one (default 1)")
    wanted = parser.parse_args()
    report = Report(wanted.seed, wanted.sessions, wanted.rounds, wanted.seeds)
    parts: tuple[Iterable[str], ...] = (
        report.exactly(),
        report.played(),
        report.setting(),
        report.hands(),
        report.drifted(),
        report.rounds_by_leaf(),
        report.screws(),
        report.ends(),
    )
    for part in parts:
        for line in part:
            print(line, flush=True)
        print()


if __name__ == "__main__":
    main()
