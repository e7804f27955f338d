"""Everything behind what the bench says of one valve, paragraph by paragraph."""

from __future__ import annotations

from dataclasses import replace

from benchtui.domain.gauging.feel import bracket_by_feel
from benchtui.domain.gauging.risk import rule_in_words
from benchtui.domain.session.evidence.decision_rule import feel_of, rule_of
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import TryBlade
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.text.words.bracket_words import felt_words
from benchtui.text.words.steps import sentence
from benchtui.text.words.sure_words import feel_words, left_sentence
from benchtui.text.words.told import Told
from benchtui.text.words.valve_words import Aside, verdict_words, view_because


def why_paragraphs(state: State, view: ValveView, told_now: Told, aside: Aside) -> list[str]:
    """The next blade and what each answer would mean, the verdict, how sure it is, and by what rule."""
    step, first = told_now.step, told_now.sentence
    if isinstance(step, TryBlade) and step.leads is not None:
        leads, alone = step.leads, sentence(replace(step, leads=None), inch=told_now.inch)
        first = (
            f"{alone} If it refuses: {leads.refuses.value}. If it drags: {leads.drags.value}. "
            f"If it goes free: {leads.free.value}."
        )
    because = view_because(view, told_now, aside)
    told = [first, f"{verdict_words(view.verdict)}: {because}" if because else ""]
    told = [paragraph for paragraph in told if paragraph]
    lasts = (k for k in state.opened.left_last if k.valve == view.valve.name)
    told += [left_sentence(last) for last in lasts]
    told += _by_feel(state, view)
    told.append(f"Decision rule. {rule_in_words(rule_of(state))}")
    return told


def _by_feel(state: State, view: ValveView) -> list[str]:
    """What the drags make of it; it decides nothing unless that is the rule."""
    band = feel_of(state)
    if band is None or view.setting is None:
        return []
    told = f"Your hand: {feel_words(band)}."
    readings = [t.reading for t in view.readings if t.place is not None]
    if not readings:
        return [told]
    found = bracket_by_feel(readings, band)
    if found.clash:
        return [f"{told} What was felt does not fit it: retest, or practise again."]
    return [f"{told} By feel it lies: {felt_words(found)}."]
