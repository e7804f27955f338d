from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from textual.app import App
from textual.binding import Binding
from textual.keys import Keys
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Footer, Static

from benchtui.domain.adjusting.turns import Way
from benchtui.domain.session.facts.events import Locked, ScrewTurned
from benchtui.text.words.standing import Standing
from benchtui.tui import keys
from benchtui.tui.app import BenchApp
from benchtui.tui.keys import COMMANDS, SCREENS, commands_for
from benchtui.tui.screens.bench import BenchScreen
from tests.tui.kept_sessions import seen
from tests.tui.test_bench_from_afar import bench

USUAL_KEYBOARDS = {
    "qwerty": ("qwertyuiop", "asdfghjkl;", "zxcvbnm,./"),
    "qwertz": ("qwertzuiop", "asdfghjkl;", "yxcvbnm,.-"),
    "azerty": ("azertyuiop", "qsdfghjklm", "wxcvbn,;:!"),
}
"""The usual Latin keyboards, row by row (from memory)."""

ANSWERING = set("sdfjkl")


def around(rows: tuple[str, ...], key: str) -> set[str]:
    """The keys that touch one: beside it, and the two above and below, rows staggered by half a key."""
    row = next(n for n, letters in enumerate(rows) if key in letters)
    at = rows[row].index(key)
    touching = {
        (row, at - 1), (row, at + 1), (row - 1, at), (row - 1, at + 1), (row + 1, at - 1), (row + 1, at)
    }  # fmt: skip
    return {rows[y][x] for y, x in touching if 0 <= y < len(rows) and 0 <= x < len(rows[y])}


BESIDE_THE_ANSWERS = {
    key for rows in USUAL_KEYBOARDS.values() for answer in ANSWERING for key in around(rows, answer)
} - ANSWERING

ALL_SCREENS = pytest.mark.parametrize("screen", SCREENS)


@ALL_SCREENS
def test_no_key_does_two_things_on_one_screen(screen: str) -> None:
    counts = Counter(key for command in commands_for(screen) for key in command.bound)
    assert {key: n for key, n in counts.items() if n > 1} == {}


@ALL_SCREENS
def test_no_command_is_twice_on_one_screen(screen: str) -> None:
    counts = Counter(command.id for command in commands_for(screen))
    assert set(counts.values()) == {1}


@ALL_SCREENS
def test_every_binding_is_described(screen: str) -> None:
    bindings = keys.bindings_for(screen)
    assert bindings
    for binding in bindings:
        assert isinstance(binding, Binding)
        assert binding.description
        assert binding.tooltip.endswith(".")
        assert binding.key_display


@ALL_SCREENS
def test_every_screen_can_be_left_and_helps(screen: str) -> None:
    ids = {command.id for command in commands_for(screen)}
    assert ids & {"leave", "quit"}
    assert "help" in ids or screen == keys.HELP


def test_every_command_is_on_known_screens_and_says_a_sentence() -> None:
    for command in COMMANDS:
        assert command.screens
        assert command.screens <= set(SCREENS)
        assert command.help[0].isupper()
        assert command.help.endswith(".")
        assert command.id.isidentifier()


def test_every_named_key_is_one_that_the_library_knows() -> None:
    known = {key.value for key in Keys} | {"space", "slash", "minus", "plus"}
    known |= {"full_stop", "question_mark", "comma"}
    for command in COMMANDS:
        for key in command.keys:
            assert len(key) == 1 or key in known, key


def test_no_command_needs_two_keys_at_once() -> None:
    assert not [c.id for c in COMMANDS for key in c.keys if "+" in key]


def test_the_answers_lie_under_either_hand() -> None:
    answers = {c.id: c.keys for c in commands_for(keys.BENCH) if c.group is keys.Group.ANSWERS}
    assert answers == {"refuses": ("s", "j"), "drag": ("d", "k"), "free": ("f", "l")}


def test_an_answer_key_is_an_answer_on_every_screen_or_nothing() -> None:
    meant = {c.group for c in COMMANDS if ANSWERING & set(c.keys)}
    assert meant == {keys.Group.ANSWERS}


