"""What the tests share: a written-down session played through the real command."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from benchtui.cli import main

# Quick and the same every time for whoever works on a rule; CI asks for the thorough one as well:
# pytest tests/domain --hypothesis-profile=thorough
settings.register_profile("quick", max_examples=12, deadline=None, derandomize=True)
settings.register_profile("thorough", max_examples=150, deadline=None)
settings.load_profile("quick")

STORIES = Path(__file__).parent / "stories" / "data"

Lines = list[dict[str, Any]]


@pytest.fixture
def story_data(tmp_path: Path) -> Path:
    """A data folder with the stories' own sheets and blade sets."""
    folder = tmp_path / "data"
    shutil.copytree(STORIES, folder)
    return folder


@pytest.fixture
def play(
    story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> Callable[..., Lines]:
    """Plays a script, told as text, through ``replay --json``; every printed line as an object."""

    def played(text: str, *, keep: bool = False) -> Lines:
        script = tmp_path / "script.txt"
        script.write_text(text, encoding="utf-8")
        options = ["--json", *(["--keep"] if keep else [])]
        assert main(["--data", str(story_data), "replay", str(script), *options]) == 0
        return [json.loads(line) for line in capsys.readouterr().out.splitlines()]

    return played
