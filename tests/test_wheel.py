"""The wheel holds all that the program needs: it runs from an empty folder, far from the checkout."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [
            sys.executable,
            "-m",
            "build",
            "--wheel",
            "--no-isolation",
            "--outdir",
            str(out),
            str(ROOT),
        ],
        check=True,
        capture_output=True,
        timeout=180,
    )
    (built,) = out.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def command(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The installed command, in a fresh environment that lends its libraries from this one."""
    folder = tmp_path_factory.mktemp("env")
    venv.create(folder, with_pip=False)
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    windows = os.name == "nt"
    site = folder / ("Lib" if windows else f"lib/{version}") / "site-packages"
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(site)
    lent = [p for p in sys.path if p.endswith("site-packages")]
    (site / "lent.pth").write_text("\n".join(lent) + "\n")
    python = folder / ("Scripts/python.exe" if windows else "bin/python")
    entry = next(site.glob("benchtui-*.dist-info")) / "entry_points.txt"
    assert "benchtui = benchtui.cli:main" in entry.read_text()
    return python


def clean() -> dict[str, str]:
    """The environment without what would lead an interpreter back to the checkout or its data."""
    return {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "BENCHTUI"))}


def run(python: Path, *arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [
            str(python),
            "-c",
            "import sys; from benchtui.cli import main; sys.exit(main())",
            *arguments,
        ],
        cwd=cwd,
        env={**clean(), "HOME": str(cwd / "home")},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def test_specs_and_styles_are_in_the_wheel(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
    for path in (*(ROOT / "specs").rglob("*.toml"), *(ROOT / "specs").rglob("*.txt")):
        assert f"benchtui/{path.relative_to(ROOT).as_posix()}" in names
    for path in (ROOT / "benchtui").rglob("*.tcss"):
        assert path.relative_to(ROOT).as_posix() in names
    assert "benchtui/py.typed" in names
    assert not any(name.startswith("tests/") for name in names)


def test_the_installed_package_is_the_one_that_runs(command: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [str(command), "-c", "import benchtui; print(benchtui.__file__)"],
        cwd=tmp_path,
        env=clean(),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert not Path(done.stdout.strip()).is_relative_to(ROOT)
    assert Path(done.stdout.strip()).is_relative_to(command.parent.parent)


def test_demo_from_an_empty_folder(command: Path, tmp_path: Path) -> None:
    done = run(command, "demo", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "no terminal" in done.stdout
    assert "Quay pump" in done.stdout
    assert list(tmp_path.iterdir()) == []


def test_replay_from_an_empty_folder(command: Path, tmp_path: Path) -> None:
    script = tmp_path / "evening.txt"
    script.write_text(
        "sheet quay-pump\nblades fine-metric\ndate today\nmetal 18 C\nposition 1 mark slack\n"
        "1I 0.06 free\n1I 0.10 refuses\nclose\n"
    )
    done = run(command, "--data", "kept", "replay", "evening.txt", "--json", "--keep", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "benchtui: made the data folder kept.\n")
    last = json.loads(done.stdout.splitlines()[-1])["summary"]
    assert last["valves"]["1I"]["left"]["verdict"] == "in"
    assert len(list((tmp_path / "kept" / "sessions").iterdir())) == 1
