"""Which decision rule is in force, and whose feel it goes by."""

from __future__ import annotations

from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.rule import DecisionRule
from benchtui.domain.session.facts.events import Opened
from benchtui.domain.session.facts.state import State


def feel_of(state: State) -> FeelBand | None:
    """The band of drag of whoever is at the bench; None once somebody else has taken over."""
    same = state.particulars.who == state.opened.particulars.who
    return state.opened.feel if same else None


def rule_of(state: State) -> DecisionRule:
    """The decision rule in force; by feel holds for that one hand, for any other it is plain."""
    chosen = state.rule_chosen.rule if state.rule_chosen is not None else state.opened.rule
    if chosen is DecisionRule.FEEL and feel_of(state) is None:
        return DecisionRule.PLAIN
    return chosen


def feel_in_force(state: State) -> FeelBand | None:
    """The band of drag where its owner has chosen to go by it, else None: then it decides nothing."""
    return feel_of(state) if rule_of(state) is DecisionRule.FEEL else None


def check_rule(rule: DecisionRule, opened: Opened) -> None:
    """Whether this rule may be chosen in this session.

    Raises:
        Refusal: by feel, and nobody has practised.
    """
    if rule is DecisionRule.FEEL and opened.feel is None:
        who = opened.particulars.who
        if not who:
            raise Refusal(Why.NOBODY_NAMED)
        raise Refusal(Why.NOT_PRACTISED, who=who)
