"""The rehearsal's report, as lines of text no wider than 100 columns.

Long, because it is the report from its first line to its last.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass

from benchtui.domain.gauging.bracket import bracket_of
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.sheet import Band
from benchtui.practice.hand import RIGID_HAND, STORY_HAND, UM, Hand
from tests.simulation.drifted import HANDS, HEAD_DRIFTED, WAYS, WELL_KEPT, drifted_row
from tests.simulation.fleet import Case
from tests.simulation.hands import valves_set
from tests.simulation.optimum import Cost, advised, cost_of, exact_optimum
from tests.simulation.rivals import (
    Rival,
    as_choice,
    limits_first,
    limits_first_on,
    stepping,
    stepping_on,
)
from tests.simulation.rounds import round_lines
from tests.simulation.screws import screw_lines
from tests.simulation.settings import Rounds, Teaching, in_range, less, shares, together
from tests.simulation.shipped import mixed_fleet
from tests.simulation.tally import Tally, beside, rehearse

UNSTEADY_HAND = Hand(noise=3 * UM, overlap=0.1)

EQUAL = 1e-3
"""A plan within one part in a thousand of the optimum is called equal: stacks far out are left out."""


@dataclass(frozen=True, slots=True)
class Goal:
    """What was aimed at: ``reached`` has to be at most, or at least, ``wanted``."""

    what: str
    reached: float
    wanted: float
    at_most: bool = True

    @property
    def met(self) -> bool:
        """Whether it was reached."""
        return self.reached <= self.wanted if self.at_most else self.reached >= self.wanted

    def __str__(self) -> str:
        sign = "at most" if self.at_most else "at least"
        end = "met" if self.met else f"missed by {abs(self.reached - self.wanted):.3f}"
        return f"  {self.what:56} {self.reached:7.3f}  {sign} {self.wanted:.3f}  {end}"


ALL = "all of them"


@dataclass(slots=True)
class Sums:
    """Expected costs added up over ranges: the bench, the optimum, and the two ways of stepping."""

    count: int = 0
    bench: float = 0.0
    optimum: float = 0.0
    stepping: float = 0.0
    on: float = 0.0

    def add(self, bench: float, optimum: float, stepping: float, on: float) -> None:
        """One range more."""
        self.count += 1
        self.bench += bench
        self.optimum += optimum
        self.stepping += stepping
        self.on += on

    @property
    def to_stepping_on(self) -> float:
        """The bench to stepping that goes on with stacks."""
        return self.bench / self.on

    def __str__(self) -> str:
        bench, best, step, on = (
            s / self.count for s in (self.bench, self.optimum, self.stepping, self.on)
        )
        return (
            f"bench {bench:.3f}, optimum {best:.3f}, stepping {step:.3f} "
            f"(ratio {bench / step:.2f}), on {on:.3f} (ratio {bench / on:.2f})"
        )


HOW = (("on a blade", True, True), ("by degrees", True, False), ("locked at once", False, False))
"""Ways of setting: a blade before locking where it pays, and set on a blade held in."""


class Report:
    """The parts of the report, and the goals they have come upon so far."""

    def __init__(self, seed: int, sessions: int, rounds: int, seeds: int) -> None:
        self.seed, self.sessions, self.rounds, self.seeds = seed, sessions, rounds, seeds
        self.goals: list[Goal] = []
        self.cases = mixed_fleet()

    def exactly(self) -> Iterator[str]:
        """Expected insertions by calculation: no chance in it, a blade goes at its own thickness."""
        yield "EXPECTED INSERTIONS a valve, exact, until the verdict stands and one turn would do."
        yield "A stack of two counts 1.5, of three 2. open: share left undecided. on: stepping that goes"
        yield "on with stacks where its leaves come to an end. bits: the least any yes-no test could do."
        yield (
            f"{'engine':13}{'range, mm':13}{'blades':12}{'bench':>6}{'optimum':>8}{'bits':>5}"
            f"{'open':>5}{'stepping':>9}{'open':>5}{'ratio':>6}{'on':>6}{'open':>5}{'ratio':>6}"
        )
        furthest = 0.0
        sums: dict[str, Sums] = {}
        seen: set[tuple[str, Band]] = set()
        for case, asked in ((c, b) for c in self.cases for b in c.bands):
            if (case.blades.name, asked) in seen:
                continue
            seen.add((case.blades.name, asked))
            prior = from_setting(asked)
            bench = cost_of(advised(case.blades, asked, prior), asked, prior)
            optimum = exact_optimum(case.blades, asked, prior)
            step, on = (_rival(r, case, asked) for r in (stepping, stepping_on))
            furthest = max(furthest, bench.weighed / optimum - 1)
            for one in (_short(case), ALL):
                sums.setdefault(one, Sums()).add(bench.weighed, optimum, step.weighed, on.weighed)
            yield (
                f"{case.sheet.key:13}{_range(asked):13}{_short(case):12}{bench.weighed:6.3f}"
                f"{optimum:8.3f}{bench.narrowed:5.2f}{bench.undecided:5.2f}{step.weighed:9.3f}"
                f"{step.undecided:5.2f}{bench.weighed / step.weighed:6.2f}{on.weighed:6.3f}"
                f"{on.undecided:5.2f}{bench.weighed / on.weighed:6.2f}"
            )
        yield "The mean by blade set. In range takes two at least: one goes, one refuses; so where a range"
        yield "holds its two limits and one leaf between, stepping is as good as anything."
        for name, each in sums.items():
            yield f"  {name:13}{each.count:3} ranges: {each}"
        self.goals += [
            Goal("bench over the exact optimum, the worst range", furthest, EQUAL),
            Goal("exact: to stepping that goes on with stacks", sums[ALL].to_stepping_on, 0.8),
        ]

    def played(self) -> Iterator[str]:
        """Whole sessions through the bench: what it cost, and how often it was right."""
        fleet = mixed_fleet()
        yield f"WHOLE SESSIONS, {self.sessions} on each of a mixed fleet, seed {self.seed}:"
        for case in fleet:
            ranges = " and ".join(_range(b) for b in case.bands)
            yield f"  {case.sheet.key:14}{case.sheet.adjuster.kind.value:7}{ranges:28}{_short(case)}"
        yield "  (each shipped sheet with each shipped set that has two leaves in each range, and the"
        yield "  engine that a stack decides; single figures with the owner's +-0.03 mm)"
        rows: list[Tally] = []
        for name, hand in (
            ("story hand (drags from -4 um)", STORY_HAND),
            ("rigid hand (drags from 0)", RIGID_HAND),
            ("unsteady, one turn out in 10", UNSTEADY_HAND),
        ):
            for rule in DecisionRule.PLAIN, DecisionRule.PROVED:
                tally = rehearse(fleet, hand, self.seed, sessions=self.sessions, rule=rule)
                rows.append(tally)
                yield from _lines(f"{name}, {rule.value}", tally)
        rigid = rows[2:4]
        self.goals += [
            Goal(
                "rigid hand: widened brackets that missed the truth",
                sum(t.missed for t in rigid),
                0,
            ),
            Goal("rigid hand: false 'proved'", sum(t.false_in_proved for t in rigid), 0),
        ]
        yield from self._beside(rows[0])

    def _beside(self, bench: Tally) -> Iterator[str]:
        yield "OTHER WAYS of choosing while a valve is as found, same metal, same hand (story, plain)."
        yield "ratio: bench to that way. weighed: stacks as 1.5 and 2. both: valves that both decide."
        yield (
            f"  {'':16}{'insertions':>11}{'weighed':>9}{'undecided':>11}{'ratio':>8}{'weighed':>9}"
            f"{'both':>7}{'ratio':>7}{'weighed':>9}"
        )
        count = bench.valves
        yield f"  {'bench':16}{bench.a_valve:11.3f}{bench.cost_a_valve:9.3f}{_open(bench):11.1%}"
        ways: tuple[tuple[str, Rival], ...] = (
            ("stepping", stepping),
            ("stepping on", stepping_on),
            ("limits first", limits_first),
            ("limits first on", limits_first_on),
        )
        for way, rival in ways:
            other = rehearse(
                mixed_fleet(),
                STORY_HAND,
                self.seed,
                sessions=self.sessions,
                choose=as_choice(rival),
            )
            pair = beside(bench, other)
            ratio, weighed = bench.a_valve / other.a_valve, bench.cost_a_valve / other.cost_a_valve
            yield (
                f"  {way:16}{other.a_valve:11.3f}{other.cost_a_valve:9.3f}{_open(other):11.1%}"
                f"{ratio:8.2f}{weighed:9.2f}{pair.valves / count:7.0%}{pair.ratio:7.2f}"
                f"{pair.weighed:9.2f}"
            )
            if way == "stepping":
                self.goals.append(Goal("to stepping, valves that both decide", pair.ratio, 0.8))
            elif way == "limits first on":
                self.goals.append(Goal("to limits first that goes on with stacks", weighed, 1.0))
            elif way == "stepping on":
                self.goals.append(Goal("to stepping that goes on with stacks", ratio, 0.8))
                self.goals.append(Goal("the same, stacks weighed", weighed, 0.8))

    def setting(self) -> Iterator[str]:
        """In range after the first locking, three benches side by side."""
        yield f"IN RANGE AFTER THE FIRST LOCKING, mean and standard error over {self.seeds} seeds of"
        yield f"{self.rounds} rounds of 5 sessions; 8 valves, all out of range; nuts close the gap by"
        yield "0.015 mm, spread 0.006; turns good to 5 degrees. All benches meet the same turns and nuts."
        found: dict[tuple[Teaching, bool], Rounds] = {}
        for between in (False, True):
            for teaching in Teaching:
                if between and teaching is Teaching.NONE:
                    continue
                how = "one blade between" if between else "locked at once"
                found[teaching, between] = yield from self._arm(teaching, how, STORY_HAND, between)
            how = "one blade between" if between else "at once"
            for first, which in ((0, "all five"), (2, "third to fifth session")):
                told, learning = (found[t, between] for t in (Teaching.TOLD, Teaching.LEARNING))
                gap = less(told, learning, first)
                yield f"    told less learning, {how}, {which}: {gap}"
                self.goals.append(Goal(f"told less learning, {how}, {which}", gap.mean, 0.02))
        reached = in_range(found[Teaching.LEARNING, True]).mean
        self.goals.append(Goal("lock shift: one blade between", reached, 0.95, at_most=False))
        still = Hand(lock_closes=0)
        none = yield from self._arm(Teaching.NONE, "nuts that take nothing", still)
        learning = yield from self._arm(Teaching.LEARNING, "nuts that take nothing", still)
        cost = less(none, learning)
        yield f"    no learning less learning, nuts that take nothing along: {cost}"
        self.goals.append(Goal("what learning costs where nuts take nothing", cost.mean, 0.01))

    def _arm(
        self, teaching: Teaching, how: str, hand: Hand, between: bool = False
    ) -> Generator[str, None, Rounds]:
        every: Rounds = [
            shares(teaching, hand, self.seed + k, rounds=self.rounds, between=between)
            for k in range(self.seeds)
        ]
        by_session = [together([one[k] for one in every]).share for k in range(len(every[0]))]
        whole = together([share for one in every for share in one])
        locked = max(1, whole.locked)
        yield (
            f"  {teaching.value}, {how}: {in_range(every)} of {whole.locked}; a valve: "
            f"{whole.between / locked:.2f} between, {whole.lockings / locked:.2f} lockings"
        )
        yield "    by session " + " ".join(f"{s:.3f}" for s in by_session)
        return every

    def screws(self) -> Iterator[str]:
        """How often the turns cast doubt on a right sheet, and on a wrong one, session by session."""
        lines, doubted = screw_lines(self.seed, lives=2 * self.rounds)
        yield from lines
        self.goals.append(Goal("right sheets doubted", doubted, 0))

    def drifted(self) -> Iterator[str]:
        """Engines that have moved, by three hands, beside one who knows how far."""
        yield HEAD_DRIFTED
        for name, hand in HANDS.items():
            for moved in WAYS:
                row = drifted_row(moved, hand, self.seed, sessions=self.rounds)
                yield f"  {name:7}{row}"
                most = 0.01 if moved is WELL_KEPT else 0.08
                self.goals += [
                    Goal(f"{name}, {moved.what}: loss to who knows", row.loss, most),
                    Goal(f"{name}, {moved.what}: false 'proved'", row.ours.false_proved, 0),
                ]

    def rounds_by_leaf(self) -> Iterator[str]:
        """Changes of the blade in hand at stops with several valves."""
        yield from round_lines(self.seed, engines=2 * self.rounds)

    def hands(self) -> Iterator[str]:
        """First locks, blades and turns by three hands."""
        yield "SET BY THREE HANDS: narrow ranges, nuts that take 0.015 mm; valves that were out of range."
        for name, hand in HANDS.items():
            for how, between, held in HOW:
                found = valves_set(
                    hand, self.seed, rounds=self.rounds, between=between, by_blade=held
                )
                yield f"  {name:7}{how:17} {found}"
                if between:
                    self.goals.append(
                        Goal(f"{name} hand, {how}: turns a valve", found.turns_each, 2)
                    )

    def ends(self) -> Iterator[str]:
        """The goals, met or missed."""
        yield "GOALS"
        yield from (str(goal) for goal in self.goals)


def _rival(rival: Rival, case: Case, asked: Band) -> Cost:
    prior = from_setting(asked)
    return cost_of(lambda r: rival(bracket_of(r), case.blades, asked), asked, prior)


def _range(asked: Band) -> str:
    return str(asked).removesuffix(" mm").replace(" to ", "-")


def _short(case: Case) -> str:
    """The set's name without what all of them share."""
    words = [w for w in case.blades.name.split() if w not in {"metric", "set", "Workshop"}]
    return " ".join(words).lower()


def _open(tally: Tally) -> float:
    return tally.undecided / tally.valves


def _lines(name: str, t: Tally) -> Iterator[str]:
    yield (
        f"{name}: {t.valves} valves, {t.a_valve:.3f} insertions each ({t.cost_a_valve:.3f} weighed),"
    )
    yield (
        f"    {_open(t):.1%} undecided, {t.done / t.valves:.1%} done; the widened bracket missed the"
        f" truth {t.missed} of {t.brackets} times,"
    )
    yield (
        f"    by {t.worst_miss / 1000:.1f} um at worst; false in range: plain {t.false_in_plain} of "
        f"{t.in_plain}, proved {t.false_in_proved} of {t.in_proved};"
    )
    yield (
        f"    false out {t.false_out} of {t.out}"
        + (
            f"; stood one turn out {t.overlaps} times, found out {t.overlaps_seen} times"
            if t.overlaps
            else ""
        )
    )
