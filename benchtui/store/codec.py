"""Events to lines and back: stable tags and versions, never class paths.

A line is ``CHECKSUM JSON``: a checksum, a space, and the JSON object
``{"n": number, "at": time, "tag": ..., "v": version, "data": {...}}``. Lengths stand as whole nanometres,
fractions as "n/d", and those that were typed in miles or Fahrenheit as "n/d mi" and "n/d F", the figure
itself in kilometres or Celsius all the same.

The checksum, 16 hex digits of BLAKE2b (RFC 7693, 8 bytes long), is that of the checksum of the line
before, a space, and the JSON's UTF-8 bytes. So each line vouches for all before it, and, as the first one
holds the session's id, a line of another session fits nowhere. Older files have eight digits: the CRC-32
of the JSON alone. Such a file goes on with lines of the new kind, never the other way round.
"""

from __future__ import annotations

import hashlib
import json
import marshal
import zlib
from collections.abc import Callable, Iterable
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from functools import cache, lru_cache
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from benchtui.domain.blades import BladeSet, Feeler
from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length
from benchtui.domain.session.facts import events as facts
from benchtui.domain.session.facts.events import Event, Fact
from benchtui.domain.sheet import Sheet
from benchtui.domain.typed import Typed

if TYPE_CHECKING:
    from cattrs import Converter

TAGS: dict[str, tuple[int, type[Any]]] = {
    "opened": (1, facts.Opened),
    "particulars-entered": (1, facts.ParticularsEntered),
    "rule-chosen": (1, facts.RuleChosen),
    "band-chosen": (1, facts.BandChosen),
    "figure-chosen": (1, facts.FigureChosen),
    "caution-acknowledged": (1, facts.CautionAcknowledged),
    "position-confirmed": (1, facts.PositionConfirmed),
    "position-doubted": (1, facts.PositionDoubted),
    "sign-seen": (1, facts.SignSeen),
    "crank-turned": (1, facts.CrankTurned),
    "reading-taken": (1, facts.ReadingTaken),
    "clearance-measured": (1, facts.ClearanceMeasured),
    "reading-struck": (1, facts.ReadingStruck),
    "readings-moved": (1, facts.ReadingsMoved),
    "screw-turned": (1, facts.ScrewTurned),
    "screw-set-on": (1, facts.ScrewSetOn),
    "way-chosen": (1, facts.WayChosen),
    "looked-over": (1, facts.LookedOver),
    "cams-step-done": (1, facts.CamsStepDone),
    "locked": (1, facts.Locked),
    "shim-fitted": (1, facts.ShimFitted),
    "spare-told": (1, facts.SpareTold),
    "wound-back": (1, facts.WoundBack),
    "whole-play-read": (1, facts.WholePlayRead),
    "item-counted": (1, facts.ItemCounted),
    "torque-done": (1, facts.TorqueDone),
    "after-step-done": (1, facts.AfterStepDone),
    "spot-checked": (1, facts.SpotChecked),
    "repeat-begun": (1, facts.RepeatBegun),
    "repeat-ended": (1, facts.RepeatEnded),
    "noted": (1, facts.Noted),
    "paused": (1, facts.Paused),
    "resumed": (1, facts.Resumed),
    "step-undone": (1, facts.StepUndone),
    "closed": (1, facts.Closed),
    "corrected": (1, facts.Corrected),
    "set-aside": (1, facts.SetAside),
}
"""Every tag with its newest version and its type. A tag, once written, is never reused."""

_TAG_OF = {kind: tag for tag, (_, kind) in TAGS.items()}

OLD_DIGITS = 8
"""The checksum of an older line has so many hex digits."""

MOST_REMEMBERED = 128
"""So many sheets, blade sets and feelers are remembered while session after session is read."""


class UndecodableLine(BenchError):
    """A line that is damaged, or written by a newer program; never skipped."""


@cache
def converter() -> Converter:
    """The converter between frozen values and plain JSON data.

    Imported late: its import costs as much as a tenth of the program's start.
    """
    from cattrs import Converter

    made = Converter(forbid_extra_keys=True, detailed_validation=False)
    made.register_unstructure_hook(Length, attrgetter("nm"))
    made.register_structure_hook(Length, lambda nm, _: Length(nm))
    made.register_unstructure_hook(Fraction, fraction_text)
    made.register_structure_hook(Fraction, lambda text, _: fraction_of(text))
    made.register_unstructure_hook(datetime, datetime.isoformat)
    made.register_structure_hook(datetime, lambda text, _: datetime.fromisoformat(text))
    made.register_unstructure_hook(date, date.isoformat)
    made.register_structure_hook(date, lambda text, _: date.fromisoformat(text))
    made.register_structure_hook_func(_is_enum, lambda v, kind: kind(v))
    made.register_unstructure_hook_func(_is_enum, attrgetter("_value_"))
    # cattrs coerces by calling the type; a record with the wrong primitive is damaged instead.
    for primitive in (bool, int, str):
        made.register_structure_hook(primitive, _exactly)
    for kind in (Sheet, BladeSet, Feeler):
        made.register_structure_hook(kind, _remembering(made, kind))
    return made


