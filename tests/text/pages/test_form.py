"""The blank form, and its way back through ``replay``."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.bench import Bench
from benchtui.domain.errors import FaultyInput
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.pairs import whole_play
from benchtui.domain.session.facts.commands import ConfirmPosition
from benchtui.domain.session.facts.events import AfterStep, AfterStepDone, Opened, SignSeen
from benchtui.domain.session.valve.pad import pad_finding
from benchtui.domain.session.whole.record import record_of
from benchtui.replay_script import Player, load_script
from benchtui.store.clock import clock_from
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import Library
from benchtui.store.paths import shipped_specs
from benchtui.text.pages.form import ONE_PAGE, TWO_PAGES, blank_form
from benchtui.text.reading.script import SpotBlades, TryBlades, parse_script
from benchtui.text.reading.sheet_file import parse_sheet
from benchtui.text.words.afterwards import spot_words

SPECS = shipped_specs()
DOTS = re.compile(r"(?:20)?\.{2,}[-.]*")
MM_285 = Length.mm("2.85")


class Shelf(Library):
    """The shipped sheets and blades."""


SHELF = Shelf((SPECS,), (SPECS / "blades",))


def form(engine: str = "quay-pump", blades: str = "fine-metric") -> str:
    return blank_form(SHELF.sheet(engine), blades, SHELF.blades(blades))


class Clerk:
    """Fills in a form as somebody at a keyboard would: over the dots, and the # taken away."""

    def __init__(self, text: str) -> None:
        self.lines = text.splitlines()
        self.reached = 0

    def go_on_from(self, heading: str) -> None:
        """Lines above the one that has this are left as they are."""
        self.reached = next(n for n, line in enumerate(self.lines) if heading in line)

    def write(self, start: str, *words: str, cut: str = "") -> None:
        """Fill the first unused line that begins with ``#start`` and has dots for the words.

        ``cut``: the words of the line from this one on are left away.
        """
        for number, line in enumerate(self.lines):
            form = line.split("     #")[0]
            form = form.split(f" {cut}")[0] if cut else form
            if number < self.reached:
                continue
            if line.startswith(f"#{start}") and len(DOTS.findall(form)) == len(words):
                for word in words:
                    form = DOTS.sub(word, form, count=1)
                self.lines[number] = form[1:]
                return
        raise AssertionError(f"no line for {start} {words}")

    def again(self, after: str, *lines: str) -> None:
        """Further lines of one's own, below one that was filled in."""
        place = self.lines.index(after) + 1
        self.lines[place:place] = lines

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


def played(clerk: Clerk, shelf: Shelf = SHELF) -> Bench:
    """The form played back, each step of it taken."""
    script = load_script(clerk.text, "form.txt", shelf)
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
    assert [(p.step.text, p.refused) for p in player.play() if p.refused] == []
    assert player.bench is not None
    return player.bench


def test_a_filled_in_form_is_a_whole_session() -> None:
    clerk = Clerk(form())
    clerk.write("date", "2026-05-01")
    clerk.write("who", "M.")
    clerk.write("hours", "310")
    clerk.write("metal", "19")
    clerk.write("stood", "6")
    clerk.write("count in", "4")
    clerk.write("position 1", "mark", "slack")
    clerk.write("position 1", "tight 1I")
    clerk.write("look 1", "still")
    clerk.again("look 1 still", "position 1 inlet mark")
    clerk.write("1I 0.06", "free")
    clerk.write("1I 0.10", "refuses")
    clerk.write("1E 0.08", "refuses")
    clerk.write("1E ...", "0.05", "free")
    clerk.write("1E pad", "72")
    clerk.again("1E pad 72", "1E 0.15 free", "1E 0.20 refuses")
    clerk.write("1E turn", "in", "22")
    clerk.write("1E lock")
    clerk.write("1E ...", "0.09", "free")
    clerk.write("1E ...", "0.12", "refuses")
    clerk.write("turned over")
    clerk.write("position 1", "mark", "slack")
    clerk.write("...", "1E", "0.09", "free")
    clerk.write("count out", "4")
    clerk.write("torque rocker cover bolts")
    clerk.write("torque adjuster locknuts")
    clerk.write("first run")
    clerk.write("no leaks")
    clerk.write("note", "rained all day")
    clerk.write("close")

    state = played(clerk).state
    record = record_of(state)
    assert record.complete, record.missing
    assert record.who == "M."
    assert (record.odometer_km, record.hours) == (None, Fraction(310))
    assert (record.metal_c, state.particulars.stood_hours) == (Fraction(19), Fraction(6))
    assert [str(v.left.bracket.high) for v in record.valves if v.left] == ["0.10 mm", "0.12 mm"]
    assert pad_finding(state, "1E") is not None
    assert record.notes == ("rained all day",)
    assert state.torques == {"rocker cover bolts", "adjuster locknuts"}
    assert state.after == set(AfterStep)
    assert spot_words(state) == ("1E 0.09 free, fits",)


