from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from benchtui.domain.session.facts.events import Event, Locked, Noted, Opened
from benchtui.store.codec import TAGS, UndecodableLine, checksum, checksum_of, decode, encode

AT = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)


def signed(body: str) -> str:
    return f"{checksum(body)} {body}"


def document(**changes: Any) -> str:
    made = {"n": 2, "at": AT.isoformat(), "tag": "locked", "v": 1, "data": {"valve": "1E"}}
    return signed(json.dumps({**made, **changes}))


def test_a_line_is_a_checksum_a_space_and_json() -> None:
    line = encode(Event(2, AT, Locked("1E")))
    found, _, body = line.partition(" ")
    # Source: BLAKE2b as in RFC 7693, here by the standard library.
    assert found == hashlib.blake2b(b" " + body.encode(), digest_size=8).hexdigest()
    assert json.loads(body) == {
        "n": 2,
        "at": "2026-05-04T09:30:00+00:00",
        "tag": "locked",
        "v": 1,
        "data": {"valve": "1E", "torqued": False},
    }
    assert decode(line) == Event(2, AT, Locked("1E"))


def test_a_line_fits_only_after_the_one_it_was_written_after() -> None:
    first = encode(Event(1, AT, Noted("a")))
    other = encode(Event(1, AT, Noted("b")))
    second = encode(Event(2, AT, Locked("1E")), checksum_of(first))
    assert decode(second, checksum_of(first)).fact == Locked("1E")
    for before in ("", checksum_of(other), checksum_of(second)):
        with pytest.raises(UndecodableLine, match="checksum"):
            decode(second, before)


def test_an_older_line_is_read_but_not_after_a_newer_one() -> None:
    old = document()
    assert decode(old, "01234567") == Event(2, AT, Locked("1E"))
    newer = encode(Event(3, AT, Noted("on")), checksum_of(old))
    assert decode(newer, checksum_of(old)).number == 3
    with pytest.raises(UndecodableLine, match="of the old kind"):
        decode(old, checksum_of(newer))


def test_the_checksum_of_older_lines_is_the_usual_crc_32() -> None:
    # Source: the check value of CRC-32 for "123456789" in the catalogue of CRC parameters (from memory).
    assert checksum("123456789") == "cbf43926"


@pytest.mark.parametrize(
    "text", ["line\nend", "\u2028", "ventil öppen", "\x00\x1b[2J", '"\\', "👀"]
)
def test_a_note_of_any_text_stays_on_one_line(text: str) -> None:
    line = encode(Event(3, AT, Noted(text)))
    assert "\n" not in line
    assert decode(line) == Event(3, AT, Noted(text))


@pytest.mark.parametrize("at", range(0, 90, 7))
def test_any_changed_character_is_noticed(at: int) -> None:
    line = encode(Event(2, AT, Locked("1E")))
    at %= len(line)
    other = "x" if line[at] != "x" else "y"
    with pytest.raises(UndecodableLine):
        decode(line[:at] + other + line[at + 1 :])


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "checksum"),
        ("nonsense", "checksum"),
        (document(tag="unheard-of"), "unknown tag 'unheard-of'"),
        (document(v=2), "unknown version 2 of 'locked'"),
        (document(v="1"), "unknown version"),
        (document(v=None), "unknown version"),
        (document(data={"valve": 3}), "do not fit"),
        (document(data={}), "do not fit"),
        (document(data={"valve": "1E", "more": 1}), "do not fit"),
        (document(data=None), "do not fit"),
        (document(n="two"), "do not fit"),
        (document(at="yesterday"), "do not fit"),
        (signed("[]"), "do not fit"),
        (signed("{"), "do not fit"),
        (signed("{}"), "do not fit"),
        (document(tag=["locked"]), "do not fit"),
    ],
)
def test_what_is_not_understood_raises_and_is_never_skipped(line: str, said: str) -> None:
    with pytest.raises(UndecodableLine, match=said):
        decode(line)


def test_every_fact_has_one_stable_tag() -> None:
    kinds = [kind for _, kind in TAGS.values()]
    assert len(set(kinds)) == len(kinds)
    assert all(tag == tag.lower() and " " not in tag for tag in TAGS)


def test_sheets_alike_are_one_in_memory_and_one_with_a_wrong_type_is_still_damage() -> None:
    path = Path(__file__).parent.parent / "records" / "screws-1.session"
    line = path.read_text(encoding="utf-8").splitlines()[0]
    first, second = decode(line).fact, decode(line).fact
    assert isinstance(first, Opened)
    assert isinstance(second, Opened)
    assert first.sheet is second.sheet
    body = line.partition(" ")[2]
    changed = body.replace('"left_hand":false', '"left_hand":0', 1)
    assert changed != body
    for _ in range(2):
        with pytest.raises(UndecodableLine, match="wanted bool"):
            decode(signed(changed))
    assert decode(line).fact == first
