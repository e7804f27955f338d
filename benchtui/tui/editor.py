"""A person's file in his own editor, the screen put away meanwhile."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from textual.app import App, SuspendNotSupported

from benchtui.domain.errors import Unable

_PLAIN_EDITORS = ("sensible-editor", "nano", "vi") if os.name != "nt" else ("notepad",)
"""Where the owner has named none: what is most likely there and says itself how to leave it."""

_NAME_IT = "Put the name of your editor into EDITOR and start the program again."


def editor_words(environment: Mapping[str, str] | None = None) -> list[str]:
    """The command that edits a file, without the file: VISUAL, else EDITOR, else a plain one.

    Raises:
        Unable: what is named cannot be read or is not there, or there is none at all.
    """
    named = os.environ if environment is None else environment
    for variable in ("VISUAL", "EDITOR"):
        words = _split(variable, named.get(variable, ""))
        if words:
            if shutil.which(words[0]) is None:
                raise Unable(f"{variable} names {words[0]!r}, which is not there.", _NAME_IT)
            return words
    for plain in _PLAIN_EDITORS:
        if shutil.which(plain) is not None:
            return [plain]
    raise Unable("There is no editor to be found here.", _NAME_IT)


def _split(variable: str, text: str) -> list[str]:
    try:
        # Backslashes are part of paths where they part folders.
        return shlex.split(text, posix=os.name != "nt")
    except ValueError as error:
        raise Unable(f"{variable} cannot be read: {error}.", _NAME_IT) from error


def edit_file(app: App[Any], path: Path) -> None:
    """Put the screen away, let the editor run on ``path`` until it is closed, and come back.

    No shell is asked, so nothing in a path can be taken for a command.

    Raises:
        Unable: no editor could be run, or it ended with an error; the file is whatever it is.
    """
    words = editor_words()
    try:
        with app.suspend():
            code = run_editor(words, path)
    except SuspendNotSupported:
        raise Unable(
            f"The screen cannot be put away here, so no editor can run on {path}.",
            "Edit the file in another window, then read it again.",
        ) from None
    if code:
        raise Unable(f"The editor {words[0]!r} ended with error {code}.", "Look at the file.")


def run_editor(words: list[str], path: Path) -> int:
    """Run it to its end and give back its exit code.

    Raises:
        Unable: it could not be started.
    """
    try:
        # The real streams: while the app is up, sys.stdout is not the terminal.
        return subprocess.run(  # noqa: S603  # the owner named it himself; no shell reads it
            [*words, str(path)], check=False, stdin=sys.__stdin__, stdout=sys.__stdout__
        ).returncode
    except OSError as error:
        reason = error.strerror or str(error)
        raise Unable(f"The editor {words[0]!r} would not start: {reason}.", _NAME_IT) from error
