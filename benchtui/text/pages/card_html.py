"""The card as one HTML file that needs nothing else and prints on one A4 page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from benchtui.text.pages.card import HEADINGS, KEY, Card
from benchtui.text.pages.card_picture import axis, drawing, scale_end
from benchtui.text.pages.handover import Handover
from benchtui.text.pages.sheet_page import OUTRANKED
from benchtui.text.quantities.show import inert

PAGE_POINTS = 690
"""What a page holds within its margins, A4 or Letter: 255 mm of the shorter one, the rest for rounding."""

LINE = 1.25
"""Points a line takes, over the size of its type."""

LARGEST, SMALLEST = 10.5, 5.0
"""Sizes of type in points; below the smallest nobody reads it, and a second page begins."""

CHARACTERS = 1150
"""Characters in one line, times the size of type in points."""

CELL = 16
"""Characters in a cell that is not broken into lines."""

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
"""What a browser may load for this page: nothing."""

LEGEND = (
    "Grey field: the range. "
    "Outline above: as found. Filled bar below: as left. An arrow: open to that side. "
    "read: locked and measured again; UNREAD: locked and not measured; SLACK: not locked."
)

_STYLE = """
@page { margin: 12mm 14mm }
* { box-sizing: border-box }
:root { color-scheme: light dark; --ink: #000; --paper: #fff; --field: #ddd; --rule: #999 }
body { font: SIZEpt/1.25 sans-serif; color: var(--ink); background: var(--paper); margin: 0 auto;
  max-width: 182mm; overflow-wrap: break-word }
h1 { font-size: 1.5em; margin: 0; border-bottom: 2px solid var(--ink) }
h2 { font-size: 1em; margin: .6em 0 0 }
p, ul { margin: .15em 0 } ul { padding-left: 1.3em } li { margin: 0 }
dl { columns: 2; margin: .4em 0 } dl div { break-inside: avoid } dt { display: inline;
  font-weight: bold } dt::after { content: ": " } dd { display: inline; margin: 0 }
table { border-collapse: collapse; width: 100%; margin: .3em 0 }
th, td { text-align: left; padding: 0 .35em; vertical-align: middle; white-space: nowrap }
td.long { white-space: normal; overflow-wrap: anywhere } th { font-weight: bold }
td.drawn { border-bottom: 1px solid var(--rule); padding: .1em 0 }
svg { display: block; width: 100%; height: 1.7em }
.axis { position: relative; height: 1.3em; font-size: .85em }
.axis span { position: absolute; transform: translateX(-50%) }
.ticks { list-style: none; padding: 0; columns: 2 } .state { font-weight: bold }
.range { fill: var(--field); stroke: var(--rule) } .found { fill: var(--paper); stroke: var(--ink) }
.left { fill: var(--ink); stroke: var(--ink) } .clash { stroke-dasharray: 3 2; fill: none }
rect, path { vector-effect: non-scaling-stroke } .small { font-size: .85em }
.steps { list-style: none; padding: 0 } .steps li { padding: .4em 0 .4em 1.7em; text-indent: -1.7em }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #eee; --paper: #111; --field: #444; --rule: #888 } }
@media screen and (max-width: 640px) {
  body { font-size: 16px; padding: 0 12px } dl, .ticks { columns: 1 }
  table, thead, tbody, tr, td { display: block } thead tr:first-child { display: none }
  tr.figures { display: flex; flex-wrap: wrap; gap: 0 .8em; padding-top: .5em }
  tr.figures td { padding: 0 } tr.figures td[data-of]::before { content: attr(data-of) " " } }
"""


def card_html(card: Card) -> str:
    """The whole document, ASCII only; whatever came from a file is escaped."""
    return document(f"{card.title}: valve clearances", _body(card), type_size(card))


def handover_html(page: Handover) -> str:
    """The page for whoever goes on, to be ticked off."""
    return document(page.title, _handover(page), LARGEST)


def _handover(page: Handover) -> Iterator[str]:
    yield f"<h1>{_safe(page.title)}</h1><p>{_safe(page.stopped)}</p>"
    steps = "".join(f"<li>&#9744; {_safe(step)}</li>" for step in page.steps)
    yield f'<ul class="steps">{steps}</ul>'
    yield from _list("Notes", page.notes)
    yield f'<p class="small">{_safe(OUTRANKED)}</p>'


def document(title: str, body: Iterable[str], size: float) -> str:
    """A whole page of ours, ASCII only; ``body`` is markup, and ``size`` that of its type in points."""
    page = "\n".join(
        [
            '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">',
            f"<title>{_safe(title)}</title>",
            f"<style>{_STYLE.replace('SIZE', f'{size:.2f}')}</style></head><body>",
            *body,
            "</body></html>",
        ]
    )
    # A terminal of another encoding between here and the file then changes no letter.
    return page.encode("ascii", "xmlcharrefreplace").decode("ascii")


def type_size(card: Card) -> float:
    """The largest type, in points, with which the card fits on one page by its length."""
    size = LARGEST
    while size > SMALLEST and _lines(card, CHARACTERS / size) * LINE * size > PAGE_POINTS:
        size -= 0.1
    return max(size, SMALLEST)


def _lines(card: Card, wide: float) -> float:
    """Lines of type on the page, with ``wide`` characters in each."""

    def long(texts: Sequence[str], width: float) -> float:
        return sum(1 + len(inert(text)) // width for text in texts)

    facts = [f"{label}: {text}" for label, text in card.facts]
    ticks = [f"[x] {what}: {figure}" for what, figure, _ in card.torques]
    cells = sum(max(1 + len(c) // 14 for c in v.cells) for v in card.valves)
    lists = [t for t in (card.missing, card.handover, card.notes) if t]
    headings = 1.6 * (len(lists) + bool(ticks))
    body = sum(long(texts, wide * 0.9) for texts in lists)
    inline = long(
        [KEY[card.unit] + LEGEND, card.due, OUTRANKED, card.state, "; ".join(card.struck)], wide
    )
    # Below each row of figures lies its drawing, and above all of them the scale.
    rows = 1.1 * max(cells, len(card.valves)) + 1.7 * len(card.valves) + 3
    return (
        3.5
        + len(card.workshop)
        + long(facts, wide / 2.4) / 1.6
        + rows
        + headings
        + body
        + inline
        + len(ticks) * 0.8
    )


def _body(card: Card) -> Iterator[str]:
    for line in card.workshop:
        yield f"<p>{_safe(line)}</p>"
    yield f"<h1>{_safe(card.title)}: valve clearances</h1>"
    yield f'<p class="state">{_safe(card.state)}</p><dl>'
    for label, text in card.facts:
        yield f"<div><dt>{_safe(label)}</dt><dd>{_safe(text)}</dd></div>"
    yield "</dl><table>"
    yield from _rows(card)
    yield f'</table><p class="small">{KEY[card.unit]} {LEGEND}</p>'
    if card.struck:
        yield f"<p><b>Struck readings</b> <s>{_safe('; '.join(card.struck))}</s></p>"
    if card.torques:
        yield '<h2>Torques</h2><ul class="ticks">'
        for what, figure, ticked in card.torques:
            mark = "&#9745; done" if ticked else "&#9744; open"
            yield f"<li>{mark}: {_safe(what)}: {_safe(figure)}</li>"
        yield "</ul>"
    yield from _list("Put right", card.amended)
    yield from _list("What is lacking", card.missing)
    yield from _list("Handing over", card.handover)
    yield from _list("Notes", card.notes)
    yield f"<p><b>Next check</b> {_safe(card.due)}</p>"
    yield f'<p class="small">{_safe(OUTRANKED)}</p>'


def _rows(card: Card) -> Iterator[str]:
    end = scale_end(card.valves)
    heads = "".join(f'<th scope="col">{h}</th>' for h in HEADINGS)
    wide = f'colspan="{len(HEADINGS)}" class="drawn"'
    yield f"<thead><tr>{heads}</tr><tr><td {wide}>{axis(end, card.unit)}</td></tr></thead><tbody>"
    for valve in card.valves:
        cells = "".join(_cell(h, c) for h, c in zip(HEADINGS, valve.cells, strict=True))
        yield f'<tr class="figures">{cells}</tr><tr><td {wide}>{drawing(valve, end)}</td></tr>'
    yield "</tbody>"


def _cell(heading: str, text: str) -> str:
    long = ' class="long"' if len(text) > CELL else ""
    of = f' data-of="{heading}"' if heading and text else ""
    return f"<td{long}{of}>{_safe(text)}</td>"


def _list(heading: str, items: Sequence[str]) -> Iterator[str]:
    if items:
        listed = "".join(f"<li>{_safe(item)}</li>" for item in items)
        yield f"<h2>{heading}</h2><ul>{listed}</ul>"


def _safe(text: str) -> str:
    return escape(inert(text))
