"""Setting, shims and torques on the screen: what the hand is told, and what it is refused."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from benchtui.domain.session.evidence.pairs import whole_play
from benchtui.domain.session.facts.events import ScrewSetOn
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.next_step.kinds import SetOnBlade
from benchtui.tui.app import BenchApp
from benchtui.tui.keys import SETTING
from benchtui.tui.screens.bench import BenchScreen
from benchtui.tui.screens.setting import SettingScreen
from benchtui.tui.screens.shims import ShimsScreen
from benchtui.tui.screens.torques import TorquesScreen
from tests.tui.kept_sessions import SIZE, keep, press, program, seen, settled

Desk = Callable[..., AbstractAsyncContextManager[tuple[BenchApp, Pilot[int]]]]

SHEET = """format = 1
name = "Test bench"
[layout]
cylinders = ["1", "2"]
firing = {{ 1 = 0, 2 = 360 }}
valves = {{ 1 = ["1I", "1E"], 2 = ["2I", "2E"] }}
[clearance]
inlet = ["0.08 mm", "0.12 mm"]
exhaust = ["0.08 mm", "0.12 mm"]
metal_below = "35 degC"
[adjuster]
{adjuster}
[[torque]]
what = "adjuster locknuts"
value = "18 N*m"
[[torque]]
what = "cover screws"
value = "60 lbf*ft"
thread = "1/4-28"
"""
SCREW = 'kind = "screw"\npitch = "0.75 mm"'
SHIMS = 'kind = "shim"\nunder_bucket = true\nshims = { from = "2.50 mm", to = "3.50 mm", step = "0.01 mm" }'
TIGHT = ("1I 0.08 refuses", "1I 0.04 free", "1I 0.06 refuses")
DEGREES = "set by degrees"
"""The bench's key for: the parts were looked at and are sound."""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """The program with a session in hand that was written down so far, the bench on top."""

    @asynccontextmanager
    async def opened(
        *lines: str,
        adjuster: str = SCREW,
        metal: int = 19,
        size: tuple[int, int] = SIZE,
        position: str = "position 1 mark slack",
        pair: bool = False,
    ) -> AsyncIterator[tuple[BenchApp, Pilot[int]]]:
        folder = tmp_path / "data"
        (folder / "sheets").mkdir(parents=True)
        text = SHEET.format(adjuster=adjuster)
        if pair:
            text = text.replace('"1I"', '"1I-opener", "1I-closer"')
            text = text.replace("exhaust =", 'inlet_closer = ["0.03 mm", "0.06 mm"]\nexhaust =')
        (folder / "sheets" / "bench.toml").write_text(text, encoding="utf-8")
        head = (
            "date 2026-05-01",
            "sheet bench",
            "blades fine-metric",
            f"metal {metal} C",
            position,
        )
        keep(folder, "\n".join([*head, *lines]) + "\n")
        session = next(p.stem for p in (folder / "sessions").glob("*"))
        async with program(folder, size) as (app, pilot):
            live = app.workshop.open_sessions.resume(session)
            app.begin(live)
            await settled(app, pilot)
            while not isinstance(app.screen, BenchScreen):
                await press(app, pilot, "escape")
            yield app, pilot
            live.release()

    return opened


def stage(app: BenchApp, valve: str) -> StageKind:
    return app.session_state.valves[valve].current.kind


async def test_a_turn_as_a_hand_uses_it(desk: Desk) -> None:
    """0.05 mm on 0.75 is 24 degrees (geometry): 4 minutes on a clock, a bit over three eighths."""
    async with desk(DEGREES, *TIGHT) as (app, pilot):
        await press(app, pilot, "enter")
        assert isinstance(app.screen, SettingScreen)
        text = seen(app)
        assert "Slacken, turn out 24 degrees, anticlockwise." in text
        assert "24 degrees (19 to 29)." in text
        assert "4 minutes on a clock (3 to 5); 0.07 turn." in text
        assert "three eighths of a flat" in text
        assert "Now 0.04 goes, 0.06 refuses; to be 0.10 mm." in text
        assert "18 N m (13.3 lbf ft)" in text
        assert "dotted: now   solid: to here" in text
        assert "out, anticlockwise" in text
        assert "on a blade held in: 0.10    ► by degrees" in text
        assert "Never crank with a valve screwed open" in text
        await press(app, pilot, "space")
        assert stage(app, "1I") is StageKind.TURNED
        # One blade before the nut is locked: the bench comes up for it by itself.
        assert isinstance(app.screen, BenchScreen)
        text = seen(app)
        assert "0.10 before you lock: a light drag is right." in text
        assert "the nut slack" in text
        await press(app, pilot, "d", "enter")
        assert isinstance(app.screen, SettingScreen)
        assert "Near enough: hold the screw, lock it." in seen(app)
        await press(app, pilot, "enter")
        assert isinstance(app.screen, BenchScreen)
        assert stage(app, "1I") is StageKind.LOCKED


