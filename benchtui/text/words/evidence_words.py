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

GO_ROUND = "Past the mark? Do not turn back: two whole turns on."


def evidence_words(evidence: Evidence, companion: str = "") -> str:
    """One piece of evidence in words; ``companion`` names the cylinder that rocks meanwhile."""
    if evidence is Evidence.COMPANION:
        return f"the valves of {companion} rock" if companion else "its companion's valves rock"
    return _WORDS[evidence]


def seen_words(evidence: Iterable[Evidence], companion: str = "") -> str:
    """``the mark lines up and both rockers are loose``."""
    return " and ".join(evidence_words(e, companion) for e in evidence)
