"""``benchtui browser``: the program in a browser, for a tablet or a telephone beside the engine."""

from __future__ import annotations

import ipaddress
import re
import shlex
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from benchtui.commands.folder import folder_to_fill
from benchtui.domain.errors import Unable

MOST_PORTS = 65_535
PAGES = Path(__file__).parent.parent / "web"

HOW_TO_GET_IT = "The browser needs one more package: pip install 'benchtui[web]'"

OPEN_TO_ALL = (
    "! Anyone on that network can open this page, read the record and change it.",
    "! There is no password, and nothing is encrypted. End it as soon as the work is done.",
)


def run_browser(data: str | None, host: str, port: int) -> int:
    """Serve the program until Ctrl-C; each page that is opened is a program of its own.

    Raises:
        Unable: the package for it is not installed, or the port is taken.
    """
    if find_spec("textual_serve") is None:
        raise Unable(HOW_TO_GET_IT)
    if not 0 <= port <= MOST_PORTS:
        raise Unable(
            f"There is no port {port}.", f"One from 1 to {MOST_PORTS}; 0: any that is free."
        )
    folder = folder_to_fill(data)
    words = [sys.executable, "-m", "benchtui", "--data", str(folder.root)]
    command = subprocess.list2cmdline(words) if sys.platform == "win32" else shlex.join(words)
    _serve(command, host, port)
    return 0


def is_loopback(host: str) -> bool:
    """Whether only this machine itself can reach it."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def own_page(origin: str, host: str, served: str) -> bool:
    """Whether a connection comes from our own page: no other site's page may open the program.

    ``origin`` and ``host`` are the headers of those names (RFC 6454, RFC 6455 section 10.2). A name that
    is neither an address, nor localhost, nor the one it is ``served`` at may have been pointed here.
    """
    name = host.rpartition(":")[0] if re.search(r":\d+$", host) else host
    known = name in ("localhost", served) or _is_address(name.strip("[]"))
    return bool(host) and known and origin.partition("://")[2] == host


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _serve(command: str, host: str, port: int) -> None:
    """The library's server with our own page, which loads nothing from elsewhere, for that page only."""
    from aiohttp import web
    from textual_serve.server import Server

    shown = f"[{host}]" if ":" in host else host
    server: Any = Server(
        command,
        host=host,
        port=port,
        title="benchtui",
        public_url=f"http://{shown}:{port}",
        templates_path=PAGES,
    )
    served = server.handle_websocket

    async def told(app: object) -> None:
        del app
        print(f"benchtui: open {server.public_url} in a browser. Ctrl-C ends it.", flush=True)
        if not is_loopback(host):
            print("\n".join(OPEN_TO_ALL), flush=True)

    async def own_only(request: Any) -> Any:
        if not own_page(request.headers.get("Origin", ""), request.headers.get("Host", ""), host):
            raise web.HTTPForbidden(text="Only benchtui's own page is let in.")
        return await served(request)

    server.initialize_logging = lambda: None  # what is done stands in the record
    server.on_startup, server.handle_websocket = told, own_only
    try:
        server.serve()
    except OSError as error:
        raise Unable(
            f"Nothing can be served at {host}, port {port}: {error.strerror}.",
            "Another port: --port 8001.",
        ) from error
