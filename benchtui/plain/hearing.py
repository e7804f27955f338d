"""What one typed line asks for at the bench, as the step in force has it, else as it is written down.

A line is read the way a written-down session is, with the valve in hand before it where it names none.
"""

from __future__ import annotations

import re

from benchtui.domain.blades import Feeler
from benchtui.domain.errors import Unable
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.session.facts.commands import (
    CheckSpot,
    Command,
    ConfirmPosition,
    StrikeReading,
)
from benchtui.domain.session.facts.events import (
    Crank,
    CrankTurned,
    Evidence,
    ItemCounted,
    Locked,
    Particulars,
    ParticularsEntered,
    PositionDoubted,
    ReadingTaken,
    Resumed,
    ScrewSetOn,
    ShimFitted,
    Sign,
    SignSeen,
)
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.whole.next_stop import evidence_for
from benchtui.domain.spelling import meant
from benchtui.plain.asking import done, is_done
from benchtui.replay_script import command_of, deed_at
from benchtui.text.pages.before_page import MetalTold, read_band, read_distance, read_metal
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.counts import read_counts
from benchtui.text.reading.script import ByStops, OnDay, UseBlades, UseSheet, is_word, shim_of
from benchtui.text.words.stamped import inch_set, typed_marks
from benchtui.text.words.told import feeler_of

Commands = tuple[Command, ...]

ANSWERS = {
    "s": "refuses", "j": "refuses", "refuses": "refuses", "refuse": "refuses", "refused": "refuses",
    "d": "drag", "k": "drag", "drag": "drag", "drags": "drag",
    "f": "free", "l": "free", "free": "free", "goes free": "free",
    "forced": "forced", "force": "forced", "only by force": "forced",
}  # fmt: skip
"""The keys of the bench, either hand's, and the words; by force counts as refuses."""

_AT_VALVE = (
    "turn", "lock", "set", "looked", "measured", "shim", "pad", "blind", "strike", "move", "whole",
    "spot",
)  # fmt: skip
"""Words of a written-down session that want a valve before them."""

_WITH_BLADE = ("set", "strike", "spot", "whole")
"""Those that a blade follows."""

_CRANK = {"1": Crank.UNMOVED, "no": Crank.UNMOVED, "2": Crank.MOVED, "yes": Crank.MOVED}
_CRANK |= {c.value: c for c in Crank} | {"3": Crank.UNSURE, "not sure": Crank.UNSURE}

_SIGNS = {s.value: s for s in Sign} | {"still": Sign.STAYS}


def valve_named(words: str, state: State) -> tuple[str, str]:
    """The valve that the line begins with, as the sheet spells it ("" for none), and the rest."""
    first, _, rest = words.partition(" ")
    return meant(first, state.valves) or "", rest.strip()


def at_step(  # noqa: C901, PLR0912  # one case a step
    step: k.NextStep, words: str, state: State, seen: set[Evidence]
) -> Commands | None:
    """What an answer to the step's own question records; None where it answers something else.

    Raises:
        BenchError: it is an answer, and cannot be taken.
    """
    words = words.lower()
    if is_done(step, words):
        return done(step) or None
    match step:
        case k.Resume() if words in _CRANK:
            return (Resumed(_CRANK[words]),)
        case k.LockIt() if words == "torqued":
            return (Locked(step.valves[0], torqued=True),)
        case k.ConfirmCrank() | k.TurnCrankTo() | k.LookPast():
            return _at_crank(step, words, state, seen)
        case k.Tell(what=k.ToTell.METAL) | k.Wait():
            return _metal(words)
        case k.Tell(what=k.ToTell.BAND):
            return (read_band(words),) if words == "figure" or words[:1].isdigit() else None
        case k.Tell(valve=valve) if valve is not None and words[:1].isdigit():
            size, measured, _ = shim_of(words)
            return (ShimFitted(valve, size, measured, found=True),)
        case k.Settle(valve=valve) if words == "strike all":
            live = reversed(state.valves[valve].current.live)
            return tuple(StrikeReading(valve, taken.reading.feeler) for taken in live)
        case k.SetOnBlade(otherwise=turn) if turn is not None and words == "turned":
            return done(turn)
        case k.SetOnBlade(valve=valve, feeler=feeler) if words in ("locked", "torqued"):
            return (ScrewSetOn(valve, feeler), Locked(valve, words == "torqued"))
        case k.TurnBy(otherwise=held) if held is not None and words == "set":
            return done(held)
        case k.CloseUp(part=k.ClosePart.COUNT_OUT) if words[:1].isdigit():
            return tuple(ItemCounted(item, n, inwards=False) for n, item in _counts(words, state))
        case _:
            return None


def _counts(words: str, state: State) -> tuple[tuple[int, str], ...]:
    """How many of what; an item that went in may be named without its last letter."""
    inside = tuple(state.short)
    return tuple((n, meant(item, inside) or item) for n, item in read_counts(words))


def _metal(words: str) -> Commands | None:
    if words == "hot":
        return (ParticularsEntered(Particulars(at_heat=True)),)
    if not re.match(r"[-+]?\d|overnight", words) or re.match(r"0\.\d+\S* \D", words):
        return None  # 66 F is a temperature, 0.12 f a blade that goes free
    metal: MetalTold = read_metal(words)
    return (ParticularsEntered(Particulars(metal_c=metal.metal_c, stood_hours=metal.stood)),)