def test_a_shim_engines_form_tells_found_spare_and_fitted_shims() -> None:
    clerk = Clerk(form("ferry-tender", "workshop-inch"))
    clerk.write("date", "2026-05-01")
    clerk.write("metal", "20")
    clerk.write("stood", "5")
    clerk.write("spare", "2.85", "2.84")
    clerk.write("spare", "2.60", cut="measured")
    clerk.write("position 1", "mark", "slack")
    tight = "1E-left"
    for cylinder in "12":
        if cylinder == "2":
            clerk.write("forward 360")
            clerk.write("position 2", "mark", "slack")
        for side in ("left", "right"):
            for kind, thin, thick in (("I", "6 thou", "9 thou"), ("E", "8 thou", "11 thou")):
                name = f"{cylinder}{kind}-{side}"
                free, refuses = ("6 thou", "8 thou") if name == tight else (thin, thick)
                clerk.write(f"{name} ...", free, "free")
                clerk.write(f"{name} ...", refuses, "refuses")
    clerk.write(f"{tight} shim found", "2.90", "2.89")
    clerk.write("2I-left shim found", "2.80", cut="measured")
    clerk.write(f"{tight} shim", "2.85", "2.84")
    clerk.go_on_from("Cams back")
    for step in ("timing marks", "caps in steps", "chain and tensioner", "two slow turns"):
        clerk.write(f"cams {step}")
    clerk.write("position 1", "mark", "slack")
    for cylinder in "12":
        if cylinder == "2":
            clerk.write("forward 360")
            clerk.write("position 2", "mark", "slack")
        for side in ("left", "right"):
            for kind, thin, thick in (("I", "6 thou", "9 thou"), ("E", "8 thou", "11 thou")):
                clerk.write(f"{cylinder}{kind}-{side} ...", thin, "free")
                clerk.write(f"{cylinder}{kind}-{side} ...", thick, "refuses")
    clerk.write("turned over")
    clerk.write("position ...", "1", "mark", "still")
    clerk.write("...", tight, "8 thou", "free")
    clerk.write("torque camshaft cap bolts")
    clerk.write("first run")
    clerk.write("no leaks")
    clerk.write("close")

    state = played(clerk).state
    record = record_of(state)
    assert record.complete, record.missing
    valves = {v.name: v for v in record.valves}
    assert (valves[tight].shim_found, valves[tight].shim_left) == (Length.mm("2.90"), MM_285)
    assert valves[tight].shim_left_measured == Length.mm("2.84")
    assert valves["2I-left"].shim_left == Length.mm("2.80")
    assert [(s.size, s.measured) for s in state.spares] == [
        (MM_285, Length.mm("2.84")),
        (Length.mm("2.60"), None),
    ]
    assert spot_words(state) == (f"{tight} 0.008 free, fits",)
    assert state.after == set(AfterStep)


FORMS = [(e, b) for e in SHELF.sheet_names() if e != "pilot-launch" for b in SHELF.blade_names()]


