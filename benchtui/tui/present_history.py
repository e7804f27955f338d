"""From records to what the review screens draw: a matter of words and shapes, not of rules.

Long, because every review screen has its words and shapes here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.history.axis import Axis
from benchtui.domain.history.compare import ValvePair
from benchtui.domain.history.slopes import Seen
from benchtui.domain.history.usage import Meter
from benchtui.domain.history.valve_trend import Findings, Meeting, ValveTrend
from benchtui.domain.history.wear import ProvedTrend
from benchtui.domain.length import ZERO, Length
from benchtui.domain.session.whole.record import Gauged, SessionRecord, ValveRecord
from benchtui.domain.sheet import Band
from benchtui.domain.typed import as_typed
from benchtui.text.quantities.show import LengthUnit, date, figure, inert, month, seen, temperature
from benchtui.text.words.bracket_words import bracket_cell
from benchtui.text.words.history_words import (
    done_words,
    ending_words,
    forecast_short,
    moved_words,
    per_words,
    place_words,
    shims_words,
    slope_words,
)
from benchtui.text.words.stamped import gap_seen, printed_unit
from benchtui.text.words.standing import Standing
from benchtui.text.words.state_words import standing_of_verdict
from benchtui.tui.widgets.canvas import Role
from benchtui.tui.widgets.drift_bars import DriftBars, DriftRow
from benchtui.tui.widgets.gap_bars import KEY, GapBars, GapRow, NoteRow
from benchtui.tui.widgets.marks import ROLES, STRUCK
from benchtui.tui.widgets.ruler import Bar, Figure
from benchtui.tui.widgets.trend import AxisPlace, Check, DrawnWedge, Trend


def verdict_mark(gauged: Gauged) -> tuple[str, str, Role]:
    """Shape and word of a verdict, and the role of its colour: ``√``, ``in range``."""
    standing = standing_of_verdict(gauged.verdict)
    return standing.sign, standing.word, ROLES[standing]


def unit_for(record: SessionRecord) -> LengthUnit:
    """The unit that this engine's limits are printed in."""
    bands = [v.setting for v in record.valves if v.setting is not None]
    return printed_unit(end for band in bands for end in (band.low, band.high))


def _told(unit: LengthUnit) -> Callable[[Length], str]:
    return seen if unit == "mm" else lambda length: figure(length, unit, places=4)


def _band(band: Band | None, unit: LengthUnit) -> tuple[Figure, Figure] | None:
    if band is None:
        return None
    told = _told(unit)
    return Figure(band.low, told(band.low)), Figure(band.high, told(band.high))


def bar_of(gauged: Gauged | None) -> Bar | None:
    """Where a gap lies; of readings that contradict each other, the stretch that they disagree on."""
    if gauged is None:
        return None
    bracket = gauged.bracket
    if bracket.clash and bracket.high is not None:
        return Bar(bracket.high, bracket.low)
    return Bar(bracket.low, bracket.high)


def gap_row(
    valve: ValveRecord, width: int, unit: LengthUnit = "mm", *, current: bool = False
) -> GapRow:
    """A valve's gap as it was left, and before that as it was found, against its range."""
    label, band = f"{inert(valve.name):<{width}}", _band(valve.setting, unit)
    before = bar_of(valve.found) if valve.touched else None
    if valve.left is None:
        again = " again" if valve.touched else ""
        said = f"not measured{again}"
        return GapRow(label, None, band, said, Role.FAINT, before=before, current=current)
    shape, word, role = verdict_mark(valve.left)
    return GapRow(
        label,
        bar_of(valve.left),
        band,
        f"{bracket_cell(valve.left.bracket, ' to ', _told(unit))} {shape} {word}",
        role,
        f"{bracket_cell(valve.left.bracket, told=_told(unit))} {shape}",
        before,
        undecided=valve.left.verdict.kind is VerdictKind.UNDECIDED,
        current=current,
    )