def test_a_letter_has_one_meaning_wherever_it_is_offered() -> None:
    meanings: dict[str, set[str]] = {}
    for command in COMMANDS:
        for key in command.keys:
            if len(key) == 1 and key.isalpha():
                meanings.setdefault(key, set()).add(command.id)
    assert {key: ids for key, ids in meanings.items() if len(ids) > 1} == {}
    assert len(meanings) > 20


def test_a_digit_is_never_an_answer() -> None:
    assert not [k for k in keys.ANSWER_KEYS if k.isdigit()]


@pytest.mark.parametrize("key", sorted(BESIDE_THE_ANSWERS))
async def test_no_key_beside_an_answer_writes_anything(key: str, tmp_path: Path) -> None:
    """A gloved finger that lands beside an answer opens a page at most, which Esc closes."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        app = pilot.app
        assert isinstance(app, BenchApp)
        assert app.live is not None
        before = len(app.live.bench.events)
        names = {";": "semicolon", ",": "comma", ".": "full_stop", "/": "slash", ":": "colon"}
        names |= {"-": "minus", "!": "exclamation_mark"}
        await pilot.press(names.get(key, key))
        await pilot.pause()
        if not isinstance(app.screen, BenchScreen):
            await pilot.press("escape")
            await pilot.pause()
        assert isinstance(app.screen, BenchScreen)
        assert len(app.live.bench.events) == before


async def test_a_key_of_another_screen_says_so(tmp_path: Path) -> None:
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await pilot.press("w")
        await pilot.pause()
        assert "W does nothing here. M lists all that this screen does." in seen_by(pilot)


def test_a_normal_check_takes_twelve_keys_at_most() -> None:
    """Answers, Enter, Space, Backspace, Esc, four arrows as two pairs, the figures, M and H."""
    wanted = {"refuses", "drag", "free", "foot", "next_valve", "undo", "leave", "figure", "more"}
    wanted |= {"help", "thicker", "valve_before"}
    assert len(wanted) == 12
    assert wanted <= {c.id for c in commands_for(keys.BENCH)}


def test_caps_lock_changes_nothing() -> None:
    free = next(c for c in COMMANDS if c.id == "free")
    assert free.bound == ("f", "l", "F", "L")
    assert {"S", "D", "F", "J", "K", "L"} <= keys.ANSWER_KEYS


def test_actions_name_the_methods_that_must_exist() -> None:
    wanted = keys.actions()
    assert ("bench", "action_refuses") in wanted
    assert ("crank", "action_doubt") in wanted
    assert {screen for screen, _ in wanted} == set(SCREENS)


@ALL_SCREENS
@pytest.mark.parametrize("width", [80, 120])
def test_the_footer_fits_and_ends_in_more_and_help(screen: str, width: int) -> None:
    text = keys.footer_text(screen, width)
    assert len(text) <= width
    assert text.endswith(("M  More  H  Help", "F1  Help")) or screen == keys.HELP


@pytest.mark.parametrize(
    ("screen", "wanted"),
    [
        (keys.BENCH, "Next Blade Valve"),
        (keys.CRANK, "Seen|Not sure"),
        (keys.SETTING, "Other way|Undo"),
        (keys.CLOSING, "Tick|File it|Undo"),
        (keys.HOME, "Check|Add|Sheet|Past"),
    ],
)
def test_what_a_step_wants_most_is_not_cut_at_80_columns(screen: str, wanted: str) -> None:
    """The answers stand in a row of their own above the footer."""
    shown = {part.label for part in keys.footer_line(screen, 80)}
    assert set(wanted.split("|" if "|" in wanted else None)) <= shown


def test_what_means_nothing_here_is_left_out() -> None:
    shown = {p.label for p in keys.footer_line(keys.SHIMS, 80, frozenset({"figure"}))}
    assert "Size" not in shown
    assert {"More", "Help"} <= shown


def test_the_help_page_goes_heading_by_heading() -> None:
    rows = keys.help_rows(keys.BENCH)
    assert rows[0] == ("Answers", "S or J", "The blade does not go, or only by force.")
    headings = [heading for heading, _, _ in rows]
    assert headings == sorted(headings, key=[g.value for g in keys.Group].index)
    assert len(rows) == len([c for c in commands_for(keys.BENCH) if c.keys])


def seen_by(pilot: Pilot[int]) -> str:
    assert isinstance(pilot.app, BenchApp)
    return seen(pilot.app)


def test_an_unknown_screen_is_refused() -> None:
    with pytest.raises(KeyError):
        commands_for("kitchen")


class BenchLike(Screen[None]):
    """A screen with the bench's bindings, which writes down what is called."""

    BINDINGS = keys.bindings_for(keys.BENCH)

    def __init__(self) -> None:
        super().__init__()
        self.called: list[str] = []

    def compose(self):  # type: ignore[no-untyped-def]  # noqa: ANN201  the library's own shape
        yield Footer()

    def action_refuses(self) -> None:
        self.called.append("refuses")

    def action_drag(self) -> None:
        self.called.append("drag")

    def action_free(self) -> None:
        self.called.append("free")

    def action_next_valve(self) -> None:
        self.called.append("next")

    def action_undo(self) -> None:
        self.called.append("undo")

    def action_figure(self, first: str) -> None:
        self.called.append(first)

    def action_strike(self) -> None:
        self.called.append("strike")

    def action_help(self) -> None:
        self.called.append("help")


