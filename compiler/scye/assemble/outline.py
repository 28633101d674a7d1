"""From boundary lines to a closed outline: each line trimmed to where it meets the next."""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import accumulate, islice

import numpy as np

from scye.assemble import telling
from scye.assemble.figures import Figures, agree, edge_words, known
from scye.assemble.strokes import chain, samples, straight
from scye.geometry import curve
from scye.geometry.area import signed_area
from scye.geometry.intersect import Meets, meet_all
from scye.geometry.memory import again_and_again, each, figures_of, of_thing
from scye.geometry.path import Circle, Guide, Line, Path, end, nearest, part, reverse, segment_lengths, start
from scye.geometry.vector import Array, Flags, Ints, cos, norm, quiet, rows_of, sin, vec
from scye.ir.assembly import BodyFinding
from scye.ir.equations import Ref
from scye.ir.plan import PiecePlan

COMMON_END = 0.05  # mm between the ends of two lines that are one point
NAMED_WITHIN = 1.0  # mm between a named meeting point and the meeting it chooses
SHORTEST_EDGE = 0.2  # mm


Candidates = tuple[Array, Array, Array]  # u (M, n), v (M, n), point (M, 2, n); NaN where there is none


@dataclass(frozen=True, slots=True)
class Corner:
    """Where a line (at u) meets the next (at v), (n,); `several` and `none` flag bodies without an answer."""

    u: Array
    v: Array
    point: Array
    several: Flags
    none: Flags


@dataclass(frozen=True, slots=True)
class Trimmed:
    """An edge as it runs round the piece, (n,) mm long; `forward` if that is the way its line was drawn."""

    name: str
    line: Ref
    path: Path
    length: Array
    forward: bool


@dataclass(frozen=True, slots=True)
class Outline:
    edges: tuple[Trimmed, ...]
    drawn: Flags
    findings: tuple[BodyFinding, ...]


@dataclass(frozen=True, slots=True)
class Joint:
    """Two neighbouring lines of a boundary, and where they are said to meet; the nodes these come from."""

    a: Line
    b: Line
    named: Array | None
    lens: int | None  # for a piece of two lines alone, which of its two corners
    refs: tuple[Ref, ...]


def trim_all(plans: Sequence[PiecePlan], figures: Figures) -> list[Outline]:
    """The outline of every piece (see `trim`)."""
    values, bodies = figures.solution.values, figures.bodies.tobytes()

    def lines_of(joint: Joint) -> Hashable:
        return bodies, joint.lens, *[(ref, of_thing(values[ref], figures_of)) for ref in joint.refs]

    with quiet(all="ignore"):
        rows = [_joints(plan, figures) for plan in plans]
        joints = [joint for row in rows for joint in row]
        corners = iter(each("corners of outlines", joints, lines_of, _corners))
        return [
            trim(plan, list(islice(corners, len(row))), figures)
            for plan, row in zip(plans, rows, strict=True)
        ]


def _corners(joints: Sequence[Joint]) -> list[Corner]:
    """Where lines meet. All are crossed together, save those that need not be crossed to know it."""
    shared = [_common_ends(joint.a, joint.b) for joint in joints]
    known = [_uncrossed(joint, ends) for joint, ends in zip(joints, shared, strict=True)]
    meets = iter(meet_all([(j.a, j.b) for j, corner in zip(joints, known, strict=True) if corner is None]))
    return [
        _crossed(joint, next(meets), ends) if corner is None else corner
        for joint, ends, corner in zip(joints, shared, known, strict=True)
    ]


