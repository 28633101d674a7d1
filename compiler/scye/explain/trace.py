"""Where a value comes from: the working of it and of all it depends on, back to tape and taste."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from scye.explain.workings import UNIT_TAGS, HasTape, Workings, owner_of
from scye.ir import equations as e
from scye.ir.people import DisplayUnit
from scye.ir.solution import Solution
from scye.units.quantity import Kind
from scye.units.tape import show_length

DEEPEST = 12
Inputs = Callable[[e.Operation], tuple[e.Ref, ...]]


def find_named(equations: e.Equations, name: str) -> e.Ref | None:
    """The node of that full name, or the only one whose name ends in it."""
    ends = []
    for ref, node in enumerate(equations.nodes):
        if node.name == name:
            return ref
        if node.name.endswith(f".{name}"):
            ends.append(ref)
    return ends[0] if len(ends) == 1 else None


def names_in(equations: e.Equations) -> list[str]:
    return [node.name for node in equations.nodes if node.name]


def trace(
    equations: e.Equations,
    ref: e.Ref,
    solution: Solution,
    display: DisplayUnit,
    has_tape: HasTape,
    inputs: Inputs,
) -> Iterator[str]:
    """Lines of the trace, each thing indented under what is made from it and told once."""
    told: set[e.Ref] = set()
    waiting = [(ref, 0)]
    while waiting:
        at, depth = waiting.pop()
        if at in told:
            continue
        told.add(at)
        yield "  " * depth + _line(equations, at, solution, display, has_tape)
        if depth < DEEPEST:
            sources = [r for r in named_sources(equations, at, inputs) if r not in told]
            waiting.extend((r, depth + 1) for r in reversed(sources))


def named_sources(equations: e.Equations, ref: e.Ref, inputs: Inputs) -> list[e.Ref]:
    """The named things that a thing is made from, nearest first."""
    found: list[e.Ref] = []
    waiting = list(inputs(equations.nodes[ref].op))
    seen = set(waiting)
    while waiting:
        at = waiting.pop(0)
        node = equations.nodes[at]
        if node.name:
            found.append(at)
            continue
        for other in inputs(node.op):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return found


def _line(
    equations: e.Equations, ref: e.Ref, solution: Solution, display: DisplayUnit, has_tape: HasTape
) -> str:
    node = equations.nodes[ref]
    place = f"  [{node.span.source.name}:{node.span.line}]"
    said = f' "{node.sentence}"' if node.sentence else ""
    if node.kind in UNIT_TAGS or node.kind is Kind.PERCENT:
        owner = owner_of(node, has_tape)
        working = Workings(equations).of(ref, solution, 0, display, has_tape)
        by = f" (by {owner})" if owner else ""
        return f"{node.name}: {working}{by}{said}{place}"
    statement = " ".join(node.span.text.split("\n")[0].split())
    if node.kind is Kind.POINT:
        x, y = (float(v[0]) for v in solution.values[ref])
        return f"{node.name}: {statement} -> {_where(x, y, display)}{place}"
    return f"{node.name}: {statement}{said}{place}"


def _where(x: float, y: float, display: DisplayUnit) -> str:
    """A point as it is measured from the draft's beginning."""
    across = f"{show_length(abs(x), display)} {'right' if x >= 0 else 'left'}"
    down = f"{show_length(abs(y), display)} {'down' if y >= 0 else 'up'}"
    return f"{across}, {down} of the beginning"
