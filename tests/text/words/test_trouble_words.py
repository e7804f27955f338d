"""What could not be read, told in whole sentences."""

from __future__ import annotations

from benchtui.domain.errors import Fault
from benchtui.domain.spelling import or_meant
from benchtui.text.words.trouble_words import unsound_words


def test_a_damage_told_as_a_sentence_ends_with_one_full_stop() -> None:
    assert unsound_words("a", "", "its end is gone. Put it back.").endswith("Put it back.")
    assert unsound_words("a", "", "line 3").endswith("nothing: line 3.")


def test_what_was_probably_meant_is_asked_last_of_all() -> None:
    wanted = or_meant("a blade and free, drag or refuses", "rag", ("free", "drag", "refuses"))
    assert str(Fault("x", 3, "1E", '"rag"', wanted)) == (
        'x:3: 1E: found "rag"; wanted a blade and free, drag or refuses; did you mean drag?'
    )
