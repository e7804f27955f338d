"""``benchtui card SESSION``: a session on one page."""

from __future__ import annotations

import sys

from benchtui.commands.shop import shop_to_read
from benchtui.domain.errors import Unable, shortened
from benchtui.text.pages.session_page import Form
from benchtui.text.quantities.show import inert
from benchtui.workshop import Workshop

MOST_LISTED = 8
"""How many ids are named where the part given fits several."""


def run_card(data: str | None, session: str, *, form: Form = "text", handover: bool = False) -> int:
    """Print the card of one session, or of the latest of an engine.

    Raises:
        Unable: no session has this id and no engine this name, or several have that part in theirs.
    """
    workshop = shop_to_read(data)
    named = session_named(workshop, session)
    if handover:
        print(workshop.reviews.handover(named, form))
        return 0
    print(workshop.reviews.card(named, form))
    if wrong := workshop.reviews.workshop_faults():
        print(f"benchtui: {inert(wrong)}", file=sys.stderr)
    return 1 if wrong else 0


def session_named(workshop: Workshop, part: str) -> str:
    """The one session whose id is, or holds, ``part``; the newest for ``last``, or of an engine.

    Raises:
        Unable: there is none, or more than one.
    """
    rows = workshop.past_sessions.rows()
    ids = [row.session for row in rows]
    if not ids:
        raise Unable("There are no stored sessions yet.")
    if part == "last":
        return ids[0]
    if (of := [r.session for r in rows if part in (r.engine, r.engine_name)]) and part not in ids:
        return of[0]
    found = [i for i in ids if i == part] or [i for i in ids if part and part in i]
    if not found:
        raise Unable(
            f"No session has {inert(shortened(part))!r} in its id.", "benchtui export lists them."
        )
    if len(found) > 1:
        more = f" and {len(found) - MOST_LISTED} more" if len(found) > MOST_LISTED else ""
        listed = ", ".join(found[:MOST_LISTED])
        raise Unable(f"{inert(shortened(part))!r} fits {len(found)} sessions: {listed}{more}.")
    return found[0]
