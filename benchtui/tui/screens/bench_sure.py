"""What the bench screen can tell of how sure a verdict is: the rule, the reasons, the blind repeat."""

from __future__ import annotations

from benchtui.bench import Bench
from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.next_blade import NextBlade
from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.evidence.decision_rule import feel_of, rule_of
from benchtui.domain.session.facts.commands import BeginRepeat, ChooseRule, EndRepeat
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.blind_repeat import as_blind, repeated
from benchtui.domain.session.valve.next_blade import Advice
from benchtui.practice.session import Rehearsal
from benchtui.text.words.stamped import blade_both, inch_set, inch_words
from benchtui.text.words.sure_words import repeated_sentence
from benchtui.text.words.valve_words import BLIND, aside_of
from benchtui.text.words.why_words import why_paragraphs
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen
from benchtui.tui.screens.reasons import ReadScreen

_RULE_KEYS = {
    "1": (DecisionRule.PLAIN, "plain: blades taken as marked"),
    "2": (DecisionRule.PROVED, "proved: blade errors kept clear"),
    "3": (DecisionRule.FEEL, "by feel: your own practised drag"),
}


class SureSteps(WorkScreen):
    """These steps; the bench screen has the valve and the blade in hand."""

    _valve: str
    _advice: Advice

    @property
    def bench(self) -> Bench:
        """The session at work."""
        live = self.program.live
        if live is None:
            raise LookupError("no session is in hand")
        return live.bench

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.bench.state

    @property
    def blind(self) -> bool:
        """Whether the valve in hand is being measured again, blind."""
        repeat = self.state.repeat
        return repeat is not None and repeat.valve == self._valve

    def shown(self, valve: str) -> ValveView:
        """A valve as it may be shown: in a blind repeat without what was read before."""
        return as_blind(self.state, self.bench.look(valve))

    def action_why(self) -> None:
        """Say why this blade comes next, in full, and how sure the verdict is."""
        view = self.bench.look(self._valve)
        if self.blind:
            told = [BLIND, *([self._advice.why] if isinstance(self._advice, NextBlade) else [])]
        else:
            told = why_paragraphs(self.state, view, self._advice, aside_of(self.state, view))
        if inch_set(self.state.opened.blades):
            told = [inch_words(paragraph) for paragraph in told]
        self.app.push_screen(ReadScreen(self._valve, told))

    def action_rule(self) -> None:
        """Choose how much the blades must show."""
        offered = {
            key: words
            for key, (rule, words) in _RULE_KEYS.items()
            if rule is not DecisionRule.FEEL or feel_of(self.state) is not None
        }
        detail = "\n".join(rule_in_words(_RULE_KEYS[key][0]) for key in offered)
        now = rule_of(self.state).value

        def chosen(key: str | None) -> None:
            if key is not None:
                self.do(ChooseRule(_RULE_KEYS[key][0]))

        self.app.push_screen(
            Choose(f"In range is what the blades have shown how? (now: {now})", offered, detail),
            chosen,
        )

    def action_blind(self) -> None:
        """Begin a blind repeat of this valve, or end it and say what it shows."""
        if not self.blind:
            if self.do(BeginRepeat(self._valve)):
                self.say(BLIND)
            return
        if self.do(EndRepeat(self._valve)):
            told = repeated(self.state, self._valve)
            self.say(
                "Nothing was read in it." if told is None else repeated_sentence(told),
                alarm=told is not None and bool(told.spread.least),
            )

    # Practice

    def action_try_it(self) -> None:
        """Let the practice hand try the blade."""
        live = self.program.live
        feeler = self.in_hand()
        if not isinstance(live, Rehearsal):
            self.say("There is no practice hand at a real engine: try the blade yourself.")
        elif feeler is None:
            self.say("No blade is in hand: up and down choose one, B types its size.", alarm=True)
        else:
            felt = live.feel(self._valve, feeler)
            self.take_answer(felt)
            blade = blade_both(feeler, inch=inch_set(self.state.opened.blades))
            self.say(f"The practice hand: {blade} {felt.value}.")

    def in_hand(self) -> Feeler | None:
        """The blade in hand."""
        raise NotImplementedError

    def take_answer(self, answer: Answer) -> None:
        """What the blade in hand said."""
        raise NotImplementedError
