"""Geometry against outside references, each named beside its check."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from scipy import integrate, optimize
from svgelements import Arc, CubicBezier

from scye.geometry import area, curve, fair, offset, path
from scye.geometry.hobby import Ends, mock_angles, run_directions, span_curve, turns_at
from scye.geometry.intersect import meet
from scye.geometry.path import Circle, Guide, Path
from scye.geometry.quadrature import halved_gauss
from scye.geometry.vector import Array, angle_between, norm, turn, unit, vec

RIGHT, DOWN = vec(1, 0), vec(0, 1)


def bodies(n: int, seed: int) -> tuple[Array, Array, Array, Array]:
    """Shoulder, chest and underarm points and the shoulder's square, for n people."""
    rng = np.random.default_rng(seed)
    shoulder = vec(rng.uniform(100, 140, n), rng.uniform(20, 50, n))
    chest = vec(rng.uniform(85, 105, n), rng.uniform(100, 140, n))
    scye = vec(rng.uniform(150, 190, n), rng.uniform(190, 230, n))
    return shoulder, chest, scye, turn(DOWN, rng.uniform(-0.1, 0.5, n))


def armholes(n: int, seed: int = 1) -> Path:
    shoulder, chest, scye, square = bodies(n, seed)
    return fair.fair_curve([shoulder, chest, scye], [square, None, RIGHT])


def complex_points(cubic: Array, body: int) -> list[complex]:
    return [complex(cubic[k, 0, body], cubic[k, 1, body]) for k in range(4)]


def dense(line: Path, body: int, tolerance: float = 1e-4) -> shapely.LineString:
    """Chords so close that they lie within 0.0001 mm of the curve."""
    return shapely.LineString(offset.flatten(line, tolerance, body))


def test_quadrature_against_numpy() -> None:
    """numpy.polynomial.legendre.leggauss, on each half."""
    x, weight = np.polynomial.legendre.leggauss(16)
    nodes, weights = halved_gauss()
    assert nodes == pytest.approx(np.concatenate(((x + 1) / 4, (x + 3) / 4)), abs=1e-15)
    assert weights == pytest.approx(np.concatenate((weight, weight)) / 4, abs=1e-15)


def test_lengths_against_scipy_quad_and_svgelements() -> None:
    """scipy.integrate.quad of the speed to 1e-9; svgelements CubicBezier.length to 0.001 mm."""
    line = armholes(6)
    for segment, lengths in zip(line.ctrl, path.segment_lengths(line), strict=True):
        for body in range(6):
            one = segment[..., body : body + 1]

            def speed(t: float, one: Array = one) -> float:
                return float(norm(curve.derivative(one, t))[0])

            exact, _ = integrate.quad(speed, 0.0, 1.0, epsabs=1e-12, epsrel=1e-13, limit=200)
            assert lengths[body] == pytest.approx(exact, rel=1e-9)
            p = complex_points(segment, body)
            assert lengths[body] == pytest.approx(CubicBezier(*p).length(error=1e-7), abs=1e-3)


def test_points_and_tangents_against_svgelements() -> None:
    """svgelements CubicBezier.point."""
    line = armholes(4)
    for t in (0.0, 0.31, 0.77, 1.0):
        found = curve.evaluate(line.ctrl[1], t)
        for body in range(4):
            there = CubicBezier(*complex_points(line.ctrl[1], body)).point(t)
            assert found[:, body] == pytest.approx([there.x, there.y], abs=1e-10)


def test_places_by_length_against_scipy_brentq() -> None:
    """scipy.optimize.brentq on the integral of the speed, to 1e-8 mm."""
    line = armholes(3)
    s = 0.42 * path.length(line)
    u = path.at_length(line, s)
    for body in range(3):
        one = path.take(line, body)

        def excess(at: float, one: Path = one, wanted: float = float(s[body])) -> float:
            return float(path.length_between(one, 0.0, at)[0]) - wanted

        assert u[body] == pytest.approx(optimize.brentq(excess, 0.0, 2.0, xtol=1e-13), abs=1e-10)