def trim(plan: PiecePlan, corners: Sequence[Corner], figures: Figures) -> Outline:
    """The outline of a piece, clockwise on the paper, its first boundary first.

    Bodies without one have NaN paths, are left out of `drawn`, and have a finding unless a line they need
    could not be drawn in the first place.
    """
    lines = [figures.line(b.line) for b in plan.boundary]
    with quiet(all="ignore"):
        paths = [_between(line, corners[i - 1], corners[i]) for i, line in enumerate(lines)]
        whole = chain(paths)
        lengths = _lengths(whole, paths)
        findings = [*_meeting_findings(plan, lines, corners), *_short_findings(plan, lengths)]
        drawn = known(whole.ctrl)
        for finding in findings:
            drawn = drawn & ~finding.mask
        ways = [
            bool(agree(c.v <= d.u, drawn)) for c, d in zip([corners[-1], *corners], corners, strict=False)
        ]
        edges = [
            Trimmed(b.name, b.line, path, size, way)
            for b, path, size, way in zip(plan.boundary, paths, lengths, ways, strict=True)
        ]
        anticlockwise = agree(signed_area(whole) < 0.0, drawn)
        return Outline(_turned(edges) if anticlockwise else tuple(edges), drawn, tuple(findings))


def _lengths(whole: Path, paths: Sequence[Path]) -> list[Array]:
    """The length (n,) of each path, of which `whole` is the chain."""
    rows = segment_lengths(whole)
    sizes = [len(path.straight) for path in paths]
    return [
        curve.add_up(rows[last - size : last]) for last, size in zip(accumulate(sizes), sizes, strict=True)
    ]


def _turned(edges: Sequence[Trimmed]) -> tuple[Trimmed, ...]:
    """The edges walked the other way round, still from the first."""
    turned = [Trimmed(e.name, e.line, reverse(e.path), e.length, not e.forward) for e in edges]
    return (turned[0], *turned[:0:-1])


def _joints(plan: PiecePlan, figures: Figures) -> list[Joint]:
    lines = [figures.line(b.line) for b in plan.boundary]
    joints = []
    for i, boundary in enumerate(plan.boundary):
        at = boundary.meets_next_at
        lens = i if len(lines) == 2 and at is None else None
        first, second = (0, 1) if lens is not None else (i, (i + 1) % len(lines))
        refs = plan.boundary[first].line, plan.boundary[second].line
        joints.append(
            Joint(lines[first], lines[second], None, lens, refs)
            if at is None
            else Joint(lines[first], lines[second], figures.point(at), lens, (*refs, at))
        )
    return joints


def _uncrossed(joint: Joint, shared: Candidates) -> Corner | None:
    """Where a line meets the next if for every body they share one end, or a named point lies on both."""
    if joint.lens is not None:
        return None
    if joint.named is not None:
        return _touching(joint.a, joint.b, joint.named)
    by_end = np.isfinite(shared[0]).sum(axis=0) == 1
    return Corner(*_nth(shared, 0), ~by_end, ~by_end) if by_end.all() else None


def _touching(a: Line, b: Line, named: Array) -> Corner | None:
    """A named point that lies on both lines of every body that has them is where they meet."""
    u, v, point = (candidate[0] for candidate in _touch(a, b, named))
    lies = np.isfinite(u)
    if not lies.all() and (~lies & _known(a) & _known(b) & known(named)).any():
        return None
    return Corner(u, v, point, lies & ~lies, lies & ~lies)


def _crossed(joint: Joint, found: Meets, shared: Candidates) -> Corner:
    """Where a line meets the next: once, at the ends they share, or nearest to a named point."""
    a, b = joint.a, joint.b
    met = (found.u, found.v, found.point)
    if joint.lens is not None:
        return _lens_corner(a, b, joint.lens, found)
    if joint.named is not None:
        return _nearest_corner(a, b, joint.named, met, shared)
    count, ends = np.isfinite(found.u).sum(axis=0), np.isfinite(shared[0]).sum(axis=0)
    by_end, none = ends == 1, (count == 0) & (ends == 0)
    several = ~by_end & ~none & (count != 1)
    chosen = [np.where(by_end, x, y) for x, y in zip(_nth(shared, 0), _nth(met, 0), strict=True)]
    u, v, point = (np.where(none | several, np.nan, x) for x in chosen)
    there = _known(a) & _known(b)
    return Corner(u, v, point, several & there, none & there)


def _lens_corner(first: Line, second: Line, i: int, found: Meets) -> Corner:
    """Corner i of a piece bounded by two lines alone, which must meet exactly twice."""
    count = np.isfinite(found.u).sum(axis=0)
    u, v, point = (np.where(count == 2, x, np.nan) for x in _nth((found.u, found.v, found.point), i))
    there = _known(first) & _known(second)
    return Corner(*((u, v) if i == 0 else (v, u)), point, (count > 2) & there, (count < 2) & there)


