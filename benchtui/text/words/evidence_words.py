"""What shows where the crank stands, in the words of this engine's valve gear."""

from __future__ import annotations

from collections.abc import Iterable

from benchtui.domain.session.facts.events import Evidence

_WORDS = {
    Evidence.MARK: "the mark lines up",
    Evidence.SLACK: "both rockers are loose",
    Evidence.SPIN: "both pushrods spin between the fingers",
    Evidence.LOBES: "both lobes point away from their buckets",
    Evidence.INLET: "the inlet opened and shut, then the mark came",
    Evidence.STILL: "rocked 15 degrees, nothing moves",
    Evidence.ROCKS: "its valves rock with the crank",
    Evidence.TURNED: "it was turned here from a confirmed stop",
}

_SHORT = {
    Evidence.MARK: ("the mark", "lines up"),
    Evidence.SLACK: ("both rockers", "of {own} loose"),
    Evidence.SPIN: ("both pushrods", "of {own} spin"),
    Evidence.LOBES: ("both lobes of", "{own} point away"),
    Evidence.INLET: ("inlet opened,", "then closed"),
    Evidence.STILL: ("rocked: both", "stay still"),
    Evidence.ROCKS: ("its valves", "rock with it"),
    Evidence.TURNED: ("turned here", "by degrees"),
    Evidence.COMPANION: ("the valves", "of {other} rock"),
}

GO_ROUND = "Past the mark? Do not turn back: go on two whole turns."


def short_evidence(evidence: Evidence, own: str, companion: str = "") -> tuple[str, str]:
    """The same in two lines of at most thirteen letters, for a foot; ``own`` is the cylinder meant."""
    first, second = _SHORT[evidence]
    return first, second.format(own=own, other=companion)


def evidence_words(evidence: Evidence, companion: str = "") -> str:
    """One piece of evidence in words; ``companion`` names the cylinder that rocks meanwhile."""
    if evidence is Evidence.COMPANION:
        return f"the valves of {companion} rock" if companion else "its companion's valves rock"
    return _WORDS[evidence]


def seen_words(evidence: Iterable[Evidence], companion: str = "") -> str:
    """``the mark lines up and both rockers are loose``."""
    return " and ".join(evidence_words(e, companion) for e in evidence)
