"""Practice: the ordinary bench on an engine that is not real."""

from __future__ import annotations

from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length
from benchtui.domain.sheet import Sheet
from benchtui.text.pages.before_page import asks_band
from benchtui.text.quantities import measure
from benchtui.tui.ask import Ask
from benchtui.tui.frame import WorkScreen

ASKED = "No tolerance is printed for this engine. Your own band either side, for practice, in mm or thou?"


TOUR_ENGINE = "quay-pump"
"""A plain single, whoever else has one of that name: the tour is on the example that ships."""

TOUR = (
    "The same bench on a pump that is not real; a drawn hand tries the blades. Nothing is kept.",
    "1  The engine: its sheet has the figures and says which page they are from.",
    "2  Cold: how warm the metal is, or that it has stood overnight.",
    "3  The crank: turn by hand to the place in tall letters; two different signs confirm it.",
    "4  Refuses: the blade does not go, or only by force. S.",
    "5  Free: it goes, and nothing holds it. F.",
    "6  Drags: it goes with a light, even pull. D.",
    "7  Out of range: the screw is turned as shown, on a blade or by degrees.",
    "8  Again after the lock: the nut moves the screw, so the valve is measured once more.",
    "9  Closing up: what is missing, torques, rags counted out.",
    "10 At the end it says what was true, valve by valve, beside what you found.",
)


def tour(screen: WorkScreen) -> None:
    """What is coming, then the tour on the example."""
    from benchtui.tui.screens.reasons import ReadScreen

    def begin(_: object) -> None:
        practise(screen, screen.program.workshop.example(TOUR_ENGINE))

    screen.app.push_screen(ReadScreen("The tour in ten steps", list(TOUR)), begin)


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
        "Practice: no real engine, nothing is kept. At the bench Enter lets the practice hand try a blade."
    )
