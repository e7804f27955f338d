"""``benchtui sheet FILE``: whether a sheet can be used, and what it says."""

from __future__ import annotations

from pathlib import Path

from benchtui.commands.folder import folder_to_look_in
from benchtui.store.clock import wall_clock
from benchtui.store.library import sheet_of_file
from benchtui.store.names import DEVICE, NAME
from benchtui.text.pages.sheet_page import sheet_page
from benchtui.workshop import Workshop


def run_sheet(data: str | None, file: str) -> int:
    """Print the sheet in ``file``, or the engine's of that name where there is no such file.

    Raises:
        FaultyInput: with every fault.
    """
    path = Path(file)
    if DEVICE.fullmatch(file) or (NAME.fullmatch(file) and not path.exists()):
        sheet = Workshop(folder_to_look_in(data), wall_clock).engines.sheet(file)
    else:
        sheet = sheet_of_file(path)
    print(sheet_page(sheet))
    return 0
