"""The valves as they lie before the eye, with how each one stands."""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.message import Message

from benchtui.text.words.standing import Standing
from benchtui.tui.widgets.canvas import Grid, Role
from benchtui.tui.widgets.marks import ROLES
from benchtui.tui.widgets.picture import Picture


@dataclass(frozen=True, slots=True)
class ValveSpot:
    """A valve. ``ready``: it may be measured at this crank position."""

    name: str
    state: Standing = Standing.TO_DO
    ready: bool = True


@dataclass(frozen=True, slots=True)
class CylinderSpot:
    """A cylinder with its valves on the ``far`` side and on the ``near`` side, left to right."""

    name: str
    far: tuple[ValveSpot, ...] = ()
    near: tuple[ValveSpot, ...] = ()

    def short(self, valve: ValveSpot) -> str:
        """The valve's name without the cylinder's: ``E-left`` for ``2E-left``."""
        return valve.name.removeprefix(self.name) or valve.name


@dataclass(frozen=True, slots=True)
class ValveMap:
    """Rows of cylinders, the farthest first, each from left to right.

    ``far_word`` and ``near_word`` say what lies on each side (``inlet``, ``exhaust``).
    ``flipped`` looks at it all from the other side of the engine.
    """

    rows: tuple[tuple[CylinderSpot, ...], ...]
    current: str | None = None
    far_word: str = ""
    near_word: str = ""
    flipped: bool = False

    def seen(self) -> ValveMap:
        """The map turned half round where it is flipped."""
        if not self.flipped:
            return self
        rows = tuple(
            tuple(CylinderSpot(c.name, c.near[::-1], c.far[::-1]) for c in reversed(row))
            for row in reversed(self.rows)
        )
        return ValveMap(rows, self.current, self.near_word, self.far_word)


@dataclass(frozen=True, slots=True)
class Area:
    """The cells of row ``y`` from ``x`` up to ``end``, not included, belong to ``valve``."""

    y: int
    x: int
    end: int
    valve: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """The picture, and where each valve lies in it."""

    grid: Grid
    areas: tuple[Area, ...]

    def valve_at(self, x: int, y: int) -> str | None:
        """The valve under a cell."""
        return next((a.valve for a in self.areas if a.y == y and a.x <= x < a.end), None)


@dataclass(frozen=True, slots=True)
class _Plan:
    """How the map is fitted in: cells a column, valves abreast, words at the valves or not."""

    column: int
    abreast: bool
    worded: bool

    def rows_for(self, side: tuple[ValveSpot, ...]) -> int:
        """How many rows a side needs."""
        return min(1, len(side)) if self.abreast else len(side)


_PINCHED = 4
_KEY_ROWS = 2
_WIDEST = 30


def _plan(view: ValveMap, width: int, height: int) -> _Plan:
    """The roomiest way that fits; the last one is taken in any case."""
    most = max((len(row) for row in view.rows), default=1) or 1
    column = min(_WIDEST, width // most)
    longest = max(
        (len(c.short(v)) for row in view.rows for c in row for v in (*c.far, *c.near)), default=1
    )
    word = max(
        (len(v.state.word) for row in view.rows for c in row for v in (*c.far, *c.near)), default=1
    )
    sides = [side for row in view.rows for c in row for side in (c.far, c.near)]
    abreast_most = max((len(side) for side in sides), default=1) or 1
    # [name] shape word, and a blank between neighbours.
    cell = longest + 4
    for abreast, worded in ((True, True), (False, True), (True, False), (False, False)):
        needed = (cell + (word + 1 if worded else 0)) * (abreast_most if abreast else 1)
        plan = _Plan(column, abreast, worded)
        if needed <= column and _height(view, plan) <= height:
            return plan
    return _Plan(column, abreast=False, worded=False)


def _height(view: ValveMap, plan: _Plan) -> int:
    total = 1
    for row in view.rows:
        total += 1 + sum(
            max((plan.rows_for(side) for side in sides), default=0)
            for sides in ([c.far for c in row], [c.near for c in row])
        )
    return total


def _text(
    cylinder: CylinderSpot, valve: ValveSpot, current: str | None, room: int, *, worded: bool
) -> str:
    """What stands at a valve; the name is shortened before the shape is."""
    before, after = " ", " "
    if valve.name == current:
        before, after = "[", "]"
    elif not valve.ready:
        before, after = "(", ")"
    full = cylinder.short(valve)
    # I-left becomes I-l, which still tells it from I-right.
    initials = "-".join(part if at == 0 else part[:1] for at, part in enumerate(full.split("-")))
    word = f" {valve.state.word}" if worded else ""
    for name in (full, initials):
        text = f"{before}{name}{after}{valve.state.sign}{word}"
        if len(text) <= room:
            return text
    return initials[: max(0, room - 1)] + valve.state.sign


def _role(valve: ValveSpot, current: str | None) -> Role:
    if valve.name == current:
        return Role.CURSOR
    if not valve.ready and valve.state is Standing.TO_DO:
        return Role.FAINT
    return ROLES[valve.state]


def picture(view: ValveMap, width: int, height: int) -> Drawn:
    """The map in ``width`` by ``height`` cells, and where each valve lies."""
    seen = view.seen()
    plan = _plan(seen, width, height)
    grid = Grid(width, height)
    areas: list[Area] = []
    y = 0
    # A blank row between the banks where there's room for it.
    gap = 1 if _height(seen, plan) + len(seen.rows) - 1 <= height else 0
    for row in seen.rows:
        far = max((plan.rows_for(c.far) for c in row), default=0)
        near = max((plan.rows_for(c.near) for c in row), default=0)
        for column, cylinder in enumerate(row):
            x = column * plan.column
            for side, top in ((cylinder.far, y), (cylinder.near, y + far + 1)):
                spots = _spots(side, x, top, plan)
                _side(grid, cylinder, spots, plan, view.current)
                areas += [area for _, area in spots]
            _bar(grid, cylinder, x, y + far, plan)
        _sides_named(grid, seen, (y, y + far + 1), plan, len(row))
        y += far + near + 1 + gap
    _key(grid, seen, y - gap, worded=plan.worded)
    return Drawn(grid, tuple(areas))


def _bar(grid: Grid, cylinder: CylinderSpot, x: int, y: int, plan: _Plan) -> None:
    """The line between the two sides, with the cylinder's name on it."""
    room = plan.column - 1
    name = f" {cylinder.name} "
    if len(name) > room:
        room = plan.column
        name = cylinder.name[:room]
    left = (room - len(name)) // 2
    grid.put(x, y, "─" * (plan.column - 1), Role.FAINT)
    grid.put(x + left, y, name, Role.STRONG)


def _spots(
    side: tuple[ValveSpot, ...], x: int, y: int, plan: _Plan
) -> list[tuple[ValveSpot, Area]]:
    """Where each valve of a side goes: side by side, or one below the other."""
    if not plan.abreast:
        return [(v, Area(y + at, x, x + plan.column, v.name)) for at, v in enumerate(side)]
    each = plan.column // max(1, len(side))
    return [(v, Area(y, x + at * each, x + (at + 1) * each, v.name)) for at, v in enumerate(side)]


def _side(
    grid: Grid,
    cylinder: CylinderSpot,
    spots: list[tuple[ValveSpot, Area]],
    plan: _Plan,
    current: str | None,
) -> None:
    for valve, area in spots:
        each = area.end - area.x
        # At a pinch the blank between neighbours goes as well.
        room = each - 1 if each > _PINCHED else each
        text = _text(cylinder, valve, current, room, worded=plan.worded)
        grid.put(area.x, area.y, text, _role(valve, current))


def _sides_named(
    grid: Grid, view: ValveMap, tops: tuple[int, int], plan: _Plan, columns: int
) -> None:
    """What lies on each side, to the right of the valves where there's room."""
    x = columns * plan.column + 1
    for word, top in zip((view.far_word, view.near_word), tops, strict=True):
        if grid.blank(x, top, len(word)):
            grid.put(x, top, word, Role.FAINT)


def _key(grid: Grid, view: ValveMap, y: int, *, worded: bool) -> None:
    """A line that says what brackets and, where no words stand at the valves, shapes mean."""
    spots = [v for row in view.rows for c in row for v in (*c.far, *c.near)]
    parts = []
    if not worded:
        states = [s for s in Standing if any(v.state is s for v in spots)]
        parts = [f"{s.sign} {s.word}" for s in states]
    if view.current is not None:
        parts.append("[ ] this one")
    if any(not v.ready for v in spots):
        parts.append("( ) other stop")
    for part_row in range(_KEY_ROWS):
        text = ""
        while parts and len(f"{text}  {parts[0]}" if text else parts[0]) <= grid.width:
            text += f"  {parts.pop(0)}" if text else parts.pop(0)
        grid.put(0, y + part_row, text, Role.FAINT)


class ValveMapPicture(Picture[ValveMap]):
    """The map; a click on a valve says which."""

    class Chosen(Message):
        """A valve was clicked."""

        def __init__(self, valve: str) -> None:
            super().__init__()
            self.valve = valve

    def draw(self, view: ValveMap, width: int, height: int) -> Grid:
        """The picture (see :func:`picture`)."""
        return picture(view, width, height).grid

    def on_click(self, event: events.Click) -> None:
        """Tell which valve lies under the pointer."""
        if self.view is None:
            return
        valve = picture(self.view, self.size.width, self.size.height).valve_at(event.x, event.y)
        if valve is not None:
            event.stop()
            self.post_message(self.Chosen(valve))
