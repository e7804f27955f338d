"""``benchtui card SESSION``: a session on one page."""

from __future__ import annotations

from benchtui.commands.shop import shop_to_read
from benchtui.domain.errors import Refusal, shortened
from benchtui.domain.session.steps.fold import fold
from benchtui.text.pages.card import card_of, card_text
from benchtui.text.pages.card_html import card_html
from benchtui.text.pages.card_markdown import card_markdown
from benchtui.text.pages.handover import handover_text
from benchtui.text.quantities.show import inert
from benchtui.workshop import Workshop

MOST_LISTED = 8
"""How many ids are named where the part given fits several."""


def run_card(data: str | None, session: str, *, form: str = "text", handover: bool = False) -> int:
    """Print the card of one session.

    Raises:
        Refusal: no session has this id, or several have that part in theirs.
    """
    workshop = shop_to_read(data)
    past = workshop.past(session_named(workshop, session))
    state = fold(past.events)
    if handover:
        print(handover_text(state))
        return 0
    damage = "" if past.damage is None else f"line {past.damage.line}: {past.damage.reason}"
    due = workshop.due_then(past)
    if form == "html":
        print(card_html(card_of(state, due, damage, past.events)))
    elif form == "markdown":
        print(card_markdown(card_of(state, due, damage, past.events)))
    else:
        print(card_text(state, due, damage, past.events))
    return 0


def session_named(workshop: Workshop, part: str) -> str:
    """The one session whose id is, or holds, ``part``; the newest for ``last``.

    Raises:
        Refusal: there is none, or more than one.
    """
    ids = [row.session for row in workshop.rows()]
    if not ids:
        raise Refusal("There are no stored sessions yet.")
    if part == "last":
        return ids[0]
    found = [i for i in ids if i == part] or [i for i in ids if part and part in i]
    if not found:
        raise Refusal(
            f"No session has {inert(shortened(part))!r} in its id.", "benchtui export lists them."
        )
    if len(found) > 1:
        more = f" and {len(found) - MOST_LISTED} more" if len(found) > MOST_LISTED else ""
        listed = ", ".join(found[:MOST_LISTED])
        raise Refusal(f"{inert(shortened(part))!r} fits {len(found)} sessions: {listed}{more}.")
    return found[0]
