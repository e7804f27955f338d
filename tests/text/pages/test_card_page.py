"""The card prints on one page, A4 or Letter; a very large engine on two. Asked of a browser."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import Length
from benchtui.domain.sheet import Band
from benchtui.text.pages.card import Card, CardValve
from benchtui.text.pages.card_html import LARGEST, SMALLEST, card_html, type_size

BROWSER = next(
    (
        found
        for name in ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")
        if (found := shutil.which(name))
    ),
    None,
)

MM = Length.mm


def valve(name: str) -> CardValve:
    return CardValve(
        name=name,
        kind="inlet",
        setting="0.15-0.25",
        found="0.10-0.12",
        found_verdict="clash",
        turned="opened 122.5",
        after="UNREAD",
        left="0.15-0.20",
        left_verdict="in, proved",
        band=Band(MM("0.15"), MM("0.25")),
        found_bracket=Bracket(MM("0.10"), MM("0.12"), MM("0.09"), MM("0.13")),
        left_bracket=Bracket(MM("0.15"), None, MM("0.14"), None),
    )


def card(valves: int, notes: int = 2) -> Card:
    long = "found a nut that had been tightened by somebody in a hurry, and put it right"
    return Card(
        title="Harbour van",
        state="PARTIAL: closed before all was done; it does not count as a check.",
        facts=tuple((f"fact {n}", "some words about this check") for n in range(15)),
        valves=tuple(valve(f"{n // 4 + 1}I-{n % 4}") for n in range(valves)),
        struck=tuple(f"{n}I: 0.10 refuses" for n in range(4)),
        torques=tuple(("rocker cover bolts", "8 N m (71 lbf in)", True) for _ in range(4)),
        missing=tuple("1E: undecided, high side open by 0.01: a blade would do" for _ in range(4)),
        handover=tuple("Nobody starts or cranks this engine until all is done" for _ in range(4)),
        notes=(long,) * notes,
        due="Due 2026-11-01 or at 17 400 km, whichever comes first (6 months after the last check).",
    )


CARDS = {
    "one cylinder": card(2),
    "four in line": card(16),
    "twelve cylinders of four valves": card(48),
    "thirty notes": card(8, notes=30),
    "eighty notes": card(4, notes=80),
}


PAPERS = {"A4": (595, 842), "letter": (612, 792)}
"""In points, 72 to the inch: ISO 216, and 8.5 by 11 in of ANSI/ASME Y14.1."""


def pages(html: str, folder: Path, paper: str = "A4") -> int:
    """So many sheets of that paper, which is what lies in the printer and not the page's to say."""
    page, printed = folder / "card.html", folder / "card.pdf"
    assert "@page { margin" in html
    page.write_text(html.replace("@page {", f"@page {{ size: {paper};"), encoding="utf-8")
    assert BROWSER is not None
    subprocess.run(
        [
            BROWSER,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
            f"--user-data-dir={folder / 'profile'}",
            f"--print-to-pdf={printed}",
            page.as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    data = printed.read_bytes()
    box = re.search(rb"/MediaBox\s*\[\s*0\s+0\s+([0-9.]+)\s+([0-9.]+)", data)
    assert box is not None
    assert (round(float(box[1])), round(float(box[2]))) == PAPERS[paper]
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", data))


@pytest.mark.skipif(BROWSER is None, reason="no headless browser on this machine to print with")
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", CARDS)
def test_the_card_prints_on_one_page_or_where_its_type_would_be_too_small_on_two(
    name: str, paper: str, tmp_path: Path
) -> None:
    of_one = type_size(CARDS[name]) > SMALLEST
    assert of_one or name in ("twelve cylinders of four valves", "eighty notes")
    assert pages(card_html(CARDS[name]), tmp_path, paper) == (1 if of_one else 2)


@pytest.mark.skipif(BROWSER is None, reason="no headless browser on this machine to print with")
def test_the_count_of_pages_can_tell_two(tmp_path: Path) -> None:
    """The check itself is checked: type too large for the page makes a second one."""
    html = re.sub(r"font: [0-9.]+pt", "font: 30pt", card_html(CARDS["four in line"]))
    assert pages(html, tmp_path) > 1


def test_type_shrinks_with_what_is_on_the_page_within_limits() -> None:
    sizes = [type_size(card(n)) for n in (1, 16, 32, 48)]
    assert sizes[0] == LARGEST
    assert sizes == sorted(sizes, reverse=True)
    assert type_size(replace(CARDS["one cylinder"], notes=("x" * 900,) * 200)) == SMALLEST


def test_on_a_telephone_no_part_of_the_table_keeps_a_width_of_its_own() -> None:
    """A head left as a table beside a body of blocks is as wide as its text: the scale then has no room.

    Seen in a browser 390 pixels wide.
    """
    page = card_html(card(4))
    narrow = page.partition("@media screen and (max-width: 640px) {")[2].partition("</style>")[0]
    blocks = re.search(r"([a-z, ]+) \{ display: block \}", narrow)
    assert blocks is not None
    used = {tag for tag in ("table", "thead", "tbody", "tr", "td") if f"<{tag}" in page}
    assert used <= set(blocks[1].strip().split(", ")), used
