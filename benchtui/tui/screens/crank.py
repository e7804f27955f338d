"""The crank: where to turn it, and the two pieces of evidence that it is there.

Long, because it is one class: one short action a sign.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static

from benchtui.domain.cautions import CautionAt, cautions
from benchtui.domain.crank.angles import degrees
from benchtui.domain.crank.dial import dial
from benchtui.domain.crank.words import companion_of
from benchtui.domain.session.evidence.slack_nuts import slack_nuts
from benchtui.domain.session.facts.events import CrankTurned, Evidence, Sign
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.next_step import next_step
from benchtui.domain.session.next_step.kinds import LookPast
from benchtui.domain.session.next_step.nut_slack import lock_first
from benchtui.domain.session.steps.crank import PIECES_WANTED
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.session.whole.next_stop import StopAhead, evidence_for, stops_ahead
from benchtui.domain.sheet import FULL_CYCLE
from benchtui.practice.session import Rehearsal
from benchtui.text.quantities import measure
from benchtui.text.quantities.show import inert
from benchtui.text.quantities.wrapping import wrap
from benchtui.text.words.crank_words import THEN, doubt_words, reason_words, stop_title, way_words
from benchtui.text.words.evidence_words import GO_ROUND, short_evidence
from benchtui.text.words.told import told
from benchtui.tui.ask import Ask
from benchtui.tui.frame import WorkScreen, plain
from benchtui.tui.keys import CRANK, bindings_for
from benchtui.tui.present import valve_map
from benchtui.tui.present_confirming import against, confirming, turn_untold, wanted_words
from benchtui.tui.present_crank import crank_dial, map_at
from benchtui.tui.present_step import big_step
from benchtui.tui.screens.doubting import ask_what_was_seen
from benchtui.tui.screens.reasons import ReadScreen
from benchtui.tui.widgets.bigtext import Big, BigText
from benchtui.tui.widgets.crank_dial import CrankDialPicture
from benchtui.tui.widgets.signs import SignBox, Signs, SignsPicture
from benchtui.tui.widgets.valve_map import ValveMapPicture

_KEYS = {
    Evidence.MARK: 1,
    Evidence.SLACK: 2,
    Evidence.SPIN: 2,
    Evidence.LOBES: 2,
    Evidence.ROCKS: 2,
    Evidence.TURNED: 2,
    Evidence.INLET: 3,
    Evidence.STILL: 4,
    Evidence.COMPANION: 6,
}
"""The number key of each piece of evidence: the same at every stop, after a look too."""

_GIVEN = 3
"""Rows that the place gives up."""
_MAP = 28
"""Columns of the map, and what is blank beside it."""
_AFTER_THE_LOOK = "Then 5, and say what was seen there: its 4 or its 5."


class CrankScreen(WorkScreen):
    """Puts the next cylinder on its stroke and makes sure that it is not one turn out.

    ``wanted`` names a valve whose stop is to come first.
    """

    SCREEN = CRANK
    GUARDED = True
    BINDINGS: ClassVar[list[BindingType]] = bindings_for(CRANK)

    def __init__(self, wanted: str = "") -> None:
        super().__init__()
        self._seen: set[Evidence] = set()
        self._later = 0
        self._wanted = wanted

    def body(self) -> ComposeResult:
        """The place in tall letters, the dial; the way there and the head; the signs."""
        with Horizontal(id="crank-top"):
            with Vertical(id="crank-place"):
                yield BigText(id="stop-cylinder")
                yield BigText(id="stop")
            yield CrankDialPicture(id="dial")
        yield Static(GO_ROUND, id="go-round", markup=False, classes="caution")
        with Horizontal(id="crank-middle"):
            with VerticalScroll(can_focus=False, id="crank-text"):
                yield Static(id="doubt", markup=False, classes="caution")
                yield Static(id="where", markup=False)
            yield ValveMapPicture(id="map")
        yield Static(id="sign-wanted", markup=False, classes="strong")
        yield SignsPicture(id="signs")
        yield Static(id="sign-other", markup=False)

    @property
    def state(self) -> State:
        """The session as it stands."""
        return self.program.session_state

    def title_text(self) -> str:
        """The engine, and which of how many stops."""
        stop = stop_title(self.state, self._ahead())
        return f"{self.state.opened.sheet.name}  {stop}".rstrip()

    def caution_text(self) -> str:
        """By hand, forward only; not at all while a locknut is slack, whatever stands below."""
        if slack := slack_nuts(self.state):
            return told(lock_first(self.state, slack[0]), self.state).sentence
        return cautions(CautionAt.CRANK, self.state.opened.sheet)[0]

    def refresh_view(self) -> None:
        """Where to turn it and what has been seen."""
        if self.program.live is None:
            return
        super().refresh_view()
        ahead, sheet = self._ahead(), self.state.opened.sheet
        stop = ahead.stop
        self.query_one("#stop-cylinder", BigText).show(Big(inert(f"CYL {stop.cylinder}")))
        unfit = against(self.state, stop, self._seen)
        doubt = "\n".join([unfit] if unfit else self._doubt_words())
        # Where it stands is what is doubted: its name in tall letters would say that it is sure.
        now_asked = big_step(told(next_step(self.state, self._wanted or None), self.state))
        self.query_one("#stop", BigText).show(now_asked if doubt and not unfit else Big(stop.place))
        self.query_one("#doubt", Static).update(plain(doubt, lines=True))
        self.query_one("#doubt").display = bool(doubt)
        self._fit()
        self.once_painted(self._fit)
        self._show_signs(ahead)
        now = stop.crank_angle if ahead.here or self.state.crank is None else self.state.crank
        shown = crank_dial(dial(sheet, now), sheet)
        self.query_one("#dial", CrankDialPicture).show(shown)
        views = {name: look(self.state, name) for name in self.state.valves}
        spots = map_at(stop, valve_map(self.state, views, "", flipped=self.program.flipped))
        self.query_one("#map", ValveMapPicture).show(spots)

    def on_resize(self) -> None:
        """More words may fit beside the map, or fewer."""
        self.once_painted(self._fit)

    def _fit(self) -> None:
        """No word at the crank is to be scrolled for: what comes after gives way, then the map."""
        if self.program.live is None:
            return
        where, room = self.query_one("#where", Static), self.query_one("#crank-middle").size.height
        if not room:
            where.update(plain("\n".join(way_words(self.state, self._ahead())), lines=True))
            where.display = True
            return  # not laid out yet
        room -= not self.query_one("#message").display  # something may be said any moment
        doubt = str(self.query_one("#doubt", Static).content).splitlines()
        words = [] if doubt else way_words(self.state, self._ahead())
        beside = self.size.width - _MAP
        shorter = words[:-1] if words and words[-1].startswith(THEN) else words
        needed = 0
        whole = self.size.width - 2
        for said, columns in (
            (words, beside), (shorter, beside), (words, whole), (shorter, whole)
        ):  # fmt: skip
            needed = sum(len(wrap(line, columns)) for line in (*doubt, *said))
            if needed <= room:
                break
        # The height that the place gave up is asked for again only when it is there.
        self.set_class(needed > room - _GIVEN * self.has_class("-cramped"), "-cramped")
        where.update(plain("\n".join(said), lines=True))
        where.display = bool(said)  # an empty one would take a row
        self.set_class(columns != beside, "-crowded")

    def _ahead(self) -> StopAhead:
        """The stop asked for: the next that still has work, or the one chosen after it."""
        stops = stops_ahead(self.state, wanted=self._wanted)
        return stops[self._later % len(stops)]

    def _doubt_words(self) -> list[str]:
        state = self.state
        if state.turned:
            return []
        step = next_step(state, self._wanted or None)
        cylinder = state.doubted or next((s.cylinder for s in state.signs), None)
        if isinstance(step, LookPast):
            cylinder = step.cylinder
        if cylinder is None:
            return []
        felt = isinstance(step, LookPast) or any(s.sign is Sign.TIGHT for s in state.signs)
        return [*doubt_words(state, cylinder), *([_AFTER_THE_LOOK] if felt else [])]

    def _show_signs(self, ahead: StopAhead) -> None:
        companion = companion_of(self.state.opened.sheet, ahead.stop.cylinder)
        offered = evidence_for(self.state, ahead.stop)
        boxes = tuple(
            SignBox(_KEYS[e], short_evidence(e, inert(ahead.stop.cylinder)), e in self._seen)
            for e in offered
            if e is not Evidence.COMPANION
        )
        self.query_one(SignsPicture).show(Signs(boxes))
        other = "5  something does not fit: touch no screw"
        if Evidence.COMPANION in offered:
            box = "[√]" if Evidence.COMPANION in self._seen else "[ ]"
            rock = " ".join(short_evidence(Evidence.COMPANION, "", companion))
            other = f"5  it does not fit: touch no screw   {_KEYS[Evidence.COMPANION]} {box} {rock}"
        self.query_one("#sign-other", Static).update(plain(other))
        wanted = wanted_words(self.state, ahead, self._seen)
        self.query_one("#sign-wanted", Static).update(wanted)

    # Evidence

    def _toggle(self, number: int) -> None:
        offered = evidence_for(self.state, self._ahead().stop)
        meant = {e for e in offered if _KEYS[e] == number}
        if meant:
            self._seen ^= meant
            self.refresh_view()
            if meant <= self._seen and len(self._seen) >= PIECES_WANTED:
                self.action_confirm()

    def action_seen(self, number: str = "") -> None:
        """The sign of this number was seen, or was not after all."""
        if number:
            self._toggle(int(number))

    def action_companion_seen(self) -> None:
        """The valves of the cylinder one turn apart rock."""
        self._toggle(_KEYS[Evidence.COMPANION])

    # Doubt

    def action_doubt(self) -> None:
        """Something does not fit: what was it?"""
        place = self.state.place
        cylinder = self._ahead().stop.cylinder if place is None else place.confirmed.cylinder
        ask_what_was_seen(self, self.state.doubted or cylinder, self._seen.clear)

    # Turning

    def action_turned_on(self) -> None:
        """On to the next stop: how far was the crank turned?

        What was ticked before holds no longer: it was seen where the crank stood then.
        """
        ahead = self._ahead()
        self._seen.clear()
        if ahead.forward is None and any(s.sign.against for s in self.state.signs):
            self._ask_turn(FULL_CYCLE, lambda: None)
            return
        if ahead.forward is None:
            self._later += 1
            self.refresh_view()
            self.say(
                "How far it was turned cannot tell where it stands: its signs at this place do."
            )
            return
        far = ahead.forward
        if ahead.here:
            others = [a for a in stops_ahead(self.state) if a.forward is not None and not a.here]
            far = next((a.forward for a in others if a.forward is not None), FULL_CYCLE)
        self._ask_turn(far, lambda: None)

    def _ask_turn(self, far: Fraction, then: Callable[[], None]) -> None:
        def told(text: str | None) -> None:
            if not text:
                return
            if self.do(CrankTurned(measure.angle(text))):
                self._later = 0
                if self._arrived():
                    then()

        self.app.push_screen(
            Ask(
                "How far forward was the crank turned? (degrees)",
                value=degrees(far).removeprefix("about "),
                hint="180, or 0.5 turn",
                check=measure.angle,
            ),
            told,
        )

    def _arrived(self) -> bool:
        """Whether the turn told leads to the stop; if not, how far it still is."""
        ahead = self._ahead()
        if ahead.forward is not None and not ahead.here:
            self._seen.clear()
            self.refresh_view()
            self.say(f"Not there yet: {degrees(ahead.forward)} degrees on.", alarm=True)
            return False
        if Evidence.TURNED in evidence_for(self.state, ahead.stop) and ahead.forward == 0:
            self._seen.add(Evidence.TURNED)
            self.refresh_view()
        return True

    def action_confirm(self) -> None:
        """Confirm the position and measure; a turn not told yet is asked for first."""
        ahead = self._ahead()
        if self.state.place is not None and ahead.forward == 0 and not self._seen:
            self.app.pop_screen()
        elif against(self.state, ahead.stop, self._seen):
            self.say("Not to be measured here: why stands above.", alarm=True)
            self.app.bell()
        elif isinstance(self.program.live, Rehearsal) and len(self._seen) < PIECES_WANTED:
            self.action_try_it()
        elif ahead.forward is not None and turn_untold(self.state, ahead, self._seen):
            self._ask_turn(ahead.forward, self._confirm)
        else:
            self._confirm()

    def _confirm(self) -> None:
        if self.do(confirming(self.state, self._ahead().stop, self._seen)):
            self.app.pop_screen()

    # Elsewhere

    def action_why(self) -> None:
        """Why each valve may be measured here or not; before it the way there in full."""
        ahead = self._ahead()
        told = [*way_words(self.state, ahead), *reason_words(self.state, ahead.stop)]
        self.app.push_screen(ReadScreen("Why these valves", told))

    def action_try_it(self) -> None:
        """In practice: let the practice hand feel whether the rockers are slack."""
        live, cylinder = self.program.live, self._ahead().stop.cylinder
        if not isinstance(live, Rehearsal):
            self.say("No practice hand is at a real engine: feel the rockers yourself.")
        elif not self.state.turned and any(s.sign is Sign.TIGHT for s in self.state.signs):
            opens = "the inlet opens" if live.opens(cylinder) else "nothing moves"
            self.say(f"The practice hand turned 45 degrees on: {opens}. 5 says so.")
        elif live.slack(cylinder):
            self.say(f"The practice hand: the mark lines up, both rockers of {cylinder} are slack.")
        else:
            self.say(
                f"The practice hand: the mark lines up, but a rocker of {cylinder} is not loose.",
                alarm=True,
            )

    def action_stop_before(self) -> None:
        """The stop before this one."""
        self._look_at(-1)

    def action_stop_after(self) -> None:
        """The stop after this one."""
        self._look_at(1)

    def action_page_before(self) -> None:
        """Roll the words back, where they are longer than their room."""
        self.query_one("#crank-text").scroll_page_up(animate=False)

    def action_page_after(self) -> None:
        """Roll the words on."""
        self.query_one("#crank-text").scroll_page_down(animate=False)

    def _look_at(self, by: int) -> None:
        """What was ticked was seen at the stop that stood there."""
        if len(stops_ahead(self.state)) > 1:
            self._seen.clear()
            self._later += by
            self.refresh_view()

    def unoffered(self) -> frozenset[str]:
        """One stop has no other; Enter has nothing to do before the bench may open."""
        state, ahead = self.state, self._ahead()
        one = {"stop_before", "stop_after", "turned_on"} if len(stops_ahead(state)) == 1 else set()
        placed = state.place is not None and ahead.forward == 0
        alone = Evidence.COMPANION not in evidence_for(state, ahead.stop)
        early = not placed and len(self._seen) < PIECES_WANTED
        return frozenset(
            one | ({"companion_seen"} if alone else set()) | ({"confirm"} if early else set())
        )

    def action_flip_map(self) -> None:
        """Look at the head from the other side."""
        self.program.flipped = not self.program.flipped
        self.refresh_view()