def found_words(valve: ValveRecord, unit: LengthUnit) -> str:
    """``found 0.05 to 0.06, tight``; empty where it was not measured before it was set."""
    if valve.found is None:
        return ""
    _, word, _ = verdict_mark(valve.found)
    return f"found {bracket_cell(valve.found.bracket, ' to ', _told(unit))}, {word}"


def set_lines(record: SessionRecord) -> tuple[str, ...]:
    """``1E was found 0.05 to 0.06, tight; turned 22 degrees in all, opening, locked, measured again``."""
    unit = unit_for(record)
    return tuple(
        f"{inert(v.name)} was {found_words(v, unit) or 'not measured before'}; {done_words(v)}."
        for v in record.valves
        if v.touched
    )


def valve_rows(
    valve: ValveRecord, width: int, unit: LengthUnit = "mm", *, current: bool = False
) -> tuple[GapRow | NoteRow, ...]:
    """The gap, what it was and what was done, what was struck out."""
    rows: list[GapRow | NoteRow] = [gap_row(valve, width, unit, current=current)]
    if valve.touched:
        done = done_words(valve)
        rows += [NoteRow(found) for found in (found_words(valve, unit),) if found]
        rows.append(NoteRow(done, Role.CAUTION if "NOT " in done else Role.FAINT))
    elif shims_words(valve):
        rows.append(NoteRow(shims_words(valve)))
    if valve.owners_band and valve.setting is not None:
        rows.append(NoteRow(f"range {valve.setting} is the owner's own band"))
    rows += [NoteRow(f"{STRUCK} struck out: {inert(str(r))}") for r in valve.struck]
    rows += [NoteRow(f"{STRUCK} set aside, two against one: {r}") for r in valve.set_aside]
    return tuple(rows)


def session_bars(record: SessionRecord, current: str | None = None) -> GapBars:
    """Every valve of a session, found and left."""
    width, unit = max((len(v.name) for v in record.valves), default=0), unit_for(record)
    rows = tuple(
        row for v in record.valves for row in valve_rows(v, width, unit, current=v.name == current)
    )
    return GapBars((*rows, NoteRow(f"{KEY}, {unit}")))


def row_of_valve(record: SessionRecord, name: str) -> int:
    """The row of the picture on which a valve begins."""
    width = max((len(v.name) for v in record.valves), default=0)
    before = record.valves[: [v.name for v in record.valves].index(name)]
    return 1 + sum(len(valve_rows(v, width)) for v in before)


def circumstances(record: SessionRecord, *, short: bool = False, ended: bool = True) -> str:
    """``1 May 2026, M., 12 400 km, metal 19 C (66 F): complete``."""
    told = [date(record.started.date())]
    if record.who:
        told.append(record.who)
    if record.odometer_km is not None:
        told.append(place_words(Meter.KM, record.odometer_km))
    if record.hours is not None:
        told.append(place_words(Meter.HOURS, record.hours))
    if record.metal_c is not None and not short:
        told.append(f"metal {temperature(record.metal_c)}")
    return ", ".join(told) + (f": {ending_words(record)}" if ended else "")


def pair_bars(pairs: tuple[ValvePair, ...], unit: LengthUnit) -> tuple[GapBars, GapBars]:
    """Two pictures on one scale, row for row: the earlier session, and the later one."""
    width = max((len(p.name) for p in pairs), default=0)
    earlier: list[GapRow | NoteRow] = []
    later: list[GapRow | NoteRow] = []
    for pair in pairs:
        for rows, valve in ((earlier, pair.earlier), (later, pair.later)):
            rows.append(
                GapRow(f"{inert(pair.name):<{width}}", None, None, "not there", Role.FAINT)
                if valve is None
                else gap_row(valve, width, unit)
            )
        earlier.append(NoteRow(""))
        later.append(
            NoteRow(f"since: {moved_words(pair.moved, unit)}", Role.STRONG, indented=False)
        )
    scale = (*GapBars(tuple(earlier)).lengths, *GapBars(tuple(later)).lengths)
    earlier += [NoteRow(""), NoteRow(f"{_PAIR_KEY}, {unit}", indented=False)]
    later += [NoteRow(""), NoteRow(_SHAPES, indented=False)]
    return GapBars(tuple(earlier), scale), GapBars(tuple(later), scale)