@pytest.mark.parametrize(("engine", "blades"), FORMS)
def test_every_form_is_a_script_already_has_each_valve_and_fits_two_pages(
    engine: str, blades: str
) -> None:
    text = form(engine, blades)
    script = load_script(text, "form.txt", SHELF)
    assert script.sheet.key == engine
    assert [s.text for s in script.steps] == [f"sheet {engine}", f"blades {blades}"]
    for valve in script.sheet.layout.valves:
        assert f"\n#{valve.name} " in text
    assert max(map(len, text.splitlines())) <= 96
    assert len(text.splitlines()) <= TWO_PAGES


PAIRED = """format = 1
name = "Slip hoist"
[layout]
cylinders = ["1"]
valves = { 1 = ["1I", "1I-closer", "1E", "1E-closer"] }
[clearance]
inlet = ["0.08 mm", "0.12 mm"]
inlet_closer = ["0.05 mm", "0.10 mm"]
exhaust = ["0.10 mm", "0.15 mm"]
exhaust_closer = ["0.05 mm", "0.10 mm"]
[adjuster]
kind = "shim"
"""

SIXTEEN = """format = 1
name = "Harbour tug"
[layout]
cylinders = ["1", "2", "3", "4"]
firing = { 1 = 0, 3 = 180, 4 = 360, 2 = 540 }
[layout.valves]
1 = ["1I-left", "1I-right", "1E-left", "1E-right"]
2 = ["2I-left", "2I-right", "2E-left", "2E-right"]
3 = ["3I-left", "3I-right", "3E-left", "3E-right"]
4 = ["4I-left", "4I-right", "4E-left", "4E-right"]
[clearance]
inlet = ["0.10 mm", "0.15 mm"]
exhaust = ["0.20 mm", "0.25 mm"]
[adjuster]
"""


BUCKETS = 'kind = "shim"\nunder_bucket = true'


def own_form(text: str) -> str:
    sheet = parse_sheet(text, "own", "own.toml")
    return blank_form(sheet, "fine-metric", SHELF.blades("fine-metric"))


FILLINGS: dict[str, tuple[str, ...]] = {
    "date": ("2026-05-01",),
    "position": ("1", "mark", "slack"),
    "look": ("opens",),
    "spare": ("2.80", "2.79"),
    "shim": ("1E", "2.80", "2.79"),
    "pad": ("1E", "72"),
    "turn": ("1E", "in", "22"),
    "lock": ("1E",),
    **dict.fromkeys(("odometer", "hours", "metal", "stood", "band", "count"), ("4",)),
    **dict.fromkeys(("who", "note"), ("M.",)),
}


def filled(line: str) -> str:
    """A line of a form with something that can stand there over every blank."""
    words = line.split("     #", maxsplit=1)[0].removeprefix("#").split()
    blanks = [n for n, word in enumerate(words) if DOTS.fullmatch(word)]
    told = next((FILLINGS[w] for w in words[:2] if w in FILLINGS), ("1E", "0.10", "free"))
    if words[0] == "position" and len(blanks) == 1:
        told = ("tight",)
    for n, word in zip(reversed(blanks), reversed(told), strict=False):
        words[n] = word
    return " ".join(words)


@pytest.mark.parametrize(
    "text", [*(form(*f) for f in FORMS), own_form(PAIRED), own_form(SIXTEEN + BUCKETS)]
)
def test_each_line_that_is_offered_can_be_read_once_filled_in(text: str) -> None:
    lines = [x for x in text.splitlines() if re.match(r"#[^ ]", x)]
    steps = parse_script("\n".join(map(filled, lines)), "form.txt")
    assert len(steps) == len(lines)
    kinds = {type(step.deed) for step in steps}
    assert {SignSeen, ConfirmPosition, SpotBlades, AfterStepDone, TryBlades} < kinds


def test_a_pair_is_offered_its_whole_play_once() -> None:
    text = own_form(PAIRED)
    assert text.count("#1I whole ........ ........") == 2
    assert "closer whole" not in text


