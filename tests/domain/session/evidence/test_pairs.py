from __future__ import annotations

import pytest

from benchtui.domain.session.evidence.pairs import base_of, pair_of
from benchtui.domain.sheet import Sheet
from tests import engines
from tests.engines import fired, printed


def sheet(*names: str) -> Sheet:
    layout = fired({"1": 0}, [name.removeprefix("1") for name in names])
    return engines.sheet("one", layout, printed(None))


@pytest.mark.parametrize(
    ("name", "base"),
    [
        ("1I", "1I"),
        ("1I-opener", "1I"),
        ("1I-closer", "1I"),
        ("1I-left-closer", "1I-left"),
        ("1I-left", "1I-left"),
    ],
)
def test_the_valve_without_its_gap(name: str, base: str) -> None:
    assert base_of(name) == base


@pytest.mark.parametrize("opener", ["1I-opener", "1I"])
def test_a_pair_by_either_name(opener: str) -> None:
    engine = sheet(opener, "1I-closer", "1I-left")
    for name in (opener, "1I-closer"):
        valve = engine.layout.valve(name)
        assert valve is not None
        pair = pair_of(engine, valve)
        assert pair is not None
        assert [v.name for v in pair] == [opener, "1I-closer"]
    alone = engine.layout.valve("1I-left")
    assert alone is not None
    assert pair_of(engine, alone) is None
