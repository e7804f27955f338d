"""A data folder that anything may have happened to: every command ends in a sentence, and soon.

Files of every kind are mutated, odd entries lie in every folder, parts of it are another user's, and
some files are far too large.
"""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from benchtui.cli import main
from benchtui.store.bundle import MANIFEST
from benchtui.store.paths import shipped_specs
from tests.harness import Outcome

SECONDS = 1
PATIENCE = 120
"""So many seconds by the wall until it is a hang; a busy machine takes thirty for one of work."""

MEGABYTES = 200
NOBODY = 65534

MUTATED = 11_200
"""So many files of each kind, a hundred thousand in all."""

SCRIPT = """sheet quay-pump
blades fine-metric
date 2026-05-01
odometer 2000 km
metal 19 C
who M.
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.08 free
1E 0.12 refuses
torque rocker cover bolts
torque adjuster locknuts
close
"""
HAND = """format = 1
who = "M."
on = "2026-05-01"
"""


def run(folder: Path, draw: Random, long: bool) -> Iterator[Outcome]:
    del folder
    if os.name == "nt":
        return
    yield from map(_row, mutations(MUTATED if long else 4, draw.randrange(1_000)))
    yield _row(as_another_user(PARTS if long else ("sessions",)))
    if long:
        yield _row(limits())


def _row(tally: Tally) -> Outcome:
    for each in tally.wrong[:5]:
        print(f"{tally.what}: {each}", file=sys.stderr)
    return Outcome(tally.what, tally.tries, silent=len(tally.wrong))


@dataclass(slots=True)
class Tally:
    """How many tries, and those that went wrong: what was tried, and what came of it."""

    what: str
    tries: int = 0
    slowest: float = 0
    wrong: list[str] = field(default_factory=list)


def told(*argv: str) -> tuple[int, str]:
    """One command in this process: its status and everything that it said; never a traceback."""
    out = io.TextIOWrapper(io.BytesIO(), write_through=True)
    err = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = main(argv)
    out.seek(0)
    return status, out.buffer.read().decode() + err.getvalue()


def workshop(root: Path) -> Path:
    """A small data folder with one file of every kind, and its archive beside it."""
    data = root / "data"
    for part in ("sheets", "blades", "hands"):
        (data / part).mkdir(parents=True)
    shutil.copy(shipped_specs() / "quay-pump.toml", data / "sheets" / "mine.toml")
    shutil.copy(shipped_specs() / "blades" / "fine-metric.toml", data / "blades" / "mine.toml")
    (data / "hands" / "hand-m.toml").write_text(HAND)
    (data / "hidden.json").write_text('{"format": 1, "engines": ["mole-crane"]}\n')
    for day in range(1, 4):
        script = root / "script.txt"
        script.write_text(SCRIPT.replace("05-01", f"05-0{day}"))
        assert told("--data", str(data), "replay", str(script), "--keep")[0] == 0
    told("--data", str(data), "export", "--all", str(root / "all.zip"))
    return data


def mutated(content: bytes, random: Random) -> bytes:
    """The content after something has happened to it."""
    at = random.randrange(len(content) + 1)
    to = min(len(content), at + random.choice((1, 2, 8, 64, 512)))
    piece = random.choice((
        b"", b"\0" * (to - at), bytes(random.randrange(256) for _ in range(to - at)),
        content[at:to] * 2, content[: to - at], b"9" * 400, b"[" * 3000, b"{" * 3000, b'"', b"\n",
        b"a." * 500, b"1e999999", b"-", b"0/0", b"\xff\xfe", b"\x1b]0;x\x07", "\u202e".encode(),
    ))  # fmt: skip
    if random.random() < 0.1:
        return content[:at]
    return content[:at] + piece + content[to:]


def rechecked(content: bytes) -> bytes:
    """Session lines with old checksums that fit: facts that may be impossible."""
    from benchtui.store.codec import checksum

    lines = []
    for line in content.split(b"\n"):
        body = line.partition(b" ")[2].decode(errors="surrogateescape")
        with contextlib.suppress(UnicodeEncodeError):
            lines.append(f"{checksum(body)} {body}".encode(errors="surrogateescape"))
    return b"\n".join(lines) + b"\n"


