"""The workshop's own name and address, from the text of ``workshop.toml`` in the data folder.

``name = "Harbour workshop"`` and, if wanted, ``lines = ["12 Quay Street", "open in the mornings"]``: what a
card for a customer is headed with.
"""

from __future__ import annotations

from benchtui.text.reading.checked import open_table
from benchtui.text.reading.readers import as_text


def parse_workshop(text: str, file: str) -> tuple[str, ...]:
    """The name, then the other lines.

    Raises:
        FaultyInput: everything that is wrong in it, from the top down.
    """
    top = open_table(text, file)
    name = top.need("name", as_text, 'what the workshop is called, as in "Harbour workshop"')
    wanted = 'texts in quotes, as in ["12 Quay Street"]'
    others = (top.each("lines", as_text, wanted) or ()) if top.has("lines") else ()
    top.done()
    top.faults.raise_any()
    return (name or "", *others)
