"""Whatever a command is given: a line of error that names it, never a traceback, never status 0."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from benchtui import cli
from benchtui.store.paths import DataFolder, shipped_specs

Run = Callable[..., tuple[int, str, str]]

LONG = "a" * 300  # longer than any disk lets a name be
ESCAPES = "\x1b[2J\x1b]0;x\x07"
SCRIPT = "sheet quay-pump\nblades fine-metric\ndate today\n"
SCRIPT += "metal 19 C\nposition 1 mark slack\n1I 0.06 free\n"


@pytest.fixture
def run(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> Run:
    def ran(*argv: str, data: str | None = None) -> tuple[int, str, str]:
        chosen = str(tmp_path / "data") if data is None else data
        status = cli.main(["--data", chosen, *argv])
        out, err = capfd.readouterr()
        for line in (out + err).splitlines():
            assert line.isprintable(), "nothing that moves a cursor"
        assert all(line.startswith("benchtui: ") for line in err.splitlines())
        # That the data folder is not there yet, or was made, is said besides.
        besides = ("benchtui: there is no folder ", "benchtui: made the data folder ")
        faults = [line for line in err.splitlines(keepends=True) if not line.startswith(besides)]
        return status, out, "".join(faults)

    return ran


def refused(told: tuple[int, str, str]) -> str:
    """The one line of error."""
    status, out, err = told
    assert (status, out) == (cli.FAULTY, "")
    assert len(err.splitlines()) == 1
    assert len(err) < 1000
    return err


FILES = {
    "empty": (b"", "found an empty file", "found no step"),
    "blank": (b"\n \n\n", "found an empty file", "found no step"),
    "nul": (b"\0" * 9, r":1: found '\x00", ":1: ␀"),
    "utf-16": ("sheet a\n".encode("utf-16"), ":1: found UTF-16 text", ":1: found UTF-16 text"),
    "latin-1": (b'format = 1\nname = "Qu\xe4y"\n', ":2: found byte 0xe4", ":2: found byte 0xe4"),
    "one long line": (b"a" * 200_000 + b"\n", "(column 200001)", f":1: {'a' * 57}...: found"),
    "escapes": (f"{ESCAPES} = 1\n".encode(), r":1: found '\x1b[2J", ":1: ␛[2J␛]0;x␇: found"),
    "nested": (b"a = " + b"[" * 5000, "too many nested brackets", ":1: a: found"),
    "long figure": (b"a = " + b"9" * 5000, "a number too long", ":1: a: found"),
}


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("command", ["sheet", "replay", "form", "blades"])
def test_a_file_that_is_none_of_ours(name: str, command: str, run: Run, tmp_path: Path) -> None:
    content, as_sheet, as_script = FILES[name]
    data = DataFolder(tmp_path / "data")
    folder = data.blades if command == "blades" else data.sheets
    folder.mkdir(parents=True)
    path = folder / "bad.toml"
    path.write_bytes(content)
    argv = {
        "sheet": ["sheet", str(path)],
        "replay": ["replay", str(path)],
        "form": ["form", "bad", "--blades", "fine-metric"],
        "blades": ["form", "quay-pump", "--blades", "bad"],
    }[command]
    said = refused(run(*argv))
    assert str(path) in said
    assert (as_script if command == "replay" else as_sheet) in said
    assert "; wanted " in said


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_no_export_wrote(name: str, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "bad.zip"
    path.write_bytes(FILES[name][0])
    said = refused(run("take-in", str(path)))
    assert str(path) in said
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("nothing-here.toml", "found No such file"),
        ("no/such/folder.toml", "found No such file"),
        ("folder", "found a folder"),
        ("", "found a folder"),
        ("loop", "found "),
        (LONG, "found "),
        (f"{ESCAPES}\n.toml", "␛[2J␛]0;x␇␊.toml: found No such file"),
    ],
)
@pytest.mark.parametrize("command", ["sheet", "replay"])
def test_a_path_that_leads_to_no_file(
    name: str, found: str, command: str, run: Run, tmp_path: Path
) -> None:
    (tmp_path / "folder").mkdir()
    if os.name == "posix":
        (tmp_path / "loop").symlink_to(tmp_path / "loop")
    said = refused(run(command, str(tmp_path / name)))
    assert found in said
    assert str(tmp_path) in said
    assert "wanted a file that can be read" in said


@pytest.mark.parametrize("name", ["folder", "nothing.zip", LONG, f"{ESCAPES}\n"])
def test_a_path_that_leads_to_no_export(name: str, run: Run, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    said = refused(run("take-in", str(tmp_path / name)))
    assert str(tmp_path) in said
    assert "Errno" not in said


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to stand in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


COMMANDS = [
    ["due"],
    ["export"],
    ["export", "--all", "out.zip"],
    ["card", "last"],
    ["form", "quay-pump", "--blades", "fine-metric"],
    ["sheet", "quay-pump"],
    ["replay", "script.txt", "--keep"],
    ["take-in", "script.txt"],
]


@pytest.mark.parametrize("argv", COMMANDS, ids=" ".join)
@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("a-file", "found a file"),
        ("a-file/below", "found a file"),
        ("nowhere", "found a link that leads nowhere"),
        (LONG, "found "),
        ("~no-such-person/x", "found "),
        ("", "found an empty name"),
    ],
)
def test_a_data_folder_that_can_be_none(
    argv: list[str], name: str, found: str, run: Run, here: Path
) -> None:
    (here / "a-file").touch()
    (here / "nowhere").symlink_to("gone")
    (here / "script.txt").write_text(SCRIPT)
    before = set(here.iterdir())
    said = refused(run(*argv, data=name))
    assert f"--data: {found}" in said
    assert "wanted a folder" in said
    assert set(here.iterdir()) == before


def test_a_data_folder_named_by_the_environment_is_checked_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a-file").touch()
    monkeypatch.setenv("BENCHTUI_DATA", str(tmp_path / "a-file"))
    assert cli.main(["due"]) == cli.FAULTY
    assert "BENCHTUI_DATA: found a file" in capsys.readouterr().err


@pytest.mark.parametrize("folder", ["sheets", "blades"])
@pytest.mark.parametrize("kind", ["a folder", "No such file"])
def test_a_name_in_the_library_that_is_no_file(
    folder: str, kind: str, run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "data" / folder / "odd.toml"
    path.parent.mkdir(parents=True)
    if kind == "a folder":
        path.mkdir()
    else:
        path.symlink_to("gone")
    named = (
        ["odd", "--blades", "fine-metric"]
        if folder == "sheets"
        else ["quay-pump", "--blades", "odd"]
    )
    assert f"{path}: found {kind}" in refused(run("form", *named))


@pytest.mark.parametrize("name", ["", "x" * 3000, "a/b", "../quay-pump", ESCAPES, "a\nb"])
def test_a_name_that_no_sheet_set_or_session_has(name: str, run: Run, tmp_path: Path) -> None:
    assert "wanted a sheet's name" in refused(run("form", name, "--blades", "fine-metric"))
    assert "wanted a blade set's name" in refused(run("form", "quay-pump", "--blades", name))
    (tmp_path / "script.txt").write_text(SCRIPT)
    assert run("replay", str(tmp_path / "script.txt"), "--keep")[0] == 0
    assert "No session has" in refused(run("card", name))


@pytest.mark.parametrize("name", ["folder", "no/such.csv", LONG, "a-file/x", "a-file"])
@pytest.mark.parametrize("argv", [["export", "--to"], ["export", "--all"], ["due", "--ics"]])
def test_a_place_where_nothing_can_be_written(
    name: str, argv: list[str], run: Run, tmp_path: Path
) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "a-file").touch()
    script = tmp_path / "script.txt"
    told = "date 2026-05-01\nodometer 900 km\nhours 9\nwho M.\n"
    script.write_text(told + SCRIPT + "1I 0.10 refuses\n1E 0.08 free\n1E 0.12 refuses\nclose\n")
    assert run("replay", str(script), "--keep")[0] == 0
    before = set(tmp_path.iterdir())
    said = refused(run(*argv, str(tmp_path / name)))
    assert str(tmp_path) in said
    assert set(tmp_path.iterdir()) == before
    assert (tmp_path / "a-file").read_bytes() == b""


def test_names_and_notes_of_control_characters_are_printed_inert(run: Run, tmp_path: Path) -> None:
    """Every command that prints what a sheet or a script holds; ``run`` looks at each line."""
    sheets = DataFolder(tmp_path / "data").sheets
    sheets.mkdir(parents=True)
    text = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    name = 'name = "Quay pump"'
    assert name in text
    nasty = text.replace(name, r'name = "\u001b[2J\nQuay\u202e\u0085"')
    (sheets / "nasty.toml").write_text(nasty, encoding="utf-8")
    script = (
        SCRIPT.replace("quay-pump", "nasty") + f"who {ESCAPES}\nnote {ESCAPES} \u202e\u2066 x\n"
    )
    (tmp_path / "nasty.txt").write_text(script, encoding="utf-8")
    for argv in (
        ["replay", str(tmp_path / "nasty.txt"), "--keep"],
        ["replay", str(tmp_path / "nasty.txt"), "--json"],
        ["sheet", "nasty"],
        ["form", "nasty", "--blades", "fine-metric"],
        ["card", "last"],
        ["card", "last", "--form", "html"],
        ["card", "last", "--form", "markdown"],
        ["card", "last", "--handover"],
        ["due"],
        ["due", "--json"],
        ["export"],
        ["export", "--rows", "sessions", "--form", "jsonl"],
    ):
        status, out, err = run(*argv)
        assert (status, err) == (0, "")
        assert out


def test_no_more_faults_are_listed_than_can_be_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear harbour master,\n" * 500)
    assert cli.main(["--data", str(tmp_path / "data"), "replay", str(path)]) == cli.FAULTY
    lines = capsys.readouterr().err.splitlines()
    assert "there is no folder" in lines.pop(0)
    assert len(lines) == cli.MOST_TOLD + 1
    assert lines[-1] == "benchtui: and 400 more faults"


def ran_outside(*argv: str, to: str, encoding: str = "utf-8") -> tuple[int, str]:
    """The real program with its output into a file; status and standard error."""
    environment = {**os.environ, "PYTHONIOENCODING": encoding}
    with Path(to).open("wb") as out:
        command = [sys.executable, "-m", "benchtui", *argv]
        done = subprocess.run(
            command, stdout=out, stderr=subprocess.PIPE, env=environment, check=False, timeout=60
        )
    return done.returncode, done.stderr.decode()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no always-full device here")
def test_what_a_full_disk_would_not_take_is_told(tmp_path: Path) -> None:
    status, err = ran_outside("--data", str(tmp_path), "sheet", "quay-pump", to="/dev/full")
    assert (status, err) == (cli.FAULTY, "benchtui: what was printed: No space left on device\n")


def test_a_name_that_the_encoding_has_not_got_is_no_end(tmp_path: Path) -> None:
    text = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    path = tmp_path / "quay.toml"
    path.write_text(text.replace('"Quay pump"', '"Käi \U0001f6a2"', 1), encoding="utf-8")
    out = tmp_path / "out.txt"
    assert ran_outside("sheet", str(path), to=str(out), encoding="ascii") == (0, "")
    assert r"K\xe4i \U0001f6a2" in out.read_text(encoding="ascii")
