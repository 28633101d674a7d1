"""Lines that pieces are measured across, in a proof or for a tape: they must be straight.

A width is taken straight across a piece. A curve, a sweep, or the edge of a panel has no straight to follow.
"""

from __future__ import annotations

from scye.diagnostics.expansion import MeasuredAcrossCurve
from scye.diagnostics.model import Label
from scye.expand.frames import Stop
from scye.expand.store import Store
from scye.expand.things import Things
from scye.ir import equations as e
from scye.ir import syntax as s


def see_that_straight(ref: e.Ref, line: s.LineExpr, things: Things) -> None:
    """Say so and stop if the line `ref`, written as `line`, was drawn as one that bends."""
    found = _bent(ref, things.store)
    if found is None:
        return
    where, what = found
    node = things.store.nodes[where]
    labels = (Label(node.span, f"{what} here"),) if node is not None and node.span != line.span else ()
    sweep = isinstance(things.store.op(where), e.CircleLine)
    said = MeasuredAcrossCurve(span=line.span, line=line.span.text, sweep=sweep, labels=labels)
    things.found.append(said)
    raise Stop


def _bent(line: e.Ref, store: Store) -> tuple[e.Ref, str] | None:
    """The first part of a line that was drawn bent, and as what; nothing where none was."""
    waiting, seen = [line], set[e.Ref]()
    while waiting:
        ref = waiting.pop()
        if ref in seen:
            continue
        seen.add(ref)
        match store.op(ref):
            case e.CurveLine():
                return ref, "a curve"
            case e.CircleLine():
                return ref, "a sweep"
            case e.PanelEdge():
                return ref, "the edge of a panel"
            case e.Alias(a=one) | e.MirrorLine(line=one) | e.TurnLine(line=one) | e.MoveLine(line=one):
                waiting.append(one)
            case e.ReverseLine(line=one) | e.LayLine(line=one) | e.ParallelLine(line=one):
                waiting.append(one)
            case e.PartLine(line=one) | e.ExtendLine(line=one):
                waiting.append(one)
            case e.JoinLines(lines=lines):
                waiting += reversed(lines)
            case _:
                pass
    return None
