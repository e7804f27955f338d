"""The foot of a screen: the key of the one thing to do now, and what it leads to, for each step.

Beside ``steps``, which words the step itself: here stands what its key does.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.session.evidence.clash import Settling
from benchtui.domain.session.next_step import kinds as k
from benchtui.text.words.event_words import CAMS_WORDS
from benchtui.text.words.stamped import blade_both
from benchtui.text.words.steps import turn_words

ENTER, SPACE, ESCAPE, FIGURE = "enter", "space", "escape", "0"


@dataclass(frozen=True, slots=True)
class Box:
    """One ``key`` (the library's name for it) and up to three lines of what it does or leads to.

    ``more`` is said where there are more rows than three.
    """

    key: str
    lines: tuple[str, ...]
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Foot:
    """One to five boxes side by side; ``answer`` keys first."""

    boxes: tuple[Box, ...]

    @classmethod
    def one(cls, key: str, *lines: str) -> Foot:
        """The usual foot: one key, what it does, and what comes then."""
        return cls((Box(key, lines),))


ANSWERS = (
    ("s", "J", Answer.REFUSES, "■ refuses", "or by force"),
    ("d", "K", Answer.DRAG, "≈ drags", "a light, even pull"),
    ("f", "L", Answer.FREE, "○ goes free", "nothing holds it"),
)
"""Left hand, right hand, the answer, its words, how it is told."""

_LEADS = {k.Lead.AT_LIMIT: "at limit", k.Lead.MORE: ""}


def answers(leads: k.Leads | None = None) -> Foot:
    """The three answers of a blade, and what each would make of the valve."""
    told = (None, None, None) if leads is None else (leads.refuses, leads.drags, leads.free)
    boxes = []
    for (left, right, _, words, how), lead in zip(ANSWERS, told, strict=True):
        made = "" if lead is None else _LEADS.get(lead, lead.value)
        leads_to = f"→ {made}" if made else how
        more = (how,) if made else ()
        boxes.append(Box(left, (words, leads_to, f"or {right}"), more))
    return Foot(tuple(boxes))


def bench_foot(step: k.NextStep, *, inch: bool) -> Foot:  # noqa: C901, PLR0912  # one case a step
    """What the keys of the bench do about this step."""
    match step:
        case k.TryBlade(purpose=k.Purpose.FINER):
            # Four boxes leave no room on a small screen for how each answer is told.
            three = (Box(box.key, box.lines[::2]) for box in answers().boxes)
            return Foot((*three, Box(SPACE, ("leave it", "go on"))))
        case k.TryBlade(leads=leads):
            return answers(leads)
        case k.SpotCheck():
            return answers()
        case k.Settle(clash=clash):
            if clash.how is Settling.TRY_AGAIN:
                return answers()
            return Foot.one(ENTER, "strike them one by one", "then measure afresh")
        case k.NextValve(to=to, limit=limit):
            same = "" if step.remark is k.Remark.OTHER_STOP else "same crank position"
            on = Box(SPACE, (f"on to {to}", same))
            if limit is None:
                return Foot((on,))
            return Foot((on, Box(ENTER, ("set it all the same", f"at its {limit.value} limit"))))
        case k.SetOnBlade(valve=valve, feeler=feeler, otherwise=turn):
            blade = blade_both(feeler, inch=inch)
            other = "" if turn is None else f"or by degrees: {turn_words(turn)}"
            return Foot.one(ENTER, f"set {valve}: on a {blade} blade held in", other)
        case k.TurnBy(valve=valve, otherwise=held):
            other = "" if held is None else f"or on a blade: {blade_both(held.feeler, inch=inch)}"
            return Foot.one(ENTER, f"set {valve}: {turn_words(step)}", other)
        case k.LockIt(valve=valve):
            return Foot.one(ENTER, f"to the locknut of {valve}", "then measure it again")
        case k.WindBack(valve=valve):
            return Foot.one(ENTER, f"set {valve} by its thread")
        case k.FitShim(valve=valve, size=size):
            return Foot.one(
                ENTER, f"the shim of {valve}", "" if size is None else f"{size.bare} fits"
            )
        case k.LookPast(on=on):
            return Foot.one(
                ENTER,
                f"say what {on} degrees have shown",
                "one opened: overlap, turn on",
                "both still: the gap is gone",
            )
        case k.ConfirmCrank() | k.TurnCrankTo():
            return Foot.one(ENTER, "to the crank position")
        case k.Tell(what=k.ToTell.BAND):
            return Foot.one(ENTER, "on the figure, or your own band")
        case k.Tell(what=k.ToTell.SHIM):
            return Foot.one(ENTER, "tell which shim is in")
        case k.Tell() | k.Wait():
            return Foot.one(ENTER, "tell the metal's temperature")
        case k.StopAndLook():
            return Foot.one(ENTER, "say whether the parts are sound")
        case k.MeasureAgain(apart=apart) if apart.pad_in_doubt:
            return Foot.one(ENTER, "the setting screen: M, pad test")
        case k.MeasureAgain() | k.Borrow():
            return Foot.one(FIGURE, "type the blade that was tried", "or what was measured")
        case k.EndRepeat():
            return Foot.one(ENTER, "end the blind repeat")
        case k.CamsOut() | k.CamsBack():
            return Foot.one(ENTER, "the shims, and the steps around the cams")
        case k.CloseUp():
            return Foot.one(ENTER, "close up")
        case k.Finished() | k.Resume() | k.NothingToMeasure():
            return Foot.one(ESCAPE, "back to the engines")


def setting_foot(step: k.NextStep) -> Foot:
    """What the keys of the setting screen do about this step; another's step is done at the bench."""
    match step:
        case k.SetOnBlade(valve=valve):
            return _set_then_locked(valve, "set on it", "locked, blade out")
        case k.TurnBy(valve=valve):
            return _set_then_locked(valve, "turned so", "locked")
        case k.LockIt(valve=valve, torque=torque):
            locked = Box(ENTER, ("locked:", f"measure {valve} again"))
            if torque is None:
                return Foot((locked,))
            return Foot((Box(SPACE, ("locked to its", "figure by the", "wrench")), locked))
        case k.WindBack(valve=valve):
            return Foot.one(ENTER, "set so and locked:", f"measure {valve} again")
        case k.FitShim(size=size) if size is not None:
            return Foot.one(ENTER, f"{size.bare} is in", "another size: type it")
        case k.FitShim() | k.Tell(what=k.ToTell.SHIM):
            return Foot.one(FIGURE, "type the size of the shim")
        case k.TryBlade(purpose=k.Purpose.BEFORE_LOCK, valve=valve):
            locked = Box(ENTER, ("locked all the", f"same: measure {valve}"))
            return Foot((Box(ESCAPE, ("that blade first,", "at the bench")), locked))
        case _:
            return Foot.one(ESCAPE, "back to the bench")


def before_foot(left: int) -> Foot:
    """Before a check: so many cautions are still to tick, or Enter says that all of it is so."""
    if left:
        return Foot.one(SPACE, "it is so", f"{left} to tick with Space, then Enter begins")
    return Foot.one(ENTER, "all of it is so: begin", "then the crank, then the first blade")


def closing_foot(step: k.NextStep, *, in_part: bool) -> Foot:
    """Closing up: Space does the line of the step in hand, Enter files the session as it stands."""
    files = Box(ENTER, ("file it", "in part: no check") if in_part else ("file it so",))
    match step:
        case k.CloseUp(part=k.ClosePart.FILE) | k.Finished():
            return Foot((files,))
        case k.SpotCheck(valve=valve):
            return Foot((Box(SPACE, (f"try {valve}", "once more")), files))
        case k.ConfirmCrank() | k.TurnCrankTo():
            return Foot((Box(SPACE, ("the crank", "first")), files))
        case k.CloseUp(part=part, left=left):
            words = (left[0], "out again") if part is k.ClosePart.COUNT_OUT else _DONE[part]
            return Foot((Box(SPACE, words), files))
        case _:
            return Foot((Box(ESCAPE, ("the bench:", "work is left")), files))


_DONE = {
    k.ClosePart.TURN_OVER: ("turned over", "twice"),
    k.ClosePart.WORK: ("this line", "is done"),
    k.ClosePart.TORQUES: ("torqued as", "printed"),
    k.ClosePart.FIRST_RUN: ("it has run",),
    k.ClosePart.LEAKS: ("looked for", "leaks: none"),
}


def filed_foot(following: str, *, practice: bool) -> Foot:
    """Filed: back to the engines, of which ``following`` is the most pressing; the card, if one is kept."""
    if practice:
        return Foot.one(ENTER, "the engines", "nothing of this practice is kept")
    there = ("engines; next there", following) if following else ("the engines",)
    return Foot((Box(ENTER, there), Box("r", ("the card", "on the screen"))))


def shims_foot(step: k.NextStep) -> Foot:
    """What the keys of the page of all shims do about this step."""
    match step:
        case k.CamsOut():
            return Foot.one(SPACE, "the cams are out:", "then shim by shim")
        case k.CamsBack(left=(first, *rest)):
            more = f"{len(rest)} more after it" if rest else "then the crank, and every valve again"
            return Foot.one(SPACE, f"cams: {CAMS_WORDS[first]}", more)
        case k.FitShim() | k.Tell():
            return Foot.one(FIGURE, "type the size of the shim", "at the valve under the cursor")
        case _:
            return Foot.one(ESCAPE, "back to the bench:", "what comes next is done there")


def _set_then_locked(valve: str, done: str, locked: str) -> Foot:
    return Foot(
        (Box(SPACE, (f"{done};", "nut slack")), Box(ENTER, (f"{locked}:", f"measure {valve}")))
    )
