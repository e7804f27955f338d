"""``python -m benchtui.rehearse``: thousands of sessions that never were, counted up."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from benchtui.rehearse.report import answers, exactly, played, setting


def main() -> None:
    """Print the report."""
    parser = argparse.ArgumentParser(
        prog="python -m benchtui.rehearse",
        description="Plays whole sessions on engines that are not real and counts what came of it.",
    )
    parser.add_argument("--sessions", type=int, default=100, help="on each engine (default 100)")
    parser.add_argument("--rounds", type=int, default=50, help="of five settings (default 50)")
    parser.add_argument("--seed", type=int, default=1)
    wanted = parser.parse_args()
    parts: tuple[Iterable[str], ...] = (
        exactly(),
        answers(),
        played(wanted.seed, wanted.sessions),
        setting(wanted.seed, wanted.rounds),
    )
    for part in parts:
        for line in part:
            print(line, flush=True)
        print()


if __name__ == "__main__":
    main()