_PAIR_KEY = "░ before it was set ├━┤ left [▒] range"
_SHAPES = " ".join(
    f"{s.sign} {s.word}"
    for s in (Standing.IN_RANGE, Standing.AT_LIMIT, Standing.TIGHT, Standing.WIDE)
)


_COURSES = {
    ProvedTrend.CLOSING: "▼ {} closing up",
    ProvedTrend.OPENING: "▲ {} opening",
    ProvedTrend.NONE: "√ {} steady",
    ProvedTrend.TOO_FEW: "? {} too few checks",
    ProvedTrend.UNSTEADY: "≠ {} not steady",
    ProvedTrend.JUMP: "! {} jumped",
}


def course_words(finding: ValveTrend) -> str:
    """``▼ 1E closing up``, by what is proved, else by the estimate."""
    proved = finding.course.last.trend
    claimed = proved if proved not in (ProvedTrend.NONE, ProvedTrend.TOO_FEW) else finding.estimated
    return _COURSES[proved if claimed is ProvedTrend.NONE else claimed].format(
        inert(finding.course.valve)
    )


def trend_picture(found: Findings, finding: ValveTrend) -> Trend | None:
    """One valve over distance: every run's brackets, the range, what is proved and what is estimated.

    None where one look is all there is: that makes no course.
    """
    meter = found.meter
    if meter is None or len({look.x for w in finding.course.runs for look in w.run.seen}) < _COURSE:
        return None
    places = _Places(found, finding, meter)
    low, high = finding.course.band.low, finding.course.band.high
    first, last = _limits(finding)
    unit = printed_unit((low, high))
    counted = found.points[-1].read if found.points else Fraction(0)
    return Trend(
        band=(Figure(low, gap_seen(low, unit)), Figure(high, gap_seen(high, unit))),
        checks=places.checks(),
        wedge=_wedge(places, finding),
        across=as_typed(counted, meter.value)[1],
        up=unit,
        title="",
        limit=None if first is None else places.ahead(first),
        last=None if last is None else places.ahead(last),
        estimate=_reach(places, finding),
        breaks=places.axis.breaks,
    )


_COURSE = 2


def _limits(finding: ValveTrend) -> tuple[Meeting | None, Meeting | None]:
    """Where the limit is met, by the estimate, else by what is proved; what lies in the picture."""
    expected = finding.expected
    first, last = finding.earliest, finding.latest
    if expected is not None:
        first, last = expected.first, expected.last
    now, horizon = finding.course.last.run.seen[-1].x, finding.horizon.done
    shown = [None if m is None or not now < m.done <= horizon else m for m in (first, last)]
    return shown[0], shown[1]


