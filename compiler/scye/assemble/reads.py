"""What a piece is made from, step by step: all that a step of assembling it may look at, to the bit."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from scye.assemble.figures import Figures
from scye.assemble.piece import Built, Outlined
from scye.geometry.memory import figures_of, of_thing
from scye.ir.equations import Ref
from scye.ir.plan import DartPlan, PiecePlan


def outline_from(plan: PiecePlan, figures: Figures) -> Hashable:
    """Of the outline: the lines round the piece, and where they are said to meet."""
    return id(plan), _values(_refs_of(plan.boundary), figures)


def doubles_from(outlined: Outlined, darts: Sequence[DartPlan], figures: Figures) -> Hashable:
    """Of the darts inside: the outline, and the darts of the piece's draft."""
    return id(outlined.outline), _darts(inside_draft(outlined.plan, darts), figures)


def built_from(piece: Outlined, darts: Sequence[DartPlan], figures: Figures) -> Hashable:
    """Of the piece as it is cut: its outline, the darts inside it and on its lines, and all its plan says."""
    lines = {boundary.line for boundary in piece.plan.boundary}
    on_edges = [dart for dart in darts if dart.edge_line in lines]
    inside = tuple(
        (id(dart.plan), figures_of(dart.sides), figures_of(dart.pressed)) for dart in piece.doubles
    )
    own = _values(_refs_of(piece.plan), figures)
    return id(piece.outline), inside, _darts(on_edges, figures), own


def inside_from(built: Built, levels: Sequence[Ref], figures: Figures) -> Hashable:
    """Of what lies inside: the piece, and its level lines."""
    return id(built), _values(levels, figures), figures.printed


def inside_draft(plan: PiecePlan, darts: Sequence[DartPlan]) -> list[DartPlan]:
    """The darts that may lie inside a piece."""
    return [dart for dart in darts if dart.draft == plan.draft and dart.start is not None]


def _darts(darts: Sequence[DartPlan], figures: Figures) -> Hashable:
    return tuple((id(dart), _values(_refs_of(dart), figures)) for dart in darts)


def _values(refs: Iterable[Ref], figures: Figures) -> Hashable:
    values = figures.solution.values
    return tuple([(ref, of_thing(values[ref], figures_of)) for ref in refs]), figures.bodies.tobytes()


def _refs_of(plan: Any) -> tuple[Ref, ...]:
    """Every reference to a node in a plan and the plans within it."""
    refs = of_thing(plan, _all_refs)
    assert isinstance(refs, tuple)
    return refs


def _all_refs(plan: Any) -> tuple[Ref, ...]:
    return tuple(_refs_in(plan, False))


def _refs_in(value: Any, refers: bool) -> Iterator[Ref]:
    if isinstance(value, tuple):
        for item in value:
            yield from _refs_in(item, refers)
    elif refers and isinstance(value, int):
        yield value
    else:
        for name, leads in _fields(type(value)):
            yield from _refs_in(getattr(value, name), leads)


_fields_of: dict[type, tuple[tuple[str, bool], ...]] = {}


def _fields(kind: type) -> tuple[tuple[str, bool], ...]:
    """The fields of a plan that may lead to a node, and whether they hold references themselves; none of
    what is no plan."""
    if kind not in _fields_of:
        found = fields(kind) if is_dataclass(kind) else ()
        _fields_of[kind] = tuple((f.name, "Ref" in str(f.type)) for f in found if f.name != "span")
    return _fields_of[kind]
