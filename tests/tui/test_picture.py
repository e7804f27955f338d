from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from textual.app import App, ComposeResult
from textual.color import Color
from textual.geometry import Region
from textual.widgets import Static

from benchtui.tui import themes
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.slot import Slot, SlotPicture
from benchtui.tui.widgets.valve_map import CylinderSpot, ValveMap, ValveMapPicture, ValveSpot

STYLES = Path(themes.__file__).parent / "styles"
MAP = ValveMap(((CylinderSpot("1", (ValveSpot("1I"),), (ValveSpot("1E"),)),),), current="1E")


class Shown(App[None]):
    CSS_PATH = [STYLES / "base.tcss", STYLES / "widgets.tcss"]  # noqa: RUF012  as the library has it

    def __init__(self, theme: str = themes.DARK) -> None:
        super().__init__()
        themes.install(self, theme)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return themes.variable_defaults()

    def compose(self) -> ComposeResult:
        yield Static("caution", classes="caution")
        big = BigText(Big("IN", Role.IN), id="big")
        big.styles.height = 3
        yield big
        yield ValveMapPicture(MAP, id="map")


def text_of(widget: BigText | ValveMapPicture | SlotPicture) -> list[str]:
    return [widget.render_line(y).text.rstrip() for y in range(widget.size.height)]


def colour_of(widget: BigText, y: int = 0) -> Color:
    segment = next(s for s in widget.render_line(y) if s.text.strip())
    assert segment.style is not None
    assert segment.style.color is not None
    return Color.from_rich_color(segment.style.color)


async def test_the_widget_shows_what_its_drawing_says_and_follows_its_view() -> None:
    app = Shown()
    async with app.run_test(size=(40, 12)) as pilot:
        big = app.query_one(BigText)
        assert text_of(big) == ["▀█▀ █▄  █", " █  █ ▀▄█", "▀▀▀ ▀   ▀"]
        big.show(Big("1E"))
        await pilot.pause()
        assert text_of(big)[0] == "▄█  █▀▀▀"
        big.show(None)
        await pilot.pause()
        assert text_of(big) == ["", "", ""]


async def test_every_row_fills_the_widget() -> None:
    app = Shown()
    async with app.run_test(size=(40, 12)):
        for widget in (app.query_one(BigText), app.query_one(ValveMapPicture)):
            for y in range(widget.size.height):
                assert widget.render_line(y).cell_length == widget.size.width == 40


async def test_it_is_drawn_anew_when_the_window_changes() -> None:
    app = Shown()
    async with app.run_test(size=(40, 12)) as pilot:
        before = text_of(app.query_one(ValveMapPicture))
        await pilot.resize_terminal(20, 12)
        await pilot.pause()
        after = text_of(app.query_one(ValveMapPicture))
    assert before[1] != after[1]
    assert max(map(len, after)) <= 20


async def test_colours_come_from_the_theme_and_follow_it() -> None:
    app = Shown()
    async with app.run_test(size=(40, 12)) as pilot:
        big = app.query_one(BigText)
        assert colour_of(big) == Color.parse(themes.SHED.variables["in-range"])
        app.theme = themes.LIGHT
        await pilot.pause()
        assert colour_of(big) == Color.parse(themes.SUNLIGHT.variables["in-range"])


async def test_a_theme_without_our_roles_still_works() -> None:
    app = Shown()
    async with app.run_test(size=(40, 12)) as pilot:
        app.theme = "textual-light"
        await pilot.pause()
        assert text_of(app.query_one(BigText))[0] == "▀█▀ █▄  █"


@pytest.mark.parametrize("no_color", [False, True])
async def test_the_current_valve_is_in_reverse_with_and_without_colours(
    no_color: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if no_color:
        monkeypatch.setenv("NO_COLOR", "1")
    else:
        monkeypatch.delenv("NO_COLOR", raising=False)
    app = Shown()
    async with app.run_test(size=(40, 12)):
        strip = app.query_one(ValveMapPicture).render_line(2)
        current = next(s for s in strip if "[E]" in s.text)
        assert current.style is not None
        assert current.style.reverse
        assert current.style.bold


async def test_an_equal_view_is_not_drawn_again() -> None:
    """Keys come quickly: what has not changed costs nothing."""
    drawn = []

    class Counting(SlotPicture):
        def draw(self, view: Slot, width: int, height: int):  # type: ignore[no-untyped-def]  # noqa: ANN202  counts, then as before
            drawn.append(view)
            return super().draw(view, width, height)

    class CountingApp(App[None]):
        CSS_PATH = STYLES / "widgets.tcss"

        def get_theme_variable_defaults(self) -> dict[str, str]:
            return themes.variable_defaults()

        def compose(self) -> ComposeResult:
            yield Counting(Slot(Fraction(20)))

    app = CountingApp()
    async with app.run_test(size=(40, 12)) as pilot:
        picture = app.query_one(Counting)
        for _ in range(3):
            picture.show(replace(Slot(Fraction(20))))
            await pilot.pause()
    assert len(drawn) == 1


async def test_only_the_rows_that_changed_are_drawn_again_and_all_is_as_if_drawn_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    app = Shown()
    async with app.run_test(size=(40, 12)) as pilot:
        shown = app.query_one(ValveMapPicture)
        asked: list[int] = []
        refresh = shown.refresh

        def watched(*regions: Region, **named: object) -> object:
            asked.extend(region.y for region in regions)
            return refresh(*regions, **named)  # type: ignore[arg-type]  # handed on

        monkeypatch.setattr(shown, "refresh", watched)
        shown.show(replace(MAP, current="1I"))
        await pilot.pause()
        assert 0 < len(set(asked)) < shown.size.height
        after = app.export_screenshot()
        shown.redraw()
        await pilot.pause()
        assert app.export_screenshot() == after
        asked.clear()
        shown.show(replace(MAP, current="1I"))
        assert not asked
