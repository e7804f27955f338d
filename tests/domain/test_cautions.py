"""The cautions at the adjuster: of the screw, and where shims set it of the shim (common practice)."""

from __future__ import annotations

import pytest

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.store.paths import shipped_specs
from benchtui.text.reading.sheet_file import parse_sheet


@pytest.mark.parametrize(
    ("engine", "said"),
    [
        ("quay-pump", "Never crank with a valve screwed open. Stop at solid resistance."),
        ("ferry-tender", "Never crank with a shim out or a cap loose. Fingers clear of the lobes."),
    ],
)
def test_what_the_crank_must_wait_for_is_said_where_the_valve_is_set(
    engine: str, said: str
) -> None:
    path = shipped_specs() / f"{engine}.toml"
    sheet = parse_sheet(path.read_text(encoding="utf-8"), engine, str(path))
    assert cautions(CautionAt.SET, sheet) == (said,)
