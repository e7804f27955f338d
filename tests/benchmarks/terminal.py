"""A program on a pseudo-terminal, watched with a clock: for the benchmarks."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import pyte

COLUMNS, ROWS = 120, 40
Complete = Callable[[Sequence[str]], bool]


class Watched:
    """A program from its exec on. Chunks are kept with their time and drawn only afterwards."""

    def __init__(self, argv: Sequence[str], env: dict[str, str]) -> None:
        self.started = time.perf_counter()
        self.pid, self._fd = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(1, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
            os.execve(argv[0], list(argv), env)  # noqa: S606  # our own program, no shell
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self.screen)

    def _read(self, quiet: float, longest: float) -> list[tuple[float, bytes]]:
        chunks: list[tuple[float, bytes]] = []
        end = time.perf_counter() + longest
        while time.perf_counter() < end:
            ready, _, _ = select.select([self._fd], [], [], quiet)
            if not ready:
                break
            try:
                data = os.read(self._fd, 65536)
            except OSError:
                break
            if not data:
                break
            chunks.append((time.perf_counter(), data))
        return chunks

    def _draw(self, data: bytes) -> list[str]:
        # The stand-in terminal knows no sequences with a private mark before an m or a u.
        self._stream.feed(_plain(data))
        return list(self.screen.display)

    def until(self, complete: Complete, longest: float = 15.0) -> float:
        """Seconds from exec to the chunk that made the picture complete."""
        end = time.perf_counter() + longest
        while time.perf_counter() < end:
            for at, data in self._read(0.25, longest):
                if complete(self._draw(data)):
                    self._settle()
                    return at - self.started
        raise TimeoutError("\n".join(self.screen.display))

    def _settle(self) -> None:
        for _, data in self._read(0.4, 5.0):
            self._draw(data)

    def press(self, keys: str, quiet: float = 0.12) -> float:
        """Seconds from a key to the last chunk of the picture that it caused."""
        began = time.perf_counter()
        os.write(self._fd, keys.encode())
        chunks = self._read(max(quiet, 0.3), 5.0) if quiet >= 0.3 else self._burst(quiet)
        for _, data in chunks:
            self._draw(data)
        return chunks[-1][0] - began if chunks else float("nan")

    def _burst(self, quiet: float) -> list[tuple[float, bytes]]:
        ready, _, _ = select.select([self._fd], [], [], 2.0)
        return self._read(quiet, 2.0) if ready else []

    def peak_kb(self) -> int:
        """The most memory it ever held, in kB."""
        text = Path(f"/proc/{self.pid}/status").read_text(encoding="ascii")
        return int(next(line.split()[1] for line in text.splitlines() if line.startswith("VmHWM")))

    def end(self) -> None:
        """End it, by its own id."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self._fd)


def _plain(data: bytes) -> bytes:
    out, k = bytearray(), 0
    while k < len(data):
        if data[k : k + 3] in (b"\x1b[>", b"\x1b[<", b"\x1b[="):
            k += 3
            while k < len(data) and not 0x40 <= data[k] <= 0x7E:
                k += 1
            k += 1
            continue
        out.append(data[k])
        k += 1
    return bytes(out)


def without_numpy(folder: Path) -> str:
    """A folder for PYTHONPATH under which numpy cannot be imported.

    The program's own installation has no numpy; the tests' oracles bring it in, and the units
    library would load it wherever it is found.
    """
    package = folder / "numpy"
    package.mkdir(parents=True, exist_ok=True)
    (package / "__init__.py").write_text('raise ImportError("as installed")\n', encoding="utf-8")
    return str(folder)


def environment(**more: str) -> dict[str, str]:
    """A plain terminal's environment."""
    kept = {k: v for k, v in os.environ.items() if k in ("PATH", "HOME", "LANG", "PYTHONPATH")}
    return {**kept, "TERM": "xterm-256color", "COLORTERM": "truecolor", **more}


PYTHON = sys.executable
