"""Edges as they are sewn: their stretches one after another, darts closed, and places along them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from scye.assemble.allow import EdgeWidths
from scye.assemble.darts import Item
from scye.assemble.figures import agree
from scye.assemble.outline import Trimmed
from scye.geometry.path import at_length, length, locate, tangent
from scye.geometry.vector import Array, Flags, quarter_turn
from scye.ir.assembly import EdgeDrawn, Mouth, Run, Stretch


def edge_drawn(number: int, edge: Trimmed, items: Sequence[Item], widths: EdgeWidths) -> EdgeDrawn:
    """One edge from its own stretches and dart mouths."""
    own = [item for item in items if item.edge == number]
    stretches = tuple(item for item in own if isinstance(item, Stretch))
    mouths = _mouths_between(own)
    closed = _total([length(stretch.path) for stretch in stretches])
    open_mouths = _total([closed * 0.0, *(mouth.intake for mouth in mouths if mouth is not None)])
    return EdgeDrawn(
        name=edge.name,
        forward=edge.forward,
        trimmed=edge.path,
        stretches=stretches,
        mouths=mouths,
        length=closed,
        drawn=closed + open_mouths,
        runs=tuple(
            Run(w.width, closed_along(stretches, w.begin), closed_along(stretches, w.finish))
            for w in widths.widths
        ),
        turned_back=widths.turned_back,
        finish=widths.finish,
        on_fold=widths.on_fold,
    )


def _mouths_between(own: Sequence[Item]) -> tuple[Mouth | None, ...]:
    between: list[Mouth | None] = []
    for before, item in pairwise(own):
        if isinstance(item, Mouth):
            between.append(item)
        elif isinstance(before, Stretch):
            between.append(None)
    return tuple(between)


def _total(rows: Sequence[Array]) -> Array:
    total = rows[0]
    for row in rows[1:]:
        total = total + row
    return total


def closed_along(stretches: Sequence[Stretch], s: Array) -> Array:
    """How far along the edge with darts closed a place lies that was at s (n,) before darts were opened.

    A place in a dart's mouth is where the mouth closes.
    """
    total: Array = 0.0 * s
    for stretch in stretches:
        span = stretch.finish - stretch.begin
        share = np.clip((s - stretch.begin) / np.where(span > 0.0, span, 1.0), 0.0, 1.0)
        total = total + share * length(stretch.path)
    return total


def place(edge: EdgeDrawn, along: Array, known: Flags) -> tuple[Array, Array]:
    """The point (2, n) at `along` (n,) mm of the stitch line, darts closed, and the way into the piece."""
    lengths = [length(s.path) for s in edge.stretches] if len(edge.stretches) > 1 else [edge.length]
    before = 0.0 * along
    which = np.zeros(along.shape, dtype=np.int64)
    ends = []
    for row in lengths:
        before = before + row
        ends.append(before)
    for row in ends[:-1]:
        which = which + (along > row)
    number = agree(which, known & np.isfinite(along))
    path = edge.stretches[number].path
    begin = ends[number - 1] if number else 0.0 * along
    u = at_length(path, np.clip(along - begin, 0.0, lengths[number]))
    return locate(path, u), quarter_turn(tangent(path, u))


def width_at(edge: EdgeDrawn, along: Array) -> Array:
    """The allowance (n,) at a place along the edge."""
    width = edge.runs[-1].width
    for run in reversed(edge.runs[:-1]):
        width = np.where(along <= run.end, run.width, width)
    return width
