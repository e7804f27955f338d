"""The short form of ``tests.harness.folders``."""

from __future__ import annotations

import os

import pytest

from tests.harness.folders import as_another_user, mutations

posix = pytest.mark.skipif(os.name == "nt", reason="this platform has no such modes")


def test_files_of_every_kind_may_be_changed_at_random() -> None:
    wrong = {tally.what: tally.wrong for tally in mutations(12) if tally.wrong}
    assert not wrong


@posix
def test_parts_that_are_another_users_are_named() -> None:
    tally = as_another_user(("sessions",))
    assert tally.tries
    assert not tally.wrong
