"""The card as Markdown, for a workshop's own notes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from benchtui.text.pages.card import HEADINGS, KEY, LEGEND, Card
from benchtui.text.pages.handover import Handover
from benchtui.text.pages.sheet_page import OUTRANKED
from benchtui.text.quantities.show import inert

_ACTIVE = re.compile(r"[\\`*_{}\[\]<>#|~&!$^@]")
_AT_START = re.compile(r"^(?:([-+=])|([0-9]+)([.)])(?=\s|$))")
_HOST = re.compile(r"(?i)www\.")


def card_markdown(card: Card) -> str:
    """CommonMark with one table; whatever came from a file stays plain text."""
    return "\n".join(_lines(card))


def plain(text: str) -> str:
    """``text`` as Markdown that shows it letter by letter: no link, heading, list, tag or image."""
    shown = _ACTIVE.sub(r"\\\g<0>", inert(text).strip())
    shown = shown.replace("://", r":\/\/")
    shown = _HOST.sub(lambda found: f"{found[0][:-1]}\\.", shown)
    return _AT_START.sub(lambda m: f"\\{m[1]}" if m[1] else f"{m[2]}\\{m[3]}", shown)


def _lines(card: Card) -> Iterator[str]:
    yield from (f"{plain(line)}  " for line in card.workshop)
    yield f"{'' if not card.workshop else chr(10)}# {plain(card.title)}: valve clearances\n"
    yield f"**{plain(card.state)}**\n"
    for label, text in card.facts:
        yield f"- {plain(label)}: {plain(text)}"
    yield ""
    yield _row(HEADINGS)
    yield _row(["---"] * len(HEADINGS), raw=True)
    for valve in card.valves:
        yield _row(valve.cells)
    yield f"\n{plain(f'{KEY[card.unit]} {LEGEND}')}\n"
    yield from _list("Struck readings", card.struck)
    if card.torques:
        yield "## Torques\n"
        for what, figure, ticked in card.torques:
            yield f"- [{'x' if ticked else ' '}] {plain(what)}: {plain(figure)}"
        yield ""
    yield from _list("Put right", card.amended)
    yield from _list("What is lacking", card.missing)
    yield from _list("Handing over", card.handover)
    yield from _list("Notes", card.notes)
    yield f"**Next check:** {plain(card.due)}\n"
    yield plain(OUTRANKED)


def _row(cells: Sequence[str], *, raw: bool = False) -> str:
    return f"| {' | '.join(c if raw else plain(c) for c in cells)} |"


def _list(heading: str, items: Sequence[str]) -> Iterator[str]:
    if items:
        yield f"## {heading}\n"
        yield from (f"- {plain(item)}" for item in items)
        yield ""


def handover_markdown(page: Handover) -> str:
    """The page for whoever goes on, to be ticked off."""
    lines = [f"# {plain(page.title)}\n", plain(page.stopped), ""]
    lines += [f"- [ ] {plain(step)}" for step in page.steps]
    return "\n".join([*lines, "", *_list("Notes", page.notes), plain(OUTRANKED)])