def mutations(count: int, seed: int = 1) -> Iterator[Tally]:
    """Files of every kind, changed at random, each read by a command that reads it."""
    with tempfile.TemporaryDirectory() as made:
        root = Path(made)
        data = workshop(root)
        session = max((data / "sessions").iterdir())
        kinds: dict[str, tuple[Path, Callable[[bytes], bytes], tuple[str, ...]]] = {
            "sheet": (data / "sheets" / "mine.toml", bytes, ("sheet", "mine")),
            "blade set": (
                data / "blades" / "mine.toml",
                bytes,
                ("form", "mine", "--blades", "mine"),
            ),
            "hand": (data / "hands" / "hand-m.toml", bytes, ("replay", str(root / "script.txt"))),
            "hidden.json": (data / "hidden.json", bytes, ("form", "mine", "--blades", "mine")),
            "script": (root / "script.txt", bytes, ("replay", str(root / "script.txt"))),
            "session": (session, bytes, ("card", session.stem)),
            "session, its checksums mended": (session, rechecked, ("card", session.stem)),
            "register's list": (
                data / "register" / "lists" / "quay-pump.json",
                bytes,
                ("card", "last"),
            ),
            "archive": (root / "all.zip", bytes, ("take-in", str(root / "all.zip"))),
        }
        for number, (what, (path, after, command)) in enumerate(kinds.items()):
            random = Random(seed * 100 + number)
            sound = path.read_bytes()
            tally = Tally(f"mutated: {what}")
            for _ in range(count):
                content = after(mutated(sound, random))
                path.write_bytes(content)
                attempt(tally, content, "--data", str(data), *command)
            path.write_bytes(sound)
            yield tally


def attempt(tally: Tally, content: bytes, *argv: str) -> None:
    """Run one command, and note a traceback, a silent refusal, a raw escape or too long a wait."""
    tally.tries += 1
    began = time.process_time()
    try:
        status, said = told(*argv)
    except Exception as error:  # noqa: BLE001  # that is what is looked for
        tally.wrong.append(f"{type(error).__name__} {error}: {content[:60]!r}")
        return
    took = time.process_time() - began
    tally.slowest = max(tally.slowest, took)
    if took > 2 * SECONDS:  # a timing fails nobody unless it is a hang
        tally.wrong.append(f"{took:.1f} s: {content[:60]!r}")
    if status and "benchtui: " not in said and argv[2] != "take-in":
        tally.wrong.append(f"status {status} without a word")
    if "\x1b" in said or "\u202e" in said:
        tally.wrong.append(f"a raw control character: {said[:60]!r}")


PARTS = (".", "sessions", "register", "register/engines", "sheets", "blades", "hands", "hidden.json",
         "sheets/mine.toml", "blades/mine.toml", "register/lists/quay-pump.json", "register/lists",
         "SESSION")  # fmt: skip

COMMANDS = (
    ("due",),
    ("export",),
    ("export", "--all", "OUT"),
    ("card", "last"),
    ("sheet", "mine"),
    ("form", "mine", "--blades", "mine"),
    ("replay", "SCRIPT", "--keep"),
    ("take-in", "ARCHIVE"),
)


def as_another_user(parts: tuple[str, ...] = PARTS) -> Tally:
    """Each part of the folder without permission, every command as a user who has none."""
    tally = Tally("permissions")
    with tempfile.TemporaryDirectory() as made:
        root = Path(made)
        data = workshop(root)
        root.chmod(0o777)
        archive = str(root / "all.zip")
        names = {"OUT": str(root / "x.zip"), "SCRIPT": str(root / "script.txt"), "ARCHIVE": archive}
        for each in COMMANDS:  # so that everything is loaded that only the owner may read
            told("--data", str(data), *(names.get(word, word) for word in each))
        every = [root, *root.rglob("*")]
        for path in every:
            path.chmod(0o777 if path.is_dir() else 0o666)
        for part in parts:
            name = part
            path = min((data / "sessions").iterdir()) if part == "SESSION" else data / name
            before = path.stat().st_mode
            path.chmod(0)
            for number, command in enumerate(COMMANDS):
                fresh = str(root / f"out-{number}-{part.replace('/', '-')}.zip")
                argv = ["--data", str(data), *({**names, "OUT": fresh}.get(w, w) for w in command)]
                tally.tries += 1
                if wrong := _in_another_process(argv):
                    tally.wrong.append(f"{part}: {' '.join(command)}: {wrong}")
            path.chmod(before)
    return tally


