"""Practice: the ordinary bench on an engine that is not real."""

from __future__ import annotations

from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length
from benchtui.domain.sheet import Sheet
from benchtui.text.quantities import measure
from benchtui.tui.ask import Ask
from benchtui.tui.frame import WorkScreen
from benchtui.tui.screens.start import asks_band

ASKED = "No tolerance is printed for this engine. Your own band either side, for practice, in mm or thou?"


def practise(screen: WorkScreen, sheet: Sheet) -> None:
    """Begin a practice session; the owner's band is asked for where none is printed."""
    if not asks_band(sheet):
        _begin(screen, sheet, None)
        return

    def read(text: str) -> Length:
        return measure.length(text, bare_mm=True)

    def typed(text: str | None) -> None:
        if text:
            _begin(screen, sheet, read(text))

    screen.app.push_screen(Ask(ASKED, hint="0.03 mm", check=read), typed)


def _begin(screen: WorkScreen, sheet: Sheet, own_band: Length | None) -> None:
    from benchtui.practice.session import WHO, rehearse

    program = screen.program
    workshop = program.workshop
    blades = workshop.usual_blades(sheet)
    if blades is None:
        screen.say("There is no sound set of blades to practise with.", alarm=True)
        return
    last = workshop.last_row(sheet.key)
    who = last.who if last is not None and last.who else WHO
    try:
        live = rehearse(workshop, sheet, blades, who=who, own_band=own_band)
    except BenchError as error:
        screen.say(str(error), alarm=True)
        return
    program.begin(live)
    program.notify(
        "Practice: no real engine, nothing is kept. At the bench 7 lets the practice hand try a blade."
    )
