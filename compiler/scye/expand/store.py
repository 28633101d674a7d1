"""The growing list of nodes, and where the thing that is being made stands."""

from __future__ import annotations

from scye.expand.frames import Enough, Env, Frame
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.source import Span
from scye.units.quantity import Kind

MOST_NODES = 60_000


class Store:
    """Nodes by index. A named node's place is kept before it is built, so that rings may refer to it."""

    def __init__(self) -> None:
        self.nodes: list[e.Node | None] = []
        self.kinds: list[Kind] = []
        self._parts: dict[tuple[e.Operation, Kind], e.Ref] = {}

    def reserve(self, kind: Kind, span: Span) -> e.Ref:
        if len(self.nodes) >= MOST_NODES:
            raise Enough
        self.nodes.append(None)
        self.kinds.append(kind)
        return len(self.nodes) - 1

    def fill(self, ref: e.Ref, node: e.Node) -> None:
        self.nodes[ref] = node
        self.kinds[ref] = node.kind

    def op(self, ref: e.Ref) -> e.Operation | None:
        """The operation of a node; nothing while it is still being made."""
        node = self.nodes[ref]
        return None if node is None else node.op

    def part(self, kind: Kind, op: e.Operation, span: Span, statement: s.Statement | None = None) -> e.Ref:
        """A node without a name; the same operation is made once only."""
        key = (op, kind)
        if key not in self._parts:
            ref = self.reserve(kind, span)
            self.fill(ref, e.Node(kind, op, "", span, statement))
            self._parts[key] = ref
        return self._parts[key]


class Scene:
    """Where an amount or place stands: its frame and the counters of the repeats round it."""

    __slots__ = ("env", "frame", "statement")

    def __init__(self, frame: Frame, env: Env, statement: s.Statement | None = None) -> None:
        self.frame = frame
        self.env = env
        self.statement = statement
