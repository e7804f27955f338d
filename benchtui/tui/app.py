"""The program: one app, its themes, and the session in hand.

Long, because start, signals, the end and the session in hand hang together.
"""

from __future__ import annotations

import asyncio
import signal
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import PurePath
from threading import Lock
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.widgets import Input

from benchtui.domain.errors import NotKept
from benchtui.text.quantities.show import inert
from benchtui.tui import themes
from benchtui.tui.frame import WorkScreen
from benchtui.tui.keys import ANSWER_KEYS, BENCH, CRANK, GUARDED_KEYS
from benchtui.tui.terminal import hung_up, may_vanish, on_terminal
from benchtui.tui.widgets.guard import KeyGuard, KeyLock, Press

if TYPE_CHECKING:
    from typing import Any

    from textual.driver import Driver
    from textual.screen import Screen
    from textual.timer import Timer

    from benchtui.domain.session.facts.state import State
    from benchtui.practice.session import Rehearsal
    from benchtui.text.words.torque_words import OnWrench
    from benchtui.tui.screens.home import HomeScreen
    from benchtui.workshop import LiveSession, Workshop

Filling = Callable[[Callable[[], bool], Callable[[int, int], None]], None]
"""Fills a data folder; asks whether it is to stop, and tells so many of so many."""

HOW_TO_LEAVE = (
    "Everything entered is on disk. Esc goes back a screen; on the engines' screen Q ends the program. "
    "Ctrl-Q ends it from anywhere."
)

_LOOK_EVERY = 1.0
"""Seconds between two looks at a session's file, and at the terminal."""

ENDINGS = ("SIGTERM", "SIGHUP", "SIGBREAK")
"""The signals of an end from outside, by name: no platform has all of them."""

_SIGNALLED = 128
"""The exit status after a signal is this and its number, as shells have it."""


