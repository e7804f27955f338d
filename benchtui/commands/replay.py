"""``benchtui replay FILE``: a written-down session through the bench, one step a line."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from benchtui.bench import Bench
from benchtui.commands.amend import run_amendments
from benchtui.commands.folder import folder_checked, folder_to_fill, folder_to_look_in
from benchtui.domain.errors import Fault, FaultyInput
from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.history.due import Due
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step.heard import heard
from benchtui.domain.session.valve.assessment import ValveView
from benchtui.domain.session.valve.shims import ShimPlan, shim_plan
from benchtui.domain.session.whole.record import Gauged, SessionRecord, record_of
from benchtui.replay_script import Played, Script
from benchtui.script_session import Filing, Keep, Playing, script_of_file
from benchtui.store.clock import wall_clock
from benchtui.store.library import text_of_file
from benchtui.text.exports.view_json import nothing_document, step_document, summary_document
from benchtui.text.quantities.show import inert
from benchtui.text.reading.amend_file import is_amendments, parse_amendments
from benchtui.text.reading.script import TryBlades
from benchtui.text.words.crank_words import step_words
from benchtui.text.words.doubt_words import doubt_words
from benchtui.text.words.due_words import due_sentence
from benchtui.text.words.heard_words import heard_words
from benchtui.text.words.refusals import refusal_words
from benchtui.text.words.shim_words import shim_lines
from benchtui.text.words.stamped import bracket_stamped
from benchtui.text.words.told import Told, told_of
from benchtui.text.words.torque_words import torque_notes
from benchtui.text.words.valve_words import (
    Aside,
    aside_of,
    no_verdict_because,
    valve_notes,
    verdict_words,
)
from benchtui.workshop import Workshop


def run_replay(data: str | None, file: str, *, as_json: bool, keep: Keep) -> int:
    """Play the file; the exit status is 1 where it was to be kept and a step was refused.

    Raises:
        BenchError: the file, or a sheet or blade set that it names, has faults; nothing was played.
    """
    keeps = keep is not Keep.NOTHING
    folder = folder_checked(data) if keeps else folder_to_look_in(data)
    text = text_of_file(Path(file))
    if is_amendments(text):
        lines = parse_amendments(text, file)
        return run_amendments(Workshop(folder, wall_clock), lines, as_json=as_json, keep=keeps)
    script = script_of_file(Path(file), folder)
    if keeps:
        _check_dated(script, file)
        folder_to_fill(data)
    playing = Playing(script, folder, keep=keep)
    print_play(playing, as_json=as_json)
    return NOT_FILED if playing.filing.refused or playing.filing.withheld else 0


NOT_FILED = 1
"""Exit status where a step was refused, or nothing was measured."""


def _check_dated(script: Script, file: str) -> None:
    """A day that was only forgotten is not taken for today's."""
    if not script.dated:
        wanted = "the day it was done, as in: date 2026-05-01, or: date today"
        raise FaultyInput((Fault(file, None, "date", "no such line", wanted),))


@dataclass(frozen=True, slots=True)
class ShownStep:
    """One step, what came of it, and what is to be said of its valve now."""

    number: int
    played: Played
    view: ValveView | None
    told: Told | None
    aside: Aside

    @property
    def refused(self) -> str:
        """Why it was not taken; empty where it was."""
        why, inch = self.played.refused, self.told is not None and self.told.inch
        return "" if why is None else refusal_words(why, inch=inch)


@dataclass(frozen=True, slots=True)
class Ending:
    """What was found and left, when the next check is due, and what it was stored as."""

    script: Script
    record: SessionRecord | None
    due: Due | None
    shims: ShimPlan | None
    filing: Filing


def print_play(playing: Playing, *, as_json: bool) -> None:
    """Play every step and print it, then the summary."""
    print_steps(playing, _json_step if as_json else plain_step)
    bench, script = playing.bench, playing.script
    record = None if bench is None else record_of(bench.state)
    shims = None if bench is None else shim_plan(bench.state)
    due = None if record is None else playing.due(record)
    end = Ending(script, record, due, shims, playing.filing)
    (_json_end if as_json else _plain_end)(end)


def print_steps(playing: Playing, out: Callable[[ShownStep], None]) -> None:
    """Play every step and print it."""
    for number, played in enumerate(playing.steps(), start=1):
        view, told = _looked(playing.bench, played)
        bench = playing.bench
        aside = Aside() if bench is None or view is None else aside_of(bench.state, view)
        if bench is not None and view is not None and played.refused is None:
            aside = replace(aside, notes=(*_heard(bench.state, played), *aside.notes))
        if bench is not None and view is None and played.refused is None:
            words = step_words(bench.state, played.step.deed)
            aside = Aside(notes=(words,) if words else ())
        out(ShownStep(number, played, view, told, aside))


