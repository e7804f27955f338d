"""What the crank's pictures say of an engine: names, and which valves may be touched."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.crank.dial import dial
from benchtui.domain.crank.plan import plan
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.sheet import Sheet
from benchtui.store.library import library
from benchtui.store.paths import DataFolder
from benchtui.tui.present_crank import crank_dial, map_at
from benchtui.tui.screens.crank import CrankScreen
from benchtui.tui.widgets.valve_map import CylinderSpot, ValveMap, ValveSpot
from tests.tui.kept_sessions import own_the_examples, press, program, seen, settled


@pytest.fixture
def van(tmp_path: Path) -> Sheet:
    return library(DataFolder(tmp_path)).sheet("harbour-van")


def test_cylinders_that_come_up_together_share_a_name(van: Sheet) -> None:
    shown = crank_dial(dial(van, Fraction(0)), van)
    assert [(m.name, m.ahead) for m in shown.marks] == [
        ("TDC 1,4", Fraction(0)),
        ("TDC 3,2", Fraction(180)),
    ]
    turned = crank_dial(dial(van, Fraction(405)), van)
    assert [(m.name, m.ahead) for m in turned.marks] == [
        ("TDC 2,3", Fraction(135)),
        ("TDC 1,4", Fraction(315)),
    ]


def test_the_head_shows_the_valves_of_the_stop_whatever_was_confirmed(van: Sheet) -> None:
    spots = tuple(ValveSpot(n, ready=False) for n in ("1E", "4E"))
    head = ValveMap(((CylinderSpot("1", spots[:1]), CylinderSpot("4", spots[1:])),), current="1E")
    shown = map_at(plan(van).stops[0], head)
    assert shown.current is None
    assert [v.ready for c in shown.rows[0] for v in c.far] == [True, False]


@pytest.mark.parametrize("size", [(80, 24), (60, 24)])
@pytest.mark.parametrize(
    ("engine", "blades"),
    [
        ("quay-pump", "fine-metric"),
        ("slip-winch", "fine-metric"),  # has a decompressor
        ("mole-crane", "fine-metric"),
        ("harbour-van", "coarse-metric"),
        ("ferry-tender", "fine-metric"),
        ("dredge-lift", "workshop-inch"),
    ],
)
async def test_no_word_at_the_crank_is_to_be_rolled_for(
    tmp_path: Path, engine: str, blades: str, size: tuple[int, int]
) -> None:
    """On the way there, and where it does not fit and a doubt stands there: nothing lies below."""
    async with program(own_the_examples(tmp_path / "data"), size) as (app, pilot):
        told = Particulars(metal_c=Fraction(19), who="M.")
        sheet = app.workshop.engines.sheet(engine)
        app.begin(app.workshop.open_sessions.open(app.workshop.opening(sheet, blades, told)))
        await settled(app, pilot)
        while not isinstance(app.screen, CrankScreen):
            await press(app, pilot, "escape")
        words = app.screen.query_one("#crank-text")

        async def all_seen() -> bool:
            for _ in range(20):  # the place gives up its height once painted, and is laid out again
                if words.max_scroll_y == 0:
                    return True
                await pilot.pause()
            return False

        assert await all_seen(), seen(app)
        if size == (80, 24):
            await press(app, pilot, "5", "1")
            assert await all_seen(), seen(app)
        assert app.live is not None
        app.live.release()
