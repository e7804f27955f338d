"""The commands, and the wiring; nothing else."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from io import TextIOWrapper
from pathlib import Path

from benchtui import __version__
from benchtui.domain.errors import BenchError, FaultyInput
from benchtui.text.words.refusals import error_words

FAULTY = 2
"""Exit status for input that cannot be used."""

STOPPED = 130
"""Exit status where Ctrl-C ended a command, as shells have it."""

MOST_TOLD = 100
"""Faults that are listed; a file with more of them was most likely named by mistake."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit status is returned.

    Errors that are meant for the person are printed on standard error, with control characters made
    harmless.
    """
    arguments = parser().parse_args(argv)
    if isinstance(sys.stdout, TextIOWrapper):
        # A name from elsewhere may hold what this terminal's encoding cannot: shown, never fatal.
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        status = _run(arguments)
        sys.stdout.flush()  # here, where a full disk can still be told
    except FaultyInput as error:
        told = [str(fault) for fault in error.faults[:MOST_TOLD]]
        more = len(error.faults) - len(told)
        return _told(*told, *([f"and {more} more faults"] if more else []))
    except BenchError as error:
        return _told(error_words(error))
    except KeyboardInterrupt:
        print("\nbenchtui: stopped.", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # The reader went away (as `| head` does): that is no fault of the input.
        sys.stderr.close()
        return 0
    except OSError as error:
        reason = error.strerror or str(error)
        told_of = error.filename if error.filename is not None else "what was printed"
        if error.filename is None:  # what is left of it would fail once more at the very end
            sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115  # as said
        return _told(f"{told_of}: {reason}")
    return status


def _told(*lines: str) -> int:
    """Each error on a line of its own, whatever it holds; the exit status is returned."""
    from benchtui.text.quantities.show import inert

    for line in lines:
        print(f"benchtui: {inert(line)}", file=sys.stderr)
    return FAULTY


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
    commands = top.add_subparsers(title="commands", metavar="COMMAND", dest="command")

    commands.add_parser("demo", help="the program on invented data in a throw-away folder")

    browser = commands.add_parser(
        "browser",
        help="the program in a browser on this machine, or on a tablet beside the engine",
        description="Serves the program as a page. Only this machine can reach it, unless --host "
        "names an address of a network: then anyone there can. It needs pip install 'benchtui[web]'.",
    )
    browser.add_argument(
        "--host", default="localhost", metavar="ADDRESS", help="localhost if not given"
    )
    browser.add_argument("--port", type=int, default=8000, help="8000 if not given")

    replay = commands.add_parser(
        "replay",
        help="play a written-down session through the bench, or put stored ones right",
        description="Plays a written-down session through the bench, one step a line. A file that "
        "begins with amend puts stored sessions right instead, one thing a line: "
        "amend SESSION day 2026-05-01 because the year was mistyped. In the place of day and its "
        "value: odometer 61500 km, hours 310, metal 19 C, stood 6 h, who M., engine NAME, or aside "
        "(it counts for nothing), each with because and the reason; note TEXT; or undo, which takes "
        "the last one back. What stood there before stays in the file and is shown struck. Without "
        "--keep nothing is written.",
    )
    replay.add_argument("file", metavar="FILE")
    replay.add_argument("--json", action="store_true", help="one JSON object a line")
    replay.add_argument(
        "--keep",
        action="store_true",
        help="file it among the stored sessions; not where a step was refused (exit status 1)",
    )
    replay.add_argument(
        "--keep-rest",
        action="store_true",
        help="file what could be taken, with each step that was refused as a note",
    )

    plain = commands.add_parser(
        "plain",
        help="a check in plain lines, for a screen reader, a serial line, speech or a pipe",
        description="A whole check of one engine, one line at a time: no screen is drawn, no cursor "
        "moved. s, d, f (or j, k, l) answer a blade, as do refuses, drags, free; help tells the rest. "
        "Exit status 1 where the input ended before the check was filed or left.",
    )
    plain.add_argument("engine", metavar="ENGINE", help="the name its sheet is filed under")

    commands.add_parser("keys", help="every key of the program, screen by screen")

    sheet = commands.add_parser("sheet", help="check an engine's sheet and print it readably")
    sheet.add_argument("file", metavar="FILE", help="the sheet's file, or an engine's name")

    due = commands.add_parser("due", help="what is due (exit status 1 if anything is overdue)")
    due.add_argument(
        "--ics", metavar="FILE", help="write the days into a calendar file, over an older one"
    )
    due.add_argument("--json", action="store_true", help="one JSON object an engine")
    due.add_argument(
        "--form", choices=("text", "html"), default="text", help="html: a page for the wall"
    )

    card = commands.add_parser("card", help="a session on one page")
    card.add_argument(
        "session",
        metavar="SESSION",
        help="its id, or a part that no other id has; or an engine's name for its latest; or: last",
    )
    card.add_argument(
        "--form", choices=("text", "markdown", "html"), default="text", help="text if not given"
    )
    card.add_argument(
        "--handover", action="store_true", help="only what the next one at the engine must know"
    )

    form = commands.add_parser("form", help="a blank form to fill in by hand, and then to replay")
    form.add_argument("engine", metavar="ENGINE", help="the name its sheet is filed under")
    form.add_argument("--blades", metavar="SET", help="the blade set's name, if there are several")

    export = commands.add_parser("export", help="every stored session as CSV or JSON Lines")
    export.add_argument("--form", choices=("csv", "jsonl"), default="csv", help="csv if not given")
    export.add_argument(
        "--rows",
        choices=("sessions", "valves", "readings"),
        default="valves",
        help="one row a session, a valve in a session (if not given), or a blade tried",
    )
    export.add_argument("--to", metavar="FILE", help="a new file instead of the screen")
    export.add_argument("--columns", action="store_true", help="only say what the columns mean")
    export.add_argument("--all", metavar="FILE", help="the whole data folder as one new file")

    take_in = commands.add_parser("take-in", help="bring in a folder that export --all wrote")
    take_in.add_argument("file", metavar="FILE")
    return top


def _run(arguments: argparse.Namespace) -> int:  # noqa: C901, PLR0912  # one case a command
    """The command that was asked for; each is loaded by itself, for the first picture waits for none."""
    data: str | None = arguments.data
    match arguments.command:
        case "demo":
            from benchtui.commands.demo import run_demo

            return run_demo()
        case "browser":
            from benchtui.commands.browser import run_browser

            return run_browser(data, arguments.host, arguments.port)
        case "replay":
            from benchtui.commands.replay import run_replay
            from benchtui.script_session import Keep

            keep = Keep.WHOLE if arguments.keep else Keep.NOTHING
            keep = Keep.THE_REST if arguments.keep_rest else keep
            return run_replay(data, arguments.file, as_json=arguments.json, keep=keep)
        case "plain":
            from benchtui.commands.plain import run_plain

            return run_plain(data, arguments.engine)
        case "keys":
            from benchtui.commands.keys import run_keys

            return run_keys()
        case "sheet":
            from benchtui.commands.sheet import run_sheet

            return run_sheet(data, arguments.file)
        case "due":
            from benchtui.commands.due import run_due

            return run_due(data, ics=arguments.ics, as_json=arguments.json, form=arguments.form)
        case "card":
            from benchtui.commands.card import run_card

            told = arguments.session
            return run_card(data, told, form=arguments.form, handover=arguments.handover)
        case "form":
            from benchtui.commands.form import run_form

            return run_form(data, arguments.engine, arguments.blades)
        case "export":
            from benchtui.commands.export import run_export, run_export_all

            if arguments.all is not None:
                return run_export_all(data, arguments.all)
            form, rows, only = arguments.form, arguments.rows, arguments.columns
            return run_export(data, form=form, rows=rows, to=arguments.to, columns_only=only)
        case "take-in":
            from benchtui.commands.take_in import run_take_in

            return run_take_in(data, arguments.file)
        case _:
            from benchtui.commands.program import run_program

            return run_program(data)


if __name__ == "__main__":
    sys.exit(main())
