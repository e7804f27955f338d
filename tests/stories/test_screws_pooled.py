"""What the turns of past sessions showed is in the next session's file, and replays from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random

from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Particulars
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.valve.sheet_check import pooled_finding
from benchtui.domain.session.valve.sheet_runs import runs_seen
from benchtui.domain.sheet import Sheet
from benchtui.practice.hand import STORY_HAND
from benchtui.practice.metal import Metal
from benchtui.store.paths import DataFolder
from benchtui.workshop import Workshop
from tests.simulation.player import Player, as_told, by_the_bench
from tests.simulation.screws import ratio_forgotten
from tests.simulation.settings import out_of_range

PARTICULARS = Particulars(metal_c=Fraction(20))


def checked(workshop: Workshop, sheet: Sheet, true: Sheet, seed: int) -> str:
    """One session on disk, with every valve out of range at first; its id."""
    blades = workshop.reviews.usual_blades(sheet)
    assert blades is not None
    random = Random(seed)  # noqa: S311  # hides no secret
    opened = workshop.opening(sheet, blades, PARTICULARS)
    gaps = out_of_range(sheet, opened.blades, random)
    live = workshop.open_sessions.open(opened)
    metal = Metal(true, opened.blades, STORY_HAND, random, gaps=gaps)
    Player(live.bench, metal, by_the_bench, as_told).play()
    live.release()
    workshop.past_sessions.store(opened.session)
    return opened.session


def test_turns_go_from_session_to_session(tmp_path: Path) -> None:
    ticks = iter(range(10**6))
    start = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
    workshop = Workshop(DataFolder(tmp_path), lambda: start + timedelta(seconds=next(ticks)))
    sheet = workshop.engines.sheet("harbour-van")
    true = ratio_forgotten(sheet, Fraction(3, 2))
    first = checked(workshop, sheet, true, 1)
    told = runs_seen(fold(workshop.past_sessions.past(first).events))
    assert told
    blades = workshop.reviews.usual_blades(sheet)
    assert blades is not None
    # The session is partial (the torques were not done), and its turns count all the same.
    assert workshop.opening(sheet, blades, PARTICULARS).past_runs == told
    again = Workshop(DataFolder(tmp_path), workshop.clock)
    assert again.opening(sheet, blades, PARTICULARS).past_runs == told
    pitch = replace(sheet, adjuster=replace(sheet.adjuster, pitch=Length.mm("1.25")))
    assert workshop.opening(pitch, blades, PARTICULARS).past_runs == ()
    second = checked(workshop, sheet, true, 2)
    state = fold(workshop.past_sessions.past(second).events)
    assert state.opened.past_runs == told
    checked(workshop, sheet, true, 3)
    last = checked(workshop, sheet, true, 4)
    finding = pooled_finding(fold(workshop.past_sessions.past(last).events))
    assert finding is not None
    assert finding.sessions == 4
    assert "turns in 4 sessions" in str(finding)