async def test_set_on_a_blade_as_a_hand_does_it(desk: Desk) -> None:
    """The middle of 0.08 to 0.12 is 0.10 (arithmetic): that leaf is held in, no degrees are read."""
    async with desk(*TIGHT) as (app, pilot):
        await press(app, pilot, "enter")
        text = seen(app)
        assert "Slacken; hold in 0.10; screw to a light drag; lock." in text
        assert "► on a blade held in    by degrees: out 24" in text
        assert "run the screw (out from here) to" in text
        assert "a light drag" in text
        assert "╕" in text  # the rocker, and the blade across
        assert "━━━━ 0.10" in text
        assert "lock to 18 N m (13.3 lbf ft)" in text
        assert "set on it;" in text
        assert "nut slack" in text
        assert "Never crank with a valve screwed open" in text
        await press(app, pilot, "space")
        assert stage(app, "1I") is StageKind.TURNED
        assert "take 0.10 out" in " ".join(seen(app).split())
        await press(app, pilot, "enter")
        assert isinstance(app.screen, BenchScreen)
        assert stage(app, "1I") is StageKind.LOCKED


@pytest.mark.parametrize(
    ("lines", "metal", "position", "said"),
    [
        (
            (DEGREES, "1I 0.20 free", "1I 0.20 free"),
            19,
            "",
            ("Wide. Try 0.20+0.08, to tell how far.", "back to the bench"),
        ),
        (
            (DEGREES, "1I 0.08 refuses", "1I 0.03 free", "1I 0.08 refuses"),
            19,
            "",
            ("Tight. Try 0.04, to tell how far.", "back to the bench"),
        ),
        (TIGHT, 40, "", ("40 C, too warm: wait until it is below 35 C.", "back to the bench")),
        (
            TIGHT,
            19,
            "position 1 doubt",
            ("Not sure of the crank: turn on and watch the inlet.", "back to the bench"),
        ),
        (("1I 0.10 refuses",), 19, "", ("Try 0.08, the lower limit.", "back to the bench")),
        (
            ("1I 0.03 refuses",),
            19,
            "",
            ("No clearance: turn 45 on. Does 1I open?", "Touch no screw"),
        ),
    ],
)
async def test_each_refusal_says_what_to_do_instead(
    desk: Desk, lines: tuple[str, ...], metal: int, position: str, said: tuple[str, str]
) -> None:
    place = position or "position 1 mark slack"
    async with desk(*lines, metal=metal, position=place) as (app, pilot):
        app.push_screen(SettingScreen("1I"))
        await settled(app, pilot)
        text = " ".join(seen(app).split())
        for words in said:
            assert words in text
        await press(app, pilot, "space", "enter")
        assert stage(app, "1I") is StageKind.FOUND


async def test_one_may_go_back_to_the_leaf_while_degrees_want_a_finer_blade(desk: Desk) -> None:
    """By degrees chosen in error: the finer blade that they want must not shut the other way off."""
    lines = ("1I 0.12 free", "1I 0.15 refuses", "1I 0.12 free")
    async with desk(*lines) as (app, pilot):
        app.push_screen(SettingScreen("1I"))
        await settled(app, pilot)
        assert "by degrees" in seen(app)
        await press(app, pilot, "right")
        assert "to tell how far" in seen(app)
        await press(app, pilot, "right")
        assert "on a blade held in" in seen(app)
        assert app.session_state.by_blade is True


async def test_what_the_look_has_shown_is_asked_for_at_once(desk: Desk) -> None:
    """Enter on LOOK 45 asks for what 45 degrees have shown, and goes on by the answer."""
    async with desk("1I 0.03 refuses") as (app, pilot):
        assert "LOOK 45" in " ".join(seen(app).split()) or "Does 1I open?" in seen(app)
        await press(app, pilot, "enter")
        assert "45 degrees on, the inlet opens: overlap" in seen(app)
        await press(app, pilot, "4", "2")
        text = " ".join(seen(app).split())
        assert "It was overlap: leave cylinder 1. Turn on 315 degrees." in text
        assert app.session_state.place is None


