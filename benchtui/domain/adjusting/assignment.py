"""The assignment problem: each row its own column, at the least total cost, exactly.

Shortest augmenting paths with potentials, O(rows^2 x columns), on whole numbers of any size. An
engine has a few dozen shims at the most, so this stands in for a numeric library.
"""

from __future__ import annotations

from collections.abc import Sequence

FREE = -1


def assign(costs: Sequence[Sequence[int | None]]) -> tuple[int, ...] | None:
    """The column of each row so that the sum of the costs is least; None where it cannot be done.

    Args:
        costs: rows of equal length, no more rows than columns; None forbids a pairing. Costs may
            be negative.

    Raises:
        ValueError: the rows differ in length, or there are more rows than columns.
    """
    if not costs:
        return ()
    width = len(costs[0])
    if any(len(row) != width for row in costs):
        raise ValueError("the rows of a cost table are of one length")
    if len(costs) > width:
        raise ValueError(f"{len(costs)} rows cannot each have one of {width} columns")
    # A forbidden pairing costs more than any allowed whole can save.
    barred = 2 * sum(max((abs(c) for c in row if c is not None), default=0) for row in costs) + 1
    table = [[barred if c is None else c for c in row] for row in costs]
    columns = _cheapest(table)
    if any(costs[row][column] is None for row, column in enumerate(columns)):
        return None
    return columns


def _cheapest(table: list[list[int]]) -> tuple[int, ...]:
    width = len(table[0])
    owner = [FREE] * width
    row_price = [0] * len(table)
    column_price = [0] * width
    for row in range(len(table)):
        came_from, end = _shortest_path(table, row, owner, row_price, column_price)
        while end != FREE:
            before = came_from[end]
            owner[end] = row if before == FREE else owner[before]
            end = before
    columns = [FREE] * len(table)
    for column, row in enumerate(owner):
        if row != FREE:
            columns[row] = column
    return tuple(columns)


def _shortest_path(
    table: list[list[int]],
    start: int,
    owner: list[int],
    row_price: list[int],
    column_price: list[int],
) -> tuple[list[int], int]:
    """A cheapest way from ``start`` to a free column; moves the prices along with it."""
    width = len(owner)
    length: list[int | None] = [None] * width
    came_from = [FREE] * width
    reached: list[int] = []
    row, through, so_far = start, FREE, 0
    while True:
        for column in range(width):
            if column in reached:
                continue
            step = so_far + table[row][column] - row_price[row] - column_price[column]
            known = length[column]
            if known is None or step < known:
                length[column], came_from[column] = step, through
        so_far, through = min(
            (known, c) for c, known in enumerate(length) if known is not None and c not in reached
        )
        if owner[through] == FREE:
            break
        reached.append(through)
        row = owner[through]
    row_price[start] += so_far
    for column in reached:
        known = length[column]
        assert known is not None
        row_price[owner[column]] += so_far - known
        column_price[column] -= so_far - known
    return came_from, through
