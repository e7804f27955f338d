"""Every picture on one screen, for looking at: ``python -m tests.tui.gallery [page] [svg-file]``.

Pages: bench, setting, crank, wear, big. With a file name the page is written there as a picture, at
COLUMNS by LINES cells in the theme of THEME.
"""

from __future__ import annotations

import asyncio
import os
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path, PurePath
from typing import ClassVar

from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.length import Length
from benchtui.text.words.standing import Standing
from benchtui.tui import themes
from benchtui.tui.keys import footer_text
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.crank_dial import CrankDial, CrankDialPicture, DialMark
from benchtui.tui.widgets.ruler import Bar, Figure, Ruler, RulerPicture, Tried
from benchtui.tui.widgets.slot import Slot, SlotPicture
from benchtui.tui.widgets.trend import AxisPlace, Check, DrawnWedge, Trend, TrendPicture
from benchtui.tui.widgets.valve_map import CylinderSpot, ValveMap, ValveMapPicture, ValveSpot

STYLES = Path(themes.__file__).parent / "styles"


def figure(text: str) -> Figure:
    return Figure(Length.mm(text), text)


def bar(low: str, high: str | None) -> Bar:
    return Bar(Length.mm(low), None if high is None else Length.mm(high))


RULER = Ruler(
    band=(figure("0.06"), figure("0.10")),
    readings=(
        Tried(figure("0.06"), Answer.FREE),
        Tried(figure("0.12"), Answer.REFUSES),
        Tried(figure("0.08"), Answer.DRAG),
        Tried(figure("0.15"), Answer.REFUSES, out="struck"),
    ),
    bracket=bar("0.08", "0.12"),
    widened=bar("0.075", "0.125"),
    bracket_label="between 0.08 and 0.12",
    upcoming=figure("0.10"),
)

FOUR_IN_LINE = ValveMap(
    (
        (
            CylinderSpot(
                "1", (ValveSpot("1I", Standing.IN_RANGE),), (ValveSpot("1E", Standing.UNDECIDED),)
            ),
            CylinderSpot("2", (ValveSpot("2I", Standing.WIDE),), (ValveSpot("2E", ready=False),)),
            CylinderSpot(
                "3", (ValveSpot("3I", ready=False),), (ValveSpot("3E", Standing.NUT_SLACK),)
            ),
            CylinderSpot(
                "4",
                (ValveSpot("4I", Standing.IN_RANGE, ready=False),),
                (ValveSpot("4E", Standing.TIGHT),),
            ),
        ),
    ),
    current="1E",
    far_word="inlet",
    near_word="exhaust",
)

TURN = Slot(Fraction(-216, 10), "21.6 degrees out, anticlockwise")

DIAL = CrankDial(
    (
        DialMark("T 1.4", Fraction(0)),
        DialMark("T 2.3", Fraction(180)),
        DialMark("fan bolt", Fraction(250)),
    ),
    clockwise=True,
    pointer="rib on the case",
)


def place(km: int) -> AxisPlace:
    return AxisPlace(Fraction(km), f"{km:,}".replace(",", " "))


TREND = Trend(
    band=(figure("0.06"), figure("0.10")),
    checks=(
        Check(place(4100), bar("0.08", "0.10")),
        Check(place(8200), bar("0.05", "0.06"), bar("0.08", "0.10")),
        Check(place(12400), bar("0.06", "0.08")),
    ),
    wedge=DrawnWedge(
        place(12400),
        Length.mm("0.06"),
        Length.mm("0.08"),
        place(18000),
        Length.mm("0.02"),
        Length.mm("0.07"),
    ),
    title="1E over distance",
    limit=place(14200),
)


class Gallery(App[None]):
    """One page of pictures."""

    CSS_PATH: ClassVar[list[str | PurePath]] = [STYLES / "base.tcss", STYLES / "widgets.tcss"]
    CSS = """
    #top { height: 5; }
    #top BigText { width: 1fr; }
    RulerPicture { height: 7; }
    ValveMapPicture { height: 1fr; }
    #sides > * { width: 1fr; }
    .foot { dock: bottom; height: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "toggle_theme", "Sun"),
        Binding("m", "flip", "Flip map"),
    ]

    def __init__(self, page: str = "bench", theme: str = themes.DARK) -> None:
        super().__init__()
        themes.install(self, theme)
        self._page = page

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return themes.variable_defaults()

    def compose(self) -> ComposeResult:
        match self._page:
            case "setting":
                with Horizontal(id="sides"):
                    yield SlotPicture(TURN)
                    yield SlotPicture(Slot(Fraction(75), "75 degrees in, clockwise"))
            case "crank":
                yield CrankDialPicture(DIAL)
            case "wear":
                yield TrendPicture(TREND)
            case "big":
                with Vertical():
                    for text in ("1E  0.08-0.10", "IN RANGE", "UNDECIDED", "2I 3 THOU"):
                        yield BigText(Big(text))
            case _:
                with Horizontal(id="top"):
                    yield BigText(Big("1E"))
                    yield BigText(Big("0.10", Role.NEXT))
                yield Static("The upper limit; if it refuses, this valve is in range.")
                big = BigText(Big("UNDECIDED", Role.UNDECIDED))
                big.styles.height = 3
                yield big
                yield RulerPicture(RULER)
                yield ValveMapPicture(FOUR_IN_LINE)
                yield Static(footer_text("bench", 80), classes="foot")

    def action_toggle_theme(self) -> None:
        self.theme = themes.other(self.theme)

    def action_flip(self) -> None:
        for picture in self.query(ValveMapPicture):
            if picture.view is not None:
                picture.show(replace(picture.view, flipped=not picture.view.flipped))


async def photograph(page: str, theme: str, columns: int, rows: int) -> str:
    """The page as SVG."""
    app = Gallery(page, theme)
    async with app.run_test(size=(columns, rows)) as pilot:
        await pilot.pause()
        return app.export_screenshot(title="")


def main(page: str = "bench", target: str = "") -> None:
    theme = os.environ.get("THEME", themes.DARK)
    if not target:
        Gallery(page, theme).run()
        return
    columns, rows = int(os.environ.get("COLUMNS", "80")), int(os.environ.get("LINES", "24"))
    svg = asyncio.run(photograph(page, theme, columns, rows))
    Path(target).write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:3])
