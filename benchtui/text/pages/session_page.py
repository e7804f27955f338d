"""The card of a session, and the page for whoever goes on, in whichever form is asked for.

One function for the command and for the program, so that both write the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, assert_never

from benchtui.domain.history.due import Due
from benchtui.domain.session.facts.events import Event
from benchtui.domain.session.steps.fold import fold
from benchtui.text.pages.card import card_of, card_text
from benchtui.text.pages.card_html import card_html, handover_html
from benchtui.text.pages.card_markdown import card_markdown, handover_markdown
from benchtui.text.pages.handover import handover_of, handover_text

Form = Literal["text", "markdown", "html"]

ENDING: dict[Form, str] = {"text": ".txt", "markdown": ".md", "html": ".html"}
"""What the names of such files end in."""


def card_page(
    events: Sequence[Event], due: Due | None, damage: str, workshop: tuple[str, ...], form: Form
) -> str:
    """The card of a session; the arguments are those of ``card_of``."""
    card = card_of(fold(events), due, damage, events, workshop)
    match form:
        case "text":
            return card_text(card)
        case "markdown":
            return card_markdown(card)
        case "html":
            return card_html(card)
        case _:
            assert_never(form)


def handover_page(events: Sequence[Event], form: Form) -> str:
    """The page for whoever goes on with a session."""
    state = fold(events)
    match form:
        case "text":
            return handover_text(state)
        case "markdown":
            return handover_markdown(handover_of(state))
        case "html":
            return handover_html(handover_of(state))
        case _:
            assert_never(form)
