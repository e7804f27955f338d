"""``benchtui export``: everything that is stored, for a spreadsheet, a program or another machine."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from benchtui.commands.folder import folder_to_read
from benchtui.commands.shop import shop_to_read
from benchtui.domain.errors import Unable
from benchtui.store.bundle import pack, put_new
from benchtui.text.exports.tables import Kind, Row, columns_text, csv_text, json_lines, rows_of
from benchtui.text.quantities.show import inert
from benchtui.text.words.trouble_words import odd_words
from benchtui.workshop import Workshop

UNREADABLE = 1
"""Exit status where a session file gave nothing; the others are exported all the same."""


def run_export(
    data: str | None, *, form: str, rows: Kind, to: str | None, columns_only: bool = False
) -> int:
    """Print the rows, or write them into the new file ``to``.

    Raises:
        BenchError: the file exists already or cannot be written; then nothing is left of it.
    """
    if columns_only:
        print(columns_text(rows))
        return 0
    workshop = shop_to_read(data)
    lost: list[str] = []
    every = _rows(workshop, rows, lost)
    text = json_lines(rows, every) if form == "jsonl" else csv_text(rows, every)
    if to is None:
        _print(text)
    else:
        put_new(Path(to), text.encode())
    if workshop.past_sessions.trouble:
        lost.append(workshop.past_sessions.trouble)
    for line in lost:
        print(f"benchtui: {inert(line)}", file=sys.stderr)
    return UNREADABLE if lost else 0


def run_export_all(data: str | None, file: str) -> int:
    """Write the whole data folder into one new file.

    Raises:
        BundleError: the file exists already or cannot be written; then nothing is left of it.
    """
    packed = pack(folder_to_read(data), Path(file))
    many = "" if packed.sessions == 1 else "s"
    print(
        f"{inert(file)}: {packed.sessions} session{many}, with the sheets and blade sets of the folder."
    )
    for odd in packed.left_out:
        print(f"benchtui: {inert(odd_words(odd.name, odd.reason))}", file=sys.stderr)
    return UNREADABLE if packed.left_out else 0


def _rows(workshop: Workshop, kind: Kind, lost: list[str]) -> Iterator[Row]:
    """Every row, oldest session first; what cannot be read at all is named in ``lost``."""
    for row in reversed(workshop.past_sessions.rows()):
        try:
            past = workshop.past_sessions.past(row.session)
            damage = past.damage
            words = "" if damage is None else f"line {damage.line}: {damage.reason}"
            yield from rows_of(kind, past.events, words)
        except Unable as error:
            lost.append(str(error))
        except Exception as error:  # noqa: BLE001  # whatever odd facts provoke, the others are told
            lost.append(f"Session {row.session} makes no sense: {error}")


def _print(text: str) -> None:
    """As it is: a text layer would make CRLF into something else on some platforms."""
    sys.stdout.flush()
    buffer = getattr(sys.stdout, "buffer", None)
    if buffer is None:
        sys.stdout.write(text)
    else:
        buffer.write(text.encode())
        buffer.flush()
