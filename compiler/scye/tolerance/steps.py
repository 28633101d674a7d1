"""Where a figure goes by steps: which measures reach it through a rounding or a comparison.

There a slope would be nought between two steps and without bound on one, so it is tried at the ends of the
measure's error bar instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from scye.ir import equations as e

Inputs = Callable[[e.Operation], tuple[e.Ref, ...]]
Names = frozenset[str]
NONE: Names = frozenset()


@dataclass(frozen=True, slots=True)
class Steps:
    """For each node the measures that reach it by steps; none at all where the recipe has no steps."""

    by_node: Mapping[e.Ref, Names]

    def of(self, refs: Iterable[e.Ref]) -> Names:
        return NONE.union(*(self.by_node.get(ref, NONE) for ref in refs)) if self.by_node else NONE

    @property
    def all(self) -> Names:
        return NONE.union(*self.by_node.values())


def steps_of(ordered: e.Ordered, taped: Names, inputs: Inputs) -> Steps:
    """Follows every measure through the blocks, in the order in which they are computed. A rule is not asked
    for those of the measures that were `taped`."""
    nodes = ordered.equations.nodes
    if not any(isinstance(node.op, e.RoundTo | e.Select) for node in nodes):
        return Steps({})
    reached: dict[e.Ref, Names] = {}
    stepped: dict[e.Ref, Names] = {}
    for block in ordered.blocks:
        if isinstance(block, e.Simultaneous):
            _together(block, nodes, inputs, reached, stepped)
        for ref in block.nodes:
            op = nodes[ref].op
            by_tape = isinstance(op, e.Taken) and op.measure in taped
            sources = () if by_tape else inputs(op)
            reached[ref] = NONE.union(_own(op), *(reached.get(s, NONE) for s in sources))
            through = NONE.union(*(stepped.get(s, NONE) for s in sources))
            stepped[ref] = through | _steps(op, reached)
    return Steps({ref: names for ref, names in stepped.items() if names})


def _own(op: e.Operation) -> Names:
    return frozenset((op.measure,)) if isinstance(op, e.Taken) else NONE


def _steps(op: e.Operation, reached: Mapping[e.Ref, Names]) -> Names:
    match op:
        case e.RoundTo(a=a, step=step):
            return reached.get(a, NONE) | reached.get(step, NONE)
        case e.Select(condition=condition):
            return reached.get(condition, NONE)
        case _:
            return NONE


def _together(
    block: e.Simultaneous,
    nodes: tuple[e.Node, ...],
    inputs: Inputs,
    reached: dict[e.Ref, Names],
    stepped: dict[e.Ref, Names],
) -> None:
    """Unknowns hang on all that their conditions hang on, and go by steps if one of those does."""
    whole = set(block.nodes) | {c.residual for c in block.conditions}
    sources = {s for ref in whole for s in inputs(nodes[ref].op)} - whole
    all_reached = NONE.union(*(reached.get(s, NONE) for s in sources), *(_own(nodes[r].op) for r in whole))
    rounding = any(isinstance(nodes[ref].op, e.RoundTo | e.Select) for ref in whole)
    all_stepped = all_reached if rounding else NONE.union(*(stepped.get(s, NONE) for s in sources))
    for unknown in block.unknowns:
        reached[unknown] = all_reached
        stepped[unknown] = all_stepped
