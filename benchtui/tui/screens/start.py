"""Before a check, on one page: how cold, what the counter shows, who, which blades, and the cautions.

Long, because each line of the form is read, remembered and doubted here.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.errors import BenchError
from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.history.doubtful import Doubt
from benchtui.domain.history.glance import checks_of, watched
from benchtui.domain.history.usage import Meter
from benchtui.domain.session.facts.commands import Command
from benchtui.domain.session.facts.events import (
    BandChosen,
    CautionAcknowledged,
    FigureChosen,
    ItemCounted,
    Particulars,
)
from benchtui.domain.session.whole.readiness import UNREAD
from benchtui.domain.sheet import Condition, Sheet
from benchtui.text.pages.before_page import (
    ON_FIGURE,
    READ,
    STOOD,
    MetalTold,
    ahead_lines,
    asks_band,
    band_words,
    better_words,
    blades_told,
    metal_told,
    set_choice,
)
from benchtui.text.quantities.show import date as day_words
from benchtui.text.quantities.show import distance, hours, inert
from benchtui.text.reading.counts import read_counts
from benchtui.text.words.doubt_words import doubt_words, last_words
from benchtui.text.words.foot import before_foot
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import ALL_THE_SAME
from benchtui.tui.form import FormScreen
from benchtui.tui.frame import OUTRANK
from benchtui.tui.keys import START, bindings_for
from benchtui.tui.screens.before import BeforeScreen, still_to_tick
from benchtui.tui.screens.cooling import CoolingScreen
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.foot import FootPicture
from benchtui.tui.widgets.form_lines import FormLine, TypedLine

_RULES = (
    (DecisionRule.PLAIN.value, "plain"),
    (DecisionRule.PROVED.value, "proved"),
    (DecisionRule.FEEL.value, "by feel"),
)
_STOPS = (("", "one cylinder at a time"), ("fewest", "the fewest stops"))
_SO = "so"
_TICK = (("", "[ ]"), (_SO, "[√]"))

_HELP = {
    "metal": "How warm the metal is now: 19 or 66 F. Space: it has stood overnight; or how long: 6 h.",
    "heat": "Whether it has just been run up to its running heat: yes or no.",
    "odometer": "What it shows now, as in 12400 or 7700 mi. It may wait until you close up.",
    "hours": "What the hour meter shows now, as in 310. It may wait until you close up.",
    "who": "Who is at the engine, as in M. It stands on the card.",
    "band": "No tolerance is printed. Space: set on the figure, its leaf dragging; or 0.03 either side.",
    "blades": "The set in your hand: ← → another. A usual set is one that you may not have.",
    "laid": "Rags, tools, caps laid in or lying open, as in 4 rags, 1 socket: counted out when you close.",
    "stops": "One cylinder after the other, or the places where most valves may be measured at once.",
}
_COUNTERS = (
    ("hours", "Hours", "as in 310", Meter.HOURS),
    ("odometer", "Odometer", "as in 12400", Meter.KM),
)
_EXPLAINED, _COLD, _FOOT = 2, 3, 3
"""Rows of what is said of a line, and of the question and the foot in tall letters."""
_SAFE = "Space: it is so. Nothing is opened or turned before each of these is."


class StartScreen(FormScreen):
    """Everything is remembered but the metal; Enter says that the cautions are so, and begins."""

    SCREEN = START
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(START)

    def __init__(self, sheet: Sheet) -> None:
        super().__init__()
        self._sheet = sheet
        self._said = tuple(c for c in cautions(CautionAt.BEFORE, sheet) if c != OUTRANK)
        self._warned: set[str] = set()
        self._last_read: dict[str, str] = {}
        self._doubted: tuple[Doubt, ...] = ()
        self._begun = False
        self._known = False

    @property
    def _draft(self) -> str:
        return f"{START}:{self._sheet.key}"

    def body(self) -> ComposeResult:
        """The lines with what was answered last time, the cautions, what lies ahead."""
        workshop = self.program.workshop
        last = workshop.past_sessions.last_row(self._sheet.key)
        self._known = last is not None
        before = workshop.reviews.last_told(self._sheet)
        draft = self.program.drafts.get(self._draft, {})
        lines = [FormLine("metal", "Metal", draft.get("metal", ""), "19, or Space: overnight")]
        if self._sheet.clearances.condition is Condition.HOT:
            lines.append(FormLine("heat", "Running heat", draft.get("heat", ""), "yes, or no"))
        for id_, label, hint, meter in _COUNTERS:
            self._last_read[id_] = last_words(
                workshop.reviews.last_reading(self._sheet, meter), meter
            )
            lines.append(FormLine(id_, label, draft.get(id_, ""), hint))
        who = last.who if last is not None else workshop.reviews.last_who()
        lines.append(FormLine("who", "Who", draft.get("who", who), "as in M."))
        if asks_band(self._sheet):
            told = "" if before.band is None else band_words(before.band)
            lines.append(
                FormLine(
                    "band", "One figure", draft.get("band", told), "0.03; Space: on the figure"
                )
            )
        sets = workshop.reviews.sound_blades()
        chosen = draft.get("blades") or workshop.reviews.usual_blades(self._sheet) or ""
        choices = tuple((key, set_choice(blades, own=own)) for key, blades, own in sets)
        lines.append(FormLine("blades", "Blades", chosen, "", choices))
        laid = draft.get("laid", before.laid_in)
        lines.append(FormLine("laid", "Laid in", laid, "as in 4 rags"))
        rule = draft.get("rule") or (self._sheet.clearances.rule or DecisionRule.PLAIN).value
        lines.append(FormLine("rule", "In range is", rule, "", _RULES))
        if len(self._sheet.layout.cylinders) > 1:
            lines.append(FormLine("stops", "Crank", draft.get("stops", ""), "", _STOPS))
        ticks = [] if self._known else [f"safe-{n}" for n in range(len(self._said))]
        if not self._sheet.source.checked:
            ticks.insert(0, "unread")
        for name in ticks:
            line = FormLine(name, "!", draft.get(name, ""), "", _TICK)
            line.add_class("tick")
            lines.append(line)
        hot = self._sheet.clearances.condition is Condition.HOT
        yield BigText(Big("IS IT HOT?" if hot else "IS IT COLD?"), id="cold")
        yield from self.form(lines)
        yield Static(id="cautions", markup=False, classes="caution")
        yield Static(id="ahead", markup=False)
        yield FootPicture(id="foot")

    def title_text(self) -> str:
        """The engine, and its last check."""
        last = self.program.workshop.past_sessions.last_row(self._sheet.key)
        when = "its first check" if last is None else f"last {day_words(last.started.date())}"
        return f"{self._sheet.name}   {when}"

    def caution_text(self) -> str:
        """Nothing is begun with a warm or a live engine."""
        return "Open and turn nothing before the cautions below are so."

    def on_mount(self) -> None:
        """Begin at the metal: the rest is mostly the same as last time."""
        super().on_mount()
        metal = self.line("metal").line
        if isinstance(metal, TypedLine) and self._sheet.clearances.condition is Condition.COLD:
            metal.space_means = STOOD
        if asks_band(self._sheet) and isinstance(band := self.line("band").line, TypedLine):
            band.space_means = ON_FIGURE
        for name, words in self._ticks().items():
            self.line(name).remark(words)
        for name in self._below():
            self.line(name).display = False
        shown = () if not self._known else self._said
        self.query_one("#cautions", Static).update("\n".join(f"  ! {inert(c)}" for c in shown))
        self.go_to("metal")
        self.examined()
        if wrong := self.program.workshop.reviews.workshop_faults():
            self.say(wrong, alarm=True)

    def _below(self) -> list[str]:
        """Lines that are seldom wanted: Down past the last one opens them."""
        interval = self._sheet.interval
        wanted = {
            "hours": interval is not None and interval.hours is not None,
            "odometer": interval is not None and interval.distance_km is not None,
        }
        seldom = [n for n in wanted if not (wanted[n] or self._last_read[n] or self.line(n).value)]
        seldom = seldom if len(seldom) < len(wanted) else []
        every = (*seldom, "rule", "stops")
        return [line.asked for line in self.query(FormLine) if line.asked in every]

    def action_row_after(self) -> None:
        """One line down; from the last one to those that are seldom wanted."""
        current, lines = self.current(), self.lines()
        hidden = [line for line in self.query(FormLine) if not line.display]
        if hidden and current is not None and current is lines[-1]:
            for line in hidden:
                line.display = True
            self.go_to(hidden[0].asked)
        else:
            super().action_row_after()

    def _ticks(self) -> dict[str, str]:
        told = {} if self._sheet.source.checked else {"unread": UNREAD}
        if not self._known:
            told |= {f"safe-{n}": words for n, words in enumerate(self._said)}
        return told

    def explanation(self, name: str) -> str:
        """What a line is for, with an example."""
        if name == "rule":
            return rule_in_words(DecisionRule(self.line("rule").value))
        if name == "unread":
            return UNREAD
        return _SAFE if name.startswith("safe-") else _HELP[name]

    def _read(self) -> tuple[dict[str, object], dict[str, str]]:
        """What the lines say, and what is wrong with those that cannot be taken."""
        read: dict[str, object] = {}
        wrong: dict[str, str] = {}
        for line in self.query(FormLine):
            text = line.value.strip()
            if text and line.asked in READ:
                try:
                    read[line.asked] = READ[line.asked](text)
                except BenchError as error:
                    wrong[line.asked] = error_words(error)
        laid = self.line("laid").value
        if laid.strip():
            counts = read_counts(laid)
            if any(item.isdigit() for _, item in counts):
                wrong["laid"] = "how many of what? As in 4 rags, 1 socket"
            read["laid"] = counts
        return read, wrong

    def examined(self) -> None:
        """What each line was understood as, beside it."""
        read, wrong = self._read()
        particulars = self._particulars(read)
        for line in self.lines():
            if line.asked in wrong:
                line.remark(wrong[line.asked], good=False)
            elif line.asked == "metal":
                good, words = metal_told(self._sheet, particulars)
                empty = particulars.metal_c is None and particulars.stood_hours is None
                line.remark("" if empty else words, good=None if empty else good)
            elif line.asked == "blades" and line.value:
                good, words = blades_told(
                    self._sheet, self.program.workshop.engines.blades(line.value)
                )
                better = self._better()
                line.remark(better or words, good=False if better else good or None)
            elif line.asked not in self._ticks():
                line.remark(self._understood(line.asked, read))
        checks = checks_of(self.program.workshop.past_sessions.records(self._sheet.key))
        blades = self.line("blades").value
        ahead = ahead_lines(
            self._sheet,
            watched(checks),
            self.program.workshop.engines.blades(blades) if blades else None,
            fewest=self._fewest(),
        )
        self.query_one("#ahead", Static).update("\n".join(f"  {inert(a)}" for a in ahead))
        left = [name for name in self._ticks() if self.line(name).value != _SO]
        self.query_one("#foot", FootPicture).show(before_foot(len(left)))
        self.once_painted(self._fit)
        self.program.drafts[self._draft] = {ln.asked: ln.value for ln in self.query(FormLine)}

    def _better(self) -> str:
        """That the set chosen makes no limit, and another does; empty else."""
        key = self.line("blades").value
        better = self.program.workshop.reviews.better_blades(self._sheet, key)
        return "" if better is None else better_words(better)

    def _understood(self, name: str, read: dict[str, object]) -> str:
        value = read.get(name)
        if name == "hours" and isinstance(value, Fraction):
            return hours(value)
        if name == "odometer" and isinstance(value, Fraction):
            return distance(value)
        if isinstance(value, FigureChosen):
            return "as the handbook says"
        if isinstance(value, BandChosen):
            return f"{value.tolerance} either side"
        return self._last_read.get(name, "")

    def on_resize(self) -> None:
        """More may fit, or less."""
        self.once_painted(self._fit)

    def _fit(self) -> None:
        """No line and no caution gives way: the question in tall letters does, then the foot's letters."""
        wrapped = sum(self.query_one(f"#{name}").size.height for name in ("cautions", "ahead"))
        spare = self.query_one("#body").size.height - len(self.lines()) - _EXPLAINED - wrapped
        foot = self.query_one("#foot", FootPicture)
        # Letters cut to their top rows say nothing: three rows or one.
        foot.styles.height = (
            1 if spare < _FOOT else min(5 if self.has_class("-high") else _FOOT, spare)
        )
        spare -= 3
        self.query_one("#cold").display = spare >= _COLD
        self.query_one("#explained").styles.margin = (int(spare > _COLD), 0, 0, 0)

    def _fewest(self) -> bool:
        return any(ln.asked == "stops" and ln.value == "fewest" for ln in self.query(FormLine))

    def action_tick(self) -> None:
        """This caution is so."""
        current = self.current()
        if current is not None and current.asked in self._ticks():
            if current.value == _SO:
                self.say("That is ticked. Enter begins.")
                return
            current.line.take(_SO)  # type: ignore[union-attr]  # these are choices
            self.examined()
            left = [name for name in self._ticks() if self.line(name).value != _SO]
            if left:
                self.go_to(left[0])

    def action_go_on(self) -> None:
        """Open the session, once every line can be read and every caution is so."""
        if self._begun:
            return  # a second Enter that came with the first
        read, wrong = self._read()
        if wrong:
            name, words = next(iter(wrong.items()))
            self._refuse(name, words)
            return
        left = [name for name in self._ticks() if self.line(name).value != _SO]
        if left:
            self._refuse(left[0], f"{len(left)} still to be read: Space where it is so.")
            return
        particulars = self._particulars(read)
        good, fault = metal_told(self._sheet, particulars)
        if not good and fault not in self._warned:
            self._warned.add(fault)
            self._refuse("metal", f"No verdict: {fault}. Enter again begins all the same.")
            return
        if (better := self._better()) and better not in self._warned:
            self._warned.add(better)
            self._refuse("blades", f"{better} ← → changes the set. {ALL_THE_SAME}")
            return
        odd = self.program.workshop.reviews.doubts(self._sheet, particulars)
        if odd and self._doubted != odd:
            self._doubted = odd
            told = " ".join(map(doubt_words, odd))
            self._refuse(_line_of(odd[0]), f"{told} {ALL_THE_SAME}")
            return
        self._begun = True
        try:
            self._open(read, particulars)
        except BenchError as error:
            self._begun = False
            self.say(error_words(error), alarm=True)

    def _refuse(self, name: str, words: str) -> None:
        self.go_to(name)
        self.say(words, alarm=True)
        self.app.bell()

    def _open(self, read: dict[str, object], particulars: Particulars) -> None:
        program = self.program
        opened = program.workshop.opening(
            self._sheet,
            self.line("blades").value,
            particulars,
            rule=DecisionRule(self.line("rule").value),
            fewest=self._fewest(),
        )
        if asks_band(self._sheet) and "band" not in read:  # taken out of the line: asked anew
            opened = replace(opened, band=None, on_figure=False)
        live = program.workshop.open_sessions.open(opened)
        good, _ = metal_told(self._sheet, particulars)
        cold = good or (particulars.metal_c is None and particulars.stood_hours is None)
        for command in self._commands(read, cold=cold):
            live.bench.do(command)
        program.drafts.pop(self._draft, None)
        self.app.pop_screen()
        program.begin(live)
        if still_to_tick(live.bench.state):
            program.push_screen(BeforeScreen())

    def _commands(self, read: dict[str, object], *, cold: bool) -> list[Command]:
        """The steps that stand behind this page; what is told against the first caution leaves it out."""
        said = self._said if cold else self._said[1:]
        told: list[Command] = [CautionAcknowledged(c) for c in said]
        if not self._sheet.source.checked:
            told.insert(0, CautionAcknowledged(UNREAD))
        if isinstance(band := read.get("band"), BandChosen | FigureChosen):
            told.append(band)
        counts = read.get("laid")
        if isinstance(counts, tuple):
            told += [ItemCounted(item, count, inwards=True) for count, item in counts]
        return told

    def _particulars(self, read: dict[str, object]) -> Particulars:
        metal = read.get("metal")
        metal = metal if isinstance(metal, MetalTold) else MetalTold()
        heat = read.get("heat")
        return Particulars(
            odometer_km=_fraction(read.get("odometer")),
            hours=_fraction(read.get("hours")),
            metal_c=metal.metal_c,
            who=self.line("who").value.strip() or None,
            stood_hours=metal.stood,
            at_heat=heat if isinstance(heat, bool) else None,
        )

    def action_cold_when(self) -> None:
        """Two readings tell when it will be cold."""
        self.app.push_screen(CoolingScreen(self._sheet))


def _line_of(doubt: Doubt) -> str:
    """The line that a doubt is about; a day is the computer's own, so it stands at the metal."""
    return {Meter.HOURS: "hours", Meter.KM: "odometer"}.get(doubt.meter, "metal")  # type: ignore[arg-type]  # None has none


def _fraction(value: object) -> Fraction | None:
    return value if isinstance(value, Fraction) else None