def _at_crank(
    step: k.ConfirmCrank | k.TurnCrankTo | k.LookPast, words: str, state: State, seen: set[Evidence]
) -> Commands | None:
    stands = state.place.confirmed.cylinder if state.place is not None else ""
    cylinder = step.cylinder if isinstance(step, k.LookPast) else step.stop.cylinder
    if words in ("doubt", "x"):
        return (PositionDoubted(state.doubted or stands or cylinder),)
    if words in _SIGNS:
        return (SignSeen(state.doubted or stands or cylinder, _SIGNS[words]),)
    if isinstance(step, k.LookPast):
        return None
    if isinstance(step, k.TurnCrankTo) and step.forward is not None:
        return (CrankTurned(measure.angle(words)),) if words[:1].isdigit() else None
    found = _signs(words, evidence_for(state, step.stop))
    if found is None:
        return None
    seen |= set(found)
    pieces = tuple(e for e in evidence_for(state, step.stop) if e in seen)
    if len(pieces) == 1:
        return ()
    return (ConfirmPosition(step.stop.cylinder, pieces, step.stop.angle),)


def _signs(words: str, offered: tuple[Evidence, ...]) -> tuple[Evidence, ...] | None:
    """The signs named by their numbers or their words; None where the line is about something else."""
    by_name = {e.value: e for e in offered} | {str(n): e for n, e in enumerate(offered, start=1)}
    parts = re.findall(r"\d|[^\s\d,]+", words)
    if not parts or not all(part in by_name or part.isdigit() for part in parts):
        return None
    if wrong := [part for part in parts if part not in by_name]:
        raise FaultyQuantity(measure.quoted(" ".join(wrong)), f"numbers from 1 to {len(offered)}")
    return tuple(dict.fromkeys(by_name[part] for part in parts))


def blade_of(words: str, state: State) -> tuple[Feeler | None, str]:
    """A blade, and the answer after it ("" for none), in the unit that its set is stamped in.

    No blade where the line does not begin with a figure. Raises FaultyQuantity where it does and no
    blade can be read.
    """
    text = re.sub(r"^(blade|on)\s+", "", words, flags=re.IGNORECASE)
    if not re.match(r"\.?\d", text):
        return None, ""
    answer = ""
    for known in sorted(ANSWERS, key=len, reverse=True):
        if text.lower().endswith(f" {known}"):
            text, answer = text[: -len(known)].strip(), ANSWERS[known]
            break
    blades = state.opened.blades
    return blades.feeler(*typed_marks(text, inch=inch_set(blades))), answer


def reading(step: k.NextStep, valve: str, feeler: Feeler, word: str) -> Command:
    """The reading that an answer at a blade is; of a spot-check one once more."""
    answer = Answer.REFUSES if word == "forced" else Answer(word)
    if isinstance(step, k.SpotCheck) and step.valve == valve and step.spot.feeler == feeler:
        return CheckSpot(valve, feeler, answer)
    return ReadingTaken(valve, feeler, answer, forced=word == "forced")


def in_hand(step: k.NextStep, chosen: Feeler | None) -> Feeler:
    """The blade chosen, else the one that the step wants tried.

    Raises:
        Unable: neither.
    """
    feeler = chosen or feeler_of(step)
    if feeler is None:
        raise Unable("No blade is in hand.", "Say which, as in 0.10 refuses.")
    return feeler


def written(words: str, valve: str, state: State) -> Command:
    """What a line of a written-down session asks for, the valve in hand before it where it lacks one.

    Raises:
        BenchError: it cannot be read, or is none of the bench's.
    """
    first, _, rest = words.partition(" ")
    first = first.lower()
    if first == "on":
        first = "set"
    elif first in ("out", "in"):
        first, rest = "turn", words.lower()
    elif first == "locked":
        first = "lock"
    told = _metal(rest.lower()) if first == "metal" else None
    if told is not None:
        return told[0]
    if first == "odometer":
        return ParticularsEntered(Particulars(odometer_km=read_distance(rest)))
    if first in _WITH_BLADE and inch_set(state.opened.blades):
        rest = _with_units(rest)
    line = f"{first} {rest}".strip()
    if first in _AT_VALVE and not (first == "set" and rest.startswith("by ")):
        line = f"{valve} {line}"
    elif not is_word(first):
        raise FaultyQuantity(measure.quoted(words), "an answer to what is asked, or: help")
    deed = deed_at(line, state.opened.sheet)
    if isinstance(deed, UseSheet | UseBlades | OnDay | ByStops):
        raise Unable("That is told before a check begins.", "Leave, and begin another.")
    return command_of(deed, state.opened.blades)


def _with_units(rest: str) -> str:
    """The same with bare figures as inches, as typed beside an inch set."""

    def inches(found: re.Match[str]) -> str:
        typed_marks(found[1], inch=True)  # refuses what no inch leaf can be
        return f"{found[1]} in"

    return re.sub(r"(?<![\w.])(\.?\d[\d.]*)(?=\s*(\+|$|\s(?!in|mm|thou)))", inches, rest)
