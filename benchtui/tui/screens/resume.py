"""Going on with a session that was not closed."""

from __future__ import annotations

from collections.abc import Callable

from benchtui.domain.errors import BenchError
from benchtui.domain.session.facts.events import Crank, Paused, Resumed
from benchtui.text.words.clock_words import clock_lines
from benchtui.text.words.refusals import error_words
from benchtui.tui.ask import Choose
from benchtui.tui.frame import WorkScreen
from benchtui.tui.screens.before import BeforeScreen, still_to_tick

_CRANK = {"1": Crank.UNMOVED, "2": Crank.MOVED, "3": Crank.UNSURE}

MOVED_QUESTION = "Has the crank moved since?"
HAS_MOVED = {"1": "no, it has not moved", "2": "yes, it has moved", "3": "not sure"}

_MOST_NAMED = 10
"""So many lines of what is missing, so that the answers stay on a low screen."""


def offer(screen: WorkScreen, session: str, look: Callable[[], object]) -> None:
    """Ask what to do with a session that was left open; ``look`` shows it."""

    def answered(key: str | None) -> None:
        if key == "look":
            look()
        elif key == "on":
            screen.app.push_screen(
                Choose(MOVED_QUESTION, HAS_MOVED),
                lambda moved: None if moved is None else go_on(screen, session, moved),
            )
        elif key == "file":
            _ask_to_file(screen, session)

    screen.app.push_screen(
        Choose(
            "This check was not closed.",
            {
                "on": "go on with it",
                "file": "file it as partial: it does not count as a check",
                "look": "look at it",
            },
        ),
        answered,
    )


def offer_sound_part(screen: WorkScreen, session: str, look: Callable[[], object]) -> None:
    """Ask what to do with a session whose file is damaged; ``look`` shows what can be read of it."""

    def answered(key: str | None) -> None:
        if key == "look":
            look()
        elif key == "mend":
            try:
                name = screen.program.workshop.open_sessions.mend(session)
            except BenchError as error:
                screen.say(str(error), alarm=True)
                return
            screen.on_screen_resume()
            screen.say(f"Its sound part is {name} now; the damaged file stays as it is.")

    answers = {"look": "look at it", "mend": "go on from its sound part, in a file of its own"}
    screen.app.push_screen(Choose("This session's file is damaged.", answers), answered)


def _ask_to_file(screen: WorkScreen, session: str) -> None:
    """File it once he has read what is missing: a rag may still be counted in."""
    workshop = screen.program.workshop
    try:
        lacking, paused = (
            workshop.open_sessions.lacking(session),
            workshop.open_sessions.paused(session),
        )
    except BenchError as error:
        screen.say(error_words(error), alarm=True)
        return

    def answered(key: str | None) -> None:
        if key is None:
            return
        if key == "file" and paused:
            screen.app.push_screen(Choose(MOVED_QUESTION, HAS_MOVED), answered)
            return
        try:
            workshop.open_sessions.file_partial(session, _CRANK.get(key))
        except BenchError as error:
            screen.say(error_words(error), alarm=True)
        else:
            screen.program.show_filed(session)

    if not lacking:
        screen.say("Nothing is missing in this check: go on with it and close up.")
        return
    more = len(lacking) - _MOST_NAMED
    lines = [*lacking[:_MOST_NAMED], *([f"and {more} more"] if more > 0 else [])]
    screen.app.push_screen(
        Choose("This is missing:", {"file": "file it as partial"}, "\n".join(lines)), answered
    )


def go_on(screen: WorkScreen, session: str, answer: str) -> None:
    """Open the session where it stopped; ``answer`` says whether the crank has moved.

    A program that was killed left no pause behind: the gap is recorded now.
    """
    program = screen.program
    live = None
    try:
        live = program.workshop.open_sessions.resume(session)
        if not live.read_only:
            if not live.bench.state.paused:
                live.bench.do(Paused())
            live.bench.do(Resumed(_CRANK[answer]))
    except BenchError as error:
        if live is not None:
            live.release()
        screen.say(error_words(error), alarm=True)
        return
    program.begin(live)
    clock = clock_lines(live.bench.events[-3:])  # the last step, the pause, and going on now
    for told in (live.told, *clock):
        if told:
            program.tell(told, alarm=True)
    if not live.read_only and still_to_tick(live.bench.state):
        program.push_screen(BeforeScreen())
    if live.read_only:
        program.tell("Open in another program: here it can only be looked at.", alarm=True)
