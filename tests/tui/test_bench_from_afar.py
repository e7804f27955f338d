"""What the eye must see at the bench from a step and a half away, at both sizes of terminal."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from fractions import Fraction
from itertools import count
from pathlib import Path
from textwrap import wrap

import pytest
from textual.pilot import Pilot

from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import Evidence, Particulars, WayChosen
from benchtui.store.paths import DataFolder
from benchtui.tui.app import BenchApp
from benchtui.tui.present_bench import within
from benchtui.tui.screens.bench import BenchScreen
from benchtui.workshop import Workshop
from tests.tui.kept_sessions import NOW, seen

SMALL, ROOMY = (80, 24), (120, 40)


@asynccontextmanager
async def bench(
    folder: Path, engine: str, blades: str, size: tuple[int, int] = SMALL
) -> AsyncIterator[Pilot[int]]:
    seconds = count(step=10)
    workshop = Workshop(DataFolder(folder), lambda: NOW)
    app = BenchApp(workshop, lambda: float(next(seconds)))
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        told = Particulars(metal_c=Fraction(19), who="M.")
        live = workshop.open_sessions.open(
            workshop.opening(workshop.engines.sheet(engine), blades, told)
        )
        live.bench.do(ConfirmPosition("1", (Evidence.MARK, Evidence.SLACK)))
        app.begin(live)
        await pilot.pause()
        while not isinstance(app.screen, BenchScreen):
            app.pop_screen()
            await pilot.pause()
        yield pilot
        live.release()


async def take(pilot: Pilot[int], blade: str, answer: str = "") -> None:
    """A blade by its size, and what it did."""
    spelt = {" ": "space", ".": "full_stop", "+": "plus"}
    await pilot.press(*(spelt.get(letter, letter) for letter in blade), "enter")
    await pilot.press(*([answer] if answer else []))
    await pilot.pause()


def rows(pilot: Pilot[int]) -> list[str]:
    app = pilot.app
    assert isinstance(app, BenchApp)
    return seen(app).splitlines()


def tall(pilot: Pilot[int]) -> list[str]:
    """The tall figures alone, without the map beside them."""
    edge = pilot.app.screen.query_one("#bench-side").region.x
    height = pilot.app.screen.query_one("#valve-and-blade").region.height
    return [row[:edge].rstrip() for row in rows(pilot)[2 : 2 + height]]


async def test_an_inch_leaf_reads_as_it_is_stamped(tmp_path: Path) -> None:
    """The eye sees 1I, then .010 in large square letters, ``in`` at its foot; the sentence, the
    ruler and its bracket give inches first, millimetres behind them."""
    async with bench(tmp_path, "dredge-lift", "workshop-inch") as pilot:
        await pilot.press("f")  # 0.008, the lower limit, goes
        await pilot.pause()
        assert tall(pilot)[:5] == [
            "   ██    ██████                 ████      ██      ████",
            " ████      ██                 ██    ██  ████    ██    ██",
            "   ██      ██                 ██    ██    ██    ██    ██",
            "   ██      ██                 ██    ██    ██    ██    ██",
            " ██████  ██████           ██    ████    ██████    ████   in",
        ]
        shown = "\n".join(rows(pilot))
        assert "Try 0.010 in, the upper limit." in shown
        assert "next 0.010 in ↓" in shown
        await pilot.press("s")
        await take(pilot, ".009", "f")
        shown = "\n".join(rows(pilot))
        assert "0.009 in goes, 0.010 in refuses" in shown
        assert "0.009 in goes, 0.010 in refuses" in shown
        assert "0.010 refuses" in shown


async def test_valve_and_blade_stand_in_square_letters_at_every_valve_of_a_four(
    tmp_path: Path,
) -> None:
    """0.25 at 3E leaves no room for its unit at the foot: the eye sees mm over the point."""
    async with bench(tmp_path, "harbour-van", "coarse-metric") as pilot:
        for name in ("1I", "1E", "2I", "3E"):
            pilot.app.screen.go(name)  # type: ignore[attr-defined]
            await pilot.pause()
            drawn = tall(pilot)
            assert [row for row in drawn[:5] if "██" in row] == drawn[:5], name
            assert max(map(len, drawn)) <= 59, name
            assert " mm" in drawn[3] or drawn[4].endswith(" mm"), name


async def test_a_range_printed_in_mm_keeps_its_unit_on_an_inch_ruler(tmp_path: Path) -> None:
    """Beside an inch set the eye sees 0.28 mm and 0.34 mm under the ends of the band."""
    async with bench(tmp_path, "dredge-lift", "workshop-inch") as pilot:
        await pilot.press("right")
        await pilot.pause()
        limits = next(row for row in rows(pilot) if "setting range" in row)
        assert "0.28 mm" in limits
        assert "0.34 mm" in limits


async def test_a_borrowed_blade_is_echoed_as_it_was_typed(tmp_path: Path) -> None:
    """The eye sees a large 4, ``thou`` at its foot and 0.1016 mm at its head."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await take(pilot, "4 thou")
        assert "0.1016 mm is not in Fine metric set: a borrowed blade?" in " ".join(rows(pilot))
        await pilot.press("enter")
        await pilot.pause()
        assert tall(pilot)[0].endswith("██    ██ 0.1016 mm")
        assert tall(pilot)[4].endswith("██ thou")
        assert "Your own choice: 4 thou (0.1016 mm)" in "\n".join(rows(pilot))
        # The pointer on the ruler is at this blade too, not at the one advised.
        assert "next 0.004 in" in "\n".join(rows(pilot))
        await pilot.press("f")
        await pilot.pause()
        assert "0.004 in free" in "\n".join(rows(pilot))


