"""The sentences about a valve that replay, card and screens share."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import assert_never

from benchtui.domain.adjusting.turns import Turn, Way
from benchtui.domain.gauging.service_limit import ServiceStanding
from benchtui.domain.gauging.verdict import Verdict, VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal, Why
from benchtui.domain.session.evidence.cams import cams_back
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.kinds import MeasureAgain, SetOnBlade, Settle, TurnBy
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.blind_repeat import Repeated, repeated
from benchtui.domain.session.valve.doubts import (
    FINISH_FROM_ONE_SIDE,
    doubts,
    pair_notes,
    setting_notes,
)
from benchtui.domain.session.valve.service import service_left
from benchtui.domain.session.valve.shims import ShimAdvice, advise_shim
from benchtui.domain.session.valve.turning import turning, unadvised_turn
from benchtui.text.quantities.show import clock_minutes, rounded, whole_degrees
from benchtui.text.words.clash_words import aside_words
from benchtui.text.words.refusals import reason_words, refusal_words
from benchtui.text.words.stamped import printed
from benchtui.text.words.state_words import WORDS
from benchtui.text.words.steps import in_inches, service_note
from benchtui.text.words.sure_words import repeated_sentence
from benchtui.text.words.told import Told

BLIND = "Blind repeat: measure it as if nothing had been read; it decides nothing."

FORCED = "It went only by force: that counts as refuses. Never force a blade."


def verdict_words(verdict: Verdict) -> str:
    """The verdict in two or three words: ``proved in range``, ``in range, at limit``."""
    words = "on the figure" if verdict.on_figure else WORDS[verdict.kind]
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
    business. ``turn`` is what would set it by the degrees, ``setting`` what to mind while it is set,
    ``service`` where it stands by its service limit and ``by_limit`` that in words, where it is out
    of range.
    """

    doubts: tuple[str, ...] = ()
    shim: ShimAdvice | None = None
    no_shim: str = ""
    repeated: Repeated | None = None
    blind: bool = False
    notes: tuple[str, ...] = ()
    setting: tuple[str, ...] = ()
    turn: Turn | None = None
    service: ServiceStanding | None = None
    by_limit: str = ""

    @property
    def sentences(self) -> tuple[str, ...]:
        """All that wants to be acted on, the shim first."""
        shim = self.no_shim if self.shim is None else self.shim.sentence
        again = "" if self.repeated is None else repeated_sentence(self.repeated)
        blind = BLIND if self.blind else ""
        return tuple(text for text in (shim, *self.doubts, *self.notes, again, blind) if text)


def aside_of(state: State, view: ValveView) -> Aside:
    """What the session says of this valve beside its own bracket."""
    name = view.valve.name
    told = Aside(
        (*_unadvised_words(state, name), *doubts(state, view)),
        repeated=repeated(state, name),
        blind=state.repeat is not None and state.repeat.valve == name,
        notes=pair_notes(state, view.valve),
        setting=setting_notes(state, view),
        service=service_left(state, name),
        by_limit=service_note(state, name),
        turn=turning(state, view).turn,
    )
    try:
        return replace(told, shim=advise_shim(state, view))
    except Refusal as refusal:
        buried = state.opened.sheet.adjuster.set_by.cams_out and cams_back(state)
        if refusal.why is Why.SHIM_UNKNOWN and buried:
            return told  # under its bucket nobody can read its stamp: asked with the cams out
        return replace(told, no_shim=refusal_words(refusal, inch=in_inches(state)))


NO_ASIDE = Aside()


def _unadvised_words(state: State, name: str) -> tuple[str, ...]:
    """That the turn in hand was not advised, and why."""
    made = unadvised_turn(state, name)
    if made is None:
        return ()
    return (f"This turn was not advised: {_instead(made.instead, inch=in_inches(state))}.",)