async def test_more_than_one_turn_is_refused(desk: Desk) -> None:
    """0.9 mm on a pitch of 0.75 mm is over one whole turn (arithmetic): first a look at the parts,
    then a leaf held in, and no turn in degrees even where they were chosen."""
    lines = (DEGREES, "1I 1.00 free", "1I 1.02 refuses", "1I 1.00 free")
    async with desk(*lines) as (app, pilot):
        text = " ".join(seen(app).split())
        assert "1.00 goes, on 0.08 to 0.12: look before you turn." in text
        await press(app, pilot, "enter")
        assert "Pushrod bent or unseated" in seen(app)
        await press(app, pilot, "1", "enter")
        assert isinstance(app.screen, SettingScreen)
        assert "hold in 0.10" in seen(app)
        await press(app, pilot, "right")
        assert "full turn points to a wrong reading" in seen(app)
        assert stage(app, "1I") is StageKind.FOUND


async def test_a_doubt_stands_at_the_setting_step(desk: Desk) -> None:
    lines = ("1I 0.04 free", "1I 0.05 refuses", "1I turn out 88", "1I 0.04 free", "1I 0.05 refuses")
    async with desk(*lines) as (app, pilot):
        await press(app, pilot, "enter")
        text = " ".join(seen(app).split())
        assert "! The turns do not fit the sheet" in text
        assert "nothing moved" in text


async def test_the_pad_test(desk: Desk) -> None:
    async with desk("1I 0.04 free") as (app, pilot):
        await press(app, pilot, "m", *"same", "enter", "m", *"dished", "enter")
        assert "Wind the screw in by finger and thumb" in seen(app)
        assert "So many make about 0.15 mm:" in seen(app)
        assert app.screen.query_one(Input).value == "72"
        await press(app, pilot, *"72", "enter")
        assert app.session_state.valves["1I"].current.backed_off == 72
        # 72 degrees of 0.75 mm make 0.15 mm (arithmetic).
        assert "The thread makes 0.15 here: try 0.15." in seen(app)
        await press(app, pilot, "backspace")
        assert app.session_state.valves["1I"].current.backed_off is None


async def test_what_is_rare_at_the_setting_step_is_under_more(desk: Desk) -> None:
    async with desk(*TIGHT) as (app, pilot):
        await press(app, pilot, "enter", "m")
        text = " ".join(seen(app).replace("┃", " ").split())
        assert "Wound to zero and backed off" in text
        assert "torques" in text
        assert "swap" not in text  # a screw sets this engine
        await press(app, pilot, "escape", "h")
        assert "by degrees" in seen(app)


class TestShims:
    LINES = ("1I shim 2.80", "1I 0.15 free", "1I 0.16 refuses", "1E 0.05 free", "1E 0.06 refuses")

    async def test_the_size_to_fit_and_the_whole_engine(self, desk: Desk) -> None:
        async with desk(*self.LINES, adjuster=SHIMS) as (app, pilot):
            app.push_screen(SettingScreen("1I"))
            await settled(app, pilot)
            text = " ".join(seen(app).split())
            # 2.80 + 0.165 - 0.12 to 2.80 + 0.145 - 0.08, blades 0.005 off; ideal 2.855 (arithmetic).
            assert "In now: 2.80 mm" in text
            assert "come out with the cams only" in text
            await press(app, pilot, "m", *"swap", "enter")
            assert isinstance(app.screen, ShimsScreen)
            text = seen(app)
            assert "2.845 to 2.865" in text
            assert "not known" in text
            assert "To order: 1 of 2.85 mm." in text

    async def test_an_unknown_size_is_the_one_it_was_gauged_with(self, desk: Desk) -> None:
        async with desk(*self.LINES, adjuster=SHIMS) as (app, pilot):
            app.push_screen(SettingScreen("1E"))
            await settled(app, pilot)
            assert "In now: not known. Type its size" in seen(app)
            await press(app, pilot, "2")
            assert "when it was gauged" in seen(app)
            await press(app, pilot, *".75", "space", *"measured", "space", *"2.74", "enter")
            valve = app.session_state.valves["1E"]
            assert valve.current.kind is StageKind.FOUND
            assert (str(valve.shim), str(valve.shim_measured)) == ("2.75 mm", "2.74 mm")
            assert "2.75 mm (measures 2.74 mm)" in seen(app)

    async def test_a_screw_engine_has_no_shims(self, desk: Desk) -> None:
        async with desk(*TIGHT) as (app, pilot):
            await press(app, pilot, "enter", "m", *"swap")
            assert "Nothing of that here" in seen(app)


