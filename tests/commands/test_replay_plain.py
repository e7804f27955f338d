"""The plain lines of ``replay`` warn of everything that its JSON warns of."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main

STORIES = Path(__file__).parents[1] / "stories" / "data" / "scripts"
DEMO = Path(__file__).parents[2] / "specs" / "demo"

Lines = list[dict[str, Any]]

PUMP = "sheet quay-pump\nblades fine-metric\nmetal 19 C\nposition 1 mark slack\n"
TIGHT = "1E 0.08 refuses\n1E 0.05 free\n1E 0.06 refuses\n"

WARNED = {
    "force": (f"{PUMP}1I 0.10 forced\n", "went only by force"),
    "not advised": (f"{PUMP}1I 0.06 free\n1I 0.10 refuses\n1I turn out 10\n", "was not advised"),
    "too warm": (
        f"{PUMP}metal 62 C\n1E turn out 10\n1E lock\n",
        "Set while too warm: measure it again cold",
    ),
    "crank not confirmed": (
        "sheet quay-pump\nblades fine-metric\nmetal 19 C\n1I 0.06 free\n",
        "crank position was not confirmed",
    ),
    "set aside": (f"{PUMP}1I 0.08 refuses\n1I 0.10 free\n1I 0.08 free\n", "set aside"),
}


def both(script: Path, data: Path, capsys: pytest.CaptureFixture[str]) -> tuple[Lines, str]:
    told = []
    for options in (["--json"], []):
        assert main(["--data", str(data), "replay", str(script), *options]) == 0
        told.append(capsys.readouterr().out)
    return [json.loads(line) for line in told[0].splitlines()], told[1]


def every_warning(lines: Lines, plain: str) -> None:
    steps = plain.splitlines()
    for line, said in zip(lines[:-1], steps, strict=False):
        if line.get("refused"):
            assert line["refused"] in said
            continue
        for words in (*line["doubts"], line["sentence"] or ""):
            assert words in said
        if line["verdict"] == "none" and line["valve"]:
            # Why there is no verdict, in the message, stands in the plain line too.
            rest = line["message"].removeprefix(line["sentence"] or "")
            assert all(part.strip(" .").lower() in said.lower() for part in rest.split(". "))
    for torque in lines[-1]["summary"]["torques"]:
        for note in torque["notes"]:
            assert f"{torque['what']}: {note}" in plain


@pytest.mark.parametrize("name", WARNED)
def test_a_warning_is_in_both(
    name: str, story_data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text, words = WARNED[name]
    script = tmp_path / "script.txt"
    script.write_text(text, encoding="utf-8")
    lines, plain = both(script, story_data, capsys)
    every_warning(lines, plain)
    assert words in lines[-2]["message"]
    assert words in plain


@pytest.mark.parametrize(
    "script", sorted([*STORIES.glob("*.txt"), *DEMO.glob("2*.txt")]), ids=lambda p: p.stem
)
def test_every_written_down_session_warns_the_same(
    script: Path, story_data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if "hydraulic" in script.stem:
        pytest.skip("nothing is played of it")
    every_warning(*both(script, story_data, capsys))