async def test_a_stack_stands_in_tall_figures(tmp_path: Path) -> None:
    """In 24 rows 0.20+0.05 is five rows high; three leaves are broken in two rows and none is cut."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await take(pilot, "0.20+0.05")
        assert tall(pilot)[:5] == [
            "  █  ███            ██     ██   ██       ██     ██  ████",
            " ██   █            █  █   █  █ █  █  █  █  █   █  █ █",
            "  █   █            █  █     █  █  █ ███ █  █   █  █ ███",
            "  █   █            █  █    █   █  █  █  █  █   █  █    █",
            " ███ ███            ██  █ ████  ██       ██  █  ██  ███  mm",
        ]
        await take(pilot, "0.20+0.15+0.05")
        assert [row[19:] for row in tall(pilot)] == [
            "▄▀▀▄   ▄▀▀▄ ▄▀▀▄  ▄  ▄▀▀▄   ▄█  █▀▀▀  ▄",
            "█  █    ▄▀  █  █ ▀█▀ █  █    █  ▀▀▀▄ ▀█▀",
            " ▀▀  ▀ ▀▀▀▀  ▀▀       ▀▀  ▀ ▀▀▀ ▀▀▀",
            "▄▀▀▄   ▄▀▀▄ █▀▀▀",
            "█  █   █  █ ▀▀▀▄",
            " ▀▀  ▀  ▀▀  ▀▀▀  mm",
        ]
        assert "0.20+0.15+0.05" in "\n".join(rows(pilot))


async def test_figures_grow_with_the_terminal_and_come_back(tmp_path: Path) -> None:
    """At 120 by 40 the eye sees figures ten rows high and the readings listed under the map; back at
    80 by 24 they are five rows high again and the list is gone."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await take(pilot, "0.06", "f")
        small = tall(pilot)
        assert sum("█" in row for row in small) == 5
        assert "latest first" not in "\n".join(rows(pilot))
        await pilot.resize_terminal(*ROOMY)
        await pilot.pause()
        assert sum("█" in row for row in tall(pilot)) == 10
        assert "readings, mm, latest first" in "\n".join(rows(pilot))
        assert "○ 0.06 free" in "\n".join(rows(pilot))
        await pilot.resize_terminal(*SMALL)
        await pilot.pause()
        assert tall(pilot) == small
        assert "latest first" not in "\n".join(rows(pilot))


