"""What the register says of each old session, written down: ``python -m tests.records.make_rows``.

Reading may become quicker and never say anything else. Written anew only where a row or a record is to
say more; the change of ``rows.json`` then shows what of old sessions changes by it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from benchtui.store.codec import converter
from benchtui.store.files import Entry, Odd
from benchtui.store.rows import read_each

HERE = Path(__file__).parent
ROWS = HERE / "rows.json"


def read_rows() -> list[list[Any]]:
    """Row and record of every old session, as plain data; the files' own times left out."""
    paths = sorted(HERE.glob("*.session"))
    entries = [Entry(HERE, path.name, path.stat().st_size, 0) for path in paths]
    read = [(one[0], one[1]) for one in read_each(entries) if not isinstance(one, Odd)]
    return json.loads(json.dumps([[converter().unstructure(row), kept] for row, kept in read]))  # type: ignore[no-any-return]


if __name__ == "__main__":
    ROWS.write_text(json.dumps(read_rows(), indent=1) + "\n", encoding="utf-8")