def test_curves_of_a_length_against_scipy_brentq() -> None:
    """scipy.optimize.brentq on the fulness, lengths by scipy.integrate.quad."""
    shoulder, _, scye, square = bodies(3, 5)
    wanted = 1.12 * norm(scye - shoulder)
    line, _, _ = fair.curve_of_length([shoulder, scye], [square, RIGHT], wanted)
    for body in range(3):
        ends = [point[:, body : body + 1] for point in (shoulder, scye)]
        goings = [square[:, body : body + 1], RIGHT]

        def drawn(fulness: float, ends: list[Array] = ends, goings: list[Array] = goings) -> Array:
            return fair.fair_curve(ends, goings, fulness).ctrl[0]

        def excess(fulness: float, wanted: float = float(wanted[body])) -> float:
            cubic = drawn(fulness)
            speed = integrate.quad(lambda t: float(norm(curve.derivative(cubic, t))[0]), 0.0, 1.0)
            return float(speed[0]) - wanted

        fulness = optimize.brentq(excess, 0.05, 6.0, xtol=1e-13)
        assert line.ctrl[0, :, :, body] == pytest.approx(drawn(fulness)[..., 0], abs=1e-7)


def test_arcs_against_svgelements() -> None:
    """svgelements Arc: a fair arc of a quarter is a true one to 0.03 % of its radius, in length too."""
    line = fair.fair_curve([vec(0, 0), vec(100, 100)], [RIGHT, None])
    true = Arc(start=0j, end=100 + 100j, center=100j, ccw=False)
    assert path.length(line)[0] == pytest.approx(true.length(), abs=0.03)
    assert true.length() == pytest.approx(50 * math.pi)


def test_nearest_against_shapely() -> None:
    """shapely distance and line_locate_point on chords within 0.0001 mm, to 0.001 mm."""
    line = armholes(5)
    rng = np.random.default_rng(2)
    for _ in range(12):
        point = vec(rng.uniform(60, 200, 5), rng.uniform(0, 250, 5))
        u, distance = path.nearest(line, point)
        found = path.locate(line, u)
        for body in range(5):
            chords = dense(line, body)
            there = shapely.Point(*point[:, body])
            assert distance[body] == pytest.approx(shapely.distance(chords, there), abs=1e-3)
            assert shapely.distance(chords, shapely.Point(*found[:, body])) < 1e-3


def same_points(found: Array, count: int, shape: shapely.Geometry, tolerance: float) -> None:
    expected = sorted(point.coords[0] for point in shapely.get_parts(shape) if not point.is_empty)
    assert count == len(expected)
    points = sorted((float(x), float(y)) for x, y in found[:count])
    assert np.array(points) == pytest.approx(np.array(expected), abs=tolerance)


@pytest.mark.parametrize("angle", [0.0, 0.4, 1.1, 1.9, 2.6])
def test_meetings_with_guides_against_shapely(angle: float) -> None:
    """shapely intersection with a long straight, to 0.01 mm."""
    line = armholes(20, seed=3)
    guide = Guide(vec(125, 120), turn(RIGHT, angle))
    meets = meet(line, guide)
    for body in range(20):
        reach = 1000.0 * guide.direction[:, 0]
        straight = shapely.LineString([guide.point[:, 0] - reach, guide.point[:, 0] + reach])
        shape = shapely.intersection(dense(line, body), straight)
        same_points(meets.point[:, :, body], int(meets.count[body]), shape, 0.01)


def test_meetings_of_curves_against_shapely() -> None:
    """shapely intersection of chords within 0.0001 mm, to 0.01 mm; random cubics, up to nine meetings."""
    rng = np.random.default_rng(11)
    n = 150
    a = Path(rng.uniform(0, 200, (1, 4, 2, n)), (False,))
    b = Path(rng.uniform(0, 200, (1, 4, 2, n)), (False,))
    meets = meet(a, b)
    assert meets.count.max() >= 3
    for body in range(n):
        shape = shapely.intersection(dense(a, body), dense(b, body))
        same_points(meets.point[:, :, body], int(meets.count[body]), shape, 0.01)


