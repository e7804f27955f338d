"""The sentences about a valve that replay, card and screens share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from benchtui.domain.adjusting.turns import Turn
from benchtui.domain.errors import Refusal
from benchtui.domain.gauging.lacking import CannotDecide
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.blind_repeat import Repeated, repeated
from benchtui.domain.session.valve.doubts import doubts, pair_notes, setting_notes
from benchtui.domain.session.valve.next_blade import Advice
from benchtui.domain.session.valve.shims import ShimAdvice, advise_shim
from benchtui.text.quantities.show import clock_minutes, degrees, rounded
from benchtui.text.words.clash_words import aside_words, clash_words
from benchtui.text.words.sure_words import repeated_sentence

WORDS = {
    VerdictKind.IN: "in range",
    VerdictKind.TIGHT: "tight",
    VerdictKind.WIDE: "wide",
    VerdictKind.UNDECIDED: "undecided",
    VerdictKind.CONTRADICTION: "clash",
    VerdictKind.NONE: "no verdict",
}

BLIND = "Blind repeat: measure it as if nothing had been read; it decides nothing."

FORCED = "It went only by force: that counts as refuses. Never force a blade."


def verdict_words(verdict: Verdict) -> str:
    """The verdict in two or three words: ``proved in range``, ``in range, at limit``."""
    words = WORDS[verdict.kind]
    if verdict.proved:
        words = f"proved {words}"
    if verdict.by_feel:
        words = f"{words}, in range by feel"
    return f"{words}, at limit" if verdict.at_limit is not None else words


@dataclass(frozen=True, slots=True)
class Aside:
    """What the whole session says of one valve beside its own bracket.

    ``shim`` is the shim to fit and ``no_shim`` why there is none, for engines set by shims. ``repeated``
    is what blind repeats show; ``blind``: one is open, and what was read before it is none of its
    business. ``notes`` are
    to be minded in setting it.
    """

    doubts: tuple[str, ...] = ()
    shim: ShimAdvice | None = None
    no_shim: str = ""
    repeated: Repeated | None = None
    blind: bool = False
    notes: tuple[str, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """All that wants to be acted on, the shim first."""
        shim = self.no_shim if self.shim is None else self.shim.sentence
        again = "" if self.repeated is None else repeated_sentence(self.repeated)
        blind = BLIND if self.blind else ""
        return tuple(text for text in (shim, *self.doubts, *self.notes, again, blind) if text)


def aside_of(state: State, view: ValveView, *, setting: bool = True) -> Aside:
    """What the session says of this valve beside its own bracket; ``setting``: notes for that too."""
    name = view.valve.name
    told = Aside(
        doubts(state, view),
        repeated=repeated(state, name),
        blind=state.repeat is not None and state.repeat.valve == name,
        notes=(
            *pair_notes(state, view.valve),
            *(setting_notes(state, view) if setting else ()),
        ),
    )
    try:
        return replace(told, shim=advise_shim(state, view))
    except Refusal as refusal:
        return replace(told, no_shim=str(refusal))


NO_ASIDE = Aside()


def view_message(view: ValveView, advice: Advice, aside: Aside = NO_ASIDE) -> str:
    """Everything that ought to be said of a valve now, most pressing first."""
    return _joined([_forced(view), _sentence(view.verdict.because), *_beside(view, advice, aside)])


def message_beside(view: ValveView, advice: Advice, aside: Aside = NO_ASIDE) -> str:
    """The same where blade or turn are shown already: all of it but the verdict's reason."""
    return _joined([_forced(view), *_beside(view, advice, aside)])


def _forced(view: ValveView) -> str:
    return FORCED if view.readings and view.readings[-1].reading.forced else ""


def _joined(parts: Iterable[str]) -> str:
    return " ".join(part for part in parts if part)


def _beside(view: ValveView, advice: Advice, aside: Aside) -> list[str]:
    parts = [clash_words(view.clash) if view.clash is not None else "", aside_words(view.aside)]
    parts += aside.doubts
    parts.append(view.no_turn)
    parts.append(view.turn_note)
    if view.turn is not None and view.turn.small:
        parts.append("Under 8 degrees: less than a hand turns reliably; measure before and after.")
    if view.turn is not None and view.shift is not None:
        parts.append(f"Aimed at {view.turn.aim}: locking is known to move it.")
    parts += [text for text in aside.sentences if text not in aside.doubts]
    if view.stage is StageKind.TURNED and view.readings:
        parts.append("The nut is slack: lock it and measure again.")
    if isinstance(advice, CannotDecide):
        parts.append(_sentence(advice.sentence))
    return parts


def no_turn_words(view: ValveView) -> tuple[str, str]:
    """Why no turn is offered at this valve, and what to do instead."""
    if view.no_turn:
        return view.no_turn, ""
    because = _sentence(view.verdict.because)
    match view.verdict.kind:
        case VerdictKind.IN:
            return f"{_sentence(verdict_words(view.verdict))} No turn is called for.", ""
        case VerdictKind.CONTRADICTION:
            return because, "Back at the bench: try them again and strike what was wrong."
        case VerdictKind.UNDECIDED if view.bracket.high is None:
            return "No turn from an open bracket. " + because, "Find a blade that refuses first."
        case VerdictKind.UNDECIDED:
            return because, "Measure on: whether it wants a turn is not known yet."
        case _:
            return because, "Nothing is turned until it can be judged: see to that first."


def turn_words(turn: Turn) -> str:
    """``turn it out 21.6 degrees (19.2 to 24.0), anticlockwise``."""
    span = f"{degrees(turn.degrees_low)} to {degrees(turn.degrees_high)}"
    return (
        f"turn it {turn.way.value} {degrees(turn.degrees)} degrees ({span}), {turn.rotation.value}"
    )


def turn_spans(turn: Turn) -> tuple[str, str]:
    """The turn in degrees and on a clock's face, each with its range; and in whole turns."""
    ends = (turn.degrees, turn.degrees_low, turn.degrees_high)
    by_degrees = [degrees(end) for end in ends]
    by_clock = [clock_minutes(end) for end in ends]
    clock = by_clock[0]
    low, high = (words.split()[0] for words in by_clock[1:])
    return (
        f"{by_degrees[0]} degrees ({by_degrees[1]} to {by_degrees[2]}).",
        f"{clock} ({low} to {high}); {rounded(turn.turns, 2)} turn.",
    )


def _sentence(text: str) -> str:
    if not text:
        return ""
    end = "" if text.endswith((".", "?", "!")) else "."
    return text[:1].upper() + text[1:] + end
