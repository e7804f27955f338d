"""The card of a session in its three forms, and the handover page."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from fractions import Fraction
from html.parser import HTMLParser
from itertools import count
from xml.etree import ElementTree as ET

import pytest
from markdown_it import MarkdownIt

from benchtui.bench import Bench
from benchtui.domain.history.due import Due, next_due
from benchtui.domain.history.usage import Usage
from benchtui.domain.session.facts.events import Opened
from benchtui.domain.session.facts.state import State
from benchtui.domain.sheet import Papers
from benchtui.replay_script import Player, Script, load_script
from benchtui.store.clock import clock_from
from benchtui.store.journal import MemoryJournal
from benchtui.store.library import Library
from benchtui.store.paths import shipped_specs
from benchtui.text.pages.card import HEADINGS, WIDTH, card_of, card_text
from benchtui.text.pages.card_html import card_html, handover_html
from benchtui.text.pages.card_markdown import card_markdown, handover_markdown, plain
from benchtui.text.pages.handover import handover_of, handover_steps, handover_text
from benchtui.text.reading.blades_file import parse_blades
from benchtui.text.reading.sheet_file import parse_sheet

NASTY = '=HYPERLINK("x") <b onclick=a()>B</b> [l](javascript:a) \x1b[31m\u202ered'

COMPLETE = """
date 2026-05-01
who M.
odometer 12400 km
metal 19 C
position 1 mark slack
1I 0.06 free
1I 0.10 refuses
1E 0.05 free
1E 0.08 refuses
1E turn out 22
1E lock
1E 0.09 free
1E 0.10 free
1E strike 0.10
1E 0.12 refuses
torque rocker cover bolts
close
"""


class Shelf:
    """The shipped sheets, or a text of the test's own."""

    def __init__(self, sheet: str = "") -> None:
        specs = shipped_specs()
        self._library = Library((specs,), (specs / "blades",))
        self._text = sheet

    def sheet(self, name: str) -> object:
        if self._text:
            return parse_sheet(self._text, name, "x.toml")
        return self._library.sheet(name)

    def blades(self, name: str) -> object:
        if self._text:
            return parse_blades('format = 1\nleaves = ["0.05 mm", "0.10 mm"]', name, "x.toml")
        return self._library.blades(name)


def played(steps: str, engine: str = "quay-pump", sheet: str = "") -> State:
    return benched(steps, engine, sheet).state


def benched(steps: str, engine: str = "quay-pump", sheet: str = "") -> Bench:
    text = f"sheet {engine}\nblades fine-metric\n{steps}"
    script: Script = load_script(text, "x", Shelf(sheet))  # type: ignore[arg-type]  # duck-typed
    clock = clock_from(script.day or date(2026, 5, 1))
    ids = count(1)
    player = Player(
        script,
        lambda particulars, rule: Bench.open(
            MemoryJournal(),
            clock,
            Opened(
                f"s-{next(ids)}", script.sheet, script.blades_key, script.blades, particulars, rule
            ),
        ),
    )
    refused = [str(p.refused) for p in player.play() if p.refused]
    assert not refused
    assert player.bench is not None
    return player.bench


def due_of(state: State) -> Due:
    interval = state.opened.sheet.interval
    assert interval is not None
    at = Usage(date(2026, 5, 1), Fraction(12400))
    return next_due(interval, at, Usage(date(2026, 5, 1)), (at,))


WHOLE = """
date 2026-05-01
who M.
hours 436
metal 18 C
stood 6 h
count in 4 rags
position 1 tight 1I
look 1 still
position 1 mark inlet
1I 0.06 free
1I 0.10 refuses
1E 0.05 free
1E 0.08 refuses
1E turn out 22
1E lock
1E 0.09 free
1E 0.10 refuses
1E blind
1E 0.07 free
1E 0.08 refuses
1E blind end
turned over
position 1 mark slack
1E spot 0.09 drag
count out 4 rags
torque rocker cover bolts
torque adjuster locknuts
first run
no leaks
close
"""


def facts_of(bench: Bench) -> dict[str, str]:
    return dict(card_of(bench.state, None, events=bench.events).facts)


def test_card_tells_how_the_crank_was_found_and_what_came_after() -> None:
    facts = facts_of(benched(WHOLE))
    assert facts["crank"].startswith("CYL 1: nothing is loose (1I); CYL 1: 45 degrees on")
    assert facts["crank"].endswith("CYL 1 COMPRESSION: mark, inlet; CYL 1 COMPRESSION: mark, slack")
    assert facts["metal"] == "18 C, stood 6 h"
    assert facts["counted"] == "rags 4 in, 4 out"
    # Left 0.09-0.10, read again blind as 0.07-0.08: at least 0.09 less 0.08, at most 0.10 less 0.07.
    assert facts["blind repeats"] == "1E at least 0.01 mm apart, at most 0.03 mm"
    assert facts["after the setting"] == (
        "turned over by hand, spot-check 1E 0.09 drag, fits, first run, no leaks"
    )


