"""What the register, the next check and a take-in make of sessions that were put right."""

from __future__ import annotations

from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from benchtui.domain.errors import Unable
from benchtui.domain.session.facts.commands import CloseSession, Command, Correct, Undo
from benchtui.domain.session.facts.events import Noted, Particulars, SetAside
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import record_of
from benchtui.store.joining import Joined, join
from benchtui.store.journal import SUFFIX, read_session
from benchtui.store.paths import DataFolder
from benchtui.store.register import Register
from benchtui.workshop import Workshop
from tests.refusing import must_refuse

NOW = datetime(2026, 11, 30, 9, tzinfo=UTC)


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(DataFolder(tmp_path / "data"), lambda: NOW)


def a_session(workshop: Workshop, engine: str = "quay-pump", km: int = 615_000) -> str:
    opened = workshop.opening(
        workshop.engines.sheet(engine),
        "fine-metric",
        Particulars(odometer_km=Fraction(km), who="M."),
    )
    live = workshop.open_sessions.open(opened)
    live.bench.do(CloseSession())
    live.release()
    workshop.past_sessions.store(opened.session)
    return opened.session


def amend(workshop: Workshop, session: str, *commands: Command) -> None:
    for command in commands:
        workshop.open_sessions.amend(session, command)


def test_row_record_and_a_rebuilt_register_follow_at_once(workshop: Workshop) -> None:
    session = a_session(workshop)
    amend(
        workshop,
        session,
        Correct("a nought too many", particulars=Particulars(odometer_km=Fraction(61_500))),
        Correct("last year", day=date(2025, 11, 30)),
    )
    for rows in (workshop.past_sessions.rows(), Register(workshop.data).rows()):
        assert [(r.odometer_km, r.started.date()) for r in rows] == [
            (Fraction(61_500), date(2025, 11, 30))
        ]
    assert workshop.past_sessions.records("quay-pump")[0].odometer_km == Fraction(61_500)


def test_what_is_set_aside_teaches_and_counts_for_nothing_until_it_is_taken_back(
    workshop: Workshop,
) -> None:
    session = a_session(workshop)
    amend(workshop, session, SetAside("wrong engine"))
    row = workshop.past_sessions.rows()[0]
    assert (row.set_aside, row.counts, row.unfinished) == ("wrong engine", False, False)
    assert workshop.past_sessions.last_row("quay-pump") is None
    assert workshop.reviews.last_who() == ""
    due = workshop.reviews.due(workshop.engines.sheet("quay-pump"))
    assert due is not None
    assert {limit.used for limit in due.limits} == {None}, "its counter is not counted from"
    amend(workshop, session, Undo())
    assert workshop.reviews.last_who() == "M."


def test_a_session_moved_to_the_engine_it_was_of_leaves_the_other_ones_records(
    workshop: Workshop,
) -> None:
    sheets = workshop.data.sheets
    sheets.mkdir(parents=True)
    text = workshop.engines._root.library.sheet_path("quay-pump").read_text(encoding="utf-8")
    (sheets / "other-pump.toml").write_text(
        text.replace("Quay pump", "Other pump"), encoding="utf-8"
    )
    session = a_session(workshop)
    amend(workshop, session, Correct("wrong line", sheet=workshop.engines.sheet("other-pump")))
    assert workshop.past_sessions.rows()[0].engine == "other-pump"
    assert workshop.past_sessions.records("quay-pump") == []
    assert [r.session for r in workshop.past_sessions.records("other-pump")] == [session]


def test_an_unknown_session_and_one_not_closed_are_refused(workshop: Workshop) -> None:
    with pytest.raises(Unable):
        workshop.open_sessions.amend("nosuch", SetAside("why not"))
    opened = workshop.opening(workshop.engines.sheet("quay-pump"), "fine-metric", Particulars())
    workshop.open_sessions.open(opened).release()
    with must_refuse("not closed"):
        workshop.open_sessions.amend(opened.session, Correct("slip", day=date(2026, 1, 1)))
    workshop.open_sessions.amend(opened.session, SetAside("begun by mistake"))
    assert workshop.past_sessions.unfinished() == []


def test_the_longer_file_wins_on_take_in(workshop: Workshop) -> None:
    session = a_session(workshop)
    path = workshop.data.sessions / f"{session}{SUFFIX}"
    before = path.read_bytes()
    amend(workshop, session, Noted("the gasket wept"), SetAside("wrong engine"))
    longer = path.read_bytes()
    path.write_bytes(before)
    assert join(path, longer) is Joined.AHEAD
    assert join(path, before) is Joined.BEHIND
    assert record_of(fold(read_session(path).events)).set_aside == "wrong engine"