def _heard(state: State, played: Played) -> tuple[str, ...]:
    """Why a reading that was just taken does not count; nothing where it does."""
    deed = played.step.deed
    if not isinstance(deed, TryBlades) or deed.whole:
        return ()
    came = heard(state, deed.valve)
    return () if came.counts or came.why is None else (heard_words(state, deed.valve, came),)


def _looked(bench: Bench | None, played: Played) -> tuple[ValveView | None, Told | None]:
    """The valve that the step was about as it stands now, and what to do next there.

    Of a step that is about no valve, what to do next at the engine.
    """
    if bench is None:
        return None, None
    valve = played.valve
    if valve is None or bench.state.opened.sheet.layout.valve(valve) is None:
        return None, told_of(bench.state)
    return bench.look(valve), told_of(bench.state, valve)


def _json_step(shown: ShownStep) -> None:
    document = {
        "step": shown.number,
        "line": shown.played.step.line,
        "text": shown.played.step.text,
        "valve": shown.played.valve,
        **step_document(shown.view, shown.told, shown.aside),
    }
    if shown.refused:
        document["refused"] = shown.refused
    print(json.dumps(document))


def _json_end(end: Ending) -> None:
    sheet, filing, kept = end.script.sheet, end.filing, end.filing.kept
    if end.record is None:
        document = nothing_document(sheet)
    else:
        document = summary_document(end.record, end.due, end.shims, sheet.torques)
    document["kept"] = None if kept is None else kept.session
    document["kept_before"] = kept is not None and kept.before
    document["kept_not"] = filing.withheld or None
    document["steps_refused"] = [p.step.line for p in filing.refused]
    document["replaced"] = filing.replaced or None
    document["doubts"] = [doubt_words(doubt) for doubt in filing.doubts]
    print(json.dumps({"summary": document}))


def plain_step(shown: ShownStep) -> None:
    """Print a step for reading, on one line."""
    view, told, aside = shown.view, shown.told, shown.aside
    said = f"{shown.number:>3}  {inert(shown.played.step.text):<28}"
    if shown.refused:
        print(f"{said}  REFUSED: {inert(shown.refused)}")
        return
    parts = [] if told is None else [f"{told.tall.words}: {told.whole}"]
    if view is not None:
        said += f"  {bracket_stamped(view.bracket):<30}  {verdict_words(view.verdict):<22}"
        parts.append(no_verdict_because(view, told))
    parts += aside.sentences if view is None else valve_notes(view, told, aside)
    said += "  " + " ".join(inert(text) for text in parts if text)
    print(said.rstrip())


def _plain_end(end: Ending) -> None:
    if end.record is None:
        print(f"No session was opened for {inert(end.script.sheet.name)}.")
        return
    print()
    for valve in end.record.valves:
        left = _gauged_words(valve.left)
        uncounted = valve.found is None and valve.left is not None and not valve.touched
        found = "nothing that counts" if uncounted else _gauged_words(valve.found)
        print(f"{inert(valve.name):>8}  found {found:<50}  left {left}")
    print("Complete." if end.record.complete else "Partial: it does not count as a check.")
    for lacking in end.record.missing:
        print(f"  {inert(lacking)}")
    for line in () if end.shims is None else shim_lines(end.shims):
        print(inert(line))
    for torque in end.script.sheet.torques:
        for note in torque_notes(torque):
            print(inert(f"{torque.what}: {note}"))
    if end.due is not None:
        print(f"Next check: {inert(due_sentence(end.due))}")
    for line in _filing_lines(end.filing):
        print(inert(line))


def _filing_lines(filing: Filing) -> Iterator[str]:
    yield from (f"?? {doubt_words(doubt)}" for doubt in filing.doubts)
    for played in filing.refused:
        assert played.refused is not None
        why = refusal_words(played.refused)
        yield f"REFUSED, line {played.step.line}: {played.step.text}: {why}"
    if filing.withheld:
        yield f"NOT FILED: {filing.withheld}. Mend the file, or --keep-rest files what there is."
    if filing.replaced:
        yield f"It takes the place of {filing.replaced}, which is set aside."
    kept = filing.kept  # its name is the one that ``card`` takes
    if kept is not None and kept.before:
        yield f"Stored already as {kept.session}; no second copy was made."
    elif kept is not None:
        yield f"Kept as {kept.session}"


def _gauged_words(gauged: Gauged | None) -> str:
    if gauged is None:
        return "not measured"
    words = f"{bracket_stamped(gauged.bracket)}, {verdict_words(gauged.verdict)}"
    none = gauged.verdict.kind is VerdictKind.NONE
    return f"{words}: {inert(gauged.verdict.because)}" if none else words
