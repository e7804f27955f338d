"""Practice: the ordinary bench on an engine that is not real."""

from __future__ import annotations

from benchtui.domain.errors import BenchError, Unable
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.sheet import Sheet
from benchtui.text.pages.before_page import MetalTold, asks_band, metal_told, read_metal
from benchtui.text.pages.sheet_page import sheet_page
from benchtui.text.quantities import measure
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import WorkScreen

ASKED = "No tolerance is printed for this engine. Your own band either side, for practice, in mm or thou?"

COLD_HAND = "15"
"""Degrees Celsius that the drawn hand's thermometer shows."""


def tour(screen: WorkScreen) -> None:
    """Its first two steps, the engine and the cold metal; then the bench itself."""
    from benchtui.practice.tour import ENGINE, MARK, begin_tour

    program = screen.program
    sheet = program.workshop.engines.example(ENGINE)
    first = f"{MARK}. Step 1 of 10: the engine."
    second = f"{MARK}. Step 2 of 10: cold? The thermometer in the drawn hand shows {COLD_HAND} C."

    def cold(text: str) -> MetalTold:
        """The metal as it is on the thermometer: nothing is measured warm."""
        metal = read_metal(text)
        good, fault = metal_told(sheet, Particulars(metal_c=metal.metal_c, stood_hours=metal.stood))
        if metal.metal_c is None or not good:
            raise Unable(fault or "The thermometer is at hand.", f"Type {COLD_HAND}, then Enter.")
        return metal

    def told(text: str | None) -> None:
        metal_c = None if text is None else cold(text).metal_c
        if metal_c is None:
            return
        try:
            program.begin(begin_tour(program.workshop, metal_c))
        except BenchError as error:
            screen.say(error_words(error), alarm=True)

    def read(key: str | None) -> None:
        if key == "on":
            screen.app.push_screen(Ask(second, hint="15, or 59 F", check=cold), told)

    lines = [*sheet_page(sheet, _WIDE).splitlines()[2:_SHEET_LINES], "", *EACH_STEP]
    go_on = {"on": "read: on to the cold metal", "leave": "leave the tour"}
    screen.app.push_screen(Choose(first, go_on, "\n".join(lines), enter="on"), read)


EACH_STEP = (
    "Two rows at the top say what a drawn hand meets, and which key that is.",
    "Press the key yourself; Enter lets the hand do it. Nothing is kept.",
)
_SHEET_LINES, _WIDE = 10, 60
"""As many as a low screen has room for beside the question."""


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
    blades = workshop.reviews.usual_blades(sheet)
    if blades is None:
        screen.say("There is no sound set of blades to practise with.", alarm=True)
        return
    last = workshop.past_sessions.last_row(sheet.key)
    who = last.who if last is not None and last.who else WHO
    try:
        live = rehearse(workshop, sheet, blades, who=who, own_band=own_band)
    except BenchError as error:
        screen.say(error_words(error), alarm=True)
        return
    program.begin(live)
    program.tell(
        "Practice: no real engine, nothing is kept. At the bench Enter lets the practice hand try a blade."
    )
