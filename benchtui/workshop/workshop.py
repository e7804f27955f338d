"""The one front: everything that a screen or a command asks of a data folder."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from benchtui.blade_shelf import BladeShelf
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.history.finer import finer_of
from benchtui.domain.history.usage import Usage
from benchtui.domain.session.facts.events import Opened, Particulars, ReadFinely
from benchtui.domain.sheet import Sheet
from benchtui.store.clock import new_session_id
from benchtui.store.paths import DataFolder
from benchtui.text.reading.workshop_file import FinerWanted
from benchtui.workshop.data_root import DataRoot
from benchtui.workshop.engines import Engines
from benchtui.workshop.hands import Hands
from benchtui.workshop.open_session import OpenSessions
from benchtui.workshop.past_sessions import PastSessions
from benchtui.workshop.reviews import Reviews
from benchtui.workshop.taught import taught


class Workshop:
    """Everything in one data folder: its engines, hands, past sessions, and those at work."""

    def __init__(self, data: DataFolder, clock: Callable[[], datetime]) -> None:
        root = DataRoot(data, clock)
        self.data, self.clock = data, clock
        self.shelf = BladeShelf(data, root.library)
        self.engines = Engines(root)
        self.hands = Hands(root)
        self.past_sessions = PastSessions(root)
        self.reviews = Reviews(root, self.engines, self.past_sessions, self.shelf)
        self.open_sessions = OpenSessions(root, self.engines, self.past_sessions, self.reviews)

    def titles(self) -> list[tuple[str, str]]:
        """Key and name of each of the owner's engines, quickly: the sheets are not checked."""
        return self.engines.titles()

    def untouched(self) -> bool:
        """Whether there is neither an engine nor a session of the owner's, as at the first start."""
        return self.engines.untouched()

    def opening(
        self,
        sheet: Sheet,
        blades_key: str,
        particulars: Particulars,
        *,
        rule: DecisionRule | None = None,
        fewest: bool = False,
        without: str = "",
    ) -> Opened:
        """The opening of a new session, with what past ones taught.

        Without a ``rule`` the sheet's own holds, else plain. ``without`` is a session that it takes
        the place of, so that it is not taught by it.

        Raises:
            FaultyInput: the blade set, or the hand of whoever is named, cannot be used.
        """
        now = Usage(self.clock().date(), particulars.odometer_km, particulars.hours)
        records = [r for r in self.past_sessions.records(sheet.key) if r.session != without]
        past = taught(records, now, sheet)
        told = self.reviews.workshop()
        finer = finer_of(records, sheet, unasked=told.finer is not FinerWanted.ALWAYS)
        if told.finer is FinerWanted.NEVER:
            finer = None
        return Opened(
            session=new_session_id(sheet.key, self.clock()),
            sheet=sheet,
            blades_key=blades_key,
            blades=self.engines.blades(blades_key),
            particulars=particulars,
            rule=rule or sheet.clearances.rule or DecisionRule.PLAIN,
            left_last=past.left_last,
            fitted_last=past.fitted_last,
            past_shifts=past.past_shifts,
            past_runs=past.past_runs,
            left_slack=past.left_slack,
            by_blade=past.by_blade,
            band=past.band,
            on_figure=past.on_figure,
            effort=told.effort,
            finer=None if finer is None else ReadFinely(finer.valve, finer.enough),
            fewest=fewest,
            feel=self.hands.feel(particulars.who),
        )
