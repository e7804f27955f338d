"""One check, line by line: the step is said, a line is read, what came of it is said.

The same bench, rules and words as on the screens. Nothing here moves a cursor or clears anything, so
that it serves a screen reader, a serial line, speech and a pipe alike.

Long, because it is one talk: one short method a kind of step.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from benchtui.domain.blades import Feeler
from benchtui.domain.cautions import cautions
from benchtui.domain.crank.words import companion_of, to_compression
from benchtui.domain.errors import BenchError, NotKept, Unable
from benchtui.domain.session.facts.commands import CloseSession, Command, Undo
from benchtui.domain.session.facts.events import Evidence, ReadingTaken, SetAside
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import kinds as k
from benchtui.domain.session.next_step import next_step, setting_step
from benchtui.domain.session.next_step.heard import heard
from benchtui.domain.session.next_step.leaving import Leave, on_leaving
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.blind_repeat import as_blind
from benchtui.domain.session.whole.completeness import (
    NOTHING_DONE,
    missing,
    unticked,
    untold,
    work_left,
)
from benchtui.domain.session.whole.next_stop import evidence_for
from benchtui.domain.session.whole.next_valve import onward
from benchtui.plain import hearing
from benchtui.plain.asking import caution_of, question
from benchtui.text.words.clock_words import clock_lines
from benchtui.text.words.crank_words import reason_words, step_words
from benchtui.text.words.event_words import event_words
from benchtui.text.words.evidence_words import GO_ROUND, evidence_words
from benchtui.text.words.heard_words import heard_words
from benchtui.text.words.leaving_words import leave_words, leaving_question, slack_words
from benchtui.text.words.refusals import error_words
from benchtui.text.words.stamped import blade_both, bracket_both, wanted_told
from benchtui.text.words.steps import in_inches
from benchtui.text.words.told import Told, told
from benchtui.text.words.valve_words import aside_of, valve_notes, verdict_words
from benchtui.text.words.why_words import why_paragraphs
from benchtui.workshop import LiveSession

Say = Callable[[str], None]
Read = Callable[[], str | None]

HELP = (
    "A blade: s or j, it refuses; d or k, it drags; f or l, it goes free; forced; or the word.",
    "Another blade: its size, as in 0.10, or with its answer, as in 0.10 refuses; thicker; thinner.",
    "Another valve: its name, as in 1E, or with what was done, as in 1E 0.10 refuses.",
    "done, or the word asked for: the step was done as it says. next: on to the next valve.",
    "Otherwise: out 22, on 0.10, lock, shim 2.75, measured 0.11, strike 0.10, pad 72, blind, looked.",
    "The engine: metal 19, hours 310, who M., count in 4 rags, torque NAME, ticked NAME, note WORDS.",
    "undo takes the last step back. why says the reasons. valves says how each stands.",
    "file ends the check. leave goes away, the check stays open. An empty line says the step again.",
    "Every line of a written-down session is taken as well.",
)
"""What may be said at any time."""

HELD = ("thicker", "thinner")
_LEAVE, _FILE = ("leave", "q", "quit"), ("file", "close")


class Talk:
    """One open session, told to ``say`` and answered through ``read`` (None: nothing more comes)."""

    def __init__(self, live: LiveSession, say: Say, read: Read) -> None:
        self.live, self._say, self._read = live, say, read
        self._valve: str | None = None
        self._blade: Feeler | None = None
        self._seen: set[Evidence] = set()
        self._stay = False  # the valve was chosen, so that its answer stands though it is done
        self._set_anyway = False
        self._asked = ""  # what has to be said a second time
        self._caution = self._heading = ""
        self._notes: dict[str, list[str]] = {}
        self.ended = False

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.live.bench.state

    def run(self) -> bool:
        """Talk until the check is filed, dropped or left; False where the input ended first."""
        while not self.ended:
            step = self._onwards()
            self._say_step(step)
            line = self._read()
            if line is None:
                self._say_slack()
                return False
            try:
                self.live.look_after()
                self._hear(" ".join(line.split()), step)
            except NotKept as error:
                self._say(f"{error.tall}: {error} The last answer was not recorded. Say it again.")
            except BenchError as error:
                self._say(f"Not taken: {error_words(error, inch=in_inches(self.state))}")
        return True

    # The step

    def _onwards(self) -> k.NextStep:
        """The step in force; on from a valve where nothing more is to be done."""
        for _ in range(len(self.state.valves) + 1):
            step = self._step()
            if self._stay or not isinstance(step, k.NextValve) or step.limit is not None:
                break
            self._say(told(step, self.state).whole)
            self._valve = step.to
        return step

    def _step(self) -> k.NextStep:
        if self.state.paused:
            return next_step(self.state)
        if self._valve is None:
            step = next_step(self.state)
            self._valve = step.valve
            return step
        if self._set_anyway:
            return setting_step(self.state, self._valve)
        return next_step(self.state, self._valve)

    def _say_step(self, step: k.NextStep) -> None:
        state, now = self.state, told(step, self.state)
        where = caution_of(step)
        if where is not None and where.value != self._caution:
            self._caution = where.value
            for words in cautions(where, state.opened.sheet):
                self._say(f"! {words}")
        for words in self._heading_of(step):
            self._say(words)
        if self._blade is None:
            self._say(now.whole)
            self._say(question(step, state))
        else:
            blade = blade_both(self._blade, inch=in_inches(state))
            self._say(
                f"{self._valve}, your own choice, {blade}: refuses S, drags D, or goes free F?"
            )

    def _heading_of(self, step: k.NextStep) -> Iterator[str]:
        """What is said once at a new valve, or at a new place of the crank."""
        state = self.state
        sheet = state.opened.sheet
        if isinstance(step, k.ConfirmCrank | k.TurnCrankTo):
            stop = step.stop
            heading = f"{stop.name} {type(step).__name__}"
            if heading == self._heading:
                return
            self._heading, self._seen = heading, set()
            way = f" Turned {sheet.layout.turns}." if sheet.layout.turns else ""
            yield f"{stop.name}: {stop.mark}.{way}"
            if stop.angle == 0 and state.crank is None:
                yield to_compression(sheet, stop.cylinder)
            else:
                yield GO_ROUND
            if isinstance(step, k.ConfirmCrank) or step.forward is None:
                companion = companion_of(sheet, stop.cylinder)
                for number, sign in enumerate(evidence_for(state, stop), start=1):
                    yield f"{number}: {evidence_words(sign, companion)}."
            return
        if step.valve is None or step.valve == self._heading:
            return
        self._heading = step.valve
        view = self._view(step.valve)
        if view.setting is not None:
            yield f"{step.valve}, {view.valve.kind.value}, to be {wanted_told(view.setting)}."

    def _view(self, valve: str) -> ValveView:
        """A valve as it may be told: in a blind repeat without what was read before."""
        return as_blind(self.state, self.live.bench.look(valve))

    # The line

    def _hear(self, words: str, step: k.NextStep) -> None:  # noqa: C901, PLR0912  # one case a word
        asked, self._asked = self._asked, ""
        low = words.lower()
        if not words:
            self._heading = ""
        elif low in ("help", "h", "?"):
            for line in HELP:
                self._say(line)
        elif low in ("why", "y"):
            self._why(step)
        elif low in ("undo", "u"):
            self._undo()
        elif low in _LEAVE or (low == "drop" and asked == "drop"):
            self._leave(asked, drop=low == "drop")
        elif low in _FILE:
            self._file(asked)
        elif low == "valves":
            for name in self.state.valves:
                self._say(self._standing(name))
        elif low in ("next", "n", "done") and isinstance(step, k.NextValve):
            self._go(step.to)
        elif low in ("next", "n"):
            self._go(None if step.valve is None else onward(self.state, step.valve))
        elif low == "set" and not isinstance(step, k.SetOnBlade | k.TurnBy) and self._valve:
            self._set_anyway = True
            if self._step() == step:
                self._set_anyway = False
                raise Unable("Nothing is set at this step.")
        else:
            self._answer(words, step)

    def _answer(self, words: str, step: k.NextStep) -> None:
        """A line that records something, or takes another valve or blade in hand."""
        named, rest = hearing.valve_named(words, self.state)
        if named and not rest:
            self._go(named, stay=True)
            return
        seen = self._seen
        if named:
            words = rest
            if named != self._valve:
                self._go(named)
                step, seen = next_step(self.state, named), set()
        commands = hearing.at_step(step, words, self.state, seen)
        if commands is not None:
            self._do(*commands)
            return
        valve = named or step.valve or self._valve
        if valve is None:
            self._do(hearing.written(words, "", self.state))
            return
        chosen = None if named else self._blade
        if words.lower() in HELD:
            blades = self.state.opened.blades
            now = hearing.in_hand(step, chosen).nominal
            self._blade = blades.beside(now, thicker=words.lower() == "thicker")
            return
        if words.lower() in hearing.ANSWERS:
            feeler = hearing.in_hand(step, chosen)
            self._do(hearing.reading(step, valve, feeler, hearing.ANSWERS[words.lower()]))
            return
        feeler_said, answer = hearing.blade_of(words, self.state)
        if feeler_said is not None and answer:
            self._do(hearing.reading(step, valve, feeler_said, answer))
        elif feeler_said is not None and not words.lower().startswith("on "):
            self._blade = feeler_said
        else:
            self._do(hearing.written(words, valve, self.state))

    def _go(self, valve: str | None, *, stay: bool = False) -> None:
        self._valve, self._blade, self._stay, self._set_anyway = valve, None, stay, False
        self._heading = ""

    def _do(self, *commands: Command) -> None:
        if not commands:  # one sign of the two that a position wants
            self._say("Noted. One sign more, a different one.")
        for command in commands:
            state = self.live.bench.do(command)
            self._stay = self._set_anyway = False
            self._blade = None
            self._tell(command, state)
        if self.state.closed is not None:
            self.ended = True

    def _tell(self, command: Command, state: State) -> None:
        """What came of it: of a reading how the valve stands, else what was recorded."""
        events = self.live.bench.events
        fact = events[-1].fact
        if isinstance(fact, ReadingTaken):
            self._valve = fact.valve
            self._say(self._standing(fact.valve))
            counted = heard_words(state, fact.valve, heard(state, fact.valve))
            self._say(counted)
            self._say_notes(fact.valve)
        else:
            known = {e.number: e.fact for e in events}
            self._say(f"{event_words(fact, known)}.")
            self._say(step_words(state, command))
        for line in clock_lines(events[-2:]):
            self._say(line)

    def _say_notes(self, valve: str) -> None:
        """What is to be minded at a valve, where it has not just been said."""
        view = self._view(valve)
        notes = valve_notes(
            view, told(next_step(self.state, valve), self.state), aside_of(self.state, view)
        )
        before = self._notes.get(valve, [])
        for note in notes:
            if note not in before:
                self._say(note)
        self._notes[valve] = notes

    def _standing(self, valve: str) -> str:
        view = self._view(valve)
        bracket = bracket_both(view.bracket, inch=in_inches(self.state))
        nut = ", the nut is slack" if view.slack_nut else ""
        return f"{valve}: {bracket}: {verdict_words(view.verdict)}{nut}."

    def _why(self, step: k.NextStep) -> None:
        state = self.state
        if isinstance(step, k.ConfirmCrank | k.TurnCrankTo):
            paragraphs = reason_words(state, step.stop)
        elif step.valve is not None:
            view = self._view(step.valve)
            now: Told = told(step, state)
            paragraphs = why_paragraphs(state, view, now, aside_of(state, view))
        else:
            paragraphs = [told(step, state).whole, *missing(state)]
        for paragraph in paragraphs:
            for line in paragraph.splitlines():
                self._say(line)

    def _undo(self) -> None:
        if not self.state.undoable:
            raise Unable("There is no step to take back.")
        known = {e.number: e.fact for e in self.live.bench.events}
        undone = known[self.state.undoable[-1]]
        self.live.bench.do(Undo())
        self._go(getattr(undone, "valve", None) or None)
        self._say(f"Taken back, and kept as struck out: {event_words(undone, known)}.")

    # The end

    def _say_slack(self) -> None:
        slack = slack_words(self.state, on_leaving(self.state))
        if slack:
            self._say(slack)

    def _leave(self, asked: str, *, drop: bool) -> None:
        """The word alone leaves the check open, unless a nut is slack or nothing was measured."""
        leaving = on_leaving(self.state)
        if drop:
            self.live.bench.do(SetAside(NOTHING_DONE))
            self._say("Dropped: it is shown nowhere.")
        elif asked not in ("leave", "drop") and (leaving.slack or Leave.DROP in leaving.ways):
            self._say(leaving_question(self.state, leaving))
            self._say(f"leave, once more: {leave_words(Leave.OPEN, leaving)}.")
            other, word = (Leave.LOCK, "locked") if leaving.slack else (Leave.DROP, "drop")
            self._say(f"{word}: {leave_words(other, leaving)}.")
            self._asked = "leave" if leaving.slack else word
            return
        self.ended = True

    def _file(self, asked: str) -> None:
        """File it; what is missing or was not told is said first, and the word asked for once more."""
        left = left_to_do(self.state)
        if left and asked != "file":
            self._say_slack()
            for line in left:
                self._say(f"Left: {line}.")
            partial = " It does not count as a check." if missing(self.state) else ""
            self._say(f"file, once more: file it all the same.{partial}")
            self._asked = "file"
            return
        self._do(CloseSession())


def left_to_do(state: State) -> list[str]:
    """What is missing, then what was not told and keeps no check from counting."""
    told_not = [f"not yet torqued: {what}" for what in unticked(state)]
    told_not += [f"not ticked: {line}" for line in work_left(state)]
    told_not += [f"not told: {s.meaning}" for s in untold(state)]
    return [*missing(state), *told_not]
