"""Expand: program + structural choices -> equations and the cutting plan.

Reads a checked program. Unrolls every `when`, `repeat` and method, so that what is left is a flat list of
operations. Never looks at a body. Guarantees: every node's references exist; names are made once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from scye.diagnostics.expansion import NoDraft, TooMany
from scye.diagnostics.model import Diagnostic
from scye.expand.collector import Collector
from scye.expand.cutting import cutting_plan
from scye.expand.ends import lines_without_ends
from scye.expand.frames import Definition, Enough, Env, Frame, Stop, key_of
from scye.expand.store import MOST_NODES, Scene
from scye.expand.things import Things
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.ir.choices import Settled
from scye.ir.program import Program
from scye.source import Span
from scye.units.quantity import Kind


@dataclass(frozen=True, slots=True)
class Expanded:
    equations: e.Equations
    plan: p.CuttingPlan


def expand(program: Program, settled: Settled) -> tuple[Expanded | None, list[Diagnostic]]:
    """The equations and the plan, or None with the reasons."""
    found: list[Diagnostic] = []
    collector = Collector(program, dict(settled.structure), found)
    things = Things(collector, found)
    try:
        root = collector.collect()
        _make_all(things, root)
        _check_begun(root, found)
        plan = cutting_plan(things, root)
        conditions, finds = _conditions(things, root)
    except Stop:
        if not found:
            said = f"drawing this recipe takes more than {MOST_NODES:,} steps"
            found.append(TooMany(span=None, said=said, limit=f"at most {MOST_NODES:,} steps"))
        return None, found
    if found:
        return None, found
    lists = tuple((f"{d.frame.prefix}{d.key}", refs) for d, refs in things.lists.items())
    lists += tuple(_rows(things, root))
    nodes = tuple(n for n in things.store.nodes if n is not None)
    if len(nodes) != len(things.store.nodes):
        raise AssertionError("a place was kept for a thing that was never made")
    found += lines_without_ends(nodes)
    if found:
        return None, found
    equations = e.Equations(nodes, tuple(conditions), tuple(things.ledger), lists, tuple(finds))
    return Expanded(equations, plan), found


def _rows(things: Things, root: Frame) -> Iterator[tuple[str, tuple[e.Ref, ...]]]:
    """Rows of amounts made one by one (`waist_width[i] = ...`): on paper they are rounded like a list."""
    for frame in (root, *root.frames.values()):
        for text, indexes in frame.families.items():
            made = [frame.definitions.get(key_of(text, i)) for i in sorted(set(indexes))]
            lets = [d for d in made if d is not None and isinstance(d.statement, s.Let)]
            if len(lets) == len(made) > 1:
                yield f"{frame.prefix}{text}", tuple(things.made(d, "") for d in lets)


def _make_all(things: Things, root: Frame) -> None:
    """Make every definition, in the order written, frame by frame; methods drawn open further frames."""
    waiting = [root]
    done: set[int] = set()
    while waiting:
        frame = waiting.pop(0)
        if id(frame) in done:
            continue
        done.add(id(frame))
        for definition in list(frame.definitions.values()):
            _make(things, definition, waiting)
        waiting.extend(frame.frames.values())


def _make(things: Things, definition: Definition, waiting: list[Frame]) -> None:
    try:
        match definition.statement:
            case s.Draft() | s.Piece():
                pass
            case s.Draw():
                waiting.append(things.method_frame(definition))
            case s.Let(value=s.ListOf() | s.Share()):
                things.list_of(definition)
            case s.Argument() | s.Parameter():
                pass  # made where they are used
            case s.PanelLine():
                things.made(definition, "centre")
            case s.Dart():
                things.made(definition, "point")
            case _:
                things.made(definition, "")
    except Enough:
        raise
    except Stop:
        pass  # its reason has been noted; the others may do well


def _check_begun(root: Frame, found: list[Diagnostic]) -> None:
    for name, frame in root.frames.items():
        drawn = [d for d in frame.definitions.values() if not isinstance(d.statement, s.Let | s.Find)]
        if drawn and not any(isinstance(d.statement, s.Begin) for d in drawn):
            span = drawn[0].statement.span
            found.append(NoDraft(span=span, said=f"the draft `{name}` does not say where it begins"))


def _conditions(things: Things, root: Frame) -> tuple[list[e.Equality], list[tuple[Span, tuple[e.Ref, ...]]]]:
    conditions: list[e.Equality] = []
    finds: list[tuple[Span, tuple[e.Ref, ...]]] = []
    for frame in things.all_frames(root):
        sought: dict[tuple[int, Env], list[Definition]] = {}
        for definition in frame.definitions.values():
            sought.setdefault((id(definition.statement), definition.env), []).append(definition)
        for statement, env in frame.others:
            if isinstance(statement, s.Find):
                scene = Scene(frame, env, statement)
                unknowns = tuple(things.made(d, "") for d in sought[(id(statement), env)])
                for condition in statement.conditions:
                    residual = _residual(things, condition, scene)
                    conditions.append(e.Equality(residual, condition.span, len(finds)))
                finds.append((statement.span, unknowns))
    return conditions, finds


def _residual(things: Things, condition: s.SoThat, scene: Scene) -> e.Ref:
    """What must come to nothing for a condition to hold."""
    span = condition.span
    if condition.relation == "=":
        a = things.amount(condition.left, scene)  # type: ignore[arg-type]
        b = things.amount(condition.right, scene)  # type: ignore[arg-type]
        return things.part(things.store.kinds[a], e.Combine("-", a, b), span)
    point = things.place(condition.left, scene)  # type: ignore[arg-type]
    if condition.relation == "on":
        line = things.line(condition.right, scene)  # type: ignore[arg-type]
        return things.part(Kind.LENGTH, e.OffLine(point, line), span)
    other = things.place(condition.right, scene)  # type: ignore[arg-type]
    axis = "height" if condition.relation == "level with" else "width"
    return things.part(Kind.LENGTH, e.RiseOf(axis, point, other), span)  # type: ignore[arg-type]
