"""The keys of one screen, group by group."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.standing import Standing
from benchtui.tui.frame import OUTRANK, RolledScreen
from benchtui.tui.keys import BENCH, CRANK, HELP, SCREENS, SETTING, bindings_for, help_rows
from benchtui.tui.widgets.marks import SHAPES, STRUCK
from benchtui.tui.widgets.ruler import NEXT

_WITH_SIGNS = (BENCH, SETTING, CRANK)
"""The screens whose pictures have them."""

_SENTENCE = 60
"""Columns of a sentence beside its keys, at 80 columns; the rest goes below."""


class HelpScreen(RolledScreen):
    """What every key of a screen does."""

    SCREEN = HELP
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(HELP)

    def __init__(self, about: str) -> None:
        super().__init__()
        self._about = about

    def title_text(self) -> str:
        """Which screen it is about."""
        return f"the keys of: {SCREENS[self._about]}"

    def body(self) -> ComposeResult:
        """A table of keys."""
        lines: list[Content] = []
        heading = ""
        for group, keys, sentence in help_rows(self._about):
            if group != heading:
                lines.append(Content.styled(group, "bold underline"))
                heading = group
            first, *more = wrap(sentence, _SENTENCE)
            lines.append(Content.assemble((f"  {keys:<16}", "bold"), first))
            lines += [Content(f"{'':<18}{line}") for line in more]
        if self._about in _WITH_SIGNS:
            lines += self._signs()
        lines.append(Content(""))
        lines.append(Content(f"{OUTRANK} In doubt ask a qualified mechanic."))
        with VerticalScroll(id="page"):
            yield Static(Content("\n").join(lines), markup=False)

    def _signs(self) -> list[Content]:
        """Every sign with its word, drawn from the tables that the pictures use."""
        lines = [Content.styled("Signs at a valve", "bold underline")]
        for standing in Standing:
            sign = Content.styled(f"  {standing.sign} {standing.word:<16}", "bold")
            lines.append(sign + Content(standing.meaning))
        readings = "   ".join(f"{shape} {answer.value}" for answer, shape in SHAPES.items())
        lines.append(Content.styled("On the ruler", "bold underline"))
        lines.append(Content(f"  {readings}   {STRUCK} struck   {NEXT} the blade to try"))
        lines.append(
            Content("  ┤▒▒├ setting range   ├╌╌┤ undecided   ├━━┤ decided   ╶╴ blades' errors")
        )
        lines.append(Content("  On the map [ ] this valve, ( ) at another stop of the crank."))
        return lines
