"""Writing the one-page card, or the page for whoever goes on, from any screen that shows a session."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from benchtui.domain.errors import BenchError
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen

if TYPE_CHECKING:
    from benchtui.text.pages.session_page import Form

FORMS: dict[Form, str] = {
    "text": "text",
    "html": "a page for a browser or the printer",
    "markdown": "Markdown",
}


def write_card(screen: WorkScreen, session: str) -> None:
    """Ask in which form, write it and say where it lies."""

    def write(form: Form) -> Path:
        return screen.program.workshop.reviews.write_card(session, form)

    _asked(screen, "The card, as what?", "The card is written", write)


def write_handover(screen: WorkScreen, session: str) -> None:
    """The same of the page for whoever goes on."""

    def write(form: Form) -> Path:
        return screen.program.workshop.reviews.write_handover(session, form)

    _asked(screen, "The page, as what?", "Written", write)


def _asked(screen: WorkScreen, question: str, done: str, write: Callable[[Form], Path]) -> None:
    def chosen(name: str | None) -> None:
        form = next((f for f in FORMS if f == name), None)
        if form is None:
            return
        try:
            path = write(form)
        except BenchError as error:
            screen.say(error_words(error), alarm=True)
            return
        screen.say(f"{done}: {path}")

    answers = {str(form): words for form, words in FORMS.items()}
    screen.app.push_screen(Choose(question, answers, enter="text"), chosen)
