"""The owner's editor: found without a shell, waited for, and never silently missing."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path

import pytest
from textual.app import App

from benchtui.domain.errors import Unable
from benchtui.tui import editor


def test_the_visual_one_comes_first_and_its_words_are_split() -> None:
    python = shlex.quote(sys.executable)
    words = editor.editor_words({"VISUAL": f"{python} -c 'a b'", "EDITOR": "never"})
    assert words == [sys.executable, "-c", "a b"]
    assert editor.editor_words({"VISUAL": " ", "EDITOR": python}) == [sys.executable]


def test_one_that_is_not_there_is_named() -> None:
    with pytest.raises(Unable, match="EDITOR names 'no-such-editor-here'"):
        editor.editor_words({"EDITOR": "no-such-editor-here -w"})
    with pytest.raises(Unable, match="EDITOR cannot be read"):
        editor.editor_words({"EDITOR": "vi 'unclosed"})


def test_without_a_word_a_plain_one_is_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shutil.which", {"vi": "vi"}.get)
    assert editor.editor_words({}) == ["vi"]
    monkeypatch.setattr("shutil.which", {}.get)
    with pytest.raises(Unable, match="no editor"):
        editor.editor_words({})


def test_the_file_is_handed_over_as_one_word(tmp_path: Path) -> None:
    path = tmp_path / "a set; echo.toml"
    write = "import sys, pathlib; pathlib.Path(sys.argv[1]).write_text('edited')"
    assert editor.run_editor([sys.executable, "-c", write], path) == 0
    assert path.read_text() == "edited"


def test_one_that_cannot_start_says_so(tmp_path: Path) -> None:
    (tmp_path / "not-a-program").write_text("")
    with pytest.raises(Unable, match="would not start"):
        editor.run_editor([str(tmp_path / "not-a-program")], tmp_path / "x")


async def test_where_the_screen_cannot_be_put_away_it_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("VISUAL", shlex.quote(sys.executable))
    app: App[None] = App()
    async with app.run_test():
        with pytest.raises(Unable, match="another window"):
            editor.edit_file(app, tmp_path / "x.toml")
