"""Laws that curves of dressmaking size keep: moved, turned, mirrored, walked backwards, cut and joined."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from scye.geometry import area, fair, offset, path
from scye.geometry.hobby import span_curve
from scye.geometry.intersect import meet
from scye.geometry.path import Circle, Guide, Path
from scye.geometry.vector import Array, cross, dot, norm, quarter_turn, turn, unit, vec

CLOSE = 1e-9  # mm
ONE = np.ones(1)

law = settings(deadline=None)  # the machine may be busy; how long a law takes is no part of it

coordinates = st.floats(0.0, 600.0)
angles = st.floats(-math.pi, math.pi)
shares = st.floats(0.02, 0.98)


@dataclass(frozen=True)
class Move:
    """Turned about a point, perhaps mirrored, and moved."""

    angle: float
    mirrored: bool
    by: Array

    def point(self, p: Array) -> Array:
        return self.direction(p) + self.by

    def direction(self, d: Array) -> Array:
        across = vec(-d[0], d[1]) if self.mirrored else d
        return turn(across, self.angle)

    def line(self, line: Path) -> Path:
        ctrl = np.stack([np.stack([self.point(point) for point in cubic]) for cubic in line.ctrl])
        return Path(ctrl, line.straight)

    @property
    def sign(self) -> float:
        return -1.0 if self.mirrored else 1.0


moves = st.builds(
    Move, angles, st.booleans(), st.builds(vec, st.floats(-1000.0, 1000.0), st.floats(-1000.0, 1000.0))
)


@st.composite
def chords(draw: st.DrawFn) -> tuple[Array, Array]:
    """Two points 60 to 400 mm apart."""
    a = vec(draw(coordinates), draw(coordinates))
    return a, a + turn(vec(draw(st.floats(60.0, 400.0)), 0), draw(angles))


@st.composite
def spans(draw: st.DrawFn, most: float = 1.2) -> tuple[Array, Array, Array, Array]:
    """Two points with a direction at each that is not far from the chord's."""
    a, b = draw(chords())
    slants = [turn(unit(b - a), draw(st.floats(-most, most))) for _ in range(2)]
    return a, b, slants[0], slants[1]


@st.composite
def seams(draw: st.DrawFn) -> tuple[list[Array], list[Array | None]]:
    """Three or four points as of an armhole or a princess seam, some with directions."""
    a, b = draw(chords())
    count = draw(st.integers(1, 2))
    aside = quarter_turn(b - a)
    inner = [
        a + (k + draw(st.floats(0.8, 1.2))) / (count + 1) * (b - a) + draw(st.floats(-0.2, 0.2)) * aside
        for k in range(count)
    ]
    goings: list[Array | None] = [None] * (count + 2)
    for k in (0, count + 1):
        if draw(st.booleans()):
            goings[k] = turn(unit(b - a), draw(st.floats(-0.8, 0.8)))
    return [a, *inner, b], goings


def apart(first: Path, second: Path) -> float:
    return float(np.abs(first.ctrl - second.ctrl).max())


@law
@given(seams(), moves)
def test_a_fair_curve_moves_with_its_points(seam: tuple[list[Array], list[Array | None]], move: Move) -> None:
    points, goings = seam
    there = [None if going is None else move.direction(going) for going in goings]
    moved = fair.fair_curve([move.point(point) for point in points], there)
    assert apart(moved, move.line(fair.fair_curve(points, goings))) < CLOSE


@law
@given(seams())
def test_a_fair_curve_is_the_same_walked_backwards(seam: tuple[list[Array], list[Array | None]]) -> None:
    points, goings = seam
    there = [None if going is None else -going for going in goings]
    back = fair.fair_curve(points[::-1], there[::-1])
    assert apart(path.reverse(back), fair.fair_curve(points, goings)) < CLOSE


@law
@given(seams(), st.floats(0.2, 5.0))
def test_a_fair_curve_grows_with_its_points(
    seam: tuple[list[Array], list[Array | None]], size: float
) -> None:
    points, goings = seam
    grown = fair.fair_curve([size * point for point in points], goings)
    assert apart(grown, Path(size * fair.fair_curve(points, goings).ctrl, grown.straight)) < 5 * CLOSE


@law
@given(chords(), moves, st.floats(1.0, 60.0), st.floats(0.2, 0.8), st.booleans(), st.floats(-0.9, 0.9))
def test_a_hollow_moves_with_its_points(
    ends: tuple[Array, Array], move: Move, depth: float, at: float, stated: bool, slant: float
) -> None:
    a, b = ends
    leaving = turn(b - a, slant) if stated else None
    drawn = fair.bowed_curve(a, b, depth, 1.0, at, leaving)
    there = None if leaving is None else move.direction(leaving)
    moved = fair.bowed_curve(move.point(a), move.point(b), depth, move.sign, at, there)
    assert apart(moved, move.line(drawn)) < CLOSE


