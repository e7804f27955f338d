from __future__ import annotations

from collections import Counter

import pytest
from textual.app import App
from textual.binding import Binding
from textual.keys import Keys
from textual.screen import Screen
from textual.widgets import Footer

from benchtui.tui import keys
from benchtui.tui.keys import COMMANDS, SCREENS, commands_for

# The neighbours of S, D and F and of 1, 2 and 3 on the common keyboard (from memory).
AROUND_THE_ANSWERS = set("aqwertgzxcv4`") | {"tab", "escape"}

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


def test_the_three_answers_lie_side_by_side_twice() -> None:
    answers = {c.id: c.keys for c in commands_for(keys.BENCH) if c.group is keys.Group.ANSWERS}
    assert answers == {"refuses": ("s", "1"), "drag": ("d", "2"), "free": ("f", "3")}


def test_a_finger_beside_the_answers_does_nothing_on_the_bench() -> None:
    """Escape leaves, which loses nothing; no other key near the answers does anything."""
    bound = {key for command in commands_for(keys.BENCH) for key in command.keys}
    assert bound & AROUND_THE_ANSWERS == {"escape"}


def test_nothing_on_the_bench_but_leaving_waits_for_escape() -> None:
    """A plain Esc takes a tenth of a second; leaving has another key, shown first."""
    with_escape = [c for c in commands_for(keys.BENCH) if "escape" in c.keys]
    assert [c.id for c in with_escape] == ["leave"]
    assert with_escape[0].keys[0] == "l"


def test_caps_lock_changes_nothing() -> None:
    undo = next(c for c in COMMANDS if c.id == "undo")
    assert undo.bound == ("u", "backspace", "U")
    assert {"S", "D", "F"} <= keys.ANSWER_KEYS


def test_actions_name_the_methods_that_must_exist() -> None:
    wanted = keys.actions()
    assert ("bench", "action_refuses") in wanted
    assert ("crank", "action_doubt") in wanted
    assert {screen for screen, _ in wanted} == set(SCREENS)


@ALL_SCREENS
@pytest.mark.parametrize("width", [80, 120])
def test_the_footer_fits_and_always_offers_help(screen: str, width: int) -> None:
    text = keys.footer_text(screen, width)
    assert len(text) <= width
    assert text.endswith(("H  Help", "F1  Help")) or screen == keys.HELP


@pytest.mark.parametrize(
    ("screen", "wanted"),
    [
        (keys.BENCH, "next_valve set_valve undo position close_up leave"),
        (keys.CRANK, "confirm turned_on doubt undo leave"),
        (keys.SETTING, "set_on turned locked turned_otherwise undo leave"),
        (keys.CLOSING, "tick file hand_over undo leave"),
        (keys.BEFORE, "tick go_on temperature undo leave"),
        (keys.HOME, "start add open_sheet past filter"),
    ],
)
def test_what_a_step_wants_most_is_not_cut_at_80_columns(screen: str, wanted: str) -> None:
    """The bench's answers stand in a row of their own above the footer."""
    shown = {c.id for c in keys.footer_line(screen, 80)}
    assert set(wanted.split()) <= shown


def test_what_means_nothing_here_is_left_out() -> None:
    shown = {c.id for c in keys.footer_line(keys.CLOSING, 80, frozenset({"open_shims"}))}
    assert "open_shims" not in shown
    assert {"leave", "help"} <= shown


def test_the_help_page_goes_heading_by_heading() -> None:
    rows = keys.help_rows(keys.BENCH)
    assert rows[0] == ("Answers", "S or 1", "The blade does not go, or only by force.")
    headings = [heading for heading, _, _ in rows]
    assert headings == sorted(headings, key=[g.value for g in keys.Group].index)
    assert len(rows) == len(commands_for(keys.BENCH))


def test_the_readme_table_holds_every_command() -> None:
    table = keys.readme_table()
    assert table.startswith("| Where | Key | What it does |\n|---|---|---|\n")
    assert "| Bench | `S`, `1` | The blade does not go, or only by force. |" in table
    assert table.count("`L`, `Esc`") == 1
    for command in COMMANDS:
        assert command.help in table


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

    def action_close_up(self) -> None:
        self.called.append("close")

    def action_strike(self) -> None:
        self.called.append("strike")

    def action_help(self) -> None:
        self.called.append("help")


async def test_real_key_presses_reach_the_actions() -> None:
    app: App[None] = App()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = BenchLike()
        await app.push_screen(screen)
        await pilot.press("s", "D", "3", "space", "u", "backspace", "full_stop", "minus")
        await pilot.press("question_mark")
    expected = ["refuses", "drag", "free", "next", "undo", "undo", "close", "strike", "help"]
    assert screen.called == expected
