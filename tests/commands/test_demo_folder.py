"""The demo leaves nothing behind, however it ends; and it removes nothing but its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from benchtui.commands.demo_folder import LOCK, MARK, MARKER, PREFIX, sweep, throw_away_folder

HOLD = """
import time
from benchtui.commands.demo_folder import throw_away_folder
with throw_away_folder() as folder:
    (folder / "sessions").mkdir()
    (folder / "sessions" / "a.session").write_text("a")
    print(folder, flush=True)
    time.sleep(60)
"""
posix = pytest.mark.skipif(os.name != "posix", reason="signals and terminals of POSIX")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A temporary folder of the platform's own, empty."""
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def held(command: str = HOLD) -> tuple[subprocess.Popen[str], Path]:
    """A program that has a demo's folder, and the folder."""
    program = subprocess.Popen([sys.executable, "-c", command], stdout=subprocess.PIPE, text=True)
    assert program.stdout is not None
    folder = Path(program.stdout.readline().strip())
    assert (folder / "sessions" / "a.session").is_file()
    return program, folder


def left_by_a_killed_demo(where: Path, name: str = "gone") -> Path:
    folder = where / f"{PREFIX}{name}"
    (folder / "sessions").mkdir(parents=True)
    (folder / "sessions" / "a.session").write_text("a")
    (folder / LOCK).touch()
    (folder / MARKER).write_bytes(MARK.encode())
    return folder


def until(true: Callable[[], bool], longest: float = 30.0) -> bool:
    end = time.monotonic() + longest
    while not true() and time.monotonic() < end:
        time.sleep(0.05)
    return true()


def test_a_demo_that_ends_by_itself_or_by_an_error_leaves_nothing(here: Path) -> None:
    with throw_away_folder() as folder:
        (folder / "sheets").mkdir()
        assert folder.parent == here
    assert list(here.iterdir()) == []
    with pytest.raises(KeyError), throw_away_folder():
        raise KeyError
    assert list(here.iterdir()) == []


@posix
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_demo_told_to_end_removes_its_folder_and_ends_by_that_signal(
    name: str, here: Path
) -> None:
    program, folder = held()
    number = signal.Signals[name]
    program.send_signal(number)
    assert program.wait(30) == -number
    assert not folder.exists()
    assert list(here.iterdir()) == []


@posix
def test_what_a_killed_demo_left_is_swept_by_the_next(here: Path) -> None:
    program, folder = held()
    sweep(here)
    assert (folder / "sessions" / "a.session").is_file(), "its demo is running"
    program.kill()
    program.wait(30)
    assert folder.is_dir()
    with throw_away_folder() as mine:
        assert list(here.iterdir()) == [mine]


@posix
def test_an_ignored_hangup_stays_ignored(here: Path) -> None:
    program, folder = held(f"import signal; signal.signal(signal.SIGHUP, signal.SIG_IGN)\n{HOLD}")
    program.send_signal(signal.SIGHUP)
    time.sleep(0.3)
    assert program.poll() is None
    assert folder.is_dir()
    program.terminate()
    program.wait(30)
    assert not folder.exists()


def test_the_sweep_takes_its_own_only(here: Path, tmp_path: Path) -> None:
    unmarked = here / f"{PREFIX}unmarked"
    unmarked.mkdir()
    (unmarked / LOCK).touch()
    unlocked = left_by_a_killed_demo(here, "unlocked")
    (unlocked / LOCK).unlink()
    marked_otherwise = left_by_a_killed_demo(here, "otherwise")
    (marked_otherwise / MARKER).write_bytes(b"x" * len(MARK))
    other_name = left_by_a_killed_demo(here).rename(here / "letters-gone")
    a_file = here / f"{PREFIX}file"
    a_file.write_text(MARK)
    kept = {unmarked, unlocked, marked_otherwise, other_name, a_file}
    gone = left_by_a_killed_demo(here)
    sweep(here)
    assert not gone.exists()
    assert set(here.iterdir()) == kept
    assert (unlocked / "sessions" / "a.session").is_file()


@posix
def test_links_are_never_followed(here: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (elsewhere / "letter.txt").write_text("mine")
    whole = left_by_a_killed_demo(elsewhere)
    (here / f"{PREFIX}link").symlink_to(whole)
    inner = left_by_a_killed_demo(here, "inner")
    (inner / "sessions" / "out").symlink_to(elsewhere)
    (inner / "out").symlink_to(elsewhere)
    linked_mark = left_by_a_killed_demo(here, "linked-mark")
    (linked_mark / MARKER).unlink()
    (linked_mark / MARKER).symlink_to(whole / MARKER)
    sweep(here)
    assert not inner.exists()
    assert (elsewhere / "letter.txt").read_text() == "mine"
    assert (whole / "sessions" / "a.session").is_file()
    assert linked_mark.is_dir()


def test_a_folder_that_cannot_be_emptied_can_be_swept_later(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = left_by_a_killed_demo(here)
    with monkeypatch.context() as stuck:
        stuck.setattr("shutil.rmtree", lambda *_, **__: None)
        sweep(here)
    assert (folder / MARKER).is_file()
    sweep(here)
    assert not folder.exists()


@posix
@pytest.mark.parametrize("how", ["told to end", "window closed", "window closed under nohup"])
def test_the_demo_on_a_terminal_leaves_nothing(how: str, here: Path) -> None:
    """The real program on a pseudo-terminal, well into its first picture."""
    import pty

    pid, terminal = pty.fork()
    if pid == 0:
        environment = {**os.environ, "TMPDIR": str(here), "TERM": "xterm-256color"}
        signal.signal(signal.SIGHUP, signal.SIG_IGN if "nohup" in how else signal.SIG_DFL)
        argv = [sys.executable, "-m", "benchtui", "demo"]
        os.execve(argv[0], argv, environment)  # noqa: S606  # our own program, no shell
    os.set_blocking(terminal, False)
    seen = b""

    def drawn() -> bool:
        nonlocal seen
        with suppress(BlockingIOError):
            seen += os.read(terminal, 1 << 16)
        return b"Quay pump" in seen

    assert until(drawn), seen[-500:]
    assert [p.name.startswith(PREFIX) for p in here.iterdir()] == [True]
    if how == "told to end":
        os.kill(pid, signal.SIGTERM)
    else:
        os.close(terminal)
    ended: list[int] = []

    def gone() -> bool:
        done, status = (pid, 0) if ended else os.waitpid(pid, os.WNOHANG)
        ended.extend([status] * (done != 0 and not ended))
        return bool(ended)

    assert until(gone)
    assert list(here.iterdir()) == []
    assert os.waitstatus_to_exitcode(ended[0]) != 0
