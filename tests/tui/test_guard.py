from __future__ import annotations

from benchtui.tui.widgets.guard import KeyGuard, KeyLock, Press


class Clock:
    """A clock that stands where it is put; milliseconds."""

    def __init__(self) -> None:
        self.ms = 10_000

    def __call__(self) -> float:
        return self.ms / 1000


def presses(*timed: tuple[int, str]) -> list[Press]:
    """What the guard makes of keys at these milliseconds."""
    clock = Clock()
    guard = KeyGuard(clock)
    made = []
    for ms, key in timed:
        clock.ms = 10_000 + ms
        made.append(guard.press(key))
    return made


def test_the_first_press_counts() -> None:
    assert presses((0, "s")) == [Press.COUNTS]


def test_a_double_press_within_150_ms_counts_once() -> None:
    assert presses((0, "s"), (149, "s")) == [Press.COUNTS, Press.DROPPED]


def test_after_150_ms_it_is_a_second_press() -> None:
    assert presses((0, "s"), (150, "s")) == [Press.COUNTS, Press.COUNTS]


def test_another_key_is_never_held_up() -> None:
    assert presses((0, "s"), (30, "u"), (60, "s")) == [Press.COUNTS] * 3


def test_caps_lock_makes_no_other_key() -> None:
    assert presses((0, "s"), (50, "S")) == [Press.COUNTS, Press.DROPPED]


def test_a_repeating_key_stays_dropped_however_long() -> None:
    made = presses(*((at * 40, "f") for at in range(100)))
    assert made == [Press.COUNTS] + [Press.DROPPED] * 99


def test_a_held_key_is_told_once_and_its_first_repeat_taken_back() -> None:
    """Half a second to the first repeat, then 33 ms each: one answer stands, one is taken back."""
    made = presses((0, "s"), (500, "s"), *((500 + at * 33, "s") for at in range(1, 20)))
    assert made[:2] == [Press.COUNTS, Press.COUNTS]
    assert made.count(Press.HELD) == 1
    assert made[2:].count(Press.COUNTS) == 0
    assert made[4] is Press.HELD


def test_a_trembling_second_press_is_no_held_key() -> None:
    made = presses((0, "s"), (400, "s"), (430, "s"), (470, "s"), (2000, "s"))
    assert made == [Press.COUNTS, Press.COUNTS, Press.DROPPED, Press.DROPPED, Press.COUNTS]


def test_after_a_long_pause_a_burst_is_no_held_key() -> None:
    """The press before it was an answer of its own, seconds ago."""
    made = presses((0, "s"), (5000, "s"), *((5000 + at * 33, "s") for at in range(1, 9)))
    assert Press.HELD not in made


def test_the_lock_swallows_everything_but_the_word() -> None:
    lock = KeyLock()
    assert not lock.press("s")
    lock.lock()
    for key in ("s", "d", "enter", "o", "p", "x", "o", "p", "e"):
        assert lock.press(key)
    assert lock.locked
    assert lock.typed == "ope"
    assert lock.press("N")
    assert not lock.locked
    assert not lock.press("s")


def test_a_wrong_letter_that_starts_the_word_starts_it_anew() -> None:
    lock = KeyLock()
    lock.lock()
    for key in ("o", "p", "o", "p", "e", "n"):
        lock.press(key)
    assert not lock.locked
