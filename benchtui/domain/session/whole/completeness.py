"""What stands between a session and a complete check."""

from __future__ import annotations

from benchtui.domain.gauging.verdict import VerdictKind
from benchtui.domain.session.facts.events import AfterStep
from benchtui.domain.session.facts.state import State
from benchtui.domain.session.facts.valve_history import StageKind
from benchtui.domain.session.valve.assessment import look
from benchtui.domain.sheet import Torque
from benchtui.domain.work_steps import work_lines

SPOT_MISFIT = "the spot-check did not fit what was left, so measure it afresh"


def missing(state: State) -> tuple[str, ...]:
    """What stands between this session and a complete check, valve by valve, then the tally."""
    lacking = []
    for name in state.valves:
        view = look(state, name)
        if view.done:
            continue
        if view.slack_nut:
            lacking.append(f"{name}: the locknut is slack")
        elif view.unread_after_lock:
            lacking.append(f"{name}: not measured since it was {view.stage.value}")
        elif view.cams_out or (view.stage is StageKind.REFITTED and view.unread):
            lacking.append(f"gauge {name} again: the cams have been out since")
        elif view.stage is StageKind.AGAIN:
            said = f"now {view.verdict.kind.value}, {view.verdict.because}"
            lacking.append(f"{name}: {SPOT_MISFIT}; {said}")
        elif view.unread:
            lacking.append(f"{name}: not measured")
        else:
            none = view.verdict.kind is VerdictKind.NONE
            said = "no verdict" if none else view.verdict.kind.value
            lacking.append(f"{name}: {said}, {view.verdict.because}")
    lacking += [f"not counted out: {item} ({count})" for item, count in state.short.items()]
    return tuple(lacking)


NOTHING_DONE = "nothing was measured"
"""Why an empty session is not filed, or was dropped."""


def anything_done(state: State) -> bool:
    """Whether any valve was tried, measured or touched; what was struck counts too."""
    stages = [stage for valve in state.valves.values() for stage in valve.stages]
    read = any(stage.taken or stage.measures for stage in stages) or bool(
        state.whole or state.repeats
    )
    return read or any(valve.touched for valve in state.valves.values())


def anything_set(state: State) -> bool:
    """Whether any adjuster was touched.

    Where none was, turning the engine over and trying a valve again are offered and not asked for, and
    no locknut wants its torque (own choice).
    """
    return any(valve.touched for valve in state.valves.values())


def locknut(state: State) -> Torque | None:
    """The locknut's own line of the sheet's torques."""
    return next((t for t in state.opened.sheet.torques if "locknut" in t.what.lower()), None)


def nuts_untorqued(state: State) -> tuple[str, ...]:
    """The valves whose locknut was turned last without its figure, and not ticked since."""
    nut = locknut(state)
    if nut is None or nut.what in state.torques:
        return ()
    last = {
        name: next((s for s in reversed(v.stages) if s.kind in _NUT_TURNED), None)
        for name, v in state.valves.items()
    }
    return tuple(name for name, turn in last.items() if turn is not None and not turn.torqued)


_NUT_TURNED = (StageKind.TURNED, StageKind.LOCKED)


def torqued(state: State, torque: Torque) -> bool:
    """Whether this fastening was told to be at its figure; of locknuts every one, at its lock or after."""
    if torque is locknut(state) and anything_set(state):
        return torque.what in state.torques or not nuts_untorqued(state)
    return torque.what in state.torques


def cap_bolts(state: State) -> tuple[Torque, ...]:
    """The bolts of the cams' caps, on the sheet's list."""
    named = (t for t in state.opened.sheet.torques if "cam" in t.what.lower())
    return tuple(t for t in named if "cap" in t.what.lower())


def torques_asked(state: State) -> tuple[Torque, ...]:
    """The fastenings that this check has to do with.

    The locknuts only where one was turned, the cams' caps only where they came off; or it was ticked.
    """
    untouched: list[Torque] = []
    if not anything_set(state):
        untouched += [nut for nut in (locknut(state),) if nut is not None]
    if state.cams_out is None:
        untouched += cap_bolts(state)
    gone = [t for t in untouched if t.what not in state.torques]
    return tuple(t for t in state.opened.sheet.torques if t not in gone)


def unticked(state: State) -> tuple[str, ...]:
    """The fastenings of the sheet's torque list that nobody has ticked."""
    return tuple(t.what for t in torques_asked(state) if not torqued(state, t))


def spot_asked(state: State) -> bool:
    """Whether one valve is still to be tried once more."""
    return anything_set(state) and not any(valve.spot for valve in state.valves.values())


def untold(state: State) -> tuple[AfterStep, ...]:
    """The steps after the setting that are asked for and were not told."""
    asked = [s for s in AfterStep if s is not AfterStep.TURNED_OVER or anything_set(state)]
    return tuple(s for s in asked if s not in state.after)


def work_left(state: State) -> tuple[str, ...]:
    """The sheet's own steps of closing up that nobody has ticked: gasket, tensioner, timing plug."""
    lines = work_lines(state.opened.sheet.work, before=False)
    return tuple(line for line in lines if line not in state.cautions)