class _Places:
    """Counter readings of one picture, as they read, by what day, and where they are drawn."""

    def __init__(self, found: Findings, finding: ValveTrend, meter: Meter) -> None:
        self._points, self._meter = found.points, meter
        self._runs = tuple(w.run for w in finding.course.runs)
        self.axis = Axis.of(seen.x for run in self._runs for seen in run.seen)

    def seen(self, done: Fraction) -> AxisPlace:
        """A check."""
        point = next((p for p in reversed(self._points) if p.done == done), None)
        read = done if point is None else point.read
        day = "" if point is None else month(point.on)
        told = int(as_typed(read, "")[0])
        return AxisPlace(self.axis.at(done), f"{told:,}".replace(",", " "), day)

    def ahead(self, meeting: Meeting) -> AxisPlace:
        """What is foretold."""
        day = "" if meeting.on is None else month(meeting.on)
        # No farther ahead than the history is long as it is drawn: where a mistyped counter was
        # drawn short, what is foretold must not squeeze it instead.
        start, last = self.axis.drawn[0], self.axis.drawn[-1]
        at = min(self.axis.at(meeting.done), last + max(last - start, Fraction(1)))
        return AxisPlace(at, _bare_place(self._meter, meeting.reads), day)

    def checks(self) -> tuple[Check, ...]:
        """Found in each run but its first bracket, which is what was left, unless it opens the history."""
        checks: dict[Fraction, Check] = {}
        for number, run in enumerate(self._runs):
            for at, look in enumerate(run.seen):
                before = checks.get(look.x, Check(self.seen(look.x)))
                if number > 0 and at == 0:
                    checks[look.x] = replace(before, left=_seen_bar(look))
                else:
                    checks[look.x] = replace(before, found=_seen_bar(look))
        return tuple(checks.values())


def _seen_bar(seen: Seen) -> Bar:
    return Bar(seen.low or ZERO, seen.high)


def _bare_place(meter: Meter, at: Fraction) -> str:
    told = at if meter is Meter.KM else Fraction(round(at))
    return place_words(meter, told).rpartition(" ")[0]


def _wedge(places: _Places, finding: ValveTrend) -> DrawnWedge | None:
    """Drawn where a drift is proved and both edges are bounded, as far as the horizon.

    With no drift proved it would be a forecast of nothing.
    """
    ahead, end = finding.course.last.ahead, finding.horizon
    if finding.earliest is None or ahead is None or ahead.lower is None or ahead.upper is None:
        return None
    if end.done <= ahead.last:
        return None
    ends = [
        Length(max(0, round(line.at(x))))
        for x in (ahead.last, end.done)
        for line in (ahead.lower, ahead.upper)
    ]
    return DrawnWedge(
        places.seen(ahead.last), ends[0], ends[1], places.ahead(end), ends[2], ends[3]
    )


def _reach(places: _Places, finding: ValveTrend) -> DrawnWedge | None:
    """The estimate's band, from the last look to the horizon."""
    if finding.reach is None:
        return None
    now, then = finding.reach.now, finding.reach.then
    last = finding.course.last.run.seen[-1].x
    return DrawnWedge(places.seen(last), *now, places.ahead(finding.horizon), *then)


def sibling_bars(found: Findings, finding: ValveTrend) -> DriftBars:
    """The valves of one kind together, their drifts on one scale."""
    meter = found.meter or Meter.KM
    rows = []
    for each in found.siblings(finding):
        wear = each.course.last
        slope = wear.slope if wear.trend is not ProvedTrend.TOO_FEW else None
        apart = each.course.valve in found.apart
        rows.append(
            DriftRow(
                label=inert(each.course.valve),
                low=None if slope is None else slope.low,
                high=None if slope is None else slope.high,
                known=slope is not None and (slope.low, slope.high) != (None, None),
                said=inert(_in_short(each, meter)),
                role=Role.CAUTION if apart or each.earliest is not None else Role.FAINT,
                current=each is finding,
            )
        )
    kind = finding.kind.value
    heading = f"Drift of the {kind} valves since each was last set, per {per_words(meter)}"
    return DriftBars(tuple(rows), heading)


def _in_short(each: ValveTrend, meter: Meter) -> str:
    """``closing up: limit 0.08 mm at 30 000 km to 42 000 km``; where nothing is foretold, how fast."""
    wear = each.course.last
    said = "carried on" if wear.carried else str(wear.trend.value)
    told = forecast_short(each, meter)
    if not told and wear.trend not in (ProvedTrend.TOO_FEW, ProvedTrend.UNSTEADY, ProvedTrend.JUMP):
        # The heading says over what: here the line is short.
        told = slope_words(wear.slope, meter).replace(f" in {per_words(meter)}", "")
    return f"{said}: {told}" if told else said