def _in_another_process(argv: list[str]) -> str:
    """What is wrong with this command as a user with no rights; empty where nothing is."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        wrong = "it never ended"
        try:
            if os.geteuid() == 0:
                os.seteuid(NOBODY)
            status, said = told(*argv)
            in_words = "benchtui: " in said or (argv[2] in {"due", "take-in"} and said.strip())
            wrong = "" if status == 0 or in_words else "not a word"
        except BaseException as error:  # noqa: BLE001  # that is what is looked for
            wrong = f"{type(error).__name__} {error}"
        finally:
            os.write(writer, wrong.encode()[:1000])
            os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as answer:
        wrong = answer.read().decode()
    os.waitpid(child, 0)
    return wrong


def limits() -> Tally:
    """Files that would take for ever, or the whole memory, each met by a fresh program."""
    tally = Tally("limits of time and memory")
    with tempfile.TemporaryDirectory() as made:
        root = Path(made)
        data = workshop(root)
        fifo, ten, huge = root / "fifo", root / "ten", root / "huge"
        os.mkfifo(fifo)
        ten.write_bytes(b"x" * 10_000_000)
        with huge.open("wb") as file:
            file.truncate(2**30)
        bad, dotted, thick = root / "bad.txt", root / "dotted.toml", root / "thick.toml"
        bad.write_text("x\n" * 120_000)
        dotted.write_text("a." * 100_000 + "a = 1\n")
        thick.write_text(f'format = 1\nleaves = ["1{"0" * 30} nm"]\n')
        for name in ("long.txt", "longer.txt"):
            (root / name).write_text(SCRIPT.replace("close", "note x\n" * 30_000))
        for name, unfolded in (("bomb.zip", 480), ("larger.zip", 4)):
            with zipfile.ZipFile(root / name, "w", zipfile.ZIP_DEFLATED) as archive:
                archive.writestr(MANIFEST, '{"format": 1}')
                for number in range(unfolded):
                    archive.writestr(f"sessions/a{number}.session", b"0" * (2**20 - 1))
        for name in ("fifo", "ten", "huge", "bad.txt", "dotted.toml", "thick.toml", "long.txt"):
            for command in ("sheet", "replay", "take-in"):
                _within(tally, root, "--data", str(data), command, str(root / name))
        for name in ("bomb.zip", "larger.zip"):
            _within(tally, root, "--data", str(root / "fresh"), "take-in", str(root / name))
        for kind in ("sessions/odd.session", "sheets/odd.toml", "blades/odd.toml", "hidden.json"):
            for odd in (fifo, ten, huge):
                path = data / kind
                path.unlink(missing_ok=True)
                path.symlink_to(odd)
                fresh = str(root / f"{tally.tries}.zip")
                for words in (["due"], ["export"], ["card", "odd"], ["export", "--all", fresh]):
                    _within(tally, root, "--data", str(data), *words)
            path.unlink()
    return tally


def _within(tally: Tally, root: Path, *argv: str) -> None:
    """A fresh program with these words, which must end soon and small."""
    tally.tries += 1
    with (root / "said").open("wb") as said:
        process = subprocess.Popen(  # our own program
            [sys.executable, "-m", "benchtui", *argv], stdout=said, stderr=said
        )
        waited = time.monotonic()
        done, used = 0, None
        while not done and time.monotonic() - waited < PATIENCE:
            done, status, used = os.wait4(process.pid, os.WNOHANG)
            time.sleep(0.01)
    what = " ".join(Path(w).name for w in argv[2:])
    if used is None or not done:
        process.kill()
        tally.wrong.append(f"{what}: still at it after {PATIENCE} s")
        return
    process.returncode = os.waitstatus_to_exitcode(status)
    took, size = used.ru_utime + used.ru_stime, used.ru_maxrss / 1024
    tally.slowest = max(tally.slowest, took)
    if size > MEGABYTES:
        tally.wrong.append(f"{what}: {size:.0f} MB")
    if b"Traceback" in (root / "said").read_bytes():
        tally.wrong.append(f"{what}: a traceback")