@law
@given(chords(), st.floats(0.5, 60.0), st.floats(0.2, 0.8), st.floats(0.0, 1.4), st.floats(0.0, 1.4))
def test_a_hollow_is_nowhere_deeper(
    ends: tuple[Array, Array], depth: float, at: float, leaves: float, arrives: float
) -> None:
    a, b = ends
    aside = quarter_turn(unit(b - a))
    for goings in ((None, None), (turn(b - a, leaves), None), (turn(b - a, leaves), turn(b - a, -arrives))):
        line = fair.bowed_curve(a, b, depth, 1.0, at, *goings)
        depths = np.array([dot(path.locate(line, u) - a, aside)[0] for u in np.linspace(0.0, 2.0, 41)])
        assert abs(depths[20] - depth) < CLOSE
        assert depths.max() < depth + CLOSE
        assert depths.min() > -CLOSE


@law
@given(spans(), moves, st.floats(0.0, 1.0))
def test_a_solved_length_is_exact_and_moves_along(
    span: tuple[Array, Array, Array, Array], move: Move, share: float
) -> None:
    a, b, leaving, arriving = span
    _, low, high = fair.curve_of_length([a, b], [leaving, arriving], ONE)
    wanted = low + share * (np.minimum(high, 2.0 * low) - low)
    line, _, _ = fair.curve_of_length([a, b], [leaving, arriving], wanted)
    # a curve that is as long as it is drawn, but for rounding, stays as it is drawn
    assert abs(path.length(line) - wanted)[0] <= fair.ROUNDING + CLOSE
    goings = [move.direction(leaving), move.direction(arriving)]
    moved, _, _ = fair.curve_of_length([move.point(a), move.point(b)], goings, wanted)
    assert abs(path.length(moved) - wanted)[0] <= fair.ROUNDING + CLOSE


@law
@given(chords(), st.floats(1.0, 2.5), st.booleans())
def test_an_arc_of_a_length_is_exact_and_even(
    ends: tuple[Array, Array], share: float, mirrored: bool
) -> None:
    a, b = ends
    side = quarter_turn(b - a) * (-1.0 if mirrored else 1.0)
    wanted = share * norm(b - a)
    line, _, _ = fair.arc_of_length(a, b, wanted, side)
    assert abs(path.length(line) - wanted)[0] < CLOSE
    assert dot(path.locate(line, 0.5) - a, side)[0] >= -CLOSE
    lengths = path.length_between(line, 0.0, 0.5), path.length_between(line, 0.5, 1.0)
    assert abs(lengths[0] - lengths[1])[0] < CLOSE


@law
@given(spans(2.5), st.lists(st.floats(0.05, 6.0), min_size=2, max_size=6))
def test_length_grows_with_fulness(span: tuple[Array, Array, Array, Array], fulness: list[float]) -> None:
    a, b, leaving, arriving = span
    full = np.sort(np.array(fulness))
    lengths = path.length(fair.fair_curve([a, b], [leaving, arriving], full))
    assert (np.diff(lengths) > -CLOSE).all()


@law
@given(seams(), shares, shares)
def test_what_is_cut_apart_has_the_length_of_the_whole(
    seam: tuple[list[Array], list[Array | None]], first: float, second: float
) -> None:
    line = fair.fair_curve(*seam)
    segments = len(line.straight)
    low, high = sorted((first * segments, second * segments))
    parts = [path.part(line, *cut) for cut in ((0.0, low), (low, high), (high, float(segments)))]
    whole = path.length(line)
    assert abs(sum(path.length(part) for part in parts) - whole)[0] < 1e-7
    joined = path.join(parts)
    assert np.isfinite(joined.ctrl).all()
    assert abs(path.length(joined) - whole)[0] < 1e-7
    assert abs(path.length_between(line, low, high) - path.length(parts[1]))[0] < CLOSE
    turned = path.reverse(path.part(path.reverse(line), segments - high, segments - low))
    assert apart(turned, parts[1]) < CLOSE
    assert apart(path.part(line, high, low), path.reverse(parts[1])) < CLOSE


@law
@given(seams(), shares)
def test_a_place_by_length_is_that_far_along(
    seam: tuple[list[Array], list[Array | None]], share: float
) -> None:
    line = fair.fair_curve(*seam)
    wanted = share * path.length(line)
    u = path.at_length(line, wanted)
    assert abs(path.length_between(line, 0.0, u) - wanted)[0] < 1e-7
    back = path.at_length(path.reverse(line), path.length(line) - wanted)
    assert norm(path.locate(path.reverse(line), back) - path.locate(line, u))[0] < 1e-7


@law
@given(seams(), coordinates, coordinates, moves)
def test_the_nearest_place_is_no_further_than_any_other(
    seam: tuple[list[Array], list[Array | None]], x: float, y: float, move: Move
) -> None:
    line, point = fair.fair_curve(*seam), vec(x, y)
    u, distance = path.nearest(line, point)
    assert abs(norm(path.locate(line, u) - point) - distance)[0] < CLOSE
    many = np.linspace(0.0, float(len(line.straight)), 200)
    assert (norm(path.locate(line, many) - point) >= distance - CLOSE).all()
    assert abs(path.nearest(move.line(line), move.point(point))[1] - distance)[0] < CLOSE


