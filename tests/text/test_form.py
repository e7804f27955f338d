"""The blank form, and its way back through ``replay``."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from benchtui.bench import Bench
from benchtui.domain.errors import FaultyInput
from benchtui.domain.session.events import Opened
from benchtui.domain.session.record import record_of
from benchtui.replay import Player, load_script
from benchtui.store.clock import clock_from
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import Library
from benchtui.store.paths import shipped_specs
from benchtui.text.form import blank_form
from benchtui.text.script import parse_script

SPECS = shipped_specs()


class Shelf(Library):
    """The shipped sheets and blades."""


SHELF = Shelf((SPECS,), (SPECS / "blades",))


def form(engine: str = "quay-pump", blades: str = "fine-metric") -> str:
    return blank_form(SHELF.sheet(engine), blades, SHELF.blades(blades))


class Clerk:
    """Fills in a form as somebody at a keyboard would: over the dots, and the # taken away."""

    def __init__(self, text: str) -> None:
        self.lines = text.splitlines()

    def write(self, start: str, *words: str) -> None:
        """Fill the first unused line that begins with ``#start`` and has dots for the words."""
        for number, line in enumerate(self.lines):
            dots = re.findall(r"\.{2,}[-.]*", line.split("     #")[0])
            if line.startswith(f"#{start}") and len(dots) == len(words):
                for word in words:
                    line = re.sub(r"(20)?\.{2,}[-.]*", word, line, count=1)  # noqa: PLW2901  # typed over
                self.lines[number] = line[1:]
                return
        raise AssertionError(f"no line for {start} {words}")

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


def test_a_filled_in_form_is_a_whole_session() -> None:
    clerk = Clerk(form())
    clerk.write("date", "2026-05-01")
    clerk.write("who", "M.")
    clerk.write("odometer", "12400")
    clerk.write("metal", "19")
    clerk.write("count in", "4")
    clerk.write("position 1", "mark", "slack")
    clerk.write("1I 0.06", "free")
    clerk.write("1I 0.10", "refuses")
    clerk.write("1E 0.08", "refuses")
    clerk.write("1E ...", "0.05", "free")
    clerk.write("1E turn", "out", "22")
    clerk.write("1E lock")
    # The two lines after locking; the one left over before it stays a comment.
    after = next(n for n, line in enumerate(clerk.lines) if line == "1E lock")
    clerk.lines[after + 1] = "1E 0.08 free     # after locking: measure again, always"
    clerk.lines[after + 2] = "1E 0.12 refuses"
    clerk.write("count out", "4")
    clerk.write("torque rocker cover bolts")
    clerk.write("torque adjuster locknuts")
    clerk.write("note", "rained all day")
    clerk.write("close")

    script = load_script(clerk.text, "form.txt", SHELF)
    assert script.day is not None
    clock = clock_from(script.day)
    player = Player(
        script,
        lambda particulars, rule: Bench.open(
            MemoryJournal(),
            clock,
            Opened("s", script.sheet, script.blades_key, script.blades, particulars, rule),
        ),
    )
    assert [p.refused for p in player.play() if p.refused] == []
    assert player.bench is not None
    record = record_of(player.bench.state)
    assert record.complete
    assert record.who == "M."
    assert record.odometer_km == Fraction(12400)
    assert record.metal_c == Fraction(19)
    assert [str(v.left.bracket.high) for v in record.valves if v.left] == ["0.10 mm", "0.12 mm"]
    assert record.notes == ("rained all day",)
    assert player.bench.state.torques == {"rocker cover bolts", "adjuster locknuts"}


@pytest.mark.parametrize(
    ("engine", "blades"),
    [
        ("quay-pump", "fine-metric"),
        ("harbour-van", "coarse-metric"),
        ("dredge-lift", "workshop-inch"),
        ("mole-crane", "fine-metric"),
        ("ferry-tender", "coarse-metric"),
        ("slip-winch", "fine-metric"),
    ],
)
def test_every_form_is_a_script_already_and_has_each_valve(engine: str, blades: str) -> None:
    text = form(engine, blades)
    script = load_script(text, "form.txt", SHELF)
    assert script.sheet.key == engine
    assert [s.text for s in script.steps] == [f"sheet {engine}", f"blades {blades}"]
    for valve in script.sheet.layout.valves:
        assert f"\n#{valve.name} " in text
    assert max(map(len, text.splitlines())) <= 96


def test_an_inch_set_is_listed_in_thou() -> None:
    text = form("dredge-lift", "workshop-inch")
    assert "1.5 thou" in text
    assert "#1I 8 thou ........" in text  # 0.008 in, the lower limit: as stamped on the leaf


def test_a_line_with_its_dots_is_refused_with_its_number() -> None:
    text = form()
    number = text.splitlines().index("#1I ...... ........") + 1
    with pytest.raises(FaultyInput) as caught:
        parse_script(text.replace("#1I ...... ........", "1I ...... free", 1), "form.txt")
    assert [f.line for f in caught.value.faults] == [number]


def test_a_name_cannot_bring_its_own_steps() -> None:
    sheet = SHELF.sheet("quay-pump")
    for name in ("x\nclose", "x\r\nclose", "x\u2028close", "x\x0cclose", "x\x85close"):
        text = blank_form(replace(sheet, name=name), "fine-metric", SHELF.blades("fine-metric"))
        assert [s.text for s in parse_script(text, "f")] == [
            "sheet quay-pump",
            "blades fine-metric",
        ]


def test_the_cautions_stand_before_the_first_blade_and_the_manual_outranks() -> None:
    text = form()
    first = text.index("#1I ")
    for caution in ("battery negative", "forward only", "Never force a blade", "outrank"):
        assert 0 < text.index(caution) < first
