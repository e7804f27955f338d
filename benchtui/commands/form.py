"""``benchtui form ENGINE``: a blank form to fill in at the engine, and then to replay."""

from __future__ import annotations

from benchtui.commands.folder import folder_to_look_in
from benchtui.domain.errors import Unable
from benchtui.domain.session.steps.decide import check_sheet
from benchtui.store.clock import wall_clock
from benchtui.text.pages.form import blank_form
from benchtui.workshop import Workshop


def run_form(data: str | None, engine: str, blades: str | None) -> int:
    """Print the form.

    Raises:
        FaultyInput: the sheet or the blade set cannot be used.
        Unable: the engine has nothing to measure, or no blade set was named among several and none
            was ever used.
    """
    workshop = Workshop(folder_to_look_in(data), wall_clock)
    sheet = workshop.engines.sheet(workshop.engines.sheet_key(engine))
    check_sheet(sheet)
    names = workshop.engines.blade_names()
    used = any(row.blades in names for row in workshop.past_sessions.rows() if row.counts)
    if blades is None and used:
        blades = workshop.reviews.usual_blades(sheet)
    if blades is None and len(names) != 1:
        raise Unable("Name a blade set with --blades.", f"There are {', '.join(names)}.")
    chosen = blades if blades is not None else names[0]
    print(blank_form(sheet, chosen, workshop.engines.blades(chosen)), end="")
    return 0
