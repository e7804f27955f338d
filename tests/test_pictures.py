"""The pictures that the README shows are those that the program draws now."""

from __future__ import annotations

import asyncio
import html
import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent


def _maker() -> ModuleType:
    found = importlib.util.spec_from_file_location("make", ROOT / "screenshots" / "make.py")
    assert found is not None
    assert found.loader is not None
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


SHOWN = re.findall(r"\(screenshots/(\w+)\.svg\)", (ROOT / "README.md").read_text(encoding="utf-8"))


def _words(svg: str) -> list[str]:
    """Every text of a picture; what its library calls its styles may change."""
    texts = re.findall(r"<text[^>]*>(.*?)</text>", svg, re.DOTALL)
    return [html.unescape(text).replace("\xa0", " ").strip() for text in texts]


def test_the_readme_shows_three_pictures_or_more() -> None:
    assert len(SHOWN) >= 3


@pytest.mark.parametrize("name", SHOWN)
def test_a_picture_of_the_readme_is_not_stale(name: str) -> None:
    make = _maker()
    engine, keys = make.SHOTS[name]
    drawn = asyncio.run(make.shoot(engine, keys))
    stored = (ROOT / "screenshots" / f"{name}.svg").read_text(encoding="utf-8")
    assert _words(drawn) == _words(stored), "python screenshots/make.py draws it anew"
