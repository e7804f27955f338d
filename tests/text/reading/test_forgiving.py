"""Notes as people write them: understood where only one thing can be meant, else asked about."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchtui.domain.errors import FaultyInput
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.spelling import did_you_mean, meant
from benchtui.replay_script import Script
from benchtui.script_session import script_of_file
from benchtui.store.paths import DataFolder
from benchtui.text.quantities import measure
from benchtui.text.quantities.measure import FaultyQuantity
from benchtui.text.reading.script import TryBlades, UseSheet

HEADER = "sheet quay-pump\nblades fine-metric\n"


def script(tmp_path: Path, text: str) -> Script:
    path = tmp_path / "notes.txt"
    path.write_text(text, encoding="utf-8")
    return script_of_file(path, DataFolder(tmp_path / "data"))


@pytest.mark.parametrize(
    ("line", "valve", "answer", "forced"),
    [
        ("1E 0.08 Drag", "1E", Answer.DRAG, False),
        ("1i 0.08 free", "1I", Answer.FREE, False),
        ("1E 0.08 refuse", "1E", Answer.REFUSES, False),
        ("1e 0.08 REFUSED", "1E", Answer.REFUSES, False),
        ("1E 0.08 drags", "1E", Answer.DRAG, False),
        ("1E 0.08 Forced", "1E", Answer.REFUSES, True),
    ],
)
def test_answers_and_valves_in_other_letters(
    tmp_path: Path, line: str, valve: str, answer: Answer, *, forced: bool
) -> None:
    deed = script(tmp_path, f"{HEADER}{line}\n").steps[-1].deed
    assert isinstance(deed, TryBlades)
    assert (deed.valve, deed.answer, deed.forced) == (valve, answer, forced)


def test_words_in_capitals_and_the_name_printed_on_the_sheet(tmp_path: Path) -> None:
    read = script(tmp_path, "Sheet quay PUMP\nblades fine-metric\nPosition 1 Mark slack\n")
    assert read.sheet.key == "quay-pump"
    assert read.steps[0].deed == UseSheet("quay-pump")
    assert isinstance(read.steps[-1].deed, ConfirmPosition)


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        (HEADER + "1E 0.08 drga\n", "did you mean drag?"),
        (HEADER + "1E 0.08 refusess\n", "did you mean refuses?"),
        (HEADER + "position 1 mark slak\n", "did you mean slack?"),
        (HEADER.replace("quay-pump", "quay-pmup") + "1E 0.08 drag\n", "did you mean quay-pump?"),
        (HEADER + "1EE 0.08 drag\n", "did you mean 1E?"),
    ],
)
def test_what_is_near_is_asked_about(tmp_path: Path, text: str, asked: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        script(tmp_path, text)
    assert asked in str(caught.value.faults[0])


@pytest.mark.parametrize("text", ["12.400 km", "12,400 km", "1.250 h", "12.400 mi"])
def test_thousands_or_decimals_are_asked_about(text: str) -> None:
    read = measure.hours if text.endswith("h") else measure.distance_km
    with pytest.raises(FaultyQuantity, match="decimals or for thousands"):
        read(text)


@pytest.mark.parametrize("text", ["12400 km", "12 400 km", "12.4 km", "12.40 km", "0.500 km"])
def test_what_can_only_be_one_thing_is_taken(text: str) -> None:
    assert measure.distance_km(text) > 0


def test_a_length_of_thousandths_is_a_length() -> None:
    assert measure.length("12.400 mm").nm == 12_400_000


def test_one_name_is_meant_or_none() -> None:
    assert meant("4 Rag", ["4 rags", "caps"]) == "4 rags"
    assert meant("1i", ["1I", "1i"]) == "1i"
    assert meant("A", ["a", "as"]) == "a"
    assert meant("CAP", ["cap", "Cap"]) is None
    assert did_you_mean("zzz", ["rags"]) == ""
