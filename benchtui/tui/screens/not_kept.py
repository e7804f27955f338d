"""What was just told could not be put on disk: said in tall letters, and the next key tries again."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from benchtui.domain.errors import BenchError, NotKept
from benchtui.text.quantities.show import inert
from benchtui.text.words.refusals import error_words
from benchtui.tui.parts import WithParts
from benchtui.tui.widgets.bigtext import Big, BigText

AGAIN = "Any key tries again. Esc leaves it: the last answer is then not recorded."


class NotKeptScreen(WithParts, ModalScreen[bool]):
    """Stays until ``again``, which tries once more, goes through (True) or it is left (False)."""

    def __init__(self, error: NotKept, again: Callable[[], object]) -> None:
        super().__init__()
        self._error, self._again = error, again

    def compose(self) -> ComposeResult:
        """The tall word, the sentence, what to do."""
        with Vertical(classes="dialog"):
            yield BigText(Big(self._error.tall), id="not-kept")
            yield Static(inert(str(self._error)), id="why", markup=False, classes="out")
            yield Static(AGAIN, markup=False, classes="strong")

    def on_key(self, event: events.Key) -> None:
        """Try again, or leave it; the key goes no further."""
        event.stop()
        event.prevent_default()
        if event.key == "escape":
            self.dismiss(result=False)
            return
        try:
            self._again()
        except NotKept as error:
            self.query_one("#not-kept", BigText).show(Big(error.tall))
            self.query_one("#why", Static).update(inert(error_words(error)))
            self.app.bell()
        except BenchError:  # it would be refused by now: the bench says so when it is given again
            self.dismiss(result=False)
        else:
            self.dismiss(result=True)
