"""Before a check: what is due, how warm it is, and with what in hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Select, Static

from benchtui.domain.errors import BenchError
from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.history.due import sentence
from benchtui.domain.history.usage import Meter
from benchtui.domain.length import Length
from benchtui.domain.session.evidence.metal import metal_standing, metal_words
from benchtui.domain.session.facts.commands import ChooseBand
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.sheet import Condition, Sheet
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import inert
from benchtui.text.words.doubt_words import doubt_words, last_words
from benchtui.tui.ask import ALL_THE_SAME
from benchtui.tui.frame import program_of
from benchtui.tui.screens.before import BeforeScreen
from benchtui.tui.screens.cooling import CoolingScreen

_RULES = [
    ("plain: blades taken as marked", DecisionRule.PLAIN),
    ("proved: blade errors kept clear", DecisionRule.PROVED),
    ("by feel: your own practised drag", DecisionRule.FEEL),
]
_KEYS = (
    ("Enter", "Begin", "begin"),
    ("Down", "Next", "app.focus_next"),
    ("Right", "Choose", ""),
    ("F2", "When cold?", "cold_when"),
    ("Esc", "Leave", "leave"),
)
"""The key, what it does, and what a click on it does."""

_STOPS = [("one cylinder at a time", False), ("the fewest stops", True)]


@dataclass(frozen=True, slots=True)
class _Line:
    """One line to fill in; ``read`` raises BenchError for what cannot be taken."""

    id: str
    label: str
    hint: str
    read: Callable[[str], object]


_METAL = _Line("metal", "Metal temperature", "as in 19 C, or 66 F", measure.temperature)
_STOOD = _Line("stood", "Stood for", "as in 6 h", lambda text: measure.hours(text, bare=True))
_HEAT = _Line("heat", "At running heat", "yes, or no", measure.yes)
_ODOMETER = _Line("odometer", "Odometer", "as in 12 400 km, or 7 700 mi", measure.distance_km)
_HOURS = _Line("hours", "Hour meter", "as in 310", lambda text: measure.hours(text, bare=True))
_WHO = _Line("who", "Who", "as in M.", str)
_BAND = _Line(
    "band",
    "Your own band, +/-",
    "none is printed; as in 0.03 mm",
    lambda text: measure.length(text, bare_mm=True),
)


class ListLine(Select[Any]):
    """A line with a list: Enter and the arrows mean what they mean on every other line.

    Left and Right choose without opening the list; Space opens it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "screen.begin", "Begin", show=False),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
        Binding("space", "show_overlay", "List", show=False),
        Binding("left", "choose(-1)", "The one before", show=False),
        Binding("right", "choose(1)", "The one after", show=False),
    ]

    def __init__(self, options: list[tuple[str, Any]], value: object, id_: str) -> None:
        super().__init__(options, value=value, allow_blank=False, id=id_)
        self._values = [value for _, value in options]

    def action_choose(self, by: int) -> None:
        """Take the one before or after in the list."""
        at = self._values.index(self.value) + by
        self.value = self._values[at % len(self._values)]


