"""What the page tells of a draft when nothing is being dragged: its points, figures and workings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from scye.drafting import SIDES, Compiled, Order, solved
from scye.explain.trace import find_named, trace
from scye.ir import equations as e
from scye.ir.pattern import Pattern, Piece, Point
from scye.ir.people import DisplayUnit
from scye.ir.plan import PiecePlan
from scye.ir.solution import Solution
from scye.order.graph import inputs
from scye.place.outline import flatten, piece_box
from scye.serve.drawing import PLACES, Data, place_data
from scye.source import Span
from scye.units.names import plain_name

ON_LINE = 0.3  # mm within which a point lies on a piece's outline, which is looked at in chords
STEP = 3.0  # mm a chord
DEEP = 2  # how many steps of a working are shown under a thing
MOST_LINES = 40


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """The draft of one body as it stands on a page. `order` is of the half that is drawn first."""

    compiled: Compiled
    order: Order
    pattern: Pattern
    unit: DisplayUnit
    file: str

    @property
    def equations(self) -> e.Equations:
        return self.compiled.runnable.ordered.equations

    def plan(self, piece: str) -> PiecePlan | None:
        """The plan of a piece, be it the whole of it or its right or left one."""
        return next((p for p in self.compiled.plan.pieces if piece in _names(p)), None)

    def planned(self) -> list[str]:
        """The pieces that there should be, where a right and a left one were drawn those."""
        drawn = [piece.name for piece in self.pattern.pieces]
        return [
            name
            for plan in self.compiled.plan.pieces
            for name in [name for name in drawn if name in _names(plan)] or [plan.name]
        ]

    def piece(self, name: str) -> Piece | None:
        return next((p for p in self.pattern.pieces if p.name == name), None)


def _names(plan: PiecePlan) -> tuple[str, ...]:
    return plan.name, *(f"{side}_{plan.name}" for side in SIDES)


# --- points ---------------------------------------------------------------------------------------


def points_on(draft: Draft, piece: Piece) -> list[tuple[str, Point]]:
    """The named points of a piece's draft that lie on its outline, by the name they have there."""
    plan = draft.plan(piece.name)
    if plan is None or plan.name != piece.name:
        return []  # a piece of one side may lie mirrored
    start = f"{plan.draft}."
    box = piece_box(piece)
    near = [
        (name.removeprefix(start), (x, y))
        for name, (x, y) in draft.pattern.points
        if name.startswith(start) and box.left <= x <= box.right and box.top <= y <= box.bottom
    ]
    on = _on_outline([at for _, at in near], flatten(piece.net, STEP))
    return [point for point, lies in zip(near, on, strict=True) if lies]


def _on_outline(points: Sequence[Point], outline: Sequence[Point]) -> list[bool]:
    if not points:
        return []
    line, places = np.array(outline), np.array(points)
    a, along = line[:-1], np.diff(line, axis=0)
    square = np.maximum((along * along).sum(axis=1), 1e-12)
    off = places[:, None, :] - a[None, :, :]
    share = np.clip((off * along).sum(axis=2) / square, 0.0, 1.0)
    far = np.hypot(*np.moveaxis(off - share[..., None] * along, 2, 0)).min(axis=1)
    return [bool(d < ON_LINE) for d in far]


def points_data(draft: Draft) -> Data:
    """For each piece its points: name, words, place."""
    return {
        piece.name: [
            [name, plain_name(name), round(x, PLACES), round(y, PLACES)]
            for name, (x, y) in points_on(draft, piece)
        ]
        for piece in draft.pattern.pieces
    }


# --- workings -------------------------------------------------------------------------------------


def working_data(draft: Draft, piece: str, name: str) -> Data:
    """How a thing comes about: its sentence, where it is written, and its working."""
    ref, written = _found(draft, piece, name)
    if ref is None:
        return {"name": name, "sentence": "", "statement": "", "lines": [], **place_data(None, draft.file)}
    node = draft.equations.nodes[ref]
    solution = solved(draft.compiled, [draft.order])
    statement = node.span.text.split("\n")[0]
    return {
        "name": name,
        "sentence": node.sentence,
        "statement": " ".join(statement.split()),
        "lines": list(_lines(draft, ref, solution)) if node.name else [],
        **_place(node.span, written, draft.file),
    }


def _place(made: Span, asked: Span | None, file: str) -> Data:
    """Where a thing is drawn; of what a method or a parent draws, also where this recipe asks for it."""
    place = place_data(made, file)
    if asked is not None and asked.source.name == file and not place["line"]:
        return {**place, "line": asked.line, "column": asked.column}
    return place


def _found(draft: Draft, piece: str, name: str) -> tuple[e.Ref | None, Span | None]:
    """The node of an edge of a piece, or of a point of its draft, or of anything by its name."""
    plan = draft.plan(piece)
    for bound in plan.boundary if plan is not None else ():
        if bound.name == name:
            return bound.line, bound.span
    full = f"{plan.draft}.{name}" if plan is not None else name
    ref = find_named(draft.equations, full)
    return (find_named(draft.equations, name) if ref is None else ref), None


def _lines(draft: Draft, ref: e.Ref, solution: Solution) -> Iterator[list[object]]:
    """The steps of a working: how deep, its words, its line in the recipe (0 where it is elsewhere)."""
    has = draft.order.taped.__contains__
    told = trace(draft.equations, ref, solution, draft.unit, has, inputs)
    for count, line in enumerate(told):
        depth = (len(line) - len(line.lstrip())) // 2
        if count >= MOST_LINES:
            return
        if 0 < depth <= DEEP or count == 0:
            words, _, place = line.strip().rpartition("  [")
            file, _, number = place.rstrip("]").rpartition(":")
            yield [depth, words, int(number) if file == draft.file else 0]


def figures_data(draft: Draft) -> list[Data]:
    """Every named amount with its working, as on the proof sheet."""
    return [
        {
            "name": v.name,
            "working": v.working,
            "owner": v.owner,
            "sentence": v.sentence,
        }
        for v in draft.pattern.values
        if math.isfinite(v.value)
    ]


def ruled_data(draft: Draft) -> Data:
    """What the recipe's rule gives for each measure that was not taken (mm or radians)."""
    return {v.name: v.value for v in draft.pattern.values if v.owner == "rule" and math.isfinite(v.value)}