def test_card_says_which_steps_nobody_recorded() -> None:
    facts = facts_of(benched(COMPLETE))
    assert facts["after the setting"] == (
        "not recorded: turning over, spot-check, first run, look for leaks"
    )
    assert "blind repeats" not in facts
    assert "counted" not in facts


def test_a_spot_check_that_did_not_fit_is_on_the_card_and_one_undone_is_not() -> None:
    before, _, _ = WHOLE.partition("1E spot")
    facts = facts_of(benched(f"{before}1E spot 0.07 refuses\n"))
    assert "spot-check 1E 0.07 refuses, did not fit" in facts["after the setting"]
    undone = facts_of(benched(f"{before}1E spot 0.07 refuses\nundo\nposition 1 doubt\nundo\n"))
    assert "did not fit" not in undone["after the setting"]
    assert "doubted" not in undone["crank"]


def test_card_tells_what_a_micrometer_said_of_a_shim() -> None:
    steps = "position 1 mark slack\n1E-left shim 2.80 measured 2.79\n"
    facts = facts_of(benched(steps, "ferry-tender"))
    assert facts["micrometer"] == "1E-left 2.80 measures 2.79 mm"


def test_text_card_tells_found_turned_left_and_next_due() -> None:
    state = played(COMPLETE)
    text = card_text(card_of(state, due_of(state)))
    rows = {line.split()[0]: line.split() for line in text.splitlines() if line[:2] in ("1I", "1E")}
    assert rows["1I"] == ["1I", "0.06-0.10", "0.06-0.10", "in", "range", "-", "-", "as", "found"]
    assert rows["1E"][:4] == ["1E", "0.08-0.12", "0.05-0.08", "tight"]
    assert rows["1E"][4:] == ["opened", "22", "read", "0.09-0.12", "in", "range"]
    assert "Struck readings  1E: 0.10 free" in text
    assert "[x] rocker cover bolts" in text
    assert "[ ] adjuster locknuts" in text
    assert "Complete check." in text
    assert "harbour workshop notes, page 12" in text
    assert "1 May 2026" in text
    assert "12 400 km" in text
    assert "19 C" in text
    assert "1 November 2026" in text  # six months on
    assert "manual and local rules outrank" in text
    assert "Handing over" not in text


def test_text_card_keeps_its_width() -> None:
    state = played(f"note {'a long note ' * 40}{COMPLETE}")
    assert max(map(len, card_text(card_of(state, None)).splitlines())) <= WIDTH


def test_a_partial_card_passes_no_date_off_as_its_next_check() -> None:
    state = played("metal 19 C\nposition 1 mark slack\n1I 0.06 free\nclose\n")
    assert card_of(state, due_of(state)).due.startswith(
        "This session is partial and counts as no check: the interval runs on. "
    )


def test_damage_is_told_first_and_is_no_check() -> None:
    state = played(COMPLETE)
    card = card_of(state, None, "line 4: the checksum does not fit")
    assert card.state.startswith("DAMAGED FILE")
    assert "line 4" in card.state
    assert card.handover


@pytest.mark.parametrize(("steps", "cell"), [("1E lock", "UNREAD"), ("", "SLACK")])
def test_a_valve_not_locked_or_not_read_stands_out(steps: str, cell: str) -> None:
    begun = "metal 19 C\nposition 1 mark slack\n1E 0.05 free\n1E 0.08 refuses\n1E turn out 20\n"
    card = card_of(played(begun + steps), None)
    assert card.valves[1].after == cell
    assert card.valves[1].left == "not read"


# What comes from files stays inert.

NASTY_SHEET = f"""
format = 1
name = {NASTY!r}
[layout]
cylinders = ["1"]
firing = {{ 1 = 0 }}
valves = {{ 1 = ["1I", "1E"] }}
[clearance]
inlet = ["0.05 mm", "0.10 mm"]
exhaust = ["0.05 mm", "0.10 mm"]
[adjuster]
kind = "screw"
pitch = "0.75 mm"
[[torque]]
what = "<i>cover</i> | bolts"
value = "8 N*m"
""".replace("\x1b", "\\u001b")


