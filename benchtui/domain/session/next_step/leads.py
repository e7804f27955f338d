"""What each answer to a blade would make of the valve."""

from __future__ import annotations

from benchtui.domain.blades import Feeler
from benchtui.domain.gauging.bracket import Answer, Reading, healing_sets
from benchtui.domain.gauging.stands_for import as_bladed
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.session.evidence.counting import leading
from benchtui.domain.session.evidence.decision_rule import rule_of
from benchtui.domain.session.evidence.setting import judged
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import Lead, Leads, Limit
from benchtui.domain.session.valve.assessment import ValveView, enough

_LEADS = {
    VerdictKind.TIGHT: Lead.TIGHT,
    VerdictKind.WIDE: Lead.WIDE,
    VerdictKind.UNDECIDED: Lead.MORE,
    VerdictKind.CONTRADICTION: Lead.CLASH,
    VerdictKind.NONE: Lead.MORE,
}


def leads_of(state: State, view: ValveView, feeler: Feeler) -> Leads | None:
    """Judged as if each answer had been given; None where nothing is judged."""
    band = view.judged
    if band is None:
        return None
    so_far = leading(state, view.valve.name)

    def lead(answer: Answer) -> Lead:
        readings = [*so_far, Reading(feeler, answer)]
        if healing_sets(readings):
            return Lead.CLASH
        return _lead(state, judged(state, view.valve, readings, band))

    return Leads(lead(Answer.REFUSES), lead(Answer.DRAG), lead(Answer.FREE))


def limit_at(view: ValveView, feeler: Feeler) -> Limit | None:
    """The limit of the range whose size this blade has; None where it has neither."""
    if view.judged is None or view.setting is None or view.setting.figure is not None:
        return None
    limits = as_bladed(view.judged, feeler.leaves if len(feeler.leaves) == 1 else ())
    if feeler.nominal == limits.low:
        return Limit.LOWER
    return Limit.UPPER if feeler.nominal == limits.high else None


def lead_of(state: State, verdict: Verdict) -> Lead:
    """The same of a verdict that stands."""
    return _lead(state, verdict)


def _lead(state: State, verdict: Verdict) -> Lead:
    if verdict.on_figure:
        return Lead.ON_FIGURE
    if verdict.kind is VerdictKind.IN:
        if not enough(verdict, rule_of(state)):
            return Lead.MORE
        return Lead.IN_RANGE if verdict.at_limit is None else Lead.AT_LIMIT
    return _LEADS[verdict.kind]
