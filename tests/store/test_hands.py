"""Practised hands on disk: written whole, read strictly, found whatever the capitals."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.errors import FaultyInput, Unable
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import Try
from benchtui.domain.length import Length
from benchtui.store import hands, storage
from benchtui.store.bundle import pack
from benchtui.store.hands import check_name, load_hand, path_of_hand, save_hand
from benchtui.store.journal import WriteFailed
from benchtui.store.paths import DataFolder
from benchtui.store.taking_in import take_in
from benchtui.text.reading.hand_file import PractisedHand, hand_text, parse_hand

DAY = date(2026, 5, 1)
TRIES = tuple(
    Try(Length.um(100 + excess), Length.um(100), answer)
    for excess, answer in (
        (-8, Answer.REFUSES),
        (-5, Answer.REFUSES),
        (-4, Answer.DRAG),
        (0, Answer.DRAG),
        (5, Answer.DRAG),
        (9, Answer.DRAG),
        (10, Answer.FREE),
        (15, Answer.FREE),
    )
)
HAND = PractisedHand("M.", DAY, TRIES)

lengths = st.integers(1, 5_000_000).map(Length)
tries = st.builds(Try, lengths, lengths, st.sampled_from(Answer), st.just(Length(0)) | lengths)
names = st.text(min_size=1, max_size=20).filter(lambda t: bool(t.strip()) and t.isprintable())


@given(names, st.lists(tries, max_size=8), st.dates())
def test_what_is_written_is_read_again(who: str, some: list[Try], day: date) -> None:
    hand = PractisedHand(who.strip(), day, tuple(some))
    assert parse_hand(hand_text(hand), "hand.toml") == hand


def test_a_hand_is_kept_and_found_whatever_the_capitals(tmp_path: Path) -> None:
    data = DataFolder(tmp_path)
    assert load_hand(data, "M.") is None
    save_hand(data, HAND)
    assert load_hand(data, "m. ") == HAND
    assert load_hand(data, "M") is None
    kept = load_hand(data, "M.")
    assert kept is not None
    assert kept.band is not None
    assert (kept.band.floor, kept.band.ceiling) == (Length.um(-5), Length.um(10))


@pytest.mark.parametrize("who", ["../../etc/x", "a/b", "..", "con", "Ö l", "👀", "a\\b:c*"])
def test_no_name_leads_out_of_the_folder(tmp_path: Path, who: str) -> None:
    path = path_of_hand(DataFolder(tmp_path), who)
    assert path.parent == tmp_path / "hands"
    assert path.name.startswith("hand-")
    save_hand(DataFolder(tmp_path), PractisedHand(who, DAY, TRIES))
    assert [p.name for p in (tmp_path / "hands").iterdir()] == [path.name]


@pytest.mark.parametrize("who", ["", "  ", "x" * 41, "a\nb", "\x1b[2J", "\ud800", "漢" * 40])
def test_a_name_that_no_file_can_carry_is_refused_and_never_loaded(
    tmp_path: Path, who: str
) -> None:
    with pytest.raises(Unable, match="goes by a name"):
        check_name(who)
    with pytest.raises(Unable):
        save_hand(DataFolder(tmp_path), PractisedHand(who, DAY, TRIES))
    assert load_hand(DataFolder(tmp_path), who) is None


FAULTS = {
    "": ("format", "nothing"),
    "format = 2\n": ("format", "2"),
    'format = 1\non = "2026-05-01"\n': ("who", "nothing"),
    'format = 1\nwho = "M."\non = "May"\n': ("on", '"May"'),
    'format = 1\nwho = "M."\non = 2026-05-01\n': ("on", "a date or time without quotes"),
    'format = 1\nwho = "M."\non = "2026-05-01"\nby = 3\n': ("by", "a key that is not known"),
}
TRY = 'format = 1\nwho = "M."\non = "2026-05-01"\n\n[[try]]\n'
FAULTY_TRIES = {
    'gap = "0.1 mm"\nblade = "0.1 mm"\nanswer = "sticks"\n': ("try[1].answer", '"sticks"'),
    'gap = "0.1"\nblade = "0.1 mm"\nanswer = "drag"\n': ("try[1].gap", '"0.1"'),
    'gap = "9 mm"\nblade = "0.1 mm"\nanswer = "drag"\n': ("try[1].gap", '"9 mm"'),
    'gap = "-0.1 mm"\nblade = "0.1 mm"\nanswer = "drag"\n': ("try[1].gap", '"-0.1 mm"'),
    'blade = "0.1 mm"\nanswer = "drag"\n': ("try[1].gap", "nothing"),
}


@pytest.mark.parametrize(
    ("text", "key", "found"),
    [(t, *w) for t, w in FAULTS.items()] + [(TRY + t, *w) for t, w in FAULTY_TRIES.items()],
)
def test_each_fault_is_named_with_file_and_key(text: str, key: str, found: str) -> None:
    with pytest.raises(FaultyInput) as caught:
        parse_hand(text, "hand.toml")
    fault = next(f for f in caught.value.faults if f.key == key)
    assert fault.file == "hand.toml"
    assert found in fault.found


def test_a_damaged_file_is_never_taken_for_none(tmp_path: Path) -> None:
    data = DataFolder(tmp_path)
    path = save_hand(data, HAND)
    path.write_bytes(path.read_bytes()[:-9])
    with pytest.raises(FaultyInput, match=path.name):
        load_hand(data, "M.")


def test_a_hand_goes_with_the_whole_folder_into_one_file_and_back(tmp_path: Path) -> None:
    here, there = DataFolder(tmp_path / "here"), DataFolder(tmp_path / "there")
    for who in ("M.", "Åsa b"):
        save_hand(here, PractisedHand(who, DAY, TRIES))
    pack(here, tmp_path / "folder.zip")
    taken = take_in(tmp_path / "folder.zip", there)
    assert sorted(taken.new) == ["hands/hand-%C3%A5sa%20b.toml", "hands/hand-m..toml"]
    assert load_hand(there, "Åsa b") == PractisedHand("Åsa b", DAY, TRIES)


def test_a_disk_that_would_not_take_it_leaves_the_practice_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = DataFolder(tmp_path)
    save_hand(data, HAND)

    def full(path: Path, written: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(storage, "write_whole", full)
    with pytest.raises(WriteFailed, match="No space left"):
        hands.save_hand(data, PractisedHand("M.", DAY, TRIES[:3]))
    assert load_hand(data, "M.") == HAND
