"""Why something could not be drawn: the first thing that failed, in words and figures.

Nothing (NaN) spreads from the thing that failed to all that is made from it, so the cause is a node that is
nothing although what it is made from is not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from scye.diagnostics import drawing as d
from scye.diagnostics.model import Diagnostic
from scye.geometry import fair, path, vector
from scye.geometry.intersect import meet
from scye.geometry.path import Circle, Guide, Line, Path, take
from scye.ir import equations as e
from scye.ir.solution import BlockReport, Solution

Show = Callable[[float], str]
FAR_MM = 20_000.0


@dataclass(frozen=True, slots=True)
class Cause:
    """A diagnostic and the index of the body in its chunk that it is about."""

    body: int
    diagnostic: Diagnostic


def missing(value: Any) -> Any:
    """For each body whether a value is nothing: (n,) or (1,) flags."""
    match value:
        case Path(ctrl=ctrl):
            return np.isnan(ctrl).any(axis=(0, 1, 2))
        case Guide(point=point, direction=direction):
            return np.isnan(point).any(axis=0) | np.isnan(direction).any(axis=0)
        case Circle(centre=centre, radius=radius):
            return np.isnan(centre).any(axis=0) | np.isnan(radius)
        case _:
            array = np.asarray(value, dtype=np.float64)
            return ~np.isfinite(array if array.ndim == 1 else array.sum(axis=0))


def causes(
    ordered: e.Ordered, solution: Solution, show: Show, inputs: Mapping[int, tuple[int, ...]]
) -> Iterator[Cause]:
    """The causes for every body of a chunk. `show` writes a length in the maker's unit."""
    nodes = ordered.equations.nodes
    gone = [missing(value) for value in solution.values]
    reports = {ref: report for report in solution.blocks for ref in report.unknowns}
    told: set[tuple[int, int]] = set()
    for ref, node in enumerate(nodes):
        if not gone[ref].any():
            continue
        blamed = gone[ref].copy()
        for source in inputs[ref]:
            blamed = blamed & ~gone[source]
        for body in np.flatnonzero(np.broadcast_to(blamed, (solution.count,))):
            if isinstance(node.op, e.Sought):
                report = reports[ref]
                if (report.unknowns[0], int(body)) in told:
                    continue
                told.add((report.unknowns[0], int(body)))
                yield Cause(int(body), _unfound(ordered, report, int(body), solution, show, inputs, gone))
            elif not isinstance(node.op, e.Held | e.Taken):
                # A passed `require` is told by the prover, a lacking measure before anything is drawn.
                yield Cause(int(body), _why(nodes, ref, solution, int(body), show))
    yield from _lumps(ordered, solution, show)