@pytest.mark.parametrize(
    "adjuster",
    ['kind = "screw"\npitch = "0.75 mm"', 'kind = "shim"', BUCKETS, 'kind = "eccentric"'],
)
def test_sixteen_valves_have_lines_to_set_one_at_every_stop(adjuster: str) -> None:
    text = own_form(SIXTEEN + adjuster)
    assert len(text.splitlines()) <= 2 * 66  # pages without margins, six lines an inch
    sets = "shim ........ measured" if "shim" in adjuster else "turn"
    assert text.count(f"#........ {sets} ") == 4


def test_a_set_without_the_limits_makes_it_longer() -> None:
    """Eight valves: with both limits in the set each has its own lines, or else half of them have."""
    assert form("harbour-van", "fine-metric").count("#2E lock") == 1
    half = form("harbour-van", "hundredths")
    assert (half.count("#2E lock"), half.count("#........ lock")) == (0, 4)


def test_an_inch_set_is_listed_in_thou() -> None:
    text = form("dredge-lift", "workshop-inch")
    assert "1.5 thou" in text
    assert "#1I 8 thou ........" in text  # 0.008 in, the lower limit: as stamped on the leaf


def test_a_line_with_its_dots_is_refused_with_its_number() -> None:
    text = form()
    number = text.splitlines().index("#1I ........ ........") + 1
    with pytest.raises(FaultyInput) as caught:
        parse_script(text.replace("#1I ........ ........", "1I ........ free", 1), "form.txt")
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


def shelf_with(folder: Path, text: str) -> Shelf:
    (folder / "own.toml").write_text(text, encoding="utf-8")
    return Shelf((folder, SPECS), (SPECS / "blades",))


def test_the_whole_play_of_a_pair_comes_back(tmp_path: Path) -> None:
    clerk = Clerk(own_form(PAIRED))
    clerk.write("date", "2026-05-01")
    clerk.write("metal", "19")
    clerk.write("position 1", "mark", "slack")
    for name, low, high in (
        ("1I", "0.08", "0.12"),
        ("1I-closer", "0.05", "0.10"),
        ("1E", "0.10", "0.15"),
        ("1E-closer", "0.05", "0.10"),
    ):
        clerk.write(f"{name} {low}", "free")
        clerk.write(f"{name} {high}", "refuses")
    clerk.write("1I whole", "0.15", "free")
    clerk.write("1I whole", "0.20", "refuses")
    clerk.write("close")
    state = played(clerk, shelf_with(tmp_path, PAIRED)).state
    # By hand: 0.08 and 0.05 to 0.12 and 0.10 may well be 0.15 to 0.20 together.
    assert [t.reading.answer.value for t in whole_play(state, "1I")] == ["free", "refuses"]
    assert record_of(state).complete


def test_a_valve_is_set_on_lines_where_its_name_is_filled_in() -> None:
    clerk = Clerk(form("harbour-van", "hundredths"))
    clerk.write("date", "2026-05-01")
    clerk.write("metal", "19")
    clerk.write("position 1", "mark", "slack")
    clerk.write("1E 0.25", "refuses")
    clerk.write("1E ...", "0.20", "free")
    clerk.write("...", "1E", "out", "25")
    clerk.write("........ lock", "1E")
    clerk.write("...", "1E", "0.25", "free")
    clerk.write("...", "1E", "0.35", "refuses")
    clerk.write("close")
    record = record_of(played(clerk).state)
    exhaust = next(v for v in record.valves if v.name == "1E")
    assert exhaust.left is not None
    assert (exhaust.locked, exhaust.left.verdict.kind.value) == (True, "in")


def test_a_two_valve_engines_form_is_one_page_with_room_for_a_pen() -> None:
    """A pen wants 15 mm for a word (common practice); ten letters to an inch are 2.54 mm each."""
    lines = form("quay-pump").splitlines()
    assert len(lines) <= ONE_PAGE
    for line in lines:
        for gap in re.findall(r"(?<!0)\.{2,}", line.partition("     #")[0]):
            assert len(gap) * 2.54 >= 15 or line.startswith("#date"), line
