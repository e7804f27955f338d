"""The README promises nothing that the program does not keep."""

from __future__ import annotations

import re
from argparse import _SubParsersAction
from pathlib import Path

import pytest

from benchtui.cli import main, parser
from benchtui.text.reading.script import parse_script
from benchtui.tui import keys

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


def test_every_key_it_names_is_declared() -> None:
    table = README.split("## Keys")[1].split("## Changes")[0]
    named = set(re.findall(r"`([A-Z0-9↑↓←→]|[A-Z][a-z]+)`", table)) - {"0", "9"}
    shown = {key for command in keys.COMMANDS for key in command.shown}
    assert {"S", "Enter", "M", "↑"} <= named <= shown


def test_every_key_is_printed_under_its_screen(capsys: pytest.CaptureFixture[str]) -> None:
    """None is left out, and what has no key of its own is told to be under More."""
    assert main(["keys"]) == 0
    printed = capsys.readouterr().out
    assert all(heading in printed for heading in keys.SCREENS.values())
    assert all(command.help in printed for command in keys.COMMANDS)
    assert "  S or J           The blade does not go, or only by force." in printed


def test_its_written_down_session_can_be_read() -> None:
    found = re.search(r"```\n(sheet quay-pump.*?)```", README, re.DOTALL)
    assert found is not None
    script = found[1]
    steps = parse_script(script, "README.md")
    lines = [x.strip() for x in script.splitlines()]
    assert len(steps) == len([x for x in lines if x and not x.startswith("#")])


def test_its_commands_are_the_programs_own() -> None:
    named = set(re.findall(r"^\| `benchtui ([a-z-]+)", README, re.MULTILINE))
    known = next(a.choices for a in parser()._actions if isinstance(a, _SubParsersAction))
    assert named == set(known)


@pytest.mark.parametrize("marker", ["<!-- the demo -->", "<!-- the tests -->"])
def test_each_set_up_is_one_line(marker: str) -> None:
    block = README.split(marker)[1].split("```sh\n")[1].split("```")[0]
    assert len(block.strip().splitlines()) == 1


def test_the_first_paragraph_states_the_job() -> None:
    first = README.split("\n\n")[1]
    assert all(word in first for word in ("valve clearances", "feeler blades", "record"))


def test_a_key_named_with_its_screen_is_a_key_of_that_screen() -> None:
    """As in "In the program: Enter on One session"."""
    named = re.search(r"In the program: (\w+) on One session", README)
    assert named is not None
    assert any(named[1] in c.shown and c.id == "amend" for c in keys.commands_for("session"))
