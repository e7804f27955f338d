"""What a session file holds is changed: every bit, every cut, every pair of lines."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path

from benchtui.domain.session.facts.events import Event
from benchtui.store.codec import encoded
from benchtui.store.journal import read_session, recorded_of
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register
from tests.harness import Outcome
from tests.harness.bench_of import RECORD, opening

SHORT = 1_500


def run(folder: Path, draw: random.Random, long: bool) -> Iterator[Outcome]:
    whole = RECORD.read_bytes()
    lines = whole.splitlines(keepends=True)
    events = recorded_of(whole).events
    yield _judged("a bit flipped", _flipped(whole, draw, long), events)
    yield _judged("two lines swapped", _swapped(lines), events)
    yield _judged("a line dropped or doubled", _dropped(lines), events)
    yield _judged("a line of another session", _mixed(lines, events), events)
    yield _judged("a span of NULs or noise", _spans(whole, draw, 20_000 if long else SHORT), events)
    yield _judged("cut within a line", _cut(whole, draw, long), events)
    yield _named_by_register(folder, lines)


def _judged(harm: str, tries: Iterable[bytes], events: tuple[Event, ...]) -> Outcome:
    tried = silent = raised = 0
    for data in tries:
        tried += 1
        try:
            read = recorded_of(data)
        except Exception:  # noqa: BLE001  # whatever it is, it is counted
            raised += 1
            continue
        named = read.damage is not None or read.torn
        beginning = read.events == events[: len(read.events)]
        silent += not beginning or not (named or read.events == events)
    return Outcome(harm, tried, silent=silent, raised=raised)


def _flipped(whole: bytes, draw: random.Random, long: bool) -> Iterator[bytes]:
    every = range(len(whole) * 8)
    for at in every if long else draw.sample(every, SHORT):
        data = bytearray(whole)
        data[at // 8] ^= 1 << at % 8
        yield bytes(data)


def _swapped(lines: list[bytes]) -> Iterator[bytes]:
    for one, other in combinations(range(len(lines)), 2):
        changed = list(lines)
        changed[one], changed[other] = lines[other], lines[one]
        yield b"".join(changed)


def _dropped(lines: list[bytes]) -> Iterator[bytes]:
    for at in range(len(lines)):
        if at < len(lines) - 1:  # without the last it is a shorter session: see the last row
            yield b"".join([*lines[:at], *lines[at + 1 :]])
        yield b"".join([*lines[: at + 1], *lines[at:]])


def _mixed(lines: list[bytes], events: tuple[Event, ...]) -> Iterator[bytes]:
    first = replace(events[0], fact=replace(opening(), session="other"))
    others = encoded([first, *events[1:]]).splitlines(keepends=True)
    for at in range(1, len(lines)):
        yield b"".join([*lines[:at], others[at], *lines[at + 1 :]])
        yield b"".join([*lines[:at], *others[at:]])


def _spans(whole: bytes, draw: random.Random, count: int) -> Iterator[bytes]:
    for _ in range(count):
        at, length = draw.randrange(len(whole)), draw.randint(2, 400)
        fill = bytes(length) if draw.random() < 0.5 else draw.randbytes(length)
        yield whole[:at] + fill + whole[at + length :]


def _cut(whole: bytes, draw: random.Random, long: bool) -> Iterator[bytes]:
    within = [
        n for n in range(1, len(whole)) if whole[n - 1 : n] != b"\n" and whole[n : n + 1] != b"\n"
    ]
    for length in within if long else draw.sample(within, min(SHORT, len(within))):
        yield whole[:length]


def _named_by_register(folder: Path, lines: list[bytes]) -> Outcome:
    """A cut at the end of a line leaves a sound session: only the register knows that there was more."""
    data = DataFolder(folder / "data")
    data.sessions.mkdir(parents=True)
    path = data.sessions / "one.session"
    silent = 0
    for count in range(1, len(lines)):
        path.write_bytes(b"".join(lines))
        Register(data).rows()
        path.write_bytes(b"".join(lines[:count]))
        silent += not Register(data).rows()[0].damage
        assert len(read_session(path).events) == count
    path.unlink()
    silent += not Register(data).rows()[0].damage
    return Outcome("cut at a line's end, or gone", len(lines), silent=silent)