def nasty() -> State:
    sheet = NASTY_SHEET.replace(repr(NASTY), '"' + NASTY.replace('"', '\\"') + '"')
    sheet = sheet.replace("\x1b", "\\u001b").replace("\u202e", "\\u202e")
    return played(f"metal 19 C\nwho {NASTY}\nposition 1 mark slack\nnote {NASTY}\n", sheet=sheet)


def test_terminal_escapes_stay_inert_on_the_text_card() -> None:
    state = nasty()
    for text in (card_text(card_of(state, None)), handover_text(state)):
        assert "\x1b" not in text
        assert "\u202e" not in text
        assert "<b onclick=a()>" in text  # shown as it is: a terminal does nothing with it
        assert all(c == "\n" or c.isprintable() for c in text)


class Tags(HTMLParser):
    """Every tag with its attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


def test_html_of_a_nasty_session_has_no_tag_or_attribute_but_ours() -> None:
    page = card_html(card_of(nasty(), None))
    tags = Tags()
    tags.feed(page)
    names = {tag for tag, _ in tags.seen}
    assert not names & {"script", "img", "i", "a", "link", "iframe", "object"}
    assert all(not (k.startswith("on") or k in ("href", "src")) for _, at in tags.seen for k in at)
    assert "<b onclick=a()>B</b>" in tags.text  # read back as text
    assert "\x1b" not in page
    assert "default-src 'none'" in page


def test_html_keeps_every_letter_in_ascii() -> None:
    state = played("metal 19 C\nwho J\u00f6rg \u0141. \U0001f6a2\nposition 1 mark slack\n")
    page = card_html(card_of(state, None))
    assert page.isascii()
    tags = Tags()
    tags.feed(page)
    assert "J\u00f6rg \u0141. \U0001f6a2" in tags.text


def test_html_stands_alone_and_its_drawings_are_sound() -> None:
    state = played(COMPLETE)
    page = card_html(card_of(state, due_of(state)))
    assert "http:" not in page
    assert "https:" not in page
    assert "url(" not in page
    drawings = [ET.fromstring(svg) for svg in re.findall(r"<svg.*?</svg>", page)]  # noqa: S314  # our own text
    assert len(drawings) == 2  # the valves
    assert re.findall(r"<span[^>]*>([^<]*)</span>", page)[:2] == ["0.02", "0.04"]  # the scale
    classes = [[r.get("class") for r in d.iter("rect")] for d in drawings]
    assert classes == [["range", "found", "left"]] * 2


def test_the_drawing_is_to_scale() -> None:
    """1E: range 0.08 to 0.12, found 0.05 to 0.08, left 0.09 to 0.12 (the blades above)."""
    state = played(COMPLETE)
    page = card_html(card_of(state, None))
    last = ET.fromstring(re.findall(r"<svg.*?</svg>", page)[-1])  # noqa: S314  # our own text
    at = {
        r.get("class"): (float(r.get("x", "")), float(r.get("width", "")))
        for r in last.iter("rect")
    }
    left, wide = at["range"]
    per_mm = wide / 0.04
    assert left / per_mm == pytest.approx(0.08, abs=0.0005)
    assert at["found"][0] / per_mm == pytest.approx(0.05, abs=0.0005)
    assert sum(at["found"]) / per_mm == pytest.approx(0.08, abs=0.0005)
    assert at["left"][0] / per_mm == pytest.approx(0.09, abs=0.0005)
    assert sum(at["left"]) / per_mm == pytest.approx(0.12, abs=0.0005)


def rendered(markdown: str) -> list[str]:
    """Every tag that a Markdown reader makes of it, tables and bare links included."""
    reader = MarkdownIt("gfm-like", {"html": True})
    return re.findall(r"<(/?[a-z][a-z0-9]*)", reader.render(markdown))


def test_markdown_of_a_nasty_session_renders_as_plain_text() -> None:
    markdown = card_markdown(card_of(nasty(), None))
    tags = set(rendered(markdown))
    assert not tags & {"b", "i", "a", "img", "code", "em"}
    assert "table" in tags
    assert "\x1b" not in markdown


@pytest.mark.parametrize(
    "text",
    [
        "# big",
        "- item",
        "+ item",
        "1. one",
        "12) twelve",
        "> quote",
        "===",
        "---",
        "***",
        "`code`",
        "*em*",
        "__strong__",
        "![i](x)",
        "[l](x)",
        "<https://a.b>",
        "<!-- c -->",
        "~~~",
        "```",
        "&lt;",
        "a  \nb",
        "| a | b |",
        "https://a.example/b",
        "see www.a.example now",
    ],
)
def test_markdown_plain_text_is_one_paragraph_of_itself(text: str) -> None:
    reader = MarkdownIt("gfm-like", {"html": True})
    html = reader.render(plain(text)).strip()
    assert re.findall(r"</?[a-z]+", html) == ["<p", "</p"]


def test_markdown_table_keeps_its_columns() -> None:
    state = played(COMPLETE)
    markdown = card_markdown(card_of(state, None))
    assert rendered(markdown).count("td") == 2 * 8


# Handing over.


def test_handover_names_what_is_loose_first() -> None:
    state = played(
        "metal 19 C\ncount in 4 rags\nposition 1 mark slack\n1E 0.05 free\n1E 0.08 refuses\n"
        "1E turn out 20\npause\n"
    )
    steps = handover_steps(state)
    assert steps[0].startswith("Nobody starts")
    assert steps[1].startswith("LOOSE")
    assert "1E" in steps[1]
    assert steps[2] == "INSIDE: not counted out yet: rags (4)."
    assert any("Not ticked" in s and "rocker cover bolts, adjuster locknuts" in s for s in steps)
    crank = next(s for s in steps if s.startswith("Crank"))
    assert "Crank: CYL 1 COMPRESSION (" in crank
    assert "the mark lines up" in crank
    order = [s for s in steps if s.startswith("Next on")]
    assert order[0].startswith("Next on 1I: Try ")
    assert order[1].startswith("Next on 1E: A touch only: hold in 0.10 and set to it.")


def test_handover_of_a_doubted_position_tells_how_to_reach_compression() -> None:
    steps = handover_steps(played("metal 19 C\nposition 1 mark slack\nposition 1 doubt\n"))
    crank = next(s for s in steps if s.startswith("Crank"))
    assert "may be overlap" in crank
    assert "forward" in crank


def test_handover_sends_to_the_stops_that_are_left() -> None:
    state = played("metal 19 C\nposition 1 mark slack\n1I 0.15 free\n", engine="harbour-van")
    later = [s for s in handover_steps(state) if s.startswith("Then measure")]
    assert len(later) == 1
    assert later[0].startswith("Then measure 2E, 3I, 4I, 4E")


def test_handover_of_a_complete_check_has_nothing_to_do() -> None:
    assert "Nothing: the check is complete." in handover_text(played(COMPLETE))


VOID = {"meta", "rect", "path"}
"""What has no end: the void elements of HTML that stand on the page, and our shapes."""


class Nesting(HTMLParser):
    """What is open; an end that fits no beginning raises."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002  # as the parser calls it
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002  # as the parser calls it
        assert tag in VOID

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


