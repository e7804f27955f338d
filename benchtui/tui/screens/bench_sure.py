"""How sure a verdict is: the rule, the reasons, the blind repeat, the practice hand's try."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.evidence.decision_rule import feel_of, rule_of
from benchtui.domain.session.facts.events import RepeatBegun, RepeatEnded, RuleChosen
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.valve.blind_repeat import repeated
from benchtui.practice.session import Rehearsal
from benchtui.text.words.practice_words import feel_words, judged_words
from benchtui.text.words.stamped import blade_both, inch_set
from benchtui.text.words.sure_words import repeated_sentence
from benchtui.text.words.told import told_of
from benchtui.text.words.valve_words import BLIND, aside_of
from benchtui.text.words.why_words import why_paragraphs
from benchtui.tui.ask import Choose
from benchtui.tui.screens.reasons import ReadScreen

if TYPE_CHECKING:
    from benchtui.domain.blades import Feeler
    from benchtui.domain.gauging.bracket import Answer
    from benchtui.tui.frame import WorkScreen
    from benchtui.tui.screens.bench import BenchScreen

_RULE_KEYS = {
    "1": (DecisionRule.PLAIN, "plain: blades taken as marked"),
    "2": (DecisionRule.PROVED, "proved: blade errors kept clear"),
    "3": (DecisionRule.FEEL, "by feel: your own practised drag"),
}


def show_why(screen: WorkScreen, valve: str) -> None:
    """Say why this step comes next, in full, and how sure the verdict is."""
    state = screen.program.session_state
    view, told = look(state, valve), told_of(state, valve)
    if state.repeat is not None and state.repeat.valve == valve:
        paragraphs = [BLIND, told.sentence]
    else:
        paragraphs = why_paragraphs(state, view, told, aside_of(state, view))
    screen.app.push_screen(ReadScreen(valve, paragraphs))


def ask_rule(bench: BenchScreen) -> None:
    """Choose how much the blades must show."""
    offered = {
        key: words
        for key, (rule, words) in _RULE_KEYS.items()
        if rule is not DecisionRule.FEEL or feel_of(bench.state) is not None
    }
    detail = "\n".join(rule_in_words(_RULE_KEYS[key][0]) for key in offered)
    now = rule_of(bench.state).value

    def chosen(key: str | None) -> None:
        if key is not None:
            bench.do(RuleChosen(_RULE_KEYS[key][0]))

    question = f"In range is what the blades have shown how? (now: {now})"
    bench.app.push_screen(Choose(question, offered, detail), chosen)


def begin_or_end_blind(bench: BenchScreen) -> None:
    """Begin a blind repeat of this valve, or end it and say what it shows."""
    if not bench.blind:
        if bench.do(RepeatBegun(bench.valve)):
            bench.say(BLIND)
        return
    if bench.do(RepeatEnded(bench.valve)):
        told = repeated(bench.state, bench.valve)
        bench.say(
            "Nothing was read in it." if told is None else repeated_sentence(told),
            alarm=told is not None and bool(told.spread.least),
        )


def let_hand_try(bench: BenchScreen) -> None:
    """Let the practice hand try the blade: it tells what it feels, and asked again what that is."""
    live = bench.program.live
    feeler = bench.in_hand()
    if not isinstance(live, Rehearsal):
        bench.say("Try the blade, then say what it does: S refuses, D drags, F goes free.")
        return
    if feeler is None:
        bench.say("No blade is in hand: ↑ and ↓ choose one, a figure types it.", alarm=True)
        return
    felt, over = live.felt(bench.valve, feeler)
    blade = blade_both(feeler, inch=inch_set(bench.state.opened.blades))
    if live.tells_first(bench.valve, feeler):
        bench.say(f"The hand, {blade}: {feel_words(felt, over)}. S, D or F?")
        return
    bench.take_answer(felt)
    bench.say(f"The practice hand: {blade} {felt.value}.")


def judged(bench: BenchScreen, feeler: Feeler, said: Answer) -> tuple[str, bool]:
    """What the practice hand says to the person's answer, and whether it disagrees; else empty."""
    live = bench.program.live
    if not isinstance(live, Rehearsal):
        return "", False
    felt, over = live.felt(bench.valve, feeler)
    return judged_words(said, felt, over), said is not felt