@cache
def _maker(tag: str) -> Callable[[Any, Any], Any]:
    """What makes the fact of a tag; looking it up at each line costs as much as making one."""
    return converter().get_structure_hook(TAGS[tag][1])


def fraction_text(value: Fraction) -> str:
    """``n/d``, with a space and the unit that it was typed in where that is not our own."""
    return f"{value} {value.unit}" if isinstance(value, Typed) else str(value)


def fraction_of(text: str) -> Fraction:
    """The figure of such a text.

    Raises:
        ValueError: it is none.
    """
    if text.isdecimal():  # as nearly always; a whole number is read several times as fast
        return Fraction(int(text))
    figure, _, unit = text.partition(" ")
    return Typed(Fraction(figure), unit) if unit else Fraction(figure)


def _remembering(made: Converter, kind: type[Any]) -> Callable[[Any, Any], Any]:
    """Structures a frozen copy that stands alike in session after session but once.

    Two are alike where their plain data are, to the letter; whatever is wrong with one raises each time.
    """
    structure = made.get_structure_hook(kind)

    @lru_cache(maxsize=MOST_REMEMBERED)
    def of_plain(plain: bytes) -> Any:
        return structure(marshal.loads(plain), kind)  # noqa: S302  # made below

    # Any key that tells true from 1 and 1 from 1.0 would do; this one is made fastest.
    return lambda data, _: of_plain(marshal.dumps(data, 0))


def _is_enum(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, Enum)


def _exactly(value: Any, kind: type[Any]) -> Any:
    if kind is str and isinstance(value, str):
        return str(value)  # a sentence is kept as its text
    if type(value) is not kind:
        raise ValueError(f"found {value!r}, wanted {kind.__name__}")  # damage, not a slip in code
    return value


def encode(event: Event, after: str = "") -> str:
    """The event as one line, without its line end; ``after`` is the checksum of the line before."""
    tag = _TAG_OF[type(event.fact)]
    document = {
        "n": event.number,
        "at": event.at.isoformat(),
        "tag": tag,
        "v": TAGS[tag][0],
        "data": converter().unstructure(event.fact),
    }
    body = json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return f"{chained(body, after)} {body}"


def encoded(events: Iterable[Event]) -> bytes:
    """A whole session file."""
    lines = [""]
    for event in events:
        lines.append(encode(event, checksum_of(lines[-1])))
    return "".join(f"{line}\n" for line in lines[1:]).encode()


def checksum_of(line: str) -> str:
    """The checksum that a line begins with."""
    return line.partition(" ")[0]


def decode(line: str, after: str = "") -> Event:
    """The event of one line; ``after`` is the checksum of the line before.

    Raises:
        UndecodableLine: the checksum does not fit, the tag or version is unknown, or the data are
            not what the tag wants.
    """
    found, _, body = line.partition(" ")
    is_old = len(found) == OLD_DIGITS
    if is_old and len(after) > OLD_DIGITS:
        raise UndecodableLine("the checksum is of the old kind, after one of the new")
    if found != (checksum(body) if is_old else chained(body, after)):
        raise UndecodableLine("the checksum does not fit")
    try:
        document = json.loads(body)
        tag, version = document["tag"], document["v"]
        known = TAGS.get(tag)
        if known is None:
            raise UndecodableLine(f"unknown tag {tag!r}: written by a newer benchtui?")
        if version != known[0]:
            raise UndecodableLine(
                f"unknown version {version!r} of {tag!r}; this one reads {known[0]}"
            )
        fact: Fact = _maker(tag)(document["data"], known[1])
        at = datetime.fromisoformat(document["at"])
        return Event(int(document["n"]), at, fact)
    except UndecodableLine:
        raise
    except Exception as error:  # whatever odd JSON provokes, it is one damaged line
        raise UndecodableLine(f"the data do not fit: {error}") from error


def chained(body: str, after: str) -> str:
    """BLAKE2b of the checksum before, a space and the body, 16 lower-case hex digits."""
    text = f"{after} {body}".encode("utf-8", "surrogatepass")
    return hashlib.blake2b(text, digest_size=8).hexdigest()


def checksum(body: str) -> str:
    """CRC-32 of the UTF-8 bytes, eight lower-case hex digits: that of an older line."""
    return f"{zlib.crc32(body.encode('utf-8', 'surrogatepass')):08x}"
