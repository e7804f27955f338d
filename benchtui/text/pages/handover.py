"""What the next one at the engine must know of a session that was not finished."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from benchtui.domain.crank.plan import plan
from benchtui.domain.crank.words import companion_of, stop_words, to_compression
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.events import AfterStep
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.valve.assessment import ValveView, look
from benchtui.domain.session.whole.completeness import unticked, work_left
from benchtui.domain.session.whole.next_stop import stops_ahead
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.session.whole.spot_check import riskiest
from benchtui.text.pages.sheet_page import OUTRANKED
from benchtui.text.quantities import show
from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.crank_words import place_told
from benchtui.text.words.evidence_words import seen_words
from benchtui.text.words.refusals import error_words
from benchtui.text.words.stamped import inch_set, printed
from benchtui.text.words.told import told_of

CONFIRM = "Confirm it by two pieces of evidence."

KEEP_OFF = (
    "Nobody starts or cranks this engine until the check is finished: tie the key away, battery "
    "negative off."
)


def handover_steps(state: State) -> tuple[str, ...]:
    """Plain sentences, the dangerous ones first: what is loose, where it stopped, what is next.

    Texts from files stand in them as they are; whoever shows them makes them harmless.
    """
    views = [look(state, name) for name in state.valves]
    return tuple(_sentences(state, views))


@dataclass(frozen=True, slots=True)
class Handover:
    """A page to leave on the engine; each way of writing it makes its texts harmless."""

    title: str
    stopped: str
    steps: tuple[str, ...]
    notes: tuple[str, ...]


def handover_of(state: State) -> Handover:
    """The page of a session as it stands."""
    record = record_of(state)
    by = f"by {record.who}, " if record.who else ""
    return Handover(
        f"Handing over: {record.engine_name}, {show.date(record.started.date())}",
        f"{by}last step {state.at:%Y-%m-%d %H:%M}, session {record.session}",
        ("Nothing: the check is complete.",) if record.complete else handover_steps(state),
        record.notes,
    )


def handover_text(state: State) -> str:
    """The page as plain text, harmless for a terminal."""
    page = handover_of(state)
    lines = [inert(page.title), "=" * 78, *wrap(inert(page.stopped), 78), ""]
    for step in page.steps:
        lines += wrap(inert(step), 78, initial_indent="[ ] ", subsequent_indent="    ")
    if page.notes:
        lines += ["", "Notes"]
        for note in page.notes:
            lines += wrap(inert(note), 78, initial_indent="  - ", subsequent_indent="    ")
    return "\n".join([*lines, "", *wrap(OUTRANKED, 78)])


def _sentences(state: State, views: list[ValveView]) -> Iterator[str]:
    slack = [v.valve.name for v in views if v.slack_nut]
    inside = [f"{item} ({count})" for item, count in state.short.items()]
    open_torques = unticked(state)
    if slack or inside or any(not v.done for v in views):
        yield KEEP_OFF
    if slack:
        nuts = "locknut is" if len(slack) == 1 else "locknuts are"
        yield f"LOOSE: the {nuts} slack on {', '.join(slack)}. Lock, then measure again."
    if inside:
        yield f"INSIDE: not counted out yet: {', '.join(inside)}."
    unread = [v.valve.name for v in views if v.unread_after_lock]
    if unread:
        yield f"Not measured since the adjuster was touched: {', '.join(unread)}."
    if open_torques:
        yield f"Not ticked on the torque list: {', '.join(open_torques)}."
    if work := work_left(state):
        yield f"Not ticked: {'; '.join(work)}."
    yield _crank(state)
    if state.last_valve is not None:
        yield f"The last valve worked on: {state.last_valve}."
    yield from _next(state, views)


def _crank(state: State) -> str:
    if state.doubted is not None:
        return (
            f"Crank: the position for cylinder {state.doubted} was doubted; it may be overlap. "
            f"{to_compression(state.opened.sheet, state.doubted)}"
        )
    if state.place is None:
        return f"Crank: its position is not confirmed. {_reckoned(state)}{CONFIRM}"
    placed = state.place.confirmed
    how = seen_words(placed.evidence, companion_of(state.opened.sheet, placed.cylinder))
    return f"Crank: {place_told(placed)} ({how}). If it may have moved since, confirm it again."


def _next(state: State, views: list[ValveView]) -> Iterator[str]:
    here = () if state.place is None else state.place.confirmed.valves
    going_on = replace(state, paused=False)
    left = [v for v in views if not v.done]
    for view in (v for v in left if v.valve.name in here):
        yield f"Next on {view.valve.name}: {told_of(going_on, view.valve.name).whole}"
    names = {v.valve.name for v in left if v.valve.name not in here}
    try:
        stops = plan(state.opened.sheet, fewest=state.opened.fewest).stops
    except Refusal as refusal:
        yield error_words(refusal)
        return
    for stop in stops:
        wanted = [name for name in stop.valves if name in names]
        if wanted:
            # Degrees from the stop before would mislead: nobody knows that he starts from there.
            far = stop_words(stop) if stop.forward is None else f"At {stop.name}: {stop.mark}."
            yield f"Then measure {', '.join(wanted)}. {far}"
    if not left and not state.closed:
        yield f"Next: {told_of(going_on).whole}"
        yield from _after(state)


def _reckoned(state: State) -> str:
    """Where the crank should stand by the turns told since it was last confirmed."""
    if state.crank is None:
        return ""
    nearest = stops_ahead(state)[0]
    if nearest.here:
        return f"By the turns told it should be at {nearest.stop.name}. "
    if nearest.forward is None:
        return ""
    return f"By the turns told, {nearest.stop.name} is {show.angle(nearest.forward)} on. "


def _after(state: State) -> Iterator[str]:
    """What is still to be done once every valve is set."""
    spot = riskiest(state)
    if AfterStep.TURNED_OVER not in state.after:
        yield "Turn the engine over twice by hand, forward only."
    if spot is not None and not any(valve.spot for valve in state.valves.values()):
        inch = inch_set(state.opened.blades)
        wanted, why = (printed(t, inch=inch) for t in (spot.wanted, spot.why))
        yield f"Spot-check {spot.valve}: {wanted} ({why})."
    if AfterStep.FIRST_RUN not in state.after:
        yield "First run, when everything is counted out and every torque is done; then look for leaks."
