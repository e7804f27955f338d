"""The commands, and the wiring; nothing else."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from benchtui import __version__
from benchtui.domain.errors import BenchError

FAULTY = 2
"""Exit status for input that cannot be used."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit status is returned.

    Errors that are meant for the person are printed on standard error, with control characters made
    harmless.
    """
    arguments = parser().parse_args(argv)
    try:
        status: int = arguments.run(arguments)
    except BenchError as error:
        from benchtui.text.show import inert

        for line in str(error).splitlines():
            print(f"benchtui: {inert(line)}", file=sys.stderr)
        return FAULTY
    except BrokenPipeError:
        # The reader went away (as `| head` does): that is no fault of the input.
        sys.stderr.close()
        return 0
    return status


def parser() -> argparse.ArgumentParser:
    """The command line."""
    top = argparse.ArgumentParser(
        prog="benchtui",
        description="Check and set valve clearances with feeler blades, and keep the record.",
        epilog="The manufacturer's manual and local rules outrank this program; "
        "in doubt ask a qualified mechanic.",
    )
    top.add_argument("--version", action="version", version=f"benchtui {__version__}")
    top.add_argument(
        "--data", metavar="DIR", help="the data folder (else BENCHTUI_DATA, else the user's)"
    )
    top.set_defaults(run=_program)
    commands = top.add_subparsers(title="commands", metavar="COMMAND")

    demo = commands.add_parser("demo", help="the program on invented data in a throw-away folder")
    demo.set_defaults(run=_demo)

    replay = commands.add_parser("replay", help="play a written-down session through the bench")
    replay.add_argument("file", metavar="FILE")
    replay.add_argument("--json", action="store_true", help="one JSON object a line")
    replay.add_argument("--keep", action="store_true", help="file it among the stored sessions")
    replay.set_defaults(run=_replay)

    sheet = commands.add_parser("sheet", help="check an engine's sheet")
    sheet.add_argument("file", metavar="FILE")
    sheet.set_defaults(run=_sheet)

    due = commands.add_parser("due", help="what is due (exit status 1 if anything is overdue)")
    due.set_defaults(run=_due)

    card = commands.add_parser("card", help="a session on one page")
    card.add_argument(
        "session", metavar="SESSION", help="its id, or the end or beginning of it; or: last"
    )
    card.set_defaults(run=_card)

    export = commands.add_parser("export", help="every stored session, as JSON lines or CSV")
    export.set_defaults(run=_export)
    return top


def _program(arguments: argparse.Namespace) -> int:
    from benchtui.commands.program import run_program

    return run_program(arguments.data)


def _demo(arguments: argparse.Namespace) -> int:
    from benchtui.commands.demo import run_demo

    del arguments
    return run_demo()


def _replay(arguments: argparse.Namespace) -> int:
    from benchtui.commands.replay import run_replay

    return run_replay(arguments.data, arguments.file, as_json=arguments.json, keep=arguments.keep)


def _sheet(arguments: argparse.Namespace) -> int:
    from benchtui.commands.sheet import run_sheet

    return run_sheet(arguments.file)


def _due(arguments: argparse.Namespace) -> int:
    from benchtui.commands.due import run_due

    return run_due(arguments.data)


def _card(arguments: argparse.Namespace) -> int:
    from benchtui.commands.card import run_card

    return run_card(arguments.data, arguments.session)


def _export(arguments: argparse.Namespace) -> int:
    from benchtui.commands.export import run_export

    return run_export(arguments.data)


if __name__ == "__main__":
    sys.exit(main())