def _nearest_corner(a: Line, b: Line, named: Array, found: Candidates, shared: Candidates) -> Corner:
    """The meeting nearest to a named point; a point that lies on both lines will do where they only touch."""
    touch = _touch(a, b, named)
    u, v, point = (np.concatenate(rows) for rows in zip(touch, found, shared, strict=True))
    away = norm(point - named)
    away = np.where(np.isnan(away), np.inf, away)
    best = np.argmin(away, axis=0)[None]
    near = rows_of(away, best)[0] <= NAMED_WITHIN
    chosen_u, chosen_v, chosen_point = (np.where(near, rows_of(x, best)[0], np.nan) for x in (u, v, point))
    there = _known(a) & _known(b) & known(named)
    return Corner(chosen_u, chosen_v, chosen_point, np.zeros_like(near), ~near & there)


def _touch(a: Line, b: Line, named: Array) -> Candidates:
    if isinstance(a, Circle) or isinstance(b, Circle):
        empty = np.full((1, named.shape[-1]), np.nan)
        return empty, empty, np.full((1, *named.shape), np.nan)
    (u, off_a), (v, off_b) = nearest(a, named), nearest(b, named)
    both = (off_a <= COMMON_END) & (off_b <= COMMON_END)
    at_u, at_v, at = _only((u, v, named), both)
    return at_u[None], at_v[None], at[None]


def _common_ends(a: Line, b: Line) -> Candidates:
    """The four pairs of ends of two drawn lines, those that are one point."""
    if not (isinstance(a, Path) and isinstance(b, Path)):
        count = max(_width(a), _width(b))
        empty = np.full((1, count), np.nan)
        return empty, empty, np.full((1, 2, count), np.nan)
    if a.ctrl.shape[-1] == b.ctrl.shape[-1] == 1 and again_and_again():
        return _common_ends_alone(a, b)
    rows: list[tuple[Array, Array, Array]] = []
    for u, p in _ends(a):
        for v, q in _ends(b):
            together = norm(p - q) <= COMMON_END
            rows.append(_only((u, v, p), together))
    us, vs, points = zip(*rows, strict=True)
    return np.stack(us), np.stack(vs), np.stack(points)


def _common_ends_alone(a: Path, b: Path) -> Candidates:
    """`_common_ends` for one body, whose few figures are sooner gone through one by one."""
    rows = []
    ends = [(v, *q[:, 0].tolist()) for v, q in _ends(b)]
    for u, p in _ends(a):
        x, y = p[:, 0].tolist()
        for v, qx, qy in ends:
            dx, dy = x - qx, y - qy
            together = math.sqrt(dx * dx + dy * dy) <= COMMON_END
            rows.append((u, v, x, y) if together else (math.nan,) * 4)
    table = np.array(rows)
    return table[:, :1], table[:, 1:2], table[:, 2:, None]


def _ends(path: Path) -> tuple[tuple[float, Array], tuple[float, Array]]:
    return (0.0, start(path)), (float(len(path.straight)), end(path))


def _only(candidate: tuple[Array | float, Array | float, Array], flags: Flags) -> Candidates:
    """A candidate where it counts, NaN elsewhere."""
    u, v, point = (np.where(flags, x, np.nan) for x in candidate)
    return u, v, point


def _nth(candidates: Candidates, n: int) -> tuple[Array, Array, Array]:
    """The n-th candidate that is there, body by body; NaN where there are fewer."""
    u, v, point = candidates
    there = np.isfinite(u)
    if u.shape[-1] == v.shape[-1] == point.shape[-1] == 1:
        places = np.flatnonzero(there)
        if len(places) > n:
            return u[places[n]], v[places[n]], point[places[n]]
        return np.full(1, np.nan), np.full(1, np.nan), np.full((2, 1), np.nan)
    wanted = there & (np.cumsum(there, axis=0) == n + 1)
    empty = np.full(u.shape[-1], np.nan)
    chosen: tuple[Array, ...] = (empty, empty, np.full((2, u.shape[-1]), np.nan))
    for i, here in enumerate(wanted):
        row = (u[i], v[i], point[i])
        chosen = tuple(np.where(here, new, old) for new, old in zip(row, chosen, strict=True))
    return chosen[0], chosen[1], chosen[2]


