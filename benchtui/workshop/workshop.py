"""The one front: everything that a screen or a command asks of a data folder."""

from __future__ import annotations

from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.history.usage import Usage
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.domain.sheet import Sheet
from benchtui.store.clock import new_session_id
from benchtui.workshop.hands import Hands
from benchtui.workshop.open_session import Live
from benchtui.workshop.taught import taught


class Workshop(Hands, Live):
    """Everything in one data folder."""

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
        records = [r for r in self.records(sheet.key) if r.session != without]
        past = taught(records, now, sheet.adjuster)
        return Opened(
            session=new_session_id(sheet.key, self.clock()),
            sheet=sheet,
            blades_key=blades_key,
            blades=self.blades(blades_key),
            particulars=particulars,
            rule=rule or sheet.clearances.rule or DecisionRule.PLAIN,
            left_last=past.left_last,
            fitted_last=past.fitted_last,
            past_shifts=past.past_shifts,
            past_runs=past.past_runs,
            left_slack=past.left_slack,
            by_blade=past.by_blade,
            fewest=fewest,
            feel=self.feel(particulars.who),
        )
