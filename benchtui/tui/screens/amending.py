"""Putting a filed session right: what, the right figure, and why; a short question each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from benchtui.domain.errors import BenchError
from benchtui.domain.session.facts.commands import Command
from benchtui.text.reading.amend_file import command_of
from benchtui.text.words.doubt_words import doubt_words
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import WorkScreen
from benchtui.workshop import Workshop


@dataclass(frozen=True, slots=True)
class _Offer:
    """One thing to put right: the word of its line, how it is offered and asked for, and a hint."""

    word: str
    offered: str
    question: str = ""
    hint: str = ""


_OFFERS = {
    "1": _Offer("day", "the day", "On which day was it?", "2026-05-01"),
    "2": _Offer(
        "odometer", "the odometer", "What did the odometer show?", "61 500 km, or 38 200 mi"
    ),
    "3": _Offer("hours", "the hour meter", "What did the hour meter show?", "310"),
    "4": _Offer("metal", "the metal's temperature", "How warm was the metal?", "19 C, or 66 F"),
    "5": _Offer("who", "who it was", "Who was at the engine?", "M."),
    "6": _Offer("engine", "the engine"),
    "7": _Offer("note", "add a note", "What is there to note?", "the gasket wept"),
    "8": _Offer("aside", "set it aside: it counts for nothing, and stays in sight"),
    "9": _Offer("undo", "take the latest of these back"),
}

WHY = "Why? It stands beside the figure from now on."
MOST = 9


class Amending:
    """The questions for one session on a screen; ``done`` is told the id once something was written."""

    def __init__(self, screen: WorkScreen, session: str, done: Callable[[str], None]) -> None:
        self._screen, self._session, self._done = screen, session, done

    @property
    def _workshop(self) -> Workshop:
        return self._screen.program.workshop

    def ask(self) -> None:
        """What is to be put right?"""
        answers = {key: offer.offered for key, offer in _OFFERS.items()}
        self._screen.app.push_screen(Choose("What is to be put right?", answers), self._chosen)

    def note(self) -> None:
        """Add a note, and nothing else."""
        self._chosen(next(key for key, offer in _OFFERS.items() if offer.word == "note"))

    def _chosen(self, key: str | None) -> None:
        if key is None:
            return
        offer = _OFFERS[key]
        if offer.word == "undo":
            self._write("undo", "", "")
        elif offer.word == "aside":
            self._why("aside", "")
        elif offer.word == "engine":
            self._which_engine()
        else:
            self._value(offer)

    def _value(self, offer: _Offer) -> None:
        def typed(text: str | None) -> None:
            if text is None:
                return
            if offer.word == "note":
                self._write(offer.word, text, "")
            else:
                self._why(offer.word, text)

        asked = Ask(
            offer.question,
            hint=offer.hint,
            check=lambda text: self._command(offer.word, text, "?"),
            doubt=lambda text: self._doubt(offer.word, text),
        )
        self._screen.app.push_screen(asked, typed)

    def _which_engine(self) -> None:
        fitting = self._workshop.open_sessions.fitting(self._session)
        if not fitting:
            self._screen.say("No other engine has the same valves: set it aside instead.")
            return
        keys = dict(zip("123456789", fitting[:MOST], strict=False))

        def chosen(key: str | None) -> None:
            if key is not None:
                self._why("engine", keys[key].key)

        answers = {key: sheet.name for key, sheet in keys.items()}
        self._screen.app.push_screen(Choose("Which engine was it?", answers), chosen)

    def _why(self, word: str, value: str) -> None:
        def typed(text: str | None) -> None:
            if text is not None:
                self._write(word, value, text)

        def doubt(text: str) -> str:
            del text  # whatever the reason: the engine was only just chosen, and not doubted yet
            return self._doubt(word, value) if word == "engine" else ""

        asked = Ask(
            WHY, check=lambda text: self._would(self._command(word, value, text)), doubt=doubt
        )
        self._screen.app.push_screen(asked, typed)

    def _command(self, word: str, value: str, why: str) -> Command:
        return command_of(word, value, why, self._workshop.engines.sheet)

    def _would(self, command: Command) -> None:
        """Raise what the session itself has against it; nothing is written."""
        self._workshop.open_sessions.amended(self._session, (), command)

    def _doubt(self, word: str, value: str) -> str:
        if word not in ("day", "odometer", "hours", "engine"):
            return ""
        _, odd = self._workshop.open_sessions.amended(
            self._session, (), self._command(word, value, "?")
        )
        return " ".join(map(doubt_words, odd))

    def _write(self, word: str, value: str, why: str) -> None:
        try:
            session = self._workshop.open_sessions.amend(
                self._session, self._command(word, value, why)
            )
        except BenchError as error:
            self._screen.say(error_words(error), alarm=True)
            return
        self._done(session)