async def test_real_key_presses_reach_the_actions() -> None:
    app: App[None] = App()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = BenchLike()
        await app.push_screen(screen)
        await pilot.press("s", "D", "l", "space", "backspace", "7", "full_stop", "delete")
        await pilot.press("question_mark")
    expected = ["refuses", "drag", "free", "next", "undo", "7", ".", "strike", "help"]
    assert screen.called == expected


async def test_more_lists_what_has_no_key_first_and_finds_by_typing(tmp_path: Path) -> None:
    """The number or Enter does the line; Esc closes, and nothing was done."""
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await pilot.press("m")
        await pilot.pause()
        assert "1  These readings belong to another valve" in seen_by(pilot)
        assert "opener and closer" not in seen_by(pilot)  # this engine has none
        await pilot.press(*"why")
        await pilot.pause()
        assert "find why" in seen_by(pilot)
        assert "belong to another valve" not in seen_by(pilot)
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(pilot.app.screen, BenchScreen)
        await pilot.press("m", *"torques", "1")
        await pilot.pause()
        assert "Torques" in seen_by(pilot)


async def test_escape_at_the_bench_asks_and_says_a_slack_nut_first(tmp_path: Path) -> None:
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        app = pilot.app
        assert isinstance(app, BenchApp)
        assert app.live is not None
        await pilot.press("escape")
        await pilot.pause()
        for words in ("Enter  leave it open, to go on with it", "drop this check", "stay at"):
            assert words in seen_by(pilot)
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, BenchScreen)
        app.live.bench.do(ScrewTurned("1I", Way.OUT, Fraction(20)))
        await pilot.press("escape")
        await pilot.pause()
        assert "the nut is slack. Lock it before anything else." in seen_by(pilot)
        assert "Enter  stay, and lock it" in seen_by(pilot)
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, BenchScreen)
        app.live.bench.do(Locked("1I"))
        await pilot.press("escape")
        await pilot.pause()
        assert "Leave it open, or file it in part?" in seen_by(pilot)
        await pilot.press("enter")
        await pilot.pause()
        assert app.live is None


async def test_help_draws_every_sign_with_its_word(tmp_path: Path) -> None:
    async with bench(tmp_path, "quay-pump", "fine-metric") as pilot:
        await pilot.press("h")
        await pilot.pause()
        told = str(pilot.app.screen.query_one("#page Static", Static).render())
        for standing in Standing:
            assert f"{standing.sign} {standing.word}" in told
