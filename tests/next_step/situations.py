"""The table: a situation, the kind of step, its tall word and its sentence.

Each is a written-down session up to that moment; the words are asserted in every place that shows them.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

SPECS = Path(__file__).parents[2] / "specs"


def spec(name: str, *changes: tuple[str, str]) -> str:
    text = (SPECS / f"{name}.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


CHANGED = {
    "eccentric": spec(
        "quay-pump",
        ('kind = "screw"', 'kind = "eccentric"'),
        ('pitch = "0.75 mm"\nthread = "M6x0.75"\n', ""),
    ),
    "shim-top": spec("ferry-tender", ("under_bucket = true\n", "")),
    "levered": spec(
        "quay-pump",
        ("[layout]\n", '[layout]\ndecompressor = "lifts the exhaust: put the lever down"\n'),
    ),
    "two-gaps": spec(
        "quay-pump",
        ('1 = ["1I", "1E"]', '1 = ["1I-opener", "1I-closer", "1E-opener", "1E-closer"]'),
        (
            "[clearance]\n",
            '[clearance]\ninlet_closer = ["0.00 mm", "0.05 mm"]\nexhaust_closer = ["0.03 mm", "0.06 mm"]\n',
        ),
    ),
    "launch-eight": spec(
        "pilot-launch",
        ('kind = "hydraulic"', 'kind = "screw"\npitch = "1.0 mm"'),
        (
            "[clearance]\n",
            '[clearance]\ninlet = ["0.20 mm", "0.30 mm"]\nexhaust = ["0.30 mm", "0.40 mm"]\n',
        ),
    ),
}


@dataclass(frozen=True)
class Situation:
    name: str
    script: str
    valve: str | None
    kind: str
    tall: str
    sentence: str

    def __str__(self) -> str:
        return self.name


PUMP = "sheet quay-pump\nblades fine-metric\nmetal 19 C\n"
AT = "position 1 mark slack\n"
DEGREES = f"{PUMP}set by degrees\n{AT}"
TIGHT = "1E 0.08 refuses\n1E 0.05 drag\n1E 0.06 refuses\n"
DONE_I = "1I 0.06 free\n1I 0.10 refuses\n"
SET = f"{PUMP}{AT}{DONE_I}{TIGHT}1E set 0.10\n1E lock\n"
LEFT = f"{SET}1E 0.08 free\n1E 0.12 refuses\n"
VAN = "sheet harbour-van\nblades coarse-metric\nmetal 19 C\nposition 1 mark inlet\n"
ECCENTRIC = f"sheet eccentric\nblades fine-metric\nmetal 19 C\n{AT}"
TOP = "sheet shim-top\nblades fine-metric\nmetal 19 C\nposition 1 mark lobes\n"

TABLE = (
    Situation(
        "filed",
        f"{PUMP}{AT}1I 0.06 free\nclose\n",
        "1I",
        "finished",
        "FILED",
        "Filed in part: 2 things are missing.",
    ),
    Situation(
        "filed, one thing missing",
        f"{PUMP}{AT}1I 0.06 free\n1I 0.10 refuses\nclose\n",
        "1I",
        "finished",
        "FILED",
        "Filed in part: one thing is missing.",
    ),
    Situation(
        "paused",
        f"{PUMP}{AT}1I 0.06 free\npause\n",
        None,
        "resume",
        "CRANK?",
        "Has the crank been moved since you stopped?",
    ),
    Situation(
        "paused, a nut slack",
        f"{PUMP}{AT}{TIGHT}1E set 0.10\npause\n",
        None,
        "lock-it",
        "LOCK IT",
        "1E: the nut is slack. Lock it before anything else.",
    ),
    Situation(
        "paused, the slack nut locked since",
        f"{PUMP}{AT}{TIGHT}1E set 0.10\npause\n1E lock\n",
        None,
        "resume",
        "CRANK?",
        "Has the crank been moved since you stopped?",
    ),
    Situation(
        "a nut slack and the crank moved",
        f"{PUMP}{AT}{TIGHT}1E set 0.10\npause\nresume moved\n",
        "1I",
        "lock-it",
        "LOCK IT",
        "1E: the nut is slack. Lock it before anything else.",
    ),
    Situation(
        "metal not told",
        f"sheet quay-pump\nblades fine-metric\n{AT}",
        "1I",
        "tell",
        "COLD?",
        "Cold? Tell the temperature, or the hours it stood.",
    ),
    Situation(
        "too warm",
        f"sheet quay-pump\nblades fine-metric\nmetal 62 C\n{AT}",
        "1I",
        "wait",
        "WAIT",
        "62 C, too warm: wait until it is below 35 C.",
    ),
    Situation(
        "one figure, no band",
        "sheet slip-winch\nblades fine-metric\nmetal 19 C\nposition 1 mark slack\n",
        "1I",
        "tell",
        "BAND?",
        "One figure only: set on the figure, or by your own band?",
    ),
    Situation(
        "crank not confirmed",
        f"{PUMP}note cold\n",
        "1I",
        "confirm-crank",
        "CRANK?",
        "Cylinder 1: mark at the pointer, and one sign more?",
    ),
    Situation(
        "doubted",
        f"{PUMP}{AT}position 1 doubt\n",
        "1I",
        "confirm-crank",
        "CRANK?",
        "Not sure of the crank: turn on and watch the inlet.",
    ),
    Situation(
        "overlap seen",
        f"{PUMP}{AT}look 1 opens\n",
        "1I",
        "turn-crank-to",
        "CRANK 315",
        "It was overlap: leave cylinder 1. Turn on 315 degrees.",
    ),
    Situation(
        "another stop's valve",
        VAN,
        "4E",
        "next-valve",
        "NEXT",
        "4E is not for this stop. 1I comes first.",
    ),
    Situation(
        "nut slack, crank not sure",
        f"{PUMP}{AT}{TIGHT}1E set 0.10\nposition 1 doubt\n",
        "1E",
        "lock-it",
        "LOCK IT",
        "Lock it as it stands; it is measured again later.",
    ),
    Situation(
        "turned far in, crank not sure",
        f"{PUMP}{AT}{TIGHT}1E turn in 60\nposition 1 doubt\n",
        "1E",
        "lock-it",
        "LOCK IT",
        "Back the screw off till the rocker is loose, then lock.",
    ),
    Situation(
        "a limit to try",
        f"{PUMP}{AT}1E 0.08 free\n",
        "1E",
        "try-blade",
        "0.12",
        "Try 0.12, the upper limit. Refuses or drags: in range. Goes free: wide.",
    ),
    Situation(
        "one reading alone says out",
        f"{PUMP}{AT}1E 0.12 free\n",
        "1E",
        "try-blade",
        "0.15",
        "Wide. Try 0.15, to tell how far.",
    ),
    Situation(
        "one refusal alone",
        f"{PUMP}{AT}1E 0.05 free\n1E 0.06 refuses\n",
        "1E",
        "try-blade",
        "0.06",
        "0.06 once more, before you slacken the nut.",
    ),
    Situation(
        "a clash",
        f"{PUMP}{AT}1E 0.08 refuses\n1E 0.10 free\n",
        "1E",
        "settle",
        "0.08",
        "0.08 refuses but 0.10 goes. Wipe 0.08, try again.",
    ),
    Situation(
        "measured, and the blades say otherwise",
        f"{PUMP}{AT}1E 0.09 free\n1E 0.10 refuses\n1E measured 0.12\n",
        "1E",
        "measure-again",
        "MEASURE",
        "0.09 goes, 0.10 refuses, but 0.12 measured, give or take 0.01: measure it again.",
    ),
    Situation(
        "measured much wider than the blades",
        f"{PUMP}{AT}1E 0.09 free\n1E 0.10 refuses\n1E measured 0.16\n",
        "1E",
        "measure-again",
        "PAD TEST",
        "0.09 goes, 0.10 refuses, but 0.16 measured, give or take 0.01: test the pad.",
    ),
    Situation(
        "nothing goes in",
        f"{PUMP}{AT}1E 0.04 refuses\n1E 0.03 refuses\n",
        "1E",
        "look-past",
        "LOOK 45",
        "No clearance: turn 45 on. Does 1I open?",
    ),
    Situation(
        # At BDC of cylinder 2 no look tells anything: that of the cylinder on its mark does.
        "nothing goes in, at another cylinder than the one on its mark",
        "sheet harbour-van\nblades coarse-metric\nmetal 19 C\n"
        f"{AT}2I 0.15 refuses\n2I 0.05 refuses\n",
        "2I",
        "look-past",
        "LOOK 45",
        "No clearance: turn 45 on. Does 1I open?",
    ),
    Situation(
        "nothing goes, decompressor",
        f"sheet levered\nblades fine-metric\nmetal 19 C\n{AT}1E 0.03 refuses\n",
        "1E",
        "try-blade",
        "0.03",
        "Release the decompressor, then 0.03 again.",
    ),
    Situation(
        "still at 45",
        f"{PUMP}{AT}1E 0.03 refuses\nlook 1 still\n",
        "1E",
        "confirm-crank",
        "CRANK?",
        "It was compression. Come round; tick mark and inlet seen.",
    ),
    Situation(
        "no clearance, stroke sure",
        f"{PUMP}{AT}1E 0.04 refuses\n1E 0.03 refuses\nlook 1 still\nposition 1 mark inlet\n",
        "1E",
        "set-on-blade",
        "SET 0.10",
        "On compression, no clearance: it may be opened up. Hold in 0.10, set to it.",
    ),
    Situation(
        "far out",
        f"{VAN}1E 0.50 free\n1E 0.50+0.35 free\n",
        "1E",
        "stop-and-look",
        "STOP",
        "0.85 goes, on 0.25 to 0.35: look before you turn.",
    ),
    Situation(
        "out, by blade",
        f"{PUMP}{AT}{TIGHT}",
        "1E",
        "set-on-blade",
        "SET 0.10",
        "Slacken; hold in 0.10; screw to a light drag; lock.",
    ),
    Situation(
        "out, by degrees",
        f"{PUMP}set by degrees\n{AT}{TIGHT}",
        "1E",
        "turn-by",
        "OUT 22",
        "Slacken, turn out 22 degrees, anticlockwise.",
    ),
    Situation(
        "an eccentric, by degrees",
        f"{ECCENTRIC}set by degrees\n{TIGHT}",
        "1E",
        "turn-by",
        "TURN 15",
        "Turn it 15 degrees, anticlockwise, and measure: that tells.",
    ),
    Situation(
        "set on a blade",
        f"{PUMP}{AT}{TIGHT}1E set 0.10\n",
        "1E",
        "lock-it",
        "LOCK IT",
        "Hold the screw, lock it, take 0.10 out.",
    ),
    Situation(
        "turned as told, a blade pays",
        f"{PUMP}set by degrees\n{AT}{TIGHT}1E turn out 21.6\n",
        "1E",
        "try-blade",
        "0.10",
        "0.10 before you lock: a light drag is right.",
    ),
    Situation(
        "still tight with the nut slack",
        f"{DEGREES}{TIGHT}1E turn out 12\n1E 0.08 refuses\n1E 0.07 refuses\n1E 0.06 free\n",
        "1E",
        "turn-by",
        "OUT 15",
        "Still tight: out another 15 degrees. The nut stays slack.",
    ),
    Situation(
        "near enough",
        f"{PUMP}{AT}{TIGHT}1E turn out 21.6\n1E 0.10 drag\n",
        "1E",
        "lock-it",
        "LOCK IT",
        "Near enough: hold the screw, lock it.",
    ),
    Situation(
        "locked, not measured",
        SET,
        "1E",
        "try-blade",
        "0.08",
        "Not measured since it was set: try 0.08.",
    ),
    Situation(
        "in range, another left",
        f"{PUMP}{AT}{DONE_I}",
        "1I",
        "next-valve",
        "NEXT",
        "1I is in range. 1E is next.",
    ),
    Situation(
        "no valve left",
        LEFT,
        "1E",
        "close-up",
        "2 TURNS",
        "All in range. Turn it over twice by hand, forward.",
    ),
    Situation(
        "turned over",
        f"{LEFT}turned over\n{AT}",
        None,
        "spot-check",
        "0.12",
        "1E again, before the cover goes on: 0.12 must refuse.",
    ),
    Situation(
        "rags inside",
        f"{LEFT}count in 2 rags\nturned over\n{AT}1E spot 0.12 refuses\ntorque adjuster locknuts\n",
        None,
        "close-up",
        "COUNT",
        "2 rags still inside: count them out.",
    ),
    Situation(
        "blind",
        f"{PUMP}{AT}{DONE_I}1I blind\n",
        "1I",
        "try-blade",
        "0.06",
        "Blind: try 0.06 as if nothing had been read.",
    ),
    Situation(
        "a pad test running",
        f"{PUMP}{AT}{TIGHT}1E pad 72\n",
        "1E",
        "try-blade",
        "0.15",
        "The thread makes 0.15 here: try 0.15.",
    ),
    Situation(
        "an eccentric turned to learn from, its nut slack",
        "sheet eccentric\nblades fine-metric\nmetal 19 C\nposition 1 mark slack\n"
        "1E 0.15 free\n1E 0.20 refuses\n1E turn in 15\n",
        "1E",
        "lock-it",
        "LOCK IT",
        "Hold the eccentric, lock it.",
    ),
    Situation(
        "a pad test that no leaf of the set decides",  # in range by blades that may lie
        f"{PUMP}{AT}{TIGHT}1E pad 72\n1E 0.10 free\n1E 0.12 refuses\n",
        "1E",
        "lock-it",
        "LOCK IT",
        "Lock it as it stands; it is measured again later.",
    ),
    Situation(
        "nut slack, still tight, where a blade went before the turn",
        f"{PUMP}{AT}1E 0.08 refuses\n1E 0.06 free\n1E turn out 20\n1E 0.08 refuses\n",
        "1E",
        "set-on-blade",
        "SET 0.10",
        "Nut slack: hold in 0.10; screw to a light drag; lock.",
    ),
    Situation(
        "shim, size not known",
        f"{TOP}1I-left 0.10 free\n1I-left 0.12 refuses\n1I-left 0.15 refuses\n",
        "1I-left",
        "tell",
        "SHIM?",
        "Which shim is in? Read its stamp, or better, measure it.",
    ),
)