class BenchApp(App[int]):
    """The terminal program on one data folder."""

    CSS_PATH: ClassVar[list[str | PurePath]] = [
        "styles/base.tcss",
        "styles/widgets.tcss",
        "styles/screens.tcss",
        "styles/review.tcss",
        "styles/feel.tcss",
    ]
    ENABLE_COMMAND_PALETTE = False
    TITLE = "benchtui"
    # The library's own quit key would end a session with a wiped sleeve; q on the first screen does.
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "Quit", show=False, priority=True)
    ]

    def __init__(
        self,
        workshop: Workshop,
        clock: Callable[[], float] = time.monotonic,
        *,
        filling: Filling | None = None,
        demo: bool = False,
        few_colours: bool = False,
    ) -> None:
        """``filling`` fills the data folder behind the first picture; ``demo``: none of it is real.

        ``few_colours``: the terminal has sixteen.
        """
        super().__init__()
        self.workshop = workshop
        self.filling = filling
        self.demo = demo
        self.drafts: dict[str, dict[str, str]] = {}
        """What was typed into a form that was left: by the form, each line as it stood."""
        self._left = False
        self._filler = Lock()
        self.live: LiveSession | None = None
        self.flipped = False
        self.wrench: OnWrench | None = None
        self._following: Timer | None = None
        self._told = ""
        self.untold: list[tuple[str, bool]] = []
        self._guard = KeyGuard(clock)
        self._lock = KeyLock()
        # Before anything is drawn: a change of theme reads every style again.
        themes.install(self, few=few_colours)

    def get_driver_class(self) -> type[Driver]:
        """The platform's own, which outlives its terminal."""
        return may_vanish(super().get_driver_class())

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our roles, so that the styles parse before our theme is on."""
        return themes.variable_defaults()

    def get_default_screen(self) -> Screen[None]:
        """The engines, at the bottom of all: no blank screen is styled and drawn first."""
        from benchtui.tui.screens.home import HomeScreen

        return HomeScreen()

    @property
    def home(self) -> HomeScreen:
        """The engines."""
        return cast("HomeScreen", self.screen_stack[0])

    def to_home(self) -> None:
        """Off with every screen that lies over the engines."""
        while len(self.screen_stack) > 1:
            self.pop_screen()

    def on_load(self) -> None:
        """Before the terminal is changed: whoever ends the program from here on gets it back."""
        if not self.is_headless:
            self._end_on_signals()

    def _end_on_signals(self) -> None:
        """Told to end from outside, let go of the session and leave the terminal as it was found."""
        for name in ENDINGS:
            number: signal.Signals | None = getattr(signal, name, None)
            # What is ignored on purpose, as under nohup, stays ignored.
            if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
                # Windows has no such handlers, and no other thread may set them.
                with suppress(NotImplementedError, RuntimeError, ValueError):
                    asyncio.get_running_loop().add_signal_handler(number, self._end, number)

    def on_mount(self) -> None:
        """From now on see whether the terminal is still there; what no one can see or answer is ended."""
        fileno = None if self.is_headless else on_terminal(self._driver)
        if fileno is not None:

            def look() -> None:
                if hung_up(fileno):
                    self._end(signal.SIGHUP)

            self.set_interval(_LOOK_EVERY, look)

    def _end(self, number: signal.Signals) -> None:
        self.let_go()
        self.exit(_SIGNALLED + number, message=inert(self._told) or None)

    def fill(self, told: Callable[[int, int], None]) -> None:
        """Fill the data folder, if that is still to be done; stops early once the program is left.

        Whoever asks while it is under way waits for it.
        """
        with self._filler:
            if self.filling is not None:
                self.filling(lambda: self._left, told)
                self.filling = None

    def tell(self, text: str, *, alarm: bool = False) -> None:
        """Say something above the keys of whichever screen of ours is in front, once it is there.

        It stands until the next key, where a floating note would lie over the answers' letters.
        """
        self.untold.append((text, alarm))
        self.call_after_refresh(self.tell_now)

    def tell_now(self) -> None:
        """Say what waits to be said, if the screen in front has a place for it."""
        screen = self.screen
        if self.untold and isinstance(screen, WorkScreen) and screen.here:
            waiting, self.untold = self.untold, []
            screen.say("\n".join(t for t, _ in waiting), alarm=any(a for _, a in waiting))

    def toggle_theme(self) -> None:
        """Dark, or black on white."""
        self.theme = themes.other(self.theme)

    def lock_keys(self) -> None:
        """Lock every key until the unlocking word is typed."""
        from benchtui.tui.screens.locked import LockedScreen

        self._lock.lock()
        self.push_screen(LockedScreen())

    async def on_event(self, event: events.Event) -> None:
        """Hold back keys that are locked, repeated by themselves, or struck twice by a glove.

        Keys that arrive together are taken one by one, each by the screen that the one before has
        brought: the library hands all of them to the screen in front when the first arrives.
        """
        # A key comes by a second time, forwarded, where no widget wanted it: it was let through then.
        if isinstance(event, events.Key) and not event.is_forwarded:
            with suppress(TimeoutError):  # a second is more than any screen takes to be put up
                async with asyncio.timeout(1):
                    await self._caught_up()
            if not self._let_through(event.key) or await self._acted_on(event):
                return
        await super().on_event(event)

    async def _caught_up(self) -> None:
        """Wait for what the key before has set going, from the cursor up to the screen in front."""
        screen: Screen[Any] | None = None
        while screen is not self.screen:
            screen = self.screen
            while screen is self.screen and not screen.is_mounted:  # noqa: ASYNC110  # no event of its own
                await asyncio.sleep(0)
            for widget in (self.focused or screen).ancestors_with_self:
                done = asyncio.Event()
                if widget is self or not widget.call_later(done.set):
                    break
                await done.wait()

    async def _acted_on(self, event: events.Key) -> bool:
        """Do at once what the key is bound to; letters are left to the line that has the cursor."""
        if isinstance(self.focused, Input) and event.is_printable:
            if isinstance(self.screen, WorkScreen):
                self.screen.forget_said()  # it was said of the line as it stood
            return False
        bound = self.screen.active_bindings.get(event.key)
        if bound is None:
            return False
        if isinstance(self.screen, WorkScreen):
            self.screen.forget_said()
        return await self.run_action(bound.binding.action, bound.node)

    def _let_through(self, key: str) -> bool:
        if self._lock.locked:
            self._lock.press(key)
            self._show_lock()
            return False
        guarded = key in GUARDED_KEYS and getattr(self.screen, "GUARDED", False)
        if not guarded:
            return True
        press = self._guard.press(key)
        if press is Press.HELD and key in ANSWER_KEYS:
            self.screen.action_undo()  # type: ignore[attr-defined]  # GUARDED screens have it
        return press is Press.COUNTS

    def _show_lock(self) -> None:
        from benchtui.tui.screens.locked import LockedScreen

        if not isinstance(self.screen, LockedScreen):
            return
        if self._lock.locked:
            self.screen.show_typed(self._lock.typed)
        else:
            self.pop_screen()

    def open(self, name: str, valve: str = "") -> None:
        """Put a screen of the work on top, at ``valve`` where it is about one."""
        from benchtui.tui.routes import screen_named

        self.push_screen(screen_named(name, valve))

    def begin(self, live: LiveSession) -> None:
        """Take a session in hand and go to the bench, by way of the crank where that is open."""
        # The rules are loaded with the first session, after the first picture.
        from benchtui.domain.session.next_step import next_step
        from benchtui.tui.routes import place_of

        self.let_go()
        self.live = live
        self.run_worker(live.think_ahead, thread=True, group="ahead")
        look = self._look_again if live.read_only else self._look_after
        self._following = self.set_interval(_LOOK_EVERY, look)
        self.open(BENCH)
        if place_of(next_step(live.bench.state)) == CRANK:
            self.open(CRANK)

    def _look_again(self) -> None:
        self.run_worker(self._follow, thread=True, exclusive=True, group="follow")

    def _look_after(self) -> None:
        """Somebody may replace the session's file while no key is pressed."""
        from benchtui.tui.screens.not_kept import NotKeptScreen

        live = self.live
        if live is None or isinstance(self.screen, NotKeptScreen):
            return
        try:
            live.look_after()
        except NotKept as error:
            self.bell()
            self.push_screen(NotKeptScreen(error, live.look_after))

    def _follow(self) -> None:
        """Another program goes on with this session: show it as it is there now."""
        live = self.live
        if live is not None and live.catch_up():
            self.call_from_thread(self._show_anew, live)

    def _show_anew(self, live: LiveSession) -> None:
        from benchtui.tui.frame import WorkScreen

        for screen in reversed(self.screen_stack):
            if isinstance(screen, WorkScreen) and self.live is live:
                screen.refresh_view()
                return

    @property
    def session_state(self) -> State:
        """The state of the session in hand.

        Raises:
            LookupError: none is in hand.
        """
        if self.live is None:
            raise LookupError("no session is in hand")
        return self.live.bench.state

    def let_go(self) -> None:
        """Release the session in hand; everything in it is on disk already.

        If its file had to be left for another at the last moment, that is said; at the very end of the
        program on the terminal that is left behind.
        """
        if self._following is not None:
            self._following.stop()
            self._following = None
        if self.live is not None:
            self._told = self.live.release()
            self.live = None
            if self._told:
                self.tell(self._told, alarm=True)

    def filed(self) -> None:
        """The session in hand was closed: what came of it; nothing of a practice is kept."""
        from benchtui.practice.session import Rehearsal

        if self.live is None:
            return
        live, session = self.live, self.live.session
        self.let_go()
        self.show_filed(session, live if isinstance(live, Rehearsal) else None)

    def show_filed(self, session: str, practised: Rehearsal | None = None) -> None:
        """The page of a session that was just filed, over the engines."""
        from benchtui.tui.screens.filed import FiledScreen

        self.to_home()
        self.push_screen(FiledScreen(session, practised))
        if practised is not None:
            self._last_of_tour(practised)

    def _last_of_tour(self, practised: Rehearsal) -> None:
        """The tour's last step lies over it: what was true, and the card that a real check leaves."""
        from benchtui.practice.tour import Tour
        from benchtui.text.pages.session_page import card_page
        from benchtui.text.words.practice_words import outcome_paragraphs
        from benchtui.tui.screens.reasons import ReadScreen

        if isinstance(practised, Tour):
            card = card_page(practised.bench.events, None, "", (), "text")
            told = [*outcome_paragraphs(practised.outcomes()), card]
            self.push_screen(ReadScreen(f"{practised.mark}. Step 10 of 10: the card.", told))

    def action_help_quit(self) -> None:
        """Ctrl-C ends nothing here: a wiped sleeve must not. Say what does."""
        self.tell(HOW_TO_LEAVE)

    async def action_quit(self) -> None:
        """End the program; a long reading is gone on with the next time."""
        self._left = True
        self.let_go()
        self.workshop.past_sessions.stop_reading()
        self.exit(0, message=inert(self._told) or None)
