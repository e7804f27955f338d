"""A step that must be refused, by the words that the person at the bench is told."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from benchtui.domain.refusal import Refusal
from benchtui.text.words.refusals import refusal_words


@contextmanager
def must_refuse(match: str) -> Iterator[pytest.ExceptionInfo[Refusal]]:
    """What is done inside is refused, with words in which ``match`` is found."""
    with pytest.raises(Refusal) as caught:
        yield caught
    words = refusal_words(caught.value)
    assert re.search(match, words), words
