"""The circumstances of a session, told or told again while it runs."""

from __future__ import annotations

from collections.abc import Callable

from benchtui.domain.session.facts.commands import Command
from benchtui.domain.session.facts.events import FigureChosen, Particulars, ParticularsEntered
from benchtui.text.pages.before_page import read_band
from benchtui.text.quantities import measure
from benchtui.text.words.doubt_words import doubt_words
from benchtui.tui.ask import Ask, Choose
from benchtui.tui.frame import WorkScreen

_METAL, _ODOMETER, _HOURS, _WHO, _BAND, _STOOD, _HEAT = "1234567"

_ASKED = {
    _METAL: ("the metal's temperature now", "19 C, or 66 F"),
    _ODOMETER: ("the odometer", "12 400 km, or 7 700 mi"),
    _HOURS: ("the hour meter", "310"),
    _WHO: ("who is at the engine", "M."),
    _BAND: ("your own band, either side of a single figure", "0.03 mm, or: figure"),
    _STOOD: ("how long it has stood", "12 h"),
    _HEAT: ("whether it is at running heat", "yes, or no"),
}


def ask_band(screen: WorkScreen) -> None:
    """One figure is printed and no tolerance: how it is to be judged is its owner's to say."""

    def typed(text: str | None) -> None:
        if text and text.strip():
            screen.do(read_band(text.strip()))

    def chosen(key: str | None) -> None:
        if key == "1":
            screen.do(FigureChosen())
        elif key == "2":
            words, hint = _ASKED[_BAND]
            ask = Ask(f"Tell {words}", hint=hint, check=lambda text: read_band(text.strip()))
            screen.app.push_screen(ask, typed)

    answers = {
        "1": "on the figure: its leaf drags, or goes and the next one up refuses",
        "2": "by my own band, so much either side",
    }
    screen.app.push_screen(Choose("One figure, no tolerance: how is it judged?", answers), chosen)


def ask_circumstances(screen: WorkScreen) -> None:
    """Ask which, then the figure; it is recorded as a step."""

    def chosen(key: str | None) -> None:
        if key is None:
            return
        words, hint = _ASKED[key]

        def typed(text: str | None) -> None:
            if text and text.strip():
                screen.do(_COMMANDS[key](text.strip()))

        def doubt(text: str) -> str:
            told, state = _COMMANDS[key](text.strip()), screen.program.session_state
            live = screen.program.live
            if not isinstance(told, ParticularsEntered) or state.opened.practice or live is None:
                return ""
            odd = screen.program.workshop.reviews.doubts(
                state.opened.sheet, told.particulars, without=live.session
            )
            return " ".join(map(doubt_words, odd))

        asked = Ask(f"Tell {words}", hint=hint, check=_check(key), doubt=doubt)
        screen.app.push_screen(asked, typed)

    answers = {key: words for key, (words, _) in _ASKED.items()}
    screen.app.push_screen(Choose("What is there to tell?", answers), chosen)


def _check(key: str) -> Callable[[str], object]:
    return lambda text: _COMMANDS[key](text.strip())


_COMMANDS: dict[str, Callable[[str], Command]] = {
    _METAL: lambda text: ParticularsEntered(
        Particulars(metal_c=measure.temperature(text, bare=True))
    ),
    _ODOMETER: lambda text: ParticularsEntered(Particulars(odometer_km=measure.distance_km(text))),
    _HOURS: lambda text: ParticularsEntered(Particulars(hours=measure.hours(text, bare=True))),
    _WHO: lambda text: ParticularsEntered(Particulars(who=text)),
    _BAND: read_band,
    _STOOD: lambda text: ParticularsEntered(
        Particulars(stood_hours=measure.hours(text, bare=True))
    ),
    _HEAT: lambda text: ParticularsEntered(Particulars(at_heat=measure.yes(text))),
}