def _why(nodes: tuple[e.Node, ...], ref: e.Ref, solution: Solution, body: int, show: Show) -> Diagnostic:
    node = nodes[ref]
    values = [None] * len(nodes)

    def value(r: e.Ref) -> Any:
        if values[r] is None:
            values[r] = _one(solution.values[r], body)
        return values[r]

    def called(r: e.Ref) -> str:
        return f"`{nodes[r].name}`" if nodes[r].name else f"`{nodes[r].span.text}`"

    at = {"span": node.span, "name": node.name}
    match node.op:
        case e.MeetPoint(a=a, b=b, nearest=nearest):
            count = _meetings(value(a), value(b))
            if count > 1 and nearest is None:
                said = f"{called(a)} and {called(b)} meet {_times(count)}"
                return d.MeetOften(**at, said=said, hint="say which, with `nearest` and a point")
            apart = _apart(value(a), value(b), show)
            return d.DoNotMeet(**at, said=f"{called(a)} and {called(b)} do not meet{apart}")
        case e.CurveLine(length=length) if length is not None and not _coincide(node.op, value):
            return _length_trouble(node, node.op, value, show)
        case e.PointOnLine(line=line, amount=amount, start=start):
            if start is not None and _off(value(line), value(start)) > 0.05:
                return d.NotOnLine(**at, said=f"{called(start)} does not lie on {called(line)}")
            long = path.length(value(line))[0]
            far = float(value(amount)[0])
            said = f"{called(line)} is {show(long)} long: {show(far)} along it is past its end"
            return d.NotOnLine(**at, said=said, hint="measure less far, or draw the line longer")
        case e.PartLine(line=line, start=start, end=end) | e.LineLength(line=line, start=start, end=end):
            for point in (start, end):
                if point is not None and _off(value(line), value(point)) > 0.05:
                    return d.NotOnLine(**at, said=f"{called(point)} does not lie on {called(line)}")
            return d.CannotDraw(**at, said=f"{called(ref)} could not be cut out of {called(line)}")
        case e.Combine(op="/", b=b):
            return d.SumImpossible(**at, said=f"{called(ref)} divides by {called(b)}, which is nothing here")
        case e.Root(a=a):
            return d.SumImpossible(**at, said=f"{called(ref)} is the root of less than nothing ({called(a)})")
        case e.TrigOf(which=which, a=a):
            said = f"no angle has the {which.removeprefix('arc')} {float(value(a)[0]):.3f}"
            return d.SumImpossible(**at, said=said)
        case e.JoinLines(lines=lines):
            return d.DoNotMeet(
                **at, said=_gap(lines, value, called, show), hint="join lines that end at one point"
            )
        case e.DirectionTo(a=a, b=b) | e.PointPartWay(a=a, b=b):
            return d.PointsCoincide(**at, said=f"{called(a)} and {called(b)} are at the same place")
        case e.CurveLine():
            return d.PointsCoincide(**at, said=f"{called(ref)} goes through two points at the same place")
        case _:
            return d.CannotDraw(**at, said=f"{called(ref)} could not be drawn")


def _one(value: Any, body: int) -> Any:
    if isinstance(value, Path | Guide | Circle):
        return take(value, body if _bodies(value) > 1 else 0)
    array = np.asarray(value, dtype=np.float64)
    i = body if array.shape[-1] > 1 else 0
    return array[..., i : i + 1]


def _bodies(value: Path | Guide | Circle) -> int:
    match value:
        case Path(ctrl=ctrl):
            return int(ctrl.shape[-1])
        case Guide(point=point, direction=direction):
            return max(point.shape[-1], direction.shape[-1])
        case Circle(centre=centre, radius=radius):
            return max(centre.shape[-1], radius.shape[-1])


def _meetings(a: Line, b: Line) -> int:
    return int(meet(a, b).count[0])


def _times(count: int) -> str:
    return {2: "twice", 3: "three times"}.get(count, f"{count} times")


def _off(line: Line, point: Any) -> float:
    if isinstance(line, Circle):
        return float(abs(vector.norm(point - line.centre)[0] - line.radius[0]))
    if isinstance(line, Guide):
        return float(abs(vector.cross(line.direction, point - line.point)[0]))
    return float(path.nearest(line, point)[1][0])


def _apart(a: Line, b: Line, show: Show) -> str:
    """How near two lines come, where an end of one can be measured to the other."""
    gaps = []
    for line, other in ((a, b), (b, a)):
        if isinstance(line, Path):
            gaps += [_off(other, path.start(line)), _off(other, path.end(line))]
    gaps = [g for g in gaps if np.isfinite(g)]
    return f"; they come within {show(min(gaps))} of each other" if gaps else ""


def _gap(
    lines: tuple[e.Ref, ...], value: Callable[[e.Ref], Any], called: Callable[[e.Ref], str], show: Show
) -> str:
    for a, b in zip(lines, lines[1:], strict=False):
        gap = float(vector.norm(path.start(value(b)) - path.end(value(a)))[0])
        if gap > 0.01:
            return f"{called(b)} does not begin where {called(a)} ends: they are {show(gap)} apart"
    return "the lines do not join"


def _coincide(op: e.CurveLine, value: Callable[[e.Ref], Any]) -> bool:
    points = [value(p) for p in op.points]
    return any(vector.norm(b - a)[0] < 1e-6 for a, b in zip(points, points[1:], strict=False))


