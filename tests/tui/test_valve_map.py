from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from textual.app import App, ComposeResult

from benchtui.domain.blades import BladeSet, Leaf
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Event, Opened, Particulars
from benchtui.domain.session.steps.fold import begin
from benchtui.domain.session.valve.assessment import look
from benchtui.store.paths import shipped_specs
from benchtui.text.reading.sheet_file import parse_sheet
from benchtui.text.words.standing import Standing
from benchtui.tui.present import valve_map
from benchtui.tui.widgets.valve_map import (
    CylinderSpot,
    ValveMap,
    ValveMapPicture,
    ValveSpot,
    picture,
)


def cylinder(name: str, inlet: Standing, exhaust: Standing, *, ready: bool = True) -> CylinderSpot:
    return CylinderSpot(
        name, (ValveSpot(f"{name}I", inlet, ready),), (ValveSpot(f"{name}E", exhaust, ready),)
    )


TWIN = ValveMap(
    (
        (
            cylinder("1", Standing.IN_RANGE, Standing.UNDECIDED),
            cylinder("2", Standing.TO_DO, Standing.TO_DO, ready=False),
        ),
    ),
    current="1E",
    far_word="inlet",
    near_word="exhaust",
)


def five_valve(name: str) -> CylinderSpot:
    far = tuple(ValveSpot(f"{name}I{at}") for at in (1, 2, 3))
    near = tuple(ValveSpot(f"{name}E{at}", Standing.TIGHT) for at in (1, 2))
    return CylinderSpot(name, far, near)


TWELVE = ValveMap((tuple(five_valve(str(at)) for at in range(1, 13)),), current="10E1")


def test_a_twin_from_where_he_stands() -> None:
    """Inlets on the far side, exhausts near; the current valve in brackets, those that may not be
    measured at this crank position in round ones; shape and word at each."""
    assert picture(TWIN, 60, 4).grid.lines() == [
        " I √ in range                 (I)□ to do",
        "───────────── 1 ───────────── ───────────── 2 ─────────────",
        "[E]? undecided                (E)□ to do",
        "[ ] this one  ( ) other stop",
    ]


def test_flipped_it_is_turned_half_round() -> None:
    """From the other side: exhausts far, cylinder 2 on the left."""
    drawn = picture(replace(TWIN, flipped=True), 60, 4).grid.lines()
    assert drawn[0].split() == ["(E)□", "to", "do", "[E]?", "undecided"]
    assert drawn[1].index("2") < drawn[1].index("1")
    assert drawn[2].split() == ["(I)□", "to", "do", "I", "√", "in", "range"]


def test_flipping_twice_is_where_it_was() -> None:
    once = replace(TWELVE, flipped=True).seen()
    assert replace(once, flipped=True).seen() == TWELVE


def test_side_words_stand_beside_the_valves_where_there_is_room() -> None:
    single = ValveMap((TWIN.rows[0][:1],), "1E", "inlet", "exhaust")
    drawn = picture(single, 60, 4).grid.lines()
    assert drawn[0].endswith("inlet")
    assert drawn[2].endswith("exhaust")


def test_twelve_cylinders_of_five_valves_fit_into_eighty_columns() -> None:
    """Every cylinder's number, every valve's own short name and its shape; the key says the words."""
    drawn = picture(TWELVE, 80, 9).grid.lines()
    assert max(map(len, drawn)) <= 80
    for name in ("I1", "I2", "I3"):
        assert sum(line.count(f"{name} □") for line in drawn) == 12
    assert sum(line.count("E1 ▼") for line in drawn) == 11
    assert sum(line.count("[E1]▼") for line in drawn) == 1
    assert drawn[3].replace("─", " ").split() == [str(at) for at in range(1, 13)]
    assert "▼ tight" in drawn[6]


def test_two_banks_have_room_for_words() -> None:
    row = TWELVE.rows[0]
    drawn = picture(ValveMap((row[:6], row[6:]), "10E1"), 80, 16).grid.lines()
    assert sum(line.count("▼ tight") for line in drawn) == 24
    assert sum(line.count("[E1]▼ tight") for line in drawn) == 1


@pytest.mark.parametrize("width", [80, 40, 36])
@pytest.mark.parametrize("height", [3, 8, 20])
def test_every_valve_has_its_shape_and_a_place_to_click(width: int, height: int) -> None:
    drawn = picture(TWELVE, width, height)
    names = {area.valve for area in drawn.areas}
    assert len(names) == 60
    for area in drawn.areas:
        assert drawn.valve_at(area.x, area.y) == area.valve
        if area.y < height:
            cells = "".join(drawn.grid.at(x, area.y) for x in range(area.x, area.end))
            assert "□" in cells or "▼" in cells


def test_a_long_name_is_shortened_before_its_shape_is() -> None:
    far = (ValveSpot("1I-left", Standing.WIDE), ValveSpot("1I-right", Standing.TIGHT))
    narrow = ValveMap((tuple(CylinderSpot(str(n), far) for n in range(1, 5)),))
    drawn = picture(narrow, 30, 4).grid.lines()
    assert "▲" in drawn[0]
    assert "▼" in drawn[1]


def test_each_state_has_a_shape_and_a_short_word_of_its_own() -> None:
    assert len({state.sign for state in Standing}) == len(Standing)
    assert len({state.word for state in Standing}) == len(Standing)
    assert all(len(state.word) <= 12 and len(state.sign) == 1 for state in Standing)


class MapApp(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.chosen: list[str] = []

    def compose(self) -> ComposeResult:
        yield ValveMapPicture(TWIN)

    def on_valve_map_picture_chosen(self, message: ValveMapPicture.Chosen) -> None:
        self.chosen.append(message.valve)


async def test_a_click_on_a_valve_says_which() -> None:
    app = MapApp()
    async with app.run_test(size=(60, 10)) as pilot:
        await pilot.click(ValveMapPicture, offset=(2, 0))
        await pilot.click(ValveMapPicture, offset=(32, 2))
        await pilot.click(ValveMapPicture, offset=(2, 8))
        app.query_one(ValveMapPicture).show(replace(TWIN, flipped=True))
        await pilot.pause()
        await pilot.click(ValveMapPicture, offset=(32, 0))
    assert app.chosen == ["1I", "2E", "1E"]


def test_one_row_of_valves_stands_in_the_sheets_order() -> None:
    """Some heads have exhausts and inlets in one line along the engine."""
    desk = parse_sheet(
        (shipped_specs() / "dredge-lift.toml").read_text(encoding="utf-8"), "d", "d.toml"
    )
    turned = replace(
        desk,
        layout=replace(
            desk.layout,
            cylinders=tuple(replace(c, valves=c.valves[::-1]) for c in desk.layout.cylinders),
        ),
    )
    blades = BladeSet("F", (Leaf(Length.mm("0.10")),))
    opened = Opened("one", turned, "f", blades, Particulars())
    state = begin(Event(1, datetime(2026, 5, 4, tzinfo=UTC), opened))
    views = {name: look(state, name) for name in state.valves}
    shown = valve_map(state, views, "1E", flipped=False)
    assert [[v.name for v in c.near] for c in shown.rows[0]] == [
        ["1E", "1I"],
        ["2E", "2I"],
        ["3E", "3I"],
    ]
    assert all(not c.far for c in shown.rows[0])
    back = valve_map(state, views, "1E", flipped=True).seen()
    assert [v.name for c in back.rows[0] for v in c.far] == ["3I", "3E", "2I", "2E", "1I", "1E"]