def test_meetings_with_circles_against_shapely() -> None:
    """shapely intersection with a ring of 20,000 chords, to 0.01 mm."""
    line = armholes(20, seed=8)
    sweep = Circle(vec(130, 130), np.array([45.0]))
    ring = shapely.Point(130, 130).buffer(45.0, quad_segs=5000).exterior
    meets = meet(line, sweep)
    assert meets.count.max() == 2
    for body in range(20):
        shape = shapely.intersection(dense(line, body), ring)
        same_points(meets.point[:, :, body], int(meets.count[body]), shape, 0.01)


def test_areas_against_shapely() -> None:
    """shapely area of chords within 0.0001 mm, to 0.05 mm2 of some 10,000."""
    shoulder, _, scye, _ = bodies(5, 1)
    outline = path.join([armholes(5), path.polyline([scye, scye + vec(0, 200), vec(0, 400), shoulder])])
    for body in range(5):
        ring = shapely.Polygon(dense(outline, body))
        assert area.signed_area(outline)[body] == pytest.approx(ring.area, abs=0.05)


@pytest.mark.parametrize("distance", [6.0, -15.0])
def test_offsets_against_shapely(distance: float) -> None:
    """The Hausdorff distance to shapely's offset_curve of chords within 0.000001 mm, below 0.01 mm."""
    line = armholes(5)
    parallel, worst = offset.offset_path(line, distance)
    assert (worst > 0.3).all()
    for body in range(5):
        # shapely holds the left of the way positive where y runs up: with y down, our side
        expected = shapely.offset_curve(dense(line, body, 1e-6), distance, quad_segs=64)
        assert shapely.hausdorff_distance(dense(parallel, body), expected) < 0.01


def test_hobby_against_the_metapost_manual() -> None:
    """John D. Hobby, "A User's Manual for MetaPost", section 3: the path z0..z1..z2..z3..z4 and its controls.

    The directions at free points there are those of the mock curvature; the handles those of the velocity.
    """
    points = [vec(0, 0), vec(60, 40), vec(40, 90), vec(10, 70), vec(30, 50)]
    controls = [
        ((26.76463, -1.84543), (51.4094, 14.58441)),
        ((67.09875, 61.00188), (59.76253, 84.57518)),
        ((25.35715, 94.01947), (10.48064, 84.5022)),
        ((9.62895, 58.80421), (18.80421, 49.62895)),
    ]
    chords = [b - a for a, b in pairwise(points)]
    distances = np.stack([norm(chord) for chord in chords])
    angles = mock_angles(distances, turns_at(chords), Ends(None, None))
    directions = [unit(turn(c, a)) for c, a in zip([*chords, chords[-1]], angles, strict=True)]
    for k, (first, last) in enumerate(controls):
        cubic = span_curve(points[k], points[k + 1], directions[k], directions[k + 1], np.ones(1))
        assert cubic[1] == pytest.approx(vec(*first), abs=2e-5)
        assert cubic[2] == pytest.approx(vec(*last), abs=2e-5)


def test_even_curvature_against_scipy_least_squares() -> None:
    """scipy.optimize.least_squares on the jump of curvature at the chest, from Hobby's own direction."""
    shoulder, chest, scye, square = bodies(4, 9)
    ours = run_directions([shoulder, chest, scye], square, RIGHT, np.ones(1))[1]
    full = np.ones(1)
    for body in range(4):
        a, m, b, leaving = (part[:, body : body + 1] for part in (shoulder, chest, scye, square))
        chords = [m - a, b - m]
        ends = Ends(angle_between(chords[0], leaving), angle_between(chords[1], RIGHT))
        distances = np.stack([norm(chord) for chord in chords])
        hobby = mock_angles(distances, turns_at(chords), ends)[1]

        def jump(
            angle: Array,
            a: Array = a,
            m: Array = m,
            b: Array = b,
            leaving: Array = leaving,
            base: Array = chords[1],
        ) -> float:
            heading = unit(turn(base, angle))
            before = span_curve(a, m, leaving, heading, full)
            after = span_curve(m, b, heading, RIGHT, full)
            return 100.0 * float((curve.curvature(before, 1.0) - curve.curvature(after, 0.0))[0])

        solved = optimize.least_squares(jump, hobby, xtol=1e-15, ftol=1e-15, gtol=1e-15)
        assert ours[:, body] == pytest.approx(unit(turn(chords[1], solved.x))[:, 0], abs=1e-7)
