"""The files of one session among the rows of the register: which lead, and which have lost something.

``mark_gone`` and ``sort_out`` change ``rows``, a row by the name of its file, in place.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from benchtui.store.files import Entry
from benchtui.store.joining import behind
from benchtui.store.journal import SUFFIX, Recorded, read_session
from benchtui.store.rows import Row
from benchtui.store.storage import STILL_AT_WORK

MEANT = "if that was meant, delete the folder register, which is made anew"


def sweep_empty(files: Iterable[Entry], rows: Mapping[str, Row]) -> list[Entry]:
    """The files without the empty ones, which are removed.

    A program that was killed before it wrote the opening left one; nothing was ever told in it. A file
    that is known to have held something, or that may still be at work, stays.
    """
    left = []
    for entry in files:
        known = rows.get(entry.stem)
        held = entry.size > 0 or (known is not None and known.known > 0)
        if held or time.time_ns() - entry.changed_ns < STILL_AT_WORK * 10**9 or not _removed(entry):
            left.append(entry)
    return left


def _removed(entry: Entry) -> bool:
    try:
        entry.path.unlink()
    except OSError:
        return False
    return True


def mark_gone(rows: dict[str, Row], here: Collection[str], folder: Path) -> set[str]:
    """Mark the files that are no longer ``here``; the engines that this changes anything for.

    A file whose events another file of the session holds, too, is only left out.
    """
    lost = [row for name, row in rows.items() if name not in here and row.changed_ns]
    for row in lost:
        del rows[row.session]
        if row.opened_as and not _is_held(row, rows.values()):
            told = f"its file is gone: {row.known} events were known. Put it back; {MEANT}."
            gone = replace(row, size=0, changed_ns=0, complete=False, damage=told, behind="")
            rows[row.session] = replace(gone, events=0)
    return {row.engine for row in lost} | sort_out(rows, {row.opened_as for row in lost}, folder)


def sort_out(rows: dict[str, Row], opened: Collection[str], folder: Path) -> set[str]:
    """Find which files lead of the sessions ``opened`` so; the engines that this changes anything for.

    One that has lost its end, though no other holds what stood there, is damaged.
    """
    families: dict[str, list[Row]] = {}
    for row in rows.values():
        if row.opened_as and row.opened_as in opened:
            families.setdefault(row.opened_as, []).append(row)
    changed = set()
    for mine in families.values():
        whole = [_shortened(row, mine) for row in mine]
        ahead = behind(_read_again(whole, folder)) if len(mine) > 1 else {}
        leaders = len(mine) - len(ahead)
        for row in whole:
            led = row.session in ahead
            forked = leaders > 1 and not led and row.session != row.opened_as
            now = replace(row, behind=ahead.get(row.session, ""), forked=forked)
            if now != rows[row.session]:
                rows[row.session] = now
                changed.add(row.engine)
    return changed


def _shortened(row: Row, family: Iterable[Row]) -> Row:
    if row.damage or row.events >= row.known or _is_held(row, family):
        return row
    told = (
        f"its end is gone: {row.events} of {row.known} known events are left. Put the longer file "
        f"back; {MEANT}."
    )
    return replace(row, complete=False, damage=told)


def _is_held(row: Row, others: Iterable[Row]) -> bool:
    """Whether another file of the session has as many events as were ever known of this one."""
    return any(r.opened_as == row.opened_as and r.events >= row.known for r in others)


def _read_again(rows: Iterable[Row], folder: Path) -> dict[str, Recorded]:
    """The sound files; a damaged one stays in the list, whatever goes on from its beginning."""
    found = {}
    for row in rows:
        if not row.damage:
            with suppress(OSError):
                found[row.session] = read_session(folder / f"{row.session}{SUFFIX}")
    return found
