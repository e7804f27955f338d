"""Before a check, asked line by line: how cold, what the counter shows, who, which blades, the cautions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.errors import BenchError, Unable
from benchtui.domain.history.glance import checks_of, watched
from benchtui.domain.history.usage import Meter
from benchtui.domain.session.facts.commands import Command
from benchtui.domain.session.facts.events import (
    BandChosen,
    CautionAcknowledged,
    FigureChosen,
    ItemCounted,
    Particulars,
)
from benchtui.domain.session.whole.readiness import UNREAD
from benchtui.domain.sheet import Condition, Sheet
from benchtui.text.pages.before_page import (
    MetalTold,
    ahead_lines,
    asks_band,
    band_words,
    better_words,
    blades_told,
    metal_told,
    read_band,
    read_distance,
    read_hours,
    read_metal,
)
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import inert
from benchtui.text.reading.counts import read_counts
from benchtui.text.words.doubt_words import doubt_words, last_words
from benchtui.text.words.refusals import error_words
from benchtui.workshop import LiveSession, Workshop

Say = Callable[[str], None]
Read = Callable[[], str | None]

OUTRANK = "The manufacturer's manual and local rules outrank this program."


class InputEnded(Exception):  # no error: the person, or the pipe, has gone
    """Nothing more is typed."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """One question; ``kept`` is what an empty line stands for, ``taken`` reads the answer."""

    name: str
    words: str
    kept: str
    taken: Callable[[str], object]


class Form:
    """The questions before a check of one engine."""

    def __init__(self, workshop: Workshop, sheet: Sheet, say: Say, read: Read) -> None:
        self._workshop, self._sheet, self._say, self._read = workshop, sheet, say, read
        self._cautions = tuple(c for c in cautions(CautionAt.BEFORE, sheet) if c != OUTRANK)

    def begin(self) -> LiveSession:
        """Ask everything, then begin the check on disk.

        Raises:
            InputEnded: before all was answered; nothing was begun.
            BenchError: it could not be begun.
        """
        self._say(f"{self._sheet.name}: a new check. {OUTRANK}")
        if wrong := self._workshop.reviews.workshop_faults():
            self._say(inert(wrong))
        self._say("An empty line keeps what is said. back: the question before.")
        told = self._answers()
        particulars = self._particulars(told)
        for line in ahead_lines(
            self._sheet,
            watched(checks_of(self._workshop.past_sessions.records(self._sheet.key))),
            self._workshop.engines.blades(str(told["blades"])),
            fewest=told.get("stops") is True,
        ):
            self._say(line)
        self._say_cautions()
        opened = self._workshop.opening(
            self._sheet, str(told["blades"]), particulars, fewest=told.get("stops") is True
        )
        live = self._workshop.open_sessions.open(opened)
        for command in self._commands(told, particulars):
            live.bench.do(command)
        return live

    def _questions(self) -> list[_Asked]:
        shop, sheet = self._workshop, self._sheet
        last, before = shop.past_sessions.last_row(sheet.key), shop.reviews.last_told(sheet)
        who = (last.who if last is not None else "") or shop.reviews.last_who()
        asked = [_Asked("metal", _METAL, "", read_metal)]
        if sheet.clearances.condition is Condition.HOT:
            asked.append(_Asked("heat", "At running heat? yes or no.", "", measure.yes))
        for name, words, meter, taken in _COUNTERS:
            stood = last_words(shop.reviews.last_reading(sheet, meter), meter)
            every = sheet.interval
            counts = every is not None and (
                every.hours if meter is Meter.HOURS else every.distance_km
            )
            if not stood and not counts and every is not None:
                continue  # its sheet does not go by this counter; it can be told at the bench
            asked.append(_Asked(name, f"{words}{f' {stood}.' if stood else ''}", "", taken))
        asked.append(_Asked("who", "Who is at the engine?", who, str))
        if asks_band(sheet):
            told = "" if before.band is None else band_words(before.band)
            asked.append(_Asked("band", _BAND, told, read_band))
        sets = [key for key, _, _ in shop.reviews.sound_blades()]
        words = f"Which blades? One of {', '.join(sets)}."
        asked.append(_Asked("blades", words, shop.reviews.usual_blades(sheet) or "", self._blades))
        if len(sheet.layout.cylinders) > 1:
            words = "Crank stops: single, one cylinder at a time; or fewest."
            asked.append(_Asked("stops", words, "single", _stops))
        asked.append(_Asked("laid", _LAID, before.laid_in, _laid))
        return asked

    def _answers(self) -> dict[str, object]:
        questions, told, at = self._questions(), {}, 0
        warned = ""
        while at < len(questions):
            asked = questions[at]
            kept = f" Empty line: {asked.kept}." if asked.kept else " Empty line: not told."
            line = self._line(f"{asked.words}{kept}")
            if line.lower() == "back":
                at = max(0, at - 1)
                continue
            text = line or asked.kept
            if asked.name == "blades" and not text:
                continue  # without blades there is nothing to try
            try:
                told[asked.name] = asked.taken(text) if text else None
            except BenchError as error:
                self._say(f"Not taken: {error_words(error)}.")
                continue
            fault = self._fault(asked.name, told)
            if fault and fault != warned:
                warned = fault
                self._say(fault)
                continue
            at += 1
        return told

    def _fault(self, name: str, told: dict[str, object]) -> str:
        """What is odd about the answer just given; given once more, it is taken."""
        particulars = self._particulars(told)
        hot = self._sheet.clearances.condition is Condition.HOT
        if name == ("heat" if hot else "metal"):
            good, words = metal_told(self._sheet, particulars)
            return "" if good else f"No verdict: {words}. The same again begins all the same."
        if name in ("hours", "odometer"):
            odd = self._workshop.reviews.doubts(self._sheet, particulars)
            return " ".join([*map(doubt_words, odd), "The same again: it is so."]) if odd else ""
        if name == "blades":
            key = str(told[name])
            _, words = blades_told(self._sheet, self._workshop.engines.blades(key))
            self._say(f"{key}: {words}.")
            better = self._workshop.reviews.better_blades(self._sheet, key)
            if better is not None:
                return f"{better_words(better)} The same again takes these."
        return ""

    def _blades(self, text: str) -> str:
        key = self._workshop.engines.blades_key(text)
        self._workshop.engines.blades(key)
        return key

    def _say_cautions(self) -> None:
        """Each is heard; at a first check, each is answered."""
        said = [*([] if self._sheet.source.checked else [UNREAD]), *self._cautions]
        first = self._workshop.past_sessions.last_row(self._sheet.key) is None
        for words in said:
            self._say(f"! {words}")
            if first:
                self._until_yes("Is it so? yes.")
        if not first:
            self._until_yes("Are all of these so? yes begins.")

    def _until_yes(self, words: str) -> None:
        while True:
            try:
                if measure.yes(self._line(words)):
                    return
                self._say("Nothing is opened or turned before it is.")
            except BenchError as error:
                self._say(f"Not taken: {error_words(error)}.")

    def _line(self, words: str) -> str:
        self._say(words)
        line = self._read()
        if line is None:
            raise InputEnded
        return " ".join(line.split())

    def _particulars(self, told: dict[str, object]) -> Particulars:
        metal = told.get("metal")
        metal = metal if isinstance(metal, MetalTold) else MetalTold()
        return Particulars(
            odometer_km=told.get("odometer"),  # type: ignore[arg-type]  # as its reader gave it
            hours=told.get("hours"),  # type: ignore[arg-type]  # same
            metal_c=metal.metal_c,
            who=told.get("who"),  # type: ignore[arg-type]  # same
            stood_hours=metal.stood,
            at_heat=told.get("heat"),  # type: ignore[arg-type]  # same
        )

    def _commands(self, told: dict[str, object], particulars: Particulars) -> list[Command]:
        """The steps behind the answers; where the metal is told not to be cold, that caution is none."""
        good, _ = metal_told(self._sheet, particulars)
        cold = good or (particulars.metal_c is None and particulars.stood_hours is None)
        commands: list[Command] = (
            [] if self._sheet.source.checked else [CautionAcknowledged(UNREAD)]
        )
        commands += [
            CautionAcknowledged(c) for c in (self._cautions if cold else self._cautions[1:])
        ]
        if isinstance(band := told.get("band"), BandChosen | FigureChosen):
            commands.append(band)
        if isinstance(laid := told.get("laid"), tuple):
            commands += [ItemCounted(item, count, inwards=True) for count, item in laid]
        return commands


_METAL = "How warm is the metal? As in 19, or 66 F; or how long it stood, as in 6 h, or overnight."
_BAND = (
    "One figure is printed, no tolerance. Set on the figure, its leaf dragging: figure."
    " Or your own band either side, as in 0.03. Not told, it is asked at the first valve."
)
_LAID = "Laid in or lying open, as in 4 rags, 1 socket?"
_COUNTERS = (
    ("hours", "Hour meter, as in 310?", Meter.HOURS, read_hours),
    ("odometer", "Odometer, as in 12400 (km), or 7700 mi?", Meter.KM, read_distance),
)


def _stops(text: str) -> bool:
    if text.lower() not in ("single", "fewest"):
        raise Unable(f"found {measure.quoted(text)}; wanted single, or fewest")
    return text.lower() == "fewest"


def _laid(text: str) -> tuple[tuple[int, str], ...]:
    counts = read_counts(text)
    if any(item.isdigit() for _, item in counts):
        raise Unable(f"found {measure.quoted(text)}; wanted how many of what, as in 4 rags")
    return counts
