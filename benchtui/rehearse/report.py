"""The rehearsal's report, as lines of text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchtui.domain.gauging.bracket import bracket_of
from benchtui.domain.gauging.feel import FeelBand, worth
from benchtui.domain.gauging.prior import from_setting
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band
from benchtui.rehearse.fleet import FLEET, Case
from benchtui.rehearse.hand import RIGID_HAND, STORY_HAND, UM, Hand
from benchtui.rehearse.optimum import Cost, advised, cost_of, exact_optimum
from benchtui.rehearse.rivals import Rival, as_choice, limits_first, stepping
from benchtui.rehearse.settings import Teaching, shares, together
from benchtui.rehearse.tally import Tally, rehearse

TRAINED = FeelBand.exactly(ZERO, Length.um(10))
"""The trained hand of the stories at the plain grade: see ``feel.worth`` on why it starts at zero."""

UNSTEADY_HAND = Hand(noise=3 * UM, overlap=0.1)


def exactly(fleet: Sequence[Case] = FLEET) -> Iterator[str]:
    """Expected insertions by calculation: no chance in it, and a blade goes at its own thickness."""
    yield "Expected insertions a valve until the verdict is settled and one turn would do (exact)."
    yield "Stacks of two count 1.5, of three 2. open: share of valves left undecided."
    yield (
        f"{'engine':9}{'range':20}{'blades':12}{'bench':>7}{'optimum':>9}{'bits':>6}"
        f"{'stepping':>10}{'open':>6}{'limits':>8}{'open':>6}{'ratio':>7}"
    )
    total = steps = fair = fair_steps = limits = best = 0.0
    ranges = 0
    for case, asked in ((c, b) for c in fleet for b in c.bands):
        prior = from_setting(asked)
        bench = cost_of(advised(case.blades, asked, prior), asked, prior)
        optimum = exact_optimum(case.blades, asked, prior)
        step, limit = (_rival(r, case, asked) for r in (stepping, limits_first))
        yield (
            f"{case.sheet.key:9}{asked!s:20}{case.blades.name:12}{bench.weighed:7.3f}{optimum:9.3f}"
            f"{bench.narrowed:6.2f}{step.weighed:10.3f}{step.undecided:6.2f}"
            f"{limit.weighed:8.3f}{limit.undecided:6.2f}{bench.weighed / step.weighed:7.2f}"
        )
        ranges += 1
        total, steps, limits = (
            total + bench.weighed,
            steps + step.weighed,
            limits + limit.weighed,
        )
        best += optimum
        if step.undecided <= bench.undecided:
            fair, fair_steps = fair + bench.weighed, fair_steps + step.weighed
    yield (
        f"mean: bench {total / ranges:.3f}, optimum {best / ranges:.3f} (goal: equal), stepping "
        f"{steps / ranges:.3f}, limits first {limits / ranges:.3f}"
    )
    yield (
        f"bench to stepping: {total / steps:.2f} over the fleet, {fair / fair_steps:.2f} where "
        f"stepping leaves no more undecided (goal: at most 0.80)"
    )


def _rival(rival: Rival, case: Case, asked: Band) -> Cost:
    prior = from_setting(asked)
    return cost_of(lambda r: rival(bracket_of(r), case.blades, asked), asked, prior)


def answers(fleet: Sequence[Case] = FLEET) -> Iterator[str]:
    """Two answers against three, over single leaves, exact."""
    yield "Three answers (a trained drag of 0 to +0.010 mm) against two, single leaves only (exact)."
    for case, asked in ((c, b) for c in fleet for b in c.bands):
        leaves = [leaf.thickness for leaf in case.blades.leaves]
        prior = from_setting(asked)
        two = worth(leaves, asked, prior, window=asked.width)
        three = worth(leaves, asked, prior, window=asked.width, band=TRAINED)
        saved = 1 - float(three.insertions / two.insertions)
        yield (
            f"{case.sheet.key:9}{asked!s:20}{case.blades.name:12} two {float(two.insertions):.3f} "
            f"(open {float(two.undecided):.2f}), three {float(three.insertions):.3f} "
            f"(open {float(three.undecided):.2f}): {saved:+.0%} saved"
        )


def played(seed: int, sessions: int, fleet: Sequence[Case] = FLEET) -> Iterator[str]:
    """Whole sessions through the bench: what it cost, and how often it was right."""
    yield f"Whole sessions, {sessions} on each of {len(fleet)} engines, seed {seed}."
    rows: list[tuple[str, Tally]] = []
    for name, hand in (
        ("story hand (drags from -4 um)", STORY_HAND),
        ("rigid hand (drags from 0)", RIGID_HAND),
        ("unsteady, one turn out in 10", UNSTEADY_HAND),
    ):
        for rule in DecisionRule.PLAIN, DecisionRule.PROVED:
            tally = rehearse(fleet, hand, seed, sessions=sessions, rule=rule)
            rows.append((f"{name}, {rule.value}", tally))
    for name, tally in rows:
        yield from _lines(name, tally)
    bench = rows[0][1]
    yield "The same metal and hand, other ways of choosing while the valve is as found:"
    for way, rival in (("stepping", stepping), ("limits first", limits_first)):
        other = rehearse(fleet, STORY_HAND, seed, sessions=sessions, choose=as_choice(rival))
        yield (
            f"  {way}: {other.a_valve:.3f} a valve, {other.undecided / other.valves:.1%} undecided; "
            f"bench {bench.a_valve:.3f} ({bench.cost_a_valve:.3f} with stacks weighed), "
            f"{bench.undecided / bench.valves:.1%} undecided; ratio {bench.a_valve / other.a_valve:.2f}"
        )


def _lines(name: str, t: Tally) -> Iterator[str]:
    yield (
        f"{name}: {t.sessions} sessions, {t.valves} valves, {t.a_valve:.3f} insertions a valve as "
        f"found ({t.cost_a_valve:.3f} weighed), {t.undecided / t.valves:.1%} undecided, "
        f"{t.done / t.valves:.1%} done at the end"
    )
    yield (
        f"    widened bracket held the truth {t.brackets - t.missed} of {t.brackets} times, at worst "
        f"{t.worst_miss / 1000:.1f} um off; false in range: plain {t.false_in_plain} of {t.in_plain}, "
        f"proved {t.false_in_proved} of {t.in_proved}; false out {t.false_out} of {t.out}"
    )
    if t.overlaps:
        yield f"    stood one turn out {t.overlaps} times, found out {t.overlaps_seen} times"


def setting(seed: int, rounds: int) -> Iterator[str]:
    """In range after the first locking, three benches side by side."""
    yield (
        f"Share in range after the first locking, {rounds} rounds of 5 sessions, 8 valves each, all "
        f"out of range; nuts close the gap by 0.015 mm, spread 0.006; turns good to 5 degrees."
    )
    for between in (False, True):
        for teaching in Teaching:
            if between and teaching is Teaching.NONE:
                continue
            found = shares(teaching, STORY_HAND, seed, rounds=rounds, between=between)
            whole = together(found)
            how = "one blade between" if between else "locked at once"
            yield (
                f"  {teaching.value}, {how}: {whole.share:.3f} of {whole.locked}; by session "
                + " ".join(f"{s.share:.3f}" for s in found)
                + f"; {whole.between / max(1, whole.locked):.2f} readings between and "
                f"{whole.lockings / max(1, whole.locked):.2f} lockings a valve"
            )
    still = Hand(lock_closes=0)
    for teaching in (Teaching.NONE, Teaching.LEARNING):
        whole = together(shares(teaching, still, seed, rounds=rounds))
        yield f"  {teaching.value}, nuts that take nothing along: {whole.share:.3f}"