@pytest.mark.parametrize("what", ["card", "handover"])
def test_every_element_is_closed_where_it_was_opened(what: str) -> None:
    state = nasty()
    page = card_html(card_of(state, None)) if what == "card" else handover_html(handover_of(state))
    reader = Nesting()
    reader.feed(page)
    reader.close()
    assert not reader.open
    assert '<meta name="viewport" content="width=device-width, initial-scale=1">' in page
    assert "prefers-color-scheme: dark" in page


def test_a_customers_card_is_headed_with_the_workshop_and_names_the_engine() -> None:
    state = played(COMPLETE)
    papers = Papers(customer="Ferry office", plate="HB 12", serial="0042 <b>")
    opened = replace(state.opened, sheet=replace(state.opened.sheet, papers=papers))
    card = card_of(replace(state, opened=opened), None, workshop=("Harbour workshop", "12 Quay"))
    for page in (card_text(card), card_markdown(card), card_html(card)):
        for words in ("Harbour workshop", "12 Quay", "Ferry office", "HB 12", "0042"):
            assert words in page
        assert page.index("Harbour workshop") < page.rindex("valve clearances")
    assert "<b>" not in card_html(card).partition("0042")[2][:20]
    assert "&#9745; done" in card_html(card)


def test_a_drawing_is_as_wide_as_the_page() -> None:
    """182 mm on paper, and whatever a telephone's 390 px leave: it has a row of its own, stretched."""
    page = card_html(card_of(played(COMPLETE), None))
    assert 'preserveAspectRatio="none"' in page
    assert f'<td colspan="{len(HEADINGS)}" class="drawn"><svg' in page
    assert "svg { display: block; width: 100%" in page


def test_the_handover_as_markdown_is_a_list_to_tick() -> None:
    page = handover_markdown(handover_of(played("metal 19 C\nposition 1 mark slack\n")))
    html = MarkdownIt("gfm-like").render(page)
    assert html.startswith("<h1>Handing over: Quay pump")
    assert "- [ ] Nobody starts or cranks this engine" in page