def _length_trouble(node: e.Node, op: e.CurveLine, value: Callable[[e.Ref], Any], show: Show) -> Diagnostic:
    assert op.length is not None
    wanted = float(value(op.length)[0])
    points = [value(p) for p in op.points]
    if op.bow is not None:
        side = vector.quarter_turn(points[-1] - points[0])
        _, low, high = fair.arc_of_length(points[0], points[-1], np.array([wanted]), side)
    else:
        goings = [None if g is None else value(g) for g in op.goings]
        _, low, high = fair.curve_of_length(points, goings, np.array([wanted]))
    name = node.name or node.span.text
    said = (
        f"`{name}` can be from {show(float(low[0]))} to {show(float(high[0]))} long; {show(wanted)} is asked"
    )
    return d.LengthOutOfReach(span=node.span, name=name, said=said, hint="change the length, or move an end")


def _lumps(ordered: e.Ordered, solution: Solution, show: Show) -> Iterator[Cause]:
    """Curves of a stated length that bend the other way where the freely drawn curve does not."""
    for ref, node in enumerate(ordered.equations.nodes):
        op = node.op
        if not isinstance(op, e.CurveLine) or op.length is None:
            continue
        if op.bow is not None:
            continue
        points = [solution.values[p] for p in op.points]
        goings = [None if g is None else solution.values[g] for g in op.goings]
        free = path.inflections(fair.fair_curve(points, goings))
        bumpy = np.broadcast_to(path.inflections(solution.values[ref]) > free, (solution.count,))
        for body in np.flatnonzero(
            bumpy & ~np.broadcast_to(missing(solution.values[ref]), (solution.count,))
        ):
            long = show(float(path.length(_one(solution.values[ref], int(body)))[0]))
            said = f"`{node.name}` has a bump: it reaches its {long} only by swinging out and back"
            yield Cause(int(body), d.LumpyCurve(span=node.span, name=node.name, said=said))


# --- unknowns ---------------------------------------------------------------------------------


def _unfound(
    ordered: e.Ordered,
    report: BlockReport,
    body: int,
    solution: Solution,
    show: Show,
    inputs: Mapping[int, tuple[int, ...]],
    gone: list[Any],
) -> Diagnostic:
    nodes = ordered.equations.nodes
    block = next(b for b in ordered.blocks if isinstance(b, e.Simultaneous) and b.unknowns == report.unknowns)
    unknowns = [nodes[u] for u in report.unknowns]
    names = " and ".join(f"`{u.name}`" if u.name else "the ring" for u in unknowns)
    span = block.conditions[0].span
    condition = block.conditions[0].span.text
    if report.reach is not None:
        op = unknowns[0].op
        assert isinstance(op, e.Sought) and op.low is not None and op.high is not None
        low, high = (float(_one(solution.values[r], body)[0]) for r in (op.low, op.high))
        least, most = (float(np.broadcast_to(r, (solution.count,))[body]) for r in report.reach)
        return _out_of_bounds(span, unknowns[0], condition, (low, high), (least, most), show)
    texts = "; ".join(f"`{c.span.text}`" for c in block.conditions)
    said = f"{names} can't be found so that {texts}"
    return d.ConditionsDisagree(
        span=span, name=names, said=said, hint="see which of the conditions asks too much"
    )


def _out_of_bounds(
    span: Any,
    unknown: e.Node,
    condition: str,
    bounds: tuple[float, float],
    reach: tuple[float, float],
    show: Show,
) -> Diagnostic:
    low, high = (_amount(b, unknown, show) for b in bounds)
    said = f"no `{unknown.name}` from {low} to {high} makes {condition}"
    least, most = reach
    if np.isnan(least) or np.isnan(most):
        hint = "nothing can be drawn between these bounds; look at what depends on it"
    elif least > 0:
        hint = f"the left side stays {show(least)} or more too great: widen the bounds, or ask for more"
    else:
        hint = f"the left side stays {show(-most)} or more too small: widen the bounds, or ask for less"
    return d.NothingFits(span=span, name=unknown.name, said=said, hint=hint)


def _amount(value: float, node: e.Node, show: Show) -> str:
    from scye.units.quantity import Kind

    if node.kind is Kind.LENGTH:
        return show(value)
    if node.kind is Kind.ANGLE:
        return f"{np.degrees(value):.1f} deg"
    return f"{value:g}"
