"""What could not be read, told in whole sentences."""

from __future__ import annotations

from benchtui.domain.errors import Fault
from benchtui.text.words.trouble_words import unsound_words


def test_a_damage_told_as_a_sentence_ends_with_one_full_stop() -> None:
    assert unsound_words("a", "", "its end is gone. Put it back.").endswith("Put it back.")
    assert unsound_words("a", "", "line 3").endswith("nothing: line 3.")


def test_what_was_probably_meant_is_asked_in_a_sentence_of_its_own() -> None:
    asked = Fault("x", 3, "1E", '"rag"', "did you mean drag? a blade and free, drag or refuses")
    assert str(asked) == (
        'x:3: 1E: found "rag"; wanted a blade and free, drag or refuses; did you mean drag?'
    )
