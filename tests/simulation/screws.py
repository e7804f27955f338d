"""The sheet checked by the turns of one engine's life, session after session."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from random import Random

from benchtui.domain.adjusting.screw_fit import ScrewRun
from benchtui.domain.blades import BladeSet
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.domain.session.valve.sheet_check import pooled_finding, turn_finding
from benchtui.domain.session.valve.sheet_runs import latest, runs_seen
from benchtui.domain.sheet import ScrewEnd, Sheet
from benchtui.practice.hand import STORY_HAND, Hand
from benchtui.practice.metal import Metal, true_leaves
from tests.simulation.fleet import FINE, FLEET
from tests.simulation.player import play
from tests.simulation.settings import SLIPPING, out_of_range

ORDINARY = 2
"""Of eight valves, so many are out of range at an ordinary check."""


@dataclass(slots=True)
class Lives:
    """Of ``lives`` engines, how many sheets were doubted by the first, second ... session.

    ``by_one`` counts the lives that single turns raised a doubt in, apart from those pooled.
    """

    lives: int = 0
    doubted: list[int] = field(default_factory=list)
    by_one: int = 0

    @property
    def ever(self) -> int:
        """Doubted by the last session."""
        return self.doubted[-1] if self.doubted else 0

    def share(self, session: int) -> float:
        """Of the lives, doubted by this session (1, 2 ...)."""
        return self.doubted[session - 1] / self.lives

    def __str__(self) -> str:
        shares = " ".join(f"{100 * self.share(k + 1):4.0f}%" for k in range(len(self.doubted)))
        return f"{shares}  ({self.ever} of {self.lives} lives)"


def ratio_forgotten(sheet: Sheet, ratio: Fraction) -> Sheet:
    """The engine as it truly is, where the sheet forgot this lever ratio."""
    adjuster = replace(sheet.adjuster, at=ScrewEnd.PUSHROD, ratio=sheet.adjuster.lever * ratio)
    return replace(sheet, adjuster=adjuster)


def pitch_truly(sheet: Sheet, pitch: Length) -> Sheet:
    """The engine as it truly is, with another pitch than the sheet's."""
    return replace(sheet, adjuster=replace(sheet.adjuster, pitch=pitch))


def lives_checked(
    hand: Hand,
    seed: int,
    *,
    lives: int,
    sessions: int = 5,
    sheet: Sheet = SLIPPING,
    true: Sheet | None = None,
    blades: BladeSet = FINE,
    out: int | None = None,
) -> Lives:
    """So many engines, each checked so many times by the same sheet and with the same blades.

    ``true`` is the engine as it is, the sheet's own where None. ``out`` of its valves are out of
    range at each check, anywhere; all of them where None.
    """
    found = Lives(lives, [0] * sessions)
    for life in range(lives):
        random = Random(f"{seed}/{life}")
        leaves = true_leaves(blades, random)
        past: tuple[ScrewRun, ...] = ()
        doubted = by_one = False
        for session in range(sessions):
            gaps = _gaps(sheet, blades, random, out)
            metal = Metal(true or sheet, blades, hand, random, gaps=gaps, leaves=leaves)
            opened = Opened(
                f"{life}/{session}", sheet, blades.name, blades, Particulars(), past_runs=past
            )
            state = play(opened, metal).bench.state
            by_one |= any(turn_finding(state, name) for name in state.valves)
            doubted |= by_one or pooled_finding(state) is not None
            past = latest((*past, *runs_seen(state)))
            found.doubted[session] += doubted
        found.by_one += by_one
    return found


def _gaps(sheet: Sheet, blades: BladeSet, random: Random, out: int | None) -> dict[str, int]:
    gaps = out_of_range(sheet, blades, random)
    names = random.sample(sorted(gaps), len(gaps) if out is None else out)
    middles = {v.name: sheet.clearances.of(v).middle.nm for v in sheet.layout.valves}
    return {name: gaps[name] if name in names else middles[name] for name in gaps}


def screw_lines(seed: int, *, lives: int, sessions: int = 5) -> tuple[list[str], int]:
    """The report's lines on so many lives of each engine, and how many right sheets were doubted."""
    lines = [
        f"THE SHEET CHECKED by its turns, pooled over {sessions} sessions; {lives} engines a line, and the",
        "share doubted by the first, second ... session. out: valves out of range at each check.",
    ]
    wrong = 0
    for name, sheet, blades in _engines():
        for out in (None, ORDINARY):
            for ratio in (Fraction(1), Fraction(13, 10), Fraction(3, 2)):
                true = ratio_forgotten(sheet, ratio)
                found = lives_checked(
                    STORY_HAND,
                    seed,
                    lives=lives,
                    sessions=sessions,
                    sheet=sheet,
                    true=true,
                    blades=blades,
                    out=out,
                )
                wrong += found.ever if ratio == 1 else 0
                what = "right" if ratio == 1 else f"ratio {float(ratio):.1f} forgotten"
                lines.append(f"  {name:9} out {out or 'all':>3}  {what:20} {found}")
    return lines, wrong


def _engines() -> tuple[tuple[str, Sheet, BladeSet], ...]:
    """The hardest, with narrow ranges and small turns, and one with wide ranges."""
    barge = next(c for c in FLEET if c.sheet.key == "barge")
    return (("slipping", SLIPPING, FINE), ("barge", barge.sheet, barge.blades))