class StartScreen(ModalScreen[None]):
    """Asks what the record needs and opens the session; the steps before it follow then."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave"),
        Binding("f2", "cold_when", "Cold yet?"),
        Binding("down", "app.focus_next", "Next", show=False),
        Binding("up", "app.focus_previous", "Before", show=False),
    ]

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet
        hot = sheet.clearances.condition is Condition.HOT
        band = (_BAND,) if asks_band(sheet) else ()
        self._lines = (_METAL, _HEAT if hot else _STOOD, _ODOMETER, _HOURS, _WHO, *band)
        self._warned = ""
        self._doubted = ""
        self._band_warned = False

    def compose(self) -> ComposeResult:
        """What is due, then one line a question; what was answered last time stands there."""
        workshop = program_of(self).workshop
        names = workshop.blade_names()
        last = workshop.last_row(self._sheet.key)
        usual = {"who": last.who} if last is not None else {}
        with VerticalScroll(classes="dialog form"):
            yield Static(
                f"{inert(self._sheet.name)}: before you begin", markup=False, classes="strong"
            )
            due = workshop.due(self._sheet)
            why = "No interval on its sheet." if due is None else sentence(due)
            yield Static(inert(why), markup=False)
            for line in self._lines:
                hint = self._last(line) or line.hint
                field = Input(usual.get(line.id, ""), placeholder=hint, id=line.id)
                yield Horizontal(Label(line.label), field)
            chosen = workshop.usual_blades(self._sheet) or names[0]
            sets = [(inert(n), n) for n in names]
            yield Horizontal(Label("Blades"), ListLine(sets, chosen, "blades"))
            usual_rule = self._sheet.clearances.rule or DecisionRule.PLAIN
            yield Horizontal(Label("In range is"), ListLine(_RULES, usual_rule, "rule"))
            yield Static(rule_in_words(usual_rule), markup=False, id="rule-words", classes="faint")
            if len(self._sheet.layout.cylinders) > 1:
                yield Horizontal(Label("Crank"), ListLine(_STOPS, _STOPS[0][1], "stops"))
        yield Static(id="told", markup=False)
        yield Static(_keys_line(), id="begin", markup=False)

    def _last(self, line: _Line) -> str:
        """What a counter showed last, and when; "" on any other line."""
        meter = {_ODOMETER: Meter.KM, _HOURS: Meter.HOURS}.get(line)
        if meter is None:
            return ""
        return last_words(program_of(self).workshop.last_reading(self._sheet, meter), meter)

    def on_mount(self) -> None:
        """Begin at the temperature: the rest is mostly the same as last time."""
        self.query_one("#told").display = False
        self.query_one("#metal", Input).focus()

    def on_select_changed(self, event: Select.Changed) -> None:
        """Say what the rule chosen asks of the blades."""
        if event.select.id == "rule":
            told = rule_in_words(DecisionRule(event.value))
            self.query_one("#rule-words", Static).update(told)

    def on_input_submitted(self) -> None:
        """Enter on a line begins."""
        self.action_begin()

    def action_begin(self) -> None:
        """Open the session, if every line can be read; all that cannot are named at once."""
        read, wrong = self._read()
        if wrong:
            self._complain("\n".join(wrong))
            return
        particulars = _particulars(read)
        fault = metal_words(metal_standing(self._sheet.clearances, particulars))
        if fault and fault != self._warned:
            self._warned = fault
            self._complain(
                f"No verdict will be given: {fault}. Enter again: begin all the same, the "
                "readings are kept. F2: when will it be cold?"
            )
            return
        if asks_band(self._sheet) and "band" not in read and not self._band_warned:
            self._band_warned = True
            self._complain(
                "The sheet prints one figure without tolerance: no verdict can be given until you "
                "name your own band. Enter again: begin all the same."
            )
            return
        program = program_of(self)
        odd = " ".join(map(doubt_words, program.workshop.doubts(self._sheet, particulars)))
        if odd and odd != self._doubted:
            self._doubted = odd
            self._complain(f"{odd} {ALL_THE_SAME}")
            return
        try:
            opened = program.workshop.opening(
                self._sheet,
                str(self.query_one("#blades", Select).value),
                particulars,
                rule=DecisionRule(self.query_one("#rule", Select).value),
                fewest=any(bool(s.value) for s in self.query("#stops").results(Select)),
            )
            live = program.workshop.open(opened)
            if isinstance(band := read.get("band"), Length):
                live.bench.do(ChooseBand(band))
        except BenchError as error:
            self._complain(str(error))
            return
        self.dismiss()
        program.begin(live)
        self.app.push_screen(BeforeScreen())

    def _read(self) -> tuple[dict[str, object], list[str]]:
        """What the lines say, and everything in them that cannot be taken."""
        read: dict[str, object] = {}
        wrong: list[str] = []
        for line in self._lines:
            text = self.query_one(f"#{line.id}", Input).value.strip()
            if text:
                try:
                    read[line.id] = line.read(text)
                except BenchError as error:
                    wrong.append(f"{line.label}: {error}")
        return read, wrong

    def _complain(self, text: str) -> None:
        told = self.query_one("#told", Static)
        told.display = True
        told.update(inert(text, lines=True))
        told.add_class("out")
        self.app.bell()

    def action_cold_when(self) -> None:
        """Two readings tell when it will be cold."""
        self.app.push_screen(CoolingScreen(self._sheet))

    def action_leave(self) -> None:
        """Leave without opening anything."""
        self.dismiss()


def _keys_line() -> Content:
    line = Content("")
    for key, words, action in _KEYS:
        part = Content.assemble((f" {key} ", "reverse"), f" {words} ")
        name = action if "." in action else f"screen.{action}"
        line += part.stylize(f"@click={name}") if action else part
    return line


def asks_band(sheet: Sheet) -> bool:
    """Whether a single figure is printed and the sheet gives no band of its owner's."""
    printed = sheet.clearances
    singles = any(printed.of(valve).single for valve in sheet.layout.valves)
    return singles and printed.owner_band is None


def _particulars(read: dict[str, object]) -> Particulars:
    heat = read.get("heat")
    return Particulars(
        odometer_km=_fraction(read.get("odometer")),
        hours=_fraction(read.get("hours")),
        metal_c=_fraction(read.get("metal")),
        who=str(read["who"]) if "who" in read else None,
        stood_hours=_fraction(read.get("stood")),
        at_heat=heat if isinstance(heat, bool) else None,
    )


def _fraction(value: object) -> Fraction | None:
    return value if isinstance(value, Fraction) else None
