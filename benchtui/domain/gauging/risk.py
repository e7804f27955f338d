"""What a decision rule asks, in the terms of JCGM 106:2012 and ISO 14253-1.

No chance of a false accept is told: it hangs on how the valves of this engine truly move, and on a hand
that nobody has measured. Played against engines and hands that are not what was supposed, what was told was
half of what was true.
"""

from __future__ import annotations

from benchtui.domain.rule import DecisionRule


def rule_in_words(rule: DecisionRule) -> str:
    """What the decision rule asks, for the help page and the card."""
    return _IN_WORDS[rule]


_IN_WORDS = {
    DecisionRule.PLAIN: (
        "Plain: simple acceptance, with no guard band. The blades are taken at their known "
        "thickness, so close to a limit a valve called in range may be out by a blade's error."
    ),
    DecisionRule.PROVED: (
        "Proved: guarded acceptance. The guard band is each blade's own error, and 7 um a joint in "
        "a stack: in range only if it is so even with every error against us."
    ),
    DecisionRule.FEEL: (
        "By feel: simple acceptance on what one practised hand makes of a drag, with no guard band "
        "for the blades or for the hand. The weakest of the three; it holds for that hand alone."
    ),
}
"""In the terms of JCGM 106:2012 (8.2 simple, 8.3 guarded acceptance) and ISO 14253-1."""