def _width(line: Line) -> int:
    return len(_known(line))


def _known(line: Line) -> Flags:
    match line:
        case Path():
            return known(line.ctrl)
        case Guide():
            return known(line.point + line.direction)
        case Circle():
            return known(line.centre) & np.isfinite(line.radius)


def _between(line: Line, before: Corner, after: Corner) -> Path:
    match line:
        case Path():
            return part(line, before.v, after.u)
        case Guide():
            return straight(line.point + before.v * line.direction, line.point + after.u * line.direction)
        case Circle():
            return _arc(line, before.v, after.u)


def _arc(circle: Circle, begin: Array, finish: Array) -> Path:
    """The shorter way round from one angle to another, in four cubics (radial error under 1e-6 radius)."""
    sweep = np.remainder(finish - begin + np.pi, 2.0 * np.pi) - np.pi
    step = sweep / 4.0
    handle = 4.0 / 3.0 * sin(step / 4.0) / cos(step / 4.0) * circle.radius
    cubics = []
    for i in range(4):
        one, two = begin + i * step, begin + (i + 1) * step
        from_centre = [vec(cos(angle), sin(angle)) for angle in (one, two)]
        going = [vec(-sin(angle), cos(angle)) for angle in (one, two)]
        p, q = (circle.centre + circle.radius * away for away in from_centre)
        cubics.append(np.stack((p, p + handle * going[0], q - handle * going[1], q)))
    return Path(np.stack(cubics), (False,) * 4)


# --- what goes wrong ---------------------------------------------------------------------------


def _meeting_findings(plan: PiecePlan, lines: Sequence[Line], corners: Sequence[Corner]) -> list[BodyFinding]:
    findings = []
    for i, corner in enumerate(corners):
        if not (corner.several | corner.none).any():
            continue
        this, following = plan.boundary[i], plan.boundary[(i + 1) % len(lines)]
        pair = (edge_words(this.name), edge_words(following.name))
        if corner.several.any():
            findings.append(telling.meet_twice(plan, pair, corner.several, this.span))
        if corner.none.any():
            gap = _gap(lines[i], lines[(i + 1) % len(lines)])
            named = this.meets_next_at is not None
            findings.append(telling.no_meeting(plan, pair, corner.none, gap, named, this.span))
    return findings


def _gap(a: Line, b: Line) -> Array:
    """How near two lines come to each other (n,), mm, from points along one of them."""
    count = max(_width(a), _width(b))
    if isinstance(a, Path) and not isinstance(b, Circle):
        return _least([nearest(b, point)[1] for point in samples(a)])
    if isinstance(b, Path) and isinstance(a, Guide):
        return _least([nearest(a, point)[1] for point in samples(b)])
    if isinstance(a, Guide) and isinstance(b, Guide):
        return nearest(b, a.point)[1]
    return np.full(count, np.nan)


def _least(rows: list[Array]) -> Array:
    least = rows[0]
    for row in rows[1:]:
        least = np.minimum(least, row)
    return least


def _short_findings(plan: PiecePlan, lengths: Sequence[Array]) -> list[BodyFinding]:
    """Edges of no length: both neighbours meet the line at one place."""
    findings = []
    for i, boundary in enumerate(plan.boundary):
        short: Flags = lengths[i] < SHORTEST_EDGE
        if short.any():
            around = plan.boundary[i - 1].name, plan.boundary[(i + 1) % len(lengths)].name
            findings.append(telling.no_length(plan, boundary, around, short))
    return findings


def structure(values: Sequence[Array], drawn: Flags) -> tuple[int, ...]:
    """The order (smallest first) of values (n,) that all drawn bodies share."""
    order: Ints = np.argsort(np.stack(values), axis=0, kind="stable")
    return tuple(agree(row, drawn) for row in order)