class TestTorques:
    async def test_units_wrench_and_crowfoot(self, desk: Desk) -> None:
        async with desk(*TIGHT) as (app, pilot):
            await press(app, pilot, "enter", "m", *"torques", "enter")
            assert isinstance(app.screen, TorquesScreen)
            row = next(line for line in seen(app).splitlines() if "adjuster locknuts" in line)
            assert row.split()[2:] == ["18", "N", "m", "13.3", "lbf", "ft", "159", "lbf", "in"]
            await press(app, pilot, "1", *"300", "space", "m", "m", "comma", "space")
            await press(
                app, pilot, *"10", "space", *"to", "space", *"50", "space", "N", "asterisk", "m"
            )
            await press(app, pilot, "enter")
            assert "set 18 N m (13.3 lbf ft)" in seen(app)
            # 18 x 300 / (300 + 100): 13.5; square to it, nothing changes (TM 9-254).
            await press(app, pilot, "2", *"100", "space", *"mm", "enter")
            assert "set 13.5 N m" in seen(app)
            await press(
                app, pilot, "2", *"100", "space", *"mm", "space", *"at", "space", *"90", "enter"
            )
            assert "set 18 N m" in seen(app)

    async def test_below_the_wrenchs_range_is_refused(self, desk: Desk) -> None:
        async with desk(*TIGHT) as (app, pilot):
            await press(app, pilot, "enter", "m", *"torques", "enter")
            await press(app, pilot, "1", *"300", "space", "m", "m", "comma", "space")
            await press(
                app, pilot, *"20", "space", *"to", "space", *"90", "space", "N", "asterisk", "m"
            )
            await press(app, pilot, "enter")
            text = " ".join(seen(app).split())
            assert "below its range from 20.0 N m" in text
            assert "Use a smaller wrench" in text

    async def test_a_figure_far_off_is_doubted(self, desk: Desk) -> None:
        async with desk(*TIGHT) as (app, pilot):
            await press(app, pilot, "enter", "m", *"torques", "enter", "down", "down")
            text = " ".join(seen(app).split())
            assert "far above what is usual" in text
            assert "lbf in read as lbf ft" in text
            assert "2: a crowfoot" in text
            await press(app, pilot, "2")
            assert "First the wrench" in seen(app)


async def test_turned_and_still_out_is_not_locked(desk: Desk) -> None:
    lines = (DEGREES, *TIGHT, "1I turn out 90", "1I 0.20 free", "1I 0.40 refuses")
    async with desk(*lines) as (app, pilot):
        # Enter on a blade's step is refused: the setting screen says whose step it is.
        await press(app, pilot, "m", *"all the same", "enter")
        text = " ".join(seen(app).split())
        # So far out no drag is right: the blade tells how far, and the words say no more.
        assert "0.20+0.04 before you lock, to tell how far." in text
        assert "a light drag is right" not in text
        assert "back to the bench" in text
        assert "Enter: locked." not in text


async def test_still_out_on_the_blade_way_is_set_again_the_nut_slack(desk: Desk) -> None:
    lines = (*TIGHT, "1I turn out 90", "1I 0.20 free", "1I 0.40 refuses")
    async with desk(*lines) as (app, pilot):
        await press(app, pilot, "enter")
        text = " ".join(seen(app).split())
        assert "Nut slack: hold in 0.10; screw to a light drag; lock." in text
        assert "(in from here)" in text
        assert "Slacken the locknut" not in text


async def test_an_eccentric_is_shown_by_its_rotation(desk: Desk) -> None:
    lines = ("1I 0.04 free", "1I 0.05 refuses", "1I turn out 15", "1I 0.06 free", "1I 0.07 refuses")
    async with desk(DEGREES, *lines, adjuster='kind = "eccentric"') as (app, pilot):
        await press(app, pilot, "enter")
        text = " ".join(seen(app).split())
        # 0.02 in 15 degrees by the middles, 0.035 more is wanted (arithmetic).
        assert "Still tight: out another 26 degrees." in text
        assert "26 degrees (15 to 30)." in text
        assert "anticlockwise" in text
        assert "On the nut" not in text
        assert "turning point" in text


class TestPairs:
    async def test_a_reading_of_the_whole_free_play_is_struck_at_the_bench(
        self, desk: Desk
    ) -> None:
        lines = ("1I-opener 0.10 free", "1I-opener whole 0.15 free", "1I-opener whole 0.20 free")
        async with desk(*lines, pair=True) as (app, pilot):
            await press(app, pilot, "delete")
            text = seen(app)
            assert "1  0.10 free" in text
            assert "2  whole free play, 0.20 free" in text
            assert "3  whole free play, 0.15 free" in text
            await press(app, pilot, "2")
            kept = whole_play(app.session_state, "1I-opener")
            assert [str(t.reading) for t in kept] == ["0.15 free"]
            assert len(app.session_state.valves["1I-opener"].current.live) == 1