@settings(deadline=None, max_examples=150)
@given(spans(1.0), st.floats(5.0, 20.0), st.booleans())
def test_an_offset_is_as_far_off_as_it_says(
    span: tuple[Array, Array, Array, Array], width: float, outside: bool
) -> None:
    line = fair.fair_curve(span[:2], span[2:])
    distance = width if outside else -width
    parallel, worst = offset.offset_path(line, distance)
    assume(worst[0] > 0.4)
    for u in np.linspace(0.0, float(offset.PARTS), 4 * offset.PARTS + 1)[2:-2]:
        _, away = path.nearest(line, path.locate(parallel, u))
        assert abs(away[0] - width) < 1e-3
    start = path.start(parallel) - path.start(line)
    assert norm(start - distance * quarter_turn(unit(span[2])))[0] < CLOSE


@law
@given(seams(), chords(), moves)
def test_meetings_lie_on_both_lines_and_move_along(
    seam: tuple[list[Array], list[Array | None]], ends: tuple[Array, Array], move: Move
) -> None:
    line, (a, b) = fair.fair_curve(*seam), ends
    other, guide = path.polyline([a, b]), Guide(a, unit(b - a))
    # a line that all but lies along the other may be said to meet it there or not
    assume(np.abs(dot(line.ctrl - a, quarter_turn(guide.direction))).max() > 0.1)
    for found, place in ((meet(line, other), other), (meet(line, guide), guide)):
        for u, v, point in zip(found.u[:, 0], found.v[:, 0], found.point[..., 0], strict=True):
            if np.isfinite(u):
                there = path.locate(place, v) if isinstance(place, Path) else a + v * guide.direction
                assert norm(path.locate(line, u) - point[:, None])[0] < CLOSE
                assert norm(there - point[:, None])[0] < 0.0101
    straight = meet(line, guide)
    # where the line only grazes the guide, or meets it twice in one place, the count turns on the last bits
    for u in straight.u[:, 0][np.isfinite(straight.u[:, 0])]:
        assume(abs(cross(path.tangent(line, np.array([u])), guide.direction)[0]) > 0.02)
    apart = np.diff(np.sort(straight.v[:, 0][np.isfinite(straight.v[:, 0])]))
    assume((apart > 0.1).all())
    moved = meet(move.line(line), Guide(move.point(a), move.direction(guide.direction)))
    assert straight.count.tolist() == moved.count.tolist()
    back = meet(path.reverse(line), guide)
    assert back.count.tolist() == straight.count.tolist()


@law
@given(seams(), st.floats(20.0, 300.0), shares)
def test_a_circle_is_met_at_its_radius(
    seam: tuple[list[Array], list[Array | None]], radius: float, share: float
) -> None:
    line = fair.fair_curve(*seam)
    centre = path.locate(line, share) + vec(13.0, 5.0)
    found = meet(line, Circle(centre, np.array([radius])))
    away = norm(found.point - centre)[:, 0]
    assert (np.abs(away[np.isfinite(away)] - radius) < 0.0101).all()
    inside = norm(path.start(line) - centre) < radius
    ends_inside = norm(path.end(line) - centre) < radius
    clear = min(abs(norm(path.start(line) - centre) - radius), abs(norm(path.end(line) - centre) - radius))
    assume(clear[0] > 0.1)
    assert (found.count[0] % 2 == 1) == bool(inside[0] != ends_inside[0]) or _nearly_touches(
        line, centre, radius
    )


def _nearly_touches(line: Path, centre: Array, radius: float) -> bool:
    """Two crossings within 0.02 mm are one meeting: then there is a place where the line grazes."""
    many = np.linspace(0.0, float(len(line.straight)), 4000)
    away = norm(path.locate(line, many) - centre) - radius
    spoke, going = path.locate(line, many) - centre, path.tangent(line, many)
    return bool((np.abs(away[np.abs(dot(spoke, going)) < 0.02 * radius]) < 0.05).any())


@law
@given(seams(), moves)
def test_an_area_turns_its_sign_with_a_mirror(
    seam: tuple[list[Array], list[Array | None]], move: Move
) -> None:
    line = fair.fair_curve(*seam)
    size = area.signed_area(line)
    assert abs(area.signed_area(move.line(line)) - move.sign * size)[0] < 1e-6
    assert abs(area.signed_area(path.reverse(line)) + size)[0] < 1e-6


@law
@given(spans(2.8), st.floats(0.3, 2.0))
def test_a_span_leaves_and_arrives_as_stated(span: tuple[Array, Array, Array, Array], fulness: float) -> None:
    a, b, leaving, arriving = span
    line = Path(span_curve(a, b, leaving, arriving, fulness * ONE)[None], (False,))
    assert abs(cross(path.start_tangent(line), leaving))[0] < 1e-12
    assert dot(path.start_tangent(line), leaving)[0] > 0.0
    assert abs(cross(path.end_tangent(line), arriving))[0] < 1e-12
    assert dot(path.end_tangent(line), arriving)[0] > 0.0
