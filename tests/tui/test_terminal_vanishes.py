"""A terminal that is gone holds up nobody: what cannot be written is dropped."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

import pytest
from textual.drivers._writer_thread import MAX_QUEUED_WRITES, WriterThread

from benchtui.tui.terminal import Vanishing

pytestmark = pytest.mark.skipif(os.name != "posix", reason="pseudo-terminals of POSIX")


def test_the_library_s_writer_outlives_its_terminal() -> None:
    import pty

    ours, theirs = pty.openpty()
    os.close(ours)
    file = open(theirs, "w", encoding="utf-8", closefd=False)  # noqa: SIM115  # its close fails
    try:
        with pytest.raises(OSError, match="Input/output"):
            os.write(theirs, b"gone")
        writer = WriterThread(Vanishing(file))  # type: ignore[arg-type]  # as the driver has it
        writer.start()
        for _ in range(3 * MAX_QUEUED_WRITES):
            assert writer.is_alive()
            writer.write("a picture\n")
        writer.stop()
    finally:
        with suppress(OSError):
            file.close()
        os.close(theirs)


def test_what_is_written_to_a_terminal_that_is_there_arrives(tmp_path: Path) -> None:
    with (tmp_path / "out").open("w+", encoding="utf-8") as file:
        out = Vanishing(file)
        out.write("a picture")
        out.flush()
        assert out.fileno() == file.fileno()
    assert (tmp_path / "out").read_text() == "a picture"