async def test_a_turn_made_all_the_same_is_kept_and_said_to_be_unadvised(desk: Desk) -> None:
    """Below the words of the lock, that the valve was in range before it was turned."""
    async with desk("1I 0.08 free", "1I 0.12 refuses") as (app, pilot):
        await press(app, pilot, "left", "m", *"same", "enter")
        assert isinstance(app.screen, SettingScreen)
        await press(app, pilot, "1", "left", *"out", "space", "end", "0", "enter")
        assert app.session_state.valves["1I"].current.kind is StageKind.TURNED
        told = "This turn was not advised: the valve was in range (0.08 goes, 0.12 refuses)."
        assert told in " ".join(seen(app).split())


async def test_up_and_down_take_another_leaf_to_set_on(desk: Desk) -> None:
    """The words, and what is recorded, are of the leaf that is taken; without a way worked out."""
    async with desk(*TIGHT) as (app, pilot):
        await press(app, pilot, "enter")
        screen = app.screen
        assert isinstance(screen, SettingScreen)
        first = screen.told().step
        assert isinstance(first, SetOnBlade)
        await press(app, pilot, "up")
        held = screen.told().step
        assert isinstance(held, SetOnBlade)
        assert held.feeler == app.session_state.opened.blades.beside(
            first.feeler.nominal, thicker=True
        )
        assert held.way is None
        assert f"{held.feeler.bare} into the gap" in seen(app)
        await press(app, pilot, "down")
        assert screen.told().step == first
        await press(app, pilot, "up", "space")
        assert app.live is not None
        assert app.live.bench.events[-1].fact == ScrewSetOn("1I", held.feeler)


class TestMeasured:
    """A dial at the valve is told at the bench: in the line of the blade, or under More."""

    async def test_it_is_typed_where_a_blade_is(self, desk: Desk) -> None:
        async with desk("1I 0.08 free") as (app, pilot):
            await press(app, pilot, "0", "backspace", *"measured", "space", *"0.10", "enter")
            taken = app.session_state.valves["1I"].current.measure
            assert taken is not None
            assert str(taken.measured) == "0.10 measured, give or take 0.01"
            assert "Noted: 1I: 0.10 measured, give or take 0.01." in seen(app)

    async def test_it_is_found_under_more_and_can_be_struck(self, desk: Desk) -> None:
        async with desk("1I 0.08 free") as (app, pilot):
            await press(app, pilot, "m", *"dial", "enter", *"0.10", "enter")
            assert app.session_state.valves["1I"].current.measure is not None
            await press(app, pilot, "delete")
            assert "2  0.10 measured" in seen(app)
            await press(app, pilot, "2")
            assert app.session_state.valves["1I"].current.measure is None


async def test_whatever_is_to_be_minded_every_step_can_be_read(desk: Desk) -> None:
    """A turn back on the one before is warned of; locking and measuring again stand there all the same."""
    back = ("1I turn out 40", "1I lock", "1I 0.12 free", "1I 0.10+0.03 refuses", "1I 0.12 free")
    async with desk(DEGREES, *TIGHT, *back) as (app, pilot):
        await press(app, pilot, "enter")
        assert isinstance(app.screen, SettingScreen)
        text = seen(app)
        assert "Finish from one side" in text
        for number, step in enumerate(
            ("Slacken the locknut", "Turn the", "Hold the", "Measure again"), 1
        ):
            assert f"{number}  {step}" in text


async def test_a_bare_figure_that_may_be_a_turn_or_a_blade_is_asked_about(desk: Desk) -> None:
    async with desk(DEGREES, *TIGHT) as (app, pilot):
        await press(app, pilot, "enter", *"0.15", "enter")
        assert 'found "0.15"; wanted out 0.15, in 0.15, or on 0.15 for a blade' in " ".join(
            seen(app).replace("┃", " ").split()
        )
        assert stage(app, "1I") is StageKind.FOUND


async def test_a_blade_outside_the_range_is_warned_of(desk: Desk) -> None:
    async with desk(*TIGHT) as (app, pilot):
        await press(app, pilot, "enter")
        await press(app, pilot, *(["up"] * 4))
        assert "That blade is outside the range" in seen(app)


async def test_with_a_blade_wanted_before_the_lock_the_key_that_locks_is_shown(desk: Desk) -> None:
    async with desk(DEGREES, *TIGHT, "1I turn out 24") as (app, pilot):
        app.open(SETTING, "1I")
        await press(app, pilot)
        assert "that blade first," in seen(app)
        assert "locked all the" in seen(app)
