"""What a piece is made from: every figure of the draft that assembling it may look at."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from scye.assemble.figures import Figures
from scye.geometry.memory import figures_of
from scye.ir.equations import Ref
from scye.ir.plan import DartPlan, PiecePlan


def made_from(plan: PiecePlan, darts: tuple[DartPlan, ...], levels: tuple[Ref, ...], figures: Figures) -> Hashable:
    """All that a piece and what lies inside it depend on, to the bit: its plan, and the figures that the plan,
    its darts and the lines it is measured at refer to."""
    lines = {boundary.line for boundary in plan.boundary}
    its = tuple(d for d in darts if d.draft == plan.draft or d.edge_line in lines)
    refs = (*_refs_in(plan), *(ref for dart in its for ref in _refs_in(dart)), *levels)
    values = tuple(figures_of(figures.solution.values[ref]) for ref in refs)
    return id(plan), tuple(map(id, its)), levels, values, figures.bodies.tobytes(), figures.printed


def _refs_in(plan: Any) -> Iterator[Ref]:
    """Every reference to a node in a plan and the plans within it."""
    for name, refers in _fields(type(plan)):
        yield from _refs_of(getattr(plan, name), refers)


def _refs_of(value: Any, refers: bool) -> Iterator[Ref]:
    if isinstance(value, tuple):
        for item in value:
            yield from _refs_of(item, refers)
    elif is_dataclass(value):
        yield from _refs_in(value)
    elif refers and isinstance(value, int):
        yield value


@cache
def _fields(kind: type) -> tuple[tuple[str, bool], ...]:
    """The fields of a plan that may lead to a node, and whether they hold references themselves."""
    return tuple((f.name, "Ref" in str(f.type)) for f in fields(kind) if f.name != "span")