def _instead(instead: Way | Refusal | Verdict, *, inch: bool) -> str:
    match instead:
        case Way():
            return f"the way to turn was {instead.value}"
        case Refusal():
            reason = reason_words(instead, inch=inch).removesuffix(".")
            return reason[:1].lower() + reason[1:]
        case Verdict(kind=kind, because=because):
            why = f" ({printed(because, inch=inch)})"
            match kind:
                case VerdictKind.IN:
                    return f"the valve was in range{why}"
                case VerdictKind.UNDECIDED:
                    return f"whether it wants one was not known{why}"
                case _:
                    return f"no verdict could be given{why}"
        case _:
            assert_never(instead)


def view_message(view: ValveView, told: Told | None, aside: Aside = NO_ASIDE) -> str:
    """Everything that ought to be said of a valve now: what to do, then why, then what is doubtful."""
    sentence = "" if told is None else told.sentence
    return f"{sentence} {view_because(view, told, aside)}".strip()


def view_because(view: ValveView, told: Told | None, aside: Aside = NO_ASIDE) -> str:
    """Why: the small line of the step, the verdict's reason, then what is doubtful."""
    clash = told is not None and isinstance(told.step, Settle | MeasureAgain)
    inch = told is not None and told.inch
    because = "" if clash else _sentence(printed(view.verdict.because, inch=inch))
    parts = ["" if told is None else told.small, because]
    return " ".join(text for text in (*parts, *valve_notes(view, told, aside)) if text)


def no_verdict_because(view: ValveView, told: Told | None) -> str:
    """Why there is no verdict, where the step does not say it; empty where there is one."""
    if view.verdict.kind is not VerdictKind.NONE:
        return ""
    because = _sentence(printed(view.verdict.because, inch=told is not None and told.inch))
    said = "" if told is None else told.whole
    return "" if because.lower() in said.lower() else because


def valve_notes(view: ValveView, told: Told | None, aside: Aside = NO_ASIDE) -> list[str]:
    """What is to be minded beside the step and the verdict: force, doubts, a small turn."""
    said = []
    if view.readings and view.readings[-1].reading.forced:
        said.append(FORCED)
    said.append(aside.by_limit)
    said.append(aside_words(view.aside))
    said.append(_measured(view))
    said += aside.doubts
    step = None if told is None else told.step
    if isinstance(step, TurnBy) and step.turn.small:
        said.append(SMALL_TURN)
    if aside.turn is not None and view.shift is not None:
        said.append(f"Aimed at {hundredths(aside.turn.aim)}: locking is known to move it.")
    said += [text for text in aside.sentences if text not in aside.doubts]
    said += notes_in_setting(told, aside)
    return [text for text in said if text]


def notes_in_setting(told: Told | None, aside: Aside) -> tuple[str, ...]:
    """What to mind while it is set: nothing while a blade is to be tried, no thread's slack on a leaf."""
    match None if told is None else told.step:
        case TurnBy() | SetOnBlade(otherwise=TurnBy()):
            return aside.setting
        case SetOnBlade():
            return tuple(note for note in aside.setting if note != FINISH_FROM_ONE_SIDE)
        case _:
            return ()


SMALL_TURN = "Under 8 degrees: less than a hand turns reliably."


def hundredths(aim: Length) -> str:
    """An aim to 0.01 mm: no hand sets it finer."""
    return f"{Length(round(aim.nm, -4)).bare} mm"


def turn_spans(turn: Turn) -> tuple[str, str]:
    """The turn in degrees and on a clock's face, each with its range; and in whole turns."""
    ends = (turn.degrees, turn.degrees_low, turn.degrees_high)
    by_degrees = [whole_degrees(end) for end in ends]
    by_clock = [clock_minutes(end) for end in ends]
    clock = by_clock[0]
    low, high = (words.split()[0] for words in by_clock[1:])
    return (
        f"{by_degrees[0]} degrees ({by_degrees[1]} to {by_degrees[2]}).",
        f"{clock} ({low} to {high}); {rounded(turn.turns, 2)} turn.",
    )


def _measured(view: ValveView) -> str:
    """The measured value, where the verdict's own reason does not name it."""
    if view.measured is None or str(view.measured) in view.verdict.because:
        return ""
    return _sentence(str(view.measured))


def _sentence(text: str) -> str:
    if not text:
        return ""
    end = "" if text.endswith((".", "?", "!")) else "."
    return text[:1].upper() + text[1:] + end
