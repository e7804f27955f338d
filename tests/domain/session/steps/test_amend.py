"""A record put right after its end: the figure that holds, the one struck, and what follows from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.length import Length
from benchtui.domain.refusal import Refusal
from benchtui.domain.session.facts.commands import CloseSession, Correct, Undo
from benchtui.domain.session.facts.events import (
    Locked,
    Noted,
    Particulars,
    ParticularsEntered,
    Paused,
    SetAside,
)
from benchtui.domain.session.steps.fold import fold
from benchtui.domain.session.whole.record import record_of
from benchtui.domain.sheet import AdjusterKind, Band, Sheet
from benchtui.text.words.amendment_words import amended_lines
from tests.domain.session.conftest import Desk, MakeDesk
from tests.refusing import must_refuse

IN_RANGE = ("1I", "1E", "2I", "2E")


@pytest.fixture
def filed(make_desk: MakeDesk) -> Desk:
    """A complete check of the twin in cold metal, everything in range."""
    desk = make_desk()
    _measure(desk)
    desk.do(ParticularsEntered(Particulars(odometer_km=Fraction(615_000), who="M.")))
    desk.do(CloseSession())
    assert record_of(desk.state).complete
    return desk


def _measure(desk: Desk) -> None:
    for cylinder in ("1", "2"):
        desk.confirm(cylinder)
        desk.read(f"{cylinder}I", "0.07 free", "0.09 refuses")
        desk.read(f"{cylinder}E", "0.09 free", "0.10 refuses")


def told(**kinds: int | str) -> Particulars:
    return Particulars(
        **{k: Fraction(v) if isinstance(v, int) else v for k, v in kinds.items()}  # type: ignore[arg-type]  # a str is only given for who
    )


def test_a_figure_put_right_holds_and_the_one_struck_is_told(filed: Desk) -> None:
    filed.do(Correct("a nought too many", particulars=told(odometer_km=61_500)))
    record = record_of(filed.state)
    assert record.odometer_km == Fraction(61_500)
    assert record.complete
    assert record.who == "M."
    line = amended_lines(filed.state)[0]
    assert line.startswith("odometer 61 500 km; struck: 615 000 km (")
    assert line.endswith(": a nought too many)")


def test_a_day_put_right_moves_the_session_and_its_end(filed: Desk) -> None:
    before = record_of(filed.state)
    filed.do(Correct("last year", day=date(2025, 5, 4)))
    record = record_of(filed.state)
    assert record.started.date() == date(2025, 5, 4)
    assert record.ended - record.started == before.ended - before.started
    assert amended_lines(filed.state)[0].startswith("day 4 May 2025; struck: 4 May 2026 (")


def test_undo_takes_the_latest_back_one_by_one_and_nothing_of_the_session(filed: Desk) -> None:
    before = record_of(filed.state)
    filed.do(Correct("slip", particulars=told(odometer_km=61_500)))
    filed.do(SetAside("wrong engine"))
    assert not record_of(filed.state).counts
    filed.do(Undo())
    assert record_of(filed.state).complete
    filed.do(Undo())
    assert record_of(filed.state) == before
    assert amended_lines(filed.state) == ()
    with must_refuse("Nothing was put right"):
        filed.do(Undo())


def test_what_is_set_aside_counts_for_nothing_and_its_end_stays(filed: Desk) -> None:
    ended = record_of(filed.state).ended
    filed.do(SetAside("it was the other engine"))
    record = record_of(filed.state)
    assert (record.set_aside, record.complete, record.counts) == (
        "it was the other engine",
        False,
        False,
    )
    assert (record.closed, record.ended) == (True, ended)
    with must_refuse("stands so already"):
        filed.do(SetAside("again"))


def test_a_session_that_is_open_or_paused_can_be_set_aside_but_not_put_right(
    make_desk: MakeDesk,
) -> None:
    desk = make_desk()
    desk.do(Paused())
    with must_refuse("not closed"):
        desk.do(Correct("slip", day=date(2026, 5, 1)))
    desk.do(SetAside("begun on the wrong engine"))
    with must_refuse("closed"):
        desk.do(Locked("1E"))
    desk.do(Undo())
    assert desk.state.aside is None
    assert desk.state.paused


def test_a_note_afterwards_stands_with_its_day_among_the_notes(filed: Desk) -> None:
    filed.do(Noted("the gasket wept"), Noted("ticks when warm", "1E"))
    assert record_of(filed.state).notes == (
        "2026-05-04, afterwards: the gasket wept",
        "2026-05-04, 1E: ticks when warm",
    )
    with pytest.raises(Refusal):
        filed.do(Noted(" "))
    with must_refuse("no valve 9E"):
        filed.do(Noted("which?", "9E"))


def test_a_temperature_put_right_is_judged_anew_both_ways(make_desk: MakeDesk) -> None:
    """The sheet wants the metal below 35 C: typed 91 for 19, nothing was said of any valve."""
    desk = make_desk(metal=91)
    _measure(desk)
    desk.do(CloseSession())
    assert not record_of(desk.state).complete
    desk.do(Correct("the digits were swapped", particulars=told(metal_c=19)))
    record = record_of(desk.state)
    assert record.complete
    assert {v.found.verdict.kind for v in record.valves if v.found} == {VerdictKind.IN}
    desk.do(Correct("it was hot after all", particulars=told(metal_c=91)))
    record = record_of(desk.state)
    assert not record.complete
    assert "91 C, too warm" in record.missing[0]


def test_another_engine_whose_valves_fit_gives_its_own_limits(
    filed: Desk, make_twin: Callable[..., Sheet]
) -> None:
    other = replace(
        make_twin(inlet=Band(Length.mm("0.15"), Length.mm("0.20"))), key="other", name="Other twin"
    )
    filed.do(Correct("begun on the wrong line", sheet=other))
    record = record_of(filed.state)
    assert (record.engine, record.engine_name) == ("other", "Other twin")
    kinds = {v.name: v.left.verdict.kind for v in record.valves if v.left}
    assert kinds == dict(zip(IN_RANGE, [VerdictKind.TIGHT, VerdictKind.IN] * 2, strict=True))
    assert not record.complete
    assert any("1I: tight" in lacking for lacking in record.missing)


def test_an_engine_that_does_not_fit_is_refused(
    filed: Desk, make_twin: Callable[..., Sheet]
) -> None:
    twin = make_twin()
    first, second = twin.layout.cylinders
    wrong = [
        make_twin(AdjusterKind.HYDRAULIC),
        make_twin(AdjusterKind.SHIM),
        replace(twin, layout=replace(twin.layout, cylinders=(first,))),
        replace(
            twin,
            layout=replace(twin.layout, cylinders=(first, replace(second, firing=Fraction(270)))),
        ),
    ]
    for sheet in wrong:
        with pytest.raises(Refusal):
            filed.do(Correct("wrong line", sheet=replace(sheet, key="other")))


@pytest.mark.parametrize(
    "command",
    [
        Correct(" ", day=date(2026, 5, 1)),
        Correct("no change"),
        Correct("the same day", day=date(2026, 5, 4)),
        Correct("the same", particulars=told(odometer_km=615_000, who="M.")),
        Correct("below zero", particulars=told(odometer_km=-1)),
        Correct("before engines", day=date(26, 5, 4)),
        SetAside(""),
    ],
)
def test_no_reason_no_change_or_nonsense_is_refused(
    filed: Desk, command: Correct | SetAside
) -> None:
    number = filed.state.number
    with pytest.raises(Refusal):
        filed.do(command)
    assert filed.state.number == number


def test_the_fold_of_all_events_is_what_stood_step_by_step(filed: Desk) -> None:
    filed.do(Correct("slip", particulars=told(odometer_km=61_500, metal_c=20)))
    filed.do(Correct("year", day=date(2025, 5, 4)), Noted("later"), SetAside("no"), Undo())
    assert fold(filed.events) == filed.state
