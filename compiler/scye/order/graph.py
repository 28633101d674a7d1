"""The graph of what depends on what, and the classic algorithms over it, none of them recursive."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import cast

from scye.ir import equations as e

_fields_of: dict[type, tuple[tuple[str, bool], ...]] = {}


def _ref_fields(kind: type[e.Operation | e.BowSpec]) -> tuple[tuple[str, bool], ...]:
    """The fields of a kind of operation that refer to nodes, and whether each is a row of them."""
    if kind not in _fields_of:
        referring = [field for field in dataclasses.fields(kind) if "Ref" in str(field.type)]
        _fields_of[kind] = tuple((f.name, str(f.type).startswith("tuple")) for f in referring)
    return _fields_of[kind]


def inputs(op: e.Operation | e.BowSpec) -> tuple[e.Ref, ...]:
    """The nodes an operation refers to, in the order of its fields."""
    refs: list[e.Ref] = []
    for name, row in _ref_fields(type(op)):
        value = getattr(op, name)
        if row:
            refs.extend(r for r in value if r is not None)
        elif value is not None:
            refs.append(value)
    if isinstance(op, e.CurveLine) and op.bow is not None:
        refs.extend(inputs(op.bow))
    return tuple(refs)


def renamed(op: e.Operation, new: Mapping[e.Ref, e.Ref]) -> e.Operation:
    """The operation with some references exchanged."""
    changes: dict[str, object] = {}
    for name, row in _ref_fields(type(op)):
        value = getattr(op, name)
        if row:
            changes[name] = tuple(new.get(r, r) for r in value)
        else:
            changes[name] = new.get(value, value)
    if isinstance(op, e.CurveLine) and op.bow is not None:
        changes["bow"] = dataclasses.replace(
            op.bow, **{n: new.get(getattr(op.bow, n), getattr(op.bow, n)) for n, _ in _ref_fields(e.BowSpec)}
        )
    fields = {f.name: getattr(op, f.name) for f in dataclasses.fields(op)}
    make = cast(Callable[..., e.Operation], type(op))
    return make(**{**fields, **changes})


def components(count: int, follow: Callable[[int], Iterable[int]]) -> list[list[int]]:
    """Strongly connected components, each after those it depends on (Tarjan 1972, without recursion)."""
    follows = [tuple(follow(i)) for i in range(count)]
    if all(max(row, default=-1) < i for i, row in enumerate(follows)):  # there is nothing to find out
        return [[i] for i in range(count)]
    index = [-1] * count
    low = [0] * count
    on_stack = [False] * count
    stack: list[int] = []
    found: list[list[int]] = []
    counter = 0
    for root in range(count):
        if index[root] >= 0:
            continue
        work = [(root, iter(follows[root]))]
        index[root] = low[root] = counter
        counter += 1
        stack.append(root)
        on_stack[root] = True
        while work:
            node, following = work[-1]
            child = next(following, None)
            if child is None:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == index[node]:
                    found.append(_pop_until(node, stack, on_stack))
            elif index[child] < 0:
                index[child] = low[child] = counter
                counter += 1
                stack.append(child)
                on_stack[child] = True
                work.append((child, iter(follows[child])))
            elif on_stack[child]:
                low[node] = min(low[node], index[child])
    return found


def _pop_until(node: int, stack: list[int], on_stack: list[bool]) -> list[int]:
    component = []
    while True:
        top = stack.pop()
        on_stack[top] = False
        component.append(top)
        if top == node:
            return component[::-1]


def matching(rows: Sequence[Sequence[int]], columns: int) -> list[int]:
    """A greatest matching of rows to columns by augmenting paths: for each row its column, or -1."""
    row_of = [-1] * columns
    for start in range(len(rows)):
        _augment(start, rows, row_of)
    column_of = [-1] * len(rows)
    for column, row in enumerate(row_of):
        if row >= 0:
            column_of[row] = column
    return column_of


def _augment(start: int, rows: Sequence[Sequence[int]], row_of: list[int]) -> bool:
    """One breadth-first search for an augmenting path from an unmatched row."""
    came_from: dict[int, tuple[int, int]] = {}
    waiting = [start]
    for row in waiting:
        for column in rows[row]:
            if column in came_from:
                continue
            came_from[column] = (row, column)
            if row_of[column] < 0:
                while True:
                    r, _ = came_from[column]
                    previous = next((c for c in rows[r] if row_of[c] == r), None) if r != start else None
                    row_of[column] = r
                    if previous is None:
                        return True
                    column = previous
            waiting.append(row_of[column])
    return False


def reached(start: Iterable[int], follow: Callable[[int], Iterable[int]]) -> set[int]:
    """Everything reached from `start`."""
    seen = set(start)
    waiting = list(seen)
    while waiting:
        for other in follow(waiting.pop()):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen
