"""Engines that go by another name now, and engines that are retired."""

from __future__ import annotations

from collections.abc import Callable

from benchtui.domain.errors import BenchError
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen
from benchtui.workshop import Shown

KEYS = "123456789"


def ask_which(screen: WorkScreen, gone: Shown, done: Callable[[], object]) -> None:
    """Whose history is it, now that its sheet goes by another name?"""
    workshop = screen.program.workshop
    try:
        offered = dict(zip(KEYS, workshop.reviews.may_be(gone), strict=False))
    except BenchError as error:
        screen.say(error_words(error), alarm=True)
        return
    if not offered:
        screen.say(f"The sheet of {gone.gone} is gone, and no new engine has the same valves.")
        return

    def answered(key: str | None) -> None:
        if key is not None:
            _tried(
                screen, lambda: workshop.past_sessions.same_engine(gone.key, offered[key].key), done
            )

    answers = {key: sheet.name for key, sheet in offered.items()}
    question = f"The sheet of {gone.gone} is gone. Which engine is it now?"
    detail = "Its history will be that engine's from now on."
    screen.app.push_screen(Choose(question, answers, detail), answered)


def ask_to_retire(screen: WorkScreen, engine: Shown | None, done: Callable[[], object]) -> None:
    """Retire the engine chosen, or bring one back."""
    workshop = screen.program.workshop
    back = dict(zip(KEYS, workshop.engines.retired(), strict=False))
    answers = {key: f"bring {name} back" for key, (_, name) in back.items()}
    if engine is not None and engine.unfinished is None and not engine.gone:
        name = engine.key if engine.sheet is None else engine.sheet.name
        answers = {"retire": f"retire {name}: out of the list, its history stays", **answers}
    if not answers:
        screen.say("Only an engine of yours without an open check is retired.")
        return

    def answered(key: str | None) -> None:
        if key == "retire" and engine is not None:
            _tried(screen, lambda: workshop.engines.retire(engine.key), done)
        elif key is not None:
            _tried(screen, lambda: workshop.engines.bring_back(back[key][0]), done)

    screen.app.push_screen(Choose("Engines that are no longer looked after", answers), answered)


def _tried(screen: WorkScreen, step: Callable[[], None], done: Callable[[], object]) -> None:
    try:
        step()
    except BenchError as error:
        screen.say(error_words(error), alarm=True)
    else:
        done()
