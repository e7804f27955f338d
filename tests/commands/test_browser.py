"""``benchtui browser``: what it lets in, what it says, and the page itself."""

from __future__ import annotations

import asyncio
import importlib.util
import re
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from benchtui.cli import main
from benchtui.commands.browser import PAGES, is_loopback, own_page

PACKAGE = importlib.util.find_spec("textual_serve") is None


def test_without_the_package_one_sentence_says_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("benchtui.commands.browser.find_spec", lambda _: None)
    assert main(["--data", str(tmp_path), "browser"]) == 2
    told = capsys.readouterr().err.splitlines()
    assert told == ["benchtui: The browser needs one more package: pip install 'benchtui[web]'"]


def test_a_port_that_there_is_not(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    if PACKAGE:
        pytest.skip("the package for the browser is optional")
    assert main(["--data", str(tmp_path), "browser", "--port", "70000"]) == 2
    assert "There is no port 70000." in capsys.readouterr().err


@pytest.mark.parametrize(
    ("host", "alone"),
    [
        ("localhost", True),
        ("127.0.0.1", True),
        ("127.8.8.8", True),  # RFC 1122, 3.2.1.3: the whole of 127/8
        ("::1", True),  # RFC 4291, 2.5.3
        ("0.0.0.0", False),  # noqa: S104  # asked about, not bound
        ("192.168.1.20", False),
        ("::", False),
        ("shed.example", False),
    ],
)
def test_which_address_only_this_machine_reaches(host: str, alone: bool) -> None:
    assert is_loopback(host) is alone


@pytest.mark.parametrize(
    ("origin", "host", "served", "ours"),
    [
        ("http://localhost:8000", "localhost:8000", "localhost", True),
        ("http://127.0.0.1:8000", "127.0.0.1:8000", "localhost", True),
        ("http://[::1]:8000", "[::1]:8000", "::1", True),
        ("http://192.168.1.20:8000", "192.168.1.20:8000", "0.0.0.0", True),  # noqa: S104  # same
        ("http://shed.example", "shed.example", "shed.example", True),
        ("http://elsewhere.example", "localhost:8000", "localhost", False),
        ("", "localhost:8000", "localhost", False),
        ("http://localhost:8000", "", "localhost", False),
        # A name that was pointed at this machine by whoever owns it.
        ("http://elsewhere.example:8000", "elsewhere.example:8000", "localhost", False),
    ],
)
def test_only_its_own_page_may_open_the_program(
    origin: str, host: str, served: str, ours: bool
) -> None:
    assert own_page(origin, host, served) is ours


def test_the_page_loads_nothing_from_elsewhere() -> None:
    page = (PAGES / "app_index.html").read_text(encoding="utf-8")
    loaded = re.findall(r"(?:src|href)=\"([^\"]+)\"|url\(\"([^\"]+)\"\)", page)
    assert len(loaded) == 3
    assert all((a or b).startswith("/static/") for a, b in loaded)
    assert "http://" not in page
    assert "https://" not in page


@pytest.mark.skipif(PACKAGE, reason="the package for the browser is optional")
def test_the_program_is_drawn_in_the_page_and_a_key_reaches_it(tmp_path: Path) -> None:
    from aiohttp import ClientSession, WSServerHandshakeError

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    words = [sys.executable, "-m", "benchtui", "--data", str(tmp_path), "browser", "--port", port]
    served = subprocess.Popen(
        [*words, "--host", "127.0.0.1"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    here = f"http://127.0.0.1:{port}"

    async def look() -> None:
        async with ClientSession() as session:
            for _ in range(100):
                try:
                    async with session.get(f"{here}/") as page:
                        assert 'id="terminal"' in await page.text()
                    break
                except OSError:
                    await asyncio.sleep(0.1)
            with pytest.raises(WSServerHandshakeError):
                await session.ws_connect(f"{here}/ws", headers={"Origin": "http://else.example"})
            line = await session.ws_connect(
                f"{here}/ws?width=80&height=24", headers={"Origin": here}
            )
            await drawn(line, b"manual and local rules outrank")
            await line.send_json(["stdin", "h"])
            await drawn(line, b"Help")
            await line.close()

    async def drawn(line: object, words: bytes) -> None:
        seen = b""
        while words not in seen:
            message = await asyncio.wait_for(line.receive(), 20)  # type: ignore[attr-defined]  # optional
            assert isinstance(message.data, bytes | str), seen[-300:]
            seen += message.data if isinstance(message.data, bytes) else message.data.encode()

    try:
        asyncio.run(asyncio.wait_for(look(), 60))
    finally:
        served.terminate()
        said = served.communicate(timeout=20)[0]
    assert f"open {here} in a browser" in said
    assert "Anyone on that network" not in said


@pytest.mark.skipif(PACKAGE, reason="the package for the browser is optional")
def test_whoever_serves_a_network_is_told_who_can_come_in(tmp_path: Path) -> None:
    words = [sys.executable, "-m", "benchtui", "--data", str(tmp_path), "browser"]
    served = subprocess.Popen(
        [*words, "--host", "0.0.0.0", "--port", "0"],  # noqa: S104  # that is what is tested
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        assert served.stdout is not None
        said = ""
        while "nothing is encrypted" not in said:
            line = served.stdout.readline()
            assert line, said
            said += line
    finally:
        served.terminate()
        served.wait(timeout=20)
    assert "Anyone on that network can open this page, read the record and change it." in said