@pytest.mark.parametrize("size", [SMALL, ROOMY])
async def test_a_turn_of_two_digits_does_not_touch_the_map(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """Between OUT 12.0 deg and the map the eye sees a blank column at least."""
    async with bench(tmp_path, "quay-pump", "fine-metric", size) as pilot:
        pilot.app.live.bench.do(WayChosen(by_blade=False))  # type: ignore[attr-defined]
        for blade, answer in (("0.06", "s"), ("0.04", "f"), ("0.05", "f"), ("0.06", "s")):
            await take(pilot, blade, answer)
        assert "turn out 12 degrees" in "\n".join(rows(pilot))
        edge = pilot.app.screen.query_one("#bench-side").region.x
        drawn = tall(pilot)
        assert max(map(len, drawn)) <= edge - 1
        assert any(row.endswith(" deg") for row in drawn)


async def test_nothing_read_says_so_in_letters_and_not_in_dashes(tmp_path: Path) -> None:
    """Where there is no verdict yet the eye reads TO DO, as the map has it."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        assert [row[:36].rstrip() for row in rows(pilot)[8:11]] == [
            " █▀▀█    ▀▀█▀▀ ▄▀▀▀▄    █▀▀▄ ▄▀▀▀▄",
            " █  █      █   █   █    █  █ █   █",
            " ▀▀▀▀      ▀    ▀▀▀     ▀▀▀   ▀▀▀",
        ]


async def test_both_answers_of_one_blade_are_seen(tmp_path: Path) -> None:
    """The eye sees a block and a ring side by side, each with a question mark, ``again?`` over
    them, crosses instead of a bracket, and no bracket from 0.10 to 0.10."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        for blade, answer in (("0.06", "f"), ("0.10", "s"), ("0.10", "f")):
            await take(pilot, blade, answer)
        shown = "\n".join(rows(pilot))
        assert "0.10 refuses and free: again?" in shown
        assert "■?○?" in shown
        assert "≠" in shown
        assert "0.10 to 0.10" not in shown


async def test_one_advice_only_while_nothing_has_gone_in(tmp_path: Path) -> None:
    """The tall figure, the sentence and the ruler name one blade, and why no screw is touched yet."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await pilot.press("right")
        await take(pilot, "0.08", "s")
        shown = "\n".join(rows(pilot))
        assert "Try 0.04: nothing has gone in yet." in shown
        assert "next 0.04" in shown
        assert "0.03" not in shown


async def test_the_words_that_keep_fingers_safe_stand_whole_on_a_low_screen(tmp_path: Path) -> None:
    """Nothing goes in: in 24 rows it says whole that no screw is touched, and which way the crank goes."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await take(pilot, "0.03", "s")
        shown = " ".join("\n".join(rows(pilot)).split())
        assert "No clearance: turn 45 on. Does 1I open?" in shown
        assert "Touch no screw: this is overlap, or the clearance is gone." in shown
        assert "! Touch no screw. Turn by hand, forward only." in shown
        assert "By hand, forward only." in shown
        assert "REFUSES" not in shown.upper().split("BOTH STILL")[0].split("SAY WHAT")[-1]


async def test_readings_to_strike_are_named_as_their_blades_are_stamped(tmp_path: Path) -> None:
    """The list reads 0.008 in refuses."""
    async with bench(tmp_path, "dredge-lift", "workshop-inch") as pilot:
        await pilot.press("s", "delete")
        await pilot.pause()
        assert "0.008 in refuses" in "\n".join(rows(pilot))


@pytest.mark.parametrize(("width", "rows_"), [(40, 1), (40, 2), (78, 3)])
def test_words_are_cut_at_a_word_and_the_cut_is_said(width: int, rows_: int) -> None:
    text = "Touch no screw. " * 20
    cut = within(text, width, rows_)
    assert len(wrap(cut, width)) <= rows_
    assert cut.endswith(" ... Y: all of it.")
    assert text.startswith(cut.removesuffix(" ... Y: all of it."))
    assert within("Touch no screw.", width, rows_) == "Touch no screw."


@pytest.mark.parametrize("size", [(40, 15), (59, 24), (80, 19)])
async def test_a_terminal_too_small_for_the_cautions_says_so_and_takes_no_answer(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """Too narrow or too low, the eye reads how large it must be; an answer pressed there is not noted."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        app = pilot.app
        assert isinstance(app, BenchApp)
        assert app.live is not None
        before = len(app.live.bench.events)
        await pilot.resize_terminal(*size)
        await pilot.press("s", "enter")
        await pilot.pause()
        shown = " ".join("\n".join(rows(pilot)).split())
        assert "too small to show the cautions whole: 60 columns by 20 rows at least" in shown
        assert len(app.live.bench.events) == before
        await pilot.resize_terminal(*SMALL)
        await pilot.press("s")
        await pilot.pause()
        assert "Never force a blade." in "\n".join(rows(pilot))
        assert len(app.live.bench.events) == before + 1


async def test_at_60_columns_the_name_is_shortened_and_never_the_place(tmp_path: Path) -> None:
    async with bench(tmp_path, "dredge-lift", "workshop-inch", (60, 24)) as pilot:
        assert "cyl 1 compression" in rows(pilot)[0]
        assert rows(pilot)[0].rstrip().endswith("in range")
