"""Slack locknuts: the crank is never turned with one."""

from __future__ import annotations

from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.state import State


def check_nuts(state: State) -> None:
    """Never crank with a valve screwed open, or its nut slack."""
    slack = slack_nuts(state)
    if slack:
        raise Refusal(Why.NUT_SLACK, valves=slack)
