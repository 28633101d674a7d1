"""Why something could not be drawn: the first thing that failed, in words and figures.

Nothing (NaN) spreads from the thing that failed to all that is made from it, so the cause is a node that is
nothing although what it is made from is not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from scye.diagnostics import drawing as d
from scye.diagnostics.model import Diagnostic
from scye.geometry import fair, path, vector
from scye.geometry.intersect import meet
from scye.geometry.path import Circle, Guide, Line, Path, take
from scye.ir import equations as e
from scye.ir.solution import BlockReport, Solution
from scye.source import Span
from scye.units.quantity import Kind

Show = Callable[[float], str]
FAR_MM = 20_000.0
FEW = 64  # bodies
MOST_NAMED = 6
ALIKE = "lines that run the same way never meet: look which are meant"
ON_LINE = "mark it along the line, or where another line meets it"


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
    if not _whole(solution):
        yield from _gone(ordered, solution, show, inputs)
    yield from _lumps(ordered, solution, show)
    yield from _out_of_order(ordered, solution)
    yield from _far_off(ordered.equations.nodes, solution, show)


def _whole(solution: Solution) -> bool:
    """Whether a few bodies have every figure of the draft: to see it at one look is quicker than one by one.
    Of many it is not asked."""
    if solution.count > FEW or not solution.values:
        return False
    return bool(np.isfinite(np.concatenate([part.ravel() for part in _parts(solution.values)])).all())


def _parts(values: Sequence[Any]) -> Iterator[Any]:
    for value in values:
        match value:
            case Path(ctrl=ctrl):
                yield ctrl
            case Guide(point=point, direction=direction):
                yield from (point, direction)
            case Circle(centre=centre, radius=radius):
                yield from (centre, radius)
            case _:
                yield np.asarray(value, dtype=np.float64)


def _gone(
    ordered: e.Ordered, solution: Solution, show: Show, inputs: Mapping[int, tuple[int, ...]]
) -> Iterator[Cause]:
    """The things that are nothing although what they are made from is not."""
    nodes = ordered.equations.nodes
    gone = [missing(value) for value in solution.values]
    searches = _searches(ordered, solution, inputs)
    for ref, node in enumerate(nodes):
        # A passed `require` is told by the prover, a lacking measure before anything is drawn.
        if isinstance(node.op, e.Held | e.Taken) or not gone[ref].any():
            continue
        search = searches.get(ref)
        blamed = gone[ref].copy()
        for source in inputs[ref] if search is None else search.given:
            blamed = blamed & ~gone[source]
        for body in np.flatnonzero(np.broadcast_to(blamed, (solution.count,))):
            if search is None:
                yield Cause(int(body), _why(nodes, ref, solution, int(body), show))
            elif ref == search.report.unknowns[0]:
                yield Cause(int(body), _unfound(ordered, search, int(body), solution, show))


@dataclass(frozen=True, slots=True)
class _Search:
    """A block of unknowns, how it came out, and the nodes outside it that it is made from."""

    block: e.Simultaneous
    report: BlockReport
    given: tuple[e.Ref, ...]


def _searches(
    ordered: e.Ordered, solution: Solution, inputs: Mapping[int, tuple[int, ...]]
) -> dict[e.Ref, _Search]:
    """The search of each unknown."""
    blocks = [block for block in ordered.blocks if isinstance(block, e.Simultaneous)]
    searches: dict[e.Ref, _Search] = {}
    for block, report in zip(blocks, solution.blocks, strict=True):
        inside = {*block.nodes, *block.unknowns}
        given = {source for ref in inside for source in inputs[ref]} - inside
        search = _Search(block, report, tuple(sorted(given)))
        searches.update(dict.fromkeys(block.unknowns, search))
    return searches


def _why(nodes: tuple[e.Node, ...], ref: e.Ref, solution: Solution, body: int, show: Show) -> Diagnostic:
    node = nodes[ref]
    values = [None] * len(nodes)

    def value(r: e.Ref) -> Any:
        if values[r] is None:
            values[r] = _one(solution.values[r], body)
        return values[r]

    def called(r: e.Ref) -> str:
        return f"`{nodes[r].name}`" if nodes[r].name else f"`{nodes[r].span.text}`"

    def why(kind: type[d.Undrawable], said: str, hint: str = "") -> Diagnostic:
        return kind(span=node.span, name=node.name, said=said, hint=hint)

    match node.op:
        case e.MeetPoint(a=a, b=b, nearest=nearest):
            count = _meetings(value(a), value(b))
            if count > 1 and nearest is None:
                said = f"{called(a)} and {called(b)} meet {_times(count)}"
                return why(d.MeetOften, said, "say which, with `nearest` and a point")
            apart = _apart(value(a), value(b), show)
            hint = "draw one of them longer, or use it `extended`" if apart else ALIKE
            return why(d.DoNotMeet, f"{called(a)} and {called(b)} do not meet{apart}", hint)
        case e.CurveLine(length=length) if length is not None and not _coincide(node.op, value):
            return _length_trouble(node, node.op, value, show)
        case e.PointOnLine(line=line, amount=amount, start=start):
            if start is not None and _off(value(line), value(start)) > 0.05:
                return why(d.NotOnLine, f"{called(start)} does not lie on {called(line)}", ON_LINE)
            long = float(path.length(value(line))[0])
            far = float(value(amount)[0]) * (long if node.op.share else 1.0)
            said = f"{called(line)} is {show(long)} long: {show(far)} along it is past its end"
            return why(d.NotOnLine, said, "measure less far, or draw the line longer")
        case e.PartLine(line=line, start=start, end=end) | e.LineLength(line=line, start=start, end=end):
            for point in (start, end):
                if point is not None and _off(value(line), value(point)) > 0.05:
                    return why(d.NotOnLine, f"{called(point)} does not lie on {called(line)}", ON_LINE)
            return why(d.CannotDraw, f"{called(ref)} could not be cut out of {called(line)}")
        case e.Combine(op="/", b=b):
            said = f"{called(ref)} divides by {called(b)}, which comes to nothing here"
            return why(d.SumImpossible, said, "look at what it divides by")
        case e.Root(a=a):
            said = f"{called(ref)} is the root of less than nothing ({called(a)})"
            return why(d.SumImpossible, said, "look which of its parts should be the greater")
        case e.TrigOf(which=which, a=a):
            said = f"no angle has the {which.removeprefix('arc')} {float(value(a)[0]):.3f}"
            return why(d.SumImpossible, said, "a sine or cosine lies between -1 and 1: look at the division")
        case e.JoinLines(lines=lines):
            said = _gap(lines, value, called, show)
            return why(d.DoNotMeet, said, "join lines that end at one point")
        case e.DirectionTo(a=a, b=b) | e.PointPartWay(a=a, b=b):
            said = f"{called(a)} and {called(b)} are at the same place"
            return why(d.PointsCoincide, said, "look at the amount that should part them")
        case e.LayPoint(a=a, b=b, c=c, d=to) | e.LayLine(a=a, b=b, c=c, d=to):
            near = vector.norm(value(b) - value(a))[0] < 1e-6
            one, two = (a, b) if near else (c, to)
            said = f"{called(one)} and {called(two)} are at the same place, so nothing can be laid by them"
            return why(d.PointsCoincide, said, "lay it by two points that lie apart")
        case e.ParallelLine(line=line, amount=amount, side=side):
            wide = show(float(value(amount)[0]))
            said = f"{called(line)} bends too sharply for a line {wide} beside it toward {called(side)}"
            return why(d.CannotDraw, said, "keep it closer, or draw the line with a gentler bend")
        case e.MirrorPoint(line=axis) | e.MirrorLine(axis=axis):
            hint = "mirror in a line that is straight from end to end"
            return why(d.CannotDraw, f"{called(ref)} is mirrored in {called(axis)}, which is bent", hint)
        case e.CurveLine():
            said = f"{called(ref)} goes through two points at the same place"
            return why(d.PointsCoincide, said, "look at the amount that should part them")
        case _:
            return why(d.CannotDraw, f"{called(ref)} could not be drawn")


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
            return max(int(point.shape[-1]), int(direction.shape[-1]))
        case Circle(centre=centre, radius=radius):
            return max(int(centre.shape[-1]), int(radius.shape[-1]))


def _meetings(a: Line, b: Line) -> int:
    count: int = meet(a, b).count[0].item()
    return count


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
    for a, b in pairwise(lines):
        gap = float(vector.norm(path.start(value(b)) - path.end(value(a)))[0])
        if gap > 0.01:
            return f"{called(b)} does not begin where {called(a)} ends: they are {show(gap)} apart"
    return "the lines do not join"


def _coincide(op: e.CurveLine, value: Callable[[e.Ref], Any]) -> bool:
    points = [value(p) for p in op.points]
    return any(vector.norm(b - a)[0] < 1e-6 for a, b in pairwise(points))


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
    said = f"`{name}` should be {show(wanted)} long, but between these ends it "
    said += _reach(wanted, float(low[0]), float(high[0]), show)
    return d.LengthOutOfReach(span=node.span, name=name, said=said, hint="change the length, or move an end")


def _reach(wanted: float, low: float, high: float, show: Show) -> str:
    """The lengths that can be had; by how much it misses, where the figures would read alike."""
    if show(low) == show(high):
        return f"is straight: {show(low)}, unless a direction or a hollow is stated"
    miss = low - wanted if wanted < low else wanted - high
    finer = f" ({miss:.1f} mm {'too short' if wanted < low else 'too long'})"
    return f"can only be from {show(low)} to {show(high)}" + (
        finer if show(wanted) in (show(low), show(high)) else ""
    )


def _out_of_order(ordered: e.Ordered, solution: Solution) -> Iterator[Cause]:
    """Panel lines of which a lower station lies above a higher one; told once a panel line."""
    nodes = ordered.equations.nodes
    for node in nodes:
        op = node.op
        if not isinstance(op, e.PanelEdge) or not node.name.endswith(".left"):
            continue
        points = [solution.values[s] for s in op.stations]
        whole = points[-1] - points[0]
        for (a, p), (b, q) in pairwise(zip(op.stations, points, strict=True)):
            back = np.broadcast_to(vector.dot(q - p, whole) < 0, (solution.count,))
            for body in np.flatnonzero(back):
                name = node.name.removesuffix(".left")
                said = f"`{name}` doubles back: {_level(nodes, b)} does not lie below {_level(nodes, a)}"
                hint = "measure these levels, or let the rule for one give way to the other"
                yield Cause(int(body), d.StationsOutOfOrder(span=node.span, name=name, said=said, hint=hint))


def _level(nodes: tuple[e.Node, ...], station: e.Ref) -> str:
    op = nodes[station].op
    line = nodes[op.b] if isinstance(op, e.MeetPoint) else nodes[station]
    return f"`{line.name or line.span.text}`"


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


def _far_off(nodes: tuple[e.Node, ...], solution: Solution, show: Show) -> Iterator[Cause]:
    """The first point of each body that is further away than any garment reaches."""
    points = [ref for ref, node in enumerate(nodes) if node.kind is Kind.POINT]
    if not any((np.abs(row) > FAR_MM).any() for row in _side_by_side(points, solution)):
        return
    told = np.zeros(solution.count, dtype=np.bool_)
    for ref in points:
        node = nodes[ref]
        far = (np.abs(solution.values[ref]) > FAR_MM).any(axis=0) & ~told
        for body in np.flatnonzero(far):
            away = show(float(vector.norm(_one(solution.values[ref], int(body)))[0]))
            name = node.name or node.span.text
            yield Cause(int(body), d.OutOfRange(span=node.span, name=name, far=away))
        told = told | far


def _side_by_side(points: Sequence[e.Ref], solution: Solution) -> Iterator[Any]:
    """Points (2, n) as few arrays: all of a few bodies in one, of many one by one."""
    rows = [solution.values[ref] for ref in points]
    return iter([np.concatenate(rows, axis=-1)] if rows and solution.count <= FEW else rows)


# --- unknowns ---------------------------------------------------------------------------------


def _unfound(ordered: e.Ordered, search: _Search, body: int, solution: Solution, show: Show) -> Diagnostic:
    nodes = ordered.equations.nodes
    block, report = search.block, search.report
    unknowns = [nodes[u] for u in report.unknowns]
    span = block.conditions[0].span
    if report.reach is not None:
        op = unknowns[0].op
        assert isinstance(op, e.Sought)
        low, high = (float(_one(solution.values[r], body)[0]) for r in (op.low, op.high) if r is not None)
        least, most = (float(np.broadcast_to(r, (solution.count,))[body]) for r in report.reach)
        asked = nodes[block.conditions[0].residual]
        return _out_of_bounds(span, unknowns[0], asked, (low, high), (least, most), show)
    left_open = np.isposinf(float(np.broadcast_to(report.miss, (solution.count,))[body]))
    if any(not unknown.name for unknown in unknowns):
        names = _listed([nodes[r].name for r in block.nodes if nodes[r].name])
        open_or_not = (
            "for which any amount would do" if left_open else "which these measures leave without an answer"
        )
        said = f"{names} are made from each other in a ring, {open_or_not}"
        hint = "make one of them from something outside the ring"
        return d.ConditionsDisagree(span=span, name=names, said=said, hint=hint)
    names = _listed([unknown.name for unknown in unknowns])
    texts = " and ".join(f"`{c.span.text}`" for c in block.conditions)
    said = f"no {names} meet {texts}"
    hint = "see which of the conditions asks too much, or says the same as another; or widen the bounds"
    if left_open:
        said = f"many {names} meet {texts}"
        hint = "one of the conditions says the same as another, or follows from it: ask something else"
    return d.ConditionsDisagree(span=span, name=names, said=said, hint=hint)


def _listed(names: list[str]) -> str:
    """`a`, `b` and `c`, the first few of them."""
    shown = [f"`{name}`" for name in dict.fromkeys(names)][:MOST_NAMED]
    return " and ".join(filter(None, (", ".join(shown[:-1]), shown[-1])))


def _out_of_bounds(
    span: Span,
    unknown: e.Node,
    asked: e.Node,
    bounds: tuple[float, float],
    reach: tuple[float, float],
    show: Show,
) -> Diagnostic:
    """`reach` is the least and the greatest by which the left side of the condition exceeds the right."""
    low, high = (_amount(b, unknown, show) for b in bounds)
    said = f"no `{unknown.name}` from {low} to {high} makes `{span.text}`"
    least, most = reach
    if np.isnan(least) or np.isnan(most):
        hint = "nothing can be drawn between these bounds; look at what depends on it"
    elif least > 0:
        over = _amount(least, asked, show)
        hint = f"the left side stays {over} or more too great: widen the bounds, or ask for more"
    elif most < 0:
        short = _amount(-most, asked, show)
        hint = f"the left side stays {short} or more too small: widen the bounds, or ask for less"
    else:
        hint = "the left side jumps past it without coming to it: look for a step or a line that swings over"
    return d.NothingFits(span=span, name=unknown.name, said=said, hint=hint)


def _amount(value: float, node: e.Node, show: Show) -> str:
    if node.kind is Kind.LENGTH:
        return show(value)
    if node.kind is Kind.ANGLE:
        return f"{np.degrees(value):.1f} deg"
    return f"{value:g}"
