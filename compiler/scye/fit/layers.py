"""A draft kept as it was, so that a correction can be laid over it.

A correction changes lines; all that is drawn from them must follow, but the correction itself is placed on
the draft as it was before. So everything that will follow is first kept once more, without its names; then
the lines are exchanged in their own places, and what refers to them follows of itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from scye.ir import equations as e
from scye.source import Span
from scye.units.quantity import Kind

Inputs = Callable[[e.Operation], tuple[e.Ref, ...]]
Renamed = Callable[[e.Operation, Mapping[e.Ref, e.Ref]], e.Operation]


class Layers:
    """Equations being corrected."""

    def __init__(self, equations: e.Equations, inputs: Inputs, renamed: Renamed) -> None:
        self._equations = equations
        self._inputs, self._renamed = inputs, renamed
        self.nodes = list(equations.nodes)
        self._conditions = list(equations.conditions)
        self._finds = list(equations.finds)

    def done(self) -> e.Equations:
        return replace(
            self._equations,
            nodes=tuple(self.nodes),
            conditions=tuple(self._conditions),
            finds=tuple(self._finds),
        )

    def add(self, kind: Kind, op: e.Operation, span: Span, draft: str = "") -> e.Ref:
        self.nodes.append(e.Node(kind, op, "", span, None, draft))
        return len(self.nodes) - 1

    def exchange(self, ref: e.Ref, op: e.Operation) -> None:
        """Another operation in a node's place: what refers to it follows."""
        self.nodes[ref] = replace(self.nodes[ref], op=op)

    def keep(self, roots: Iterable[e.Ref]) -> dict[e.Ref, e.Ref]:
        """Copies of nodes and of all that follows from them, by what they are copies of."""
        following = self._following(set(roots))
        new = {ref: len(self.nodes) + i for i, ref in enumerate(sorted(following))}
        for ref in sorted(following):
            node = self.nodes[ref]
            op = self._renamed(node.op, new)
            self.nodes.append(replace(node, op=op, name="", expr=None, names=(), owner=None, sentence=""))
        finds: dict[int, int] = {}
        for number, (span, unknowns) in enumerate(list(self._finds)):
            if any(unknown in new for unknown in unknowns):
                finds[number] = len(self._finds)
                self._finds.append((span, tuple(new.get(u, u) for u in unknowns)))
        for condition in list(self._conditions):
            if condition.residual in new:
                number = finds.get(condition.find, condition.find)
                self._conditions.append(e.Equality(new[condition.residual], condition.span, number))
        return new

    def _following(self, found: set[e.Ref]) -> set[e.Ref]:
        """Nodes and all that depends on them; what is sought depends on its conditions."""
        users: dict[e.Ref, list[e.Ref]] = {}
        for ref, node in enumerate(self.nodes):
            for source in self._inputs(node.op):
                users.setdefault(source, []).append(ref)
        for condition in self._conditions:
            if condition.find >= 0:
                users.setdefault(condition.residual, []).extend(self._finds[condition.find][1])
        waiting = list(found)
        while waiting:
            for user in users.get(waiting.pop(), ()):
                if user not in found:
                    found.add(user)
                    waiting.append(user)
        return found
