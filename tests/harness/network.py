"""Nothing that the program does reaches for the network: every call that would is an audit event.

Source: the audit events table of Python's library reference (``socket.connect`` and its kin).
"""

from __future__ import annotations

import os
import random
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.harness import Outcome
from tests.harness.folders import COMMANDS, workshop

WATCHED = """
import os, socket, sys
CALLS = {"socket.connect", "socket.bind", "socket.sendto", "socket.sendmsg", "socket.getaddrinfo",
         "socket.gethostbyname", "socket.gethostbyaddr", "socket.getnameinfo", "urllib.Request"}
def heard(event, arguments):
    if event in CALLS:
        os.write(int(os.environ["HEARD"]), event.encode() + b"\\n")
    if event == "socket.__new__" and arguments[1] not in (socket.AF_UNIX, -1):
        os.write(int(os.environ["HEARD"]), b"a socket\\n")
sys.addaudithook(heard)
from benchtui.cli import main
sys.exit(main(sys.argv[1:]))
"""


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    del draw
    if not hasattr(socket, "AF_UNIX"):
        return
    folder.mkdir(exist_ok=True)
    data = workshop(folder)
    names = {
        "OUT": str(folder / "out.zip"),
        "SCRIPT": str(folder / "script.txt"),
        "ARCHIVE": str(folder / "all.zip"),
    }
    silent = 0
    for command in COMMANDS if long else COMMANDS[:2]:
        silent += bool(_heard([names.get(word, word) for word in command], data))
    yield Outcome("no network: commands", len(COMMANDS) if long else 2, silent=silent)
    yield Outcome(
        "no network: the program on a terminal", 1, silent=int(bool(_heard_on_screen(data)))
    )


def _heard(command: list[str], data: Path) -> bytes:
    reader, writer = os.pipe()
    subprocess.run(
        [sys.executable, "-c", WATCHED, "--data", str(data), *command],
        env={**os.environ, "HEARD": str(writer)},
        pass_fds=[writer],
        capture_output=True,
        check=False,
    )
    os.close(writer)
    with os.fdopen(reader, "rb") as heard:
        return heard.read()


def _heard_on_screen(data: Path) -> bytes:
    from tests.harness.terminal import LONGEST, Terminal

    reader, writer = os.pipe()
    os.set_inheritable(writer, True)  # noqa: FBT003  # it takes no name
    os.environ["HEARD"] = str(writer)
    terminal = Terminal(["-c", WATCHED], data)
    os.close(writer)
    assert terminal.read(LONGEST, lambda: terminal.shows("in range")), terminal.rows()
    for key in (b"p", b"\x1b", b"w", b"\x1b", b"b", b"\x1b", b"h", b"\x1b", b"e", b"\x1b"):
        terminal.keys(key)
        terminal.read(0.5)
    terminal.keys(b"q")
    terminal.ended()
    terminal.close()
    with os.fdopen(reader, "rb") as heard:
        return heard.read()
