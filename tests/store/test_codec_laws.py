"""Whatever can happen can be written down and read again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchtui.domain.blades import BladeSet, Feeler, Leaf
from benchtui.domain.gauging.feel import FeelBand
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Event
from benchtui.domain.sheet import Band
from benchtui.store.codec import TAGS, UndecodableLine, decode, encode

lengths = st.integers(0, 10**9).map(Length)
thick = st.integers(1, 10**8).map(Length)
leaves = st.builds(Leaf, thick, measured=st.none() | thick, error=lengths, borrowed=st.booleans())
zones = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))

st.register_type_strategy(Length, st.integers(-(10**12), 10**12).map(Length))
st.register_type_strategy(Fraction, st.fractions(max_denominator=10**6))
st.register_type_strategy(datetime, st.datetimes(timezones=st.just(UTC) | zones))
st.register_type_strategy(Leaf, leaves)
st.register_type_strategy(
    Feeler, st.builds(Feeler, st.lists(leaves, min_size=1, max_size=3).map(tuple))
)
st.register_type_strategy(
    BladeSet, st.builds(BladeSet, st.text(), st.lists(leaves, min_size=1, max_size=5).map(tuple))
)
st.register_type_strategy(
    FeelBand,
    st.lists(st.integers(-(10**5), 10**5).map(Length), min_size=4, max_size=4).map(
        lambda ends: FeelBand(*sorted(ends))
    ),
)
st.register_type_strategy(
    Band, st.tuples(lengths, lengths).map(lambda pair: Band(min(pair), max(pair)))
)


@pytest.mark.parametrize("tag", list(TAGS))
@given(data=st.data())
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
def test_decoding_gives_back_what_was_encoded(tag: str, data: Any) -> None:
    fact = data.draw(st.from_type(TAGS[tag][1]))
    event = Event(data.draw(st.integers(1, 10**6)), data.draw(st.from_type(datetime)), fact)
    line = encode(event)
    assert "\n" not in line
    back = decode(line)
    assert back == event
    assert back.at.utcoffset() == event.at.utcoffset()


@given(st.text())
def test_any_other_line_is_refused_and_nothing_else(text: str) -> None:
    with pytest.raises(UndecodableLine):
        decode(text)
