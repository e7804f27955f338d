"""Draw the pictures in this folder anew: ``python screenshots/make.py [FOLDER]``.

Plays real keys in the real program on the demo's data.
"""

from __future__ import annotations

import asyncio
import re
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from textual.pilot import Pilot

from benchtui.commands.demo import AS_OF, lay_out, play_history
from benchtui.store.paths import DataFolder
from benchtui.tui.app import BenchApp
from benchtui.workshop import Workshop

HERE = Path(__file__).parent
TODAY = datetime(AS_OF.year, AS_OF.month, AS_OF.day, 9, tzinfo=UTC)

TO_THE_BENCH = ["enter", "1", "9", "enter", "1", "2"]
"""From the engine under the cursor to its first valve."""

ADDING = [
    *("enter", *"Net hauler", "enter", "1", "pagedown", *"Hauler's book", "enter", "1", "2"),
    *("enter", "enter", *".06-.10 mm", "enter", *".08-.12"),
]
"""At the first start: an engine added, as far as its figures."""

SHOTS: dict[str, tuple[str, list[str]]] = {
    "home": ("quay-pump", []),
    "start": ("quay-pump", ["enter"]),
    "crank": ("harbour-van", [*TO_THE_BENCH[:-2]]),
    "bench": ("quay-pump", [*TO_THE_BENCH, "s"]),
    "tight": ("quay-pump", [*TO_THE_BENCH, "s", "s", "f"]),
    "setting": ("quay-pump", [*TO_THE_BENCH, "s", "s", "f", "s", "enter"]),
    "closing": ("quay-pump", [*TO_THE_BENCH, "s", "f", "escape", "1"]),
    "filed": (
        "quay-pump",
        [*TO_THE_BENCH, *("f", "s", "space", "f", "s", "escape", "1", "enter", "1")],
    ),
    "sheet": ("harbour-van", ["e"]),
    "first": ("", []),
    "add": ("", [*ADDING]),
    "sessions": ("quay-pump", ["p"]),
    "session": ("quay-pump", ["p", "down", "enter"]),
    "wear": ("quay-pump", ["w", "right"]),
    "blades": ("quay-pump", ["b"]),
    "help": ("quay-pump", [*TO_THE_BENCH, "h"]),
    "sunlight": ("quay-pump", [*TO_THE_BENCH, "s", "f", "o"]),
}
"""Each picture: the engine it begins at, and the keys pressed; with no engine an empty folder."""


SHOWN_ROOT = Path("~/benchtui")
"""What stands for the throw-away folder's name, which is another one each time."""


@contextmanager
def folder_for(engine: str) -> Iterator[DataFolder]:
    """The demo's data in a throw-away folder; with no engine an empty one."""
    with tempfile.TemporaryDirectory(prefix="benchtui-shots-") as name:
        folder = DataFolder(Path(name))
        if engine:
            lay_out(folder)
            play_history(folder, AS_OF)
        yield folder


async def settle(app: BenchApp, pilot: Pilot[int]) -> None:
    """Wait until nothing is being loaded or drawn."""
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause(0.1)  # the first screen loads what is due a moment after its picture
    await app.workers.wait_for_complete()
    await pilot.pause()


async def shoot(engine: str, pressed: list[str], size: tuple[int, int] = (80, 24)) -> str:
    """The picture after these keys, as SVG."""
    seconds = count()
    with folder_for(engine) as folder:
        shop = Workshop(folder, lambda: TODAY)
        app = BenchApp(shop, clock=lambda: float(next(seconds)), demo=bool(engine))
        async with app.run_test(size=size) as pilot:
            await settle(app, pilot)
            if engine:
                app.screen.select(engine)  # type: ignore[attr-defined]  # the first screen is a list
                await settle(app, pilot)
            for key in pressed:
                await pilot.press("space" if key == " " else key)
                await settle(app, pilot)
            svg = app.export_screenshot(title="benchtui").replace(str(folder.root), str(SHOWN_ROOT))
    # The library's picture fetches a font from afar; any monospaced one at hand will do.
    return re.sub(r"@font-face \{.*?\}", "", svg, flags=re.DOTALL)


def main() -> None:
    """Write everything."""
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    for name, (engine, pressed) in SHOTS.items():
        svg = asyncio.run(shoot(engine, pressed))
        path = target / f"{name}.svg"
        path.write_text(svg, encoding="utf-8")
        print(path)


if __name__ == "__main__":
    main()
