"""Fair curves: through points, of a length, of a depth."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.geometry import curve, fair, path
from scye.geometry.path import Path
from scye.geometry.vector import Array, cross, dot, norm, quarter_turn, turn, unit, vec

RIGHT, DOWN = vec(1, 0), vec(0, 1)
ARMHOLE = [vec(60, 0), vec(45, 90), vec(110, 170)]


def jumps(line: Path) -> Array:
    """Of the curvature at each joint, over the length: as an angle."""
    ends = [curve.curvature(segment, 1.0) for segment in line.ctrl[:-1]]
    starts = [curve.curvature(segment, 0.0) for segment in line.ctrl[1:]]
    return np.abs(np.stack(ends) - np.stack(starts)) * path.length(line)


def bends(line: Path) -> float:
    """The angle between the directions before and after the sharpest joint."""
    before = [path.end_tangent(Path(segment[None], (False,))) for segment in line.ctrl[:-1]]
    after = [path.start_tangent(Path(segment[None], (False,))) for segment in line.ctrl[1:]]
    return max(float(np.abs(cross(a, b)).max()) for a, b in zip(before, after, strict=True))


def test_two_free_points_make_a_straight() -> None:
    line = fair.fair_curve([vec(0, 0), vec(30, 40)], [None, None])
    assert line.straight == (True,)
    assert path.length(line)[0] == pytest.approx(50.0)


def test_one_direction_makes_an_arc() -> None:
    """The directions are those of a circle, and the curve is within 0.03 % of its radius for a quarter."""
    line = fair.fair_curve([vec(0, 0), vec(100, 100)], [RIGHT, None])
    assert path.end_tangent(line) == pytest.approx(DOWN, abs=1e-12)
    away = [norm(path.locate(line, t) - vec(0, 100))[0] for t in np.linspace(0, 1, 21)]
    assert np.abs(np.array(away) - 100.0).max() < 0.03
    back = fair.fair_curve([vec(0, 0), vec(100, 100)], [None, DOWN])
    assert back.ctrl == pytest.approx(line.ctrl)


def test_points_of_a_circle_give_nearly_that_circle() -> None:
    angles = np.linspace(0.0, 1.5 * math.pi, 6)
    points = [vec(80 * math.cos(a), 80 * math.sin(a)) for a in angles]
    line = fair.fair_curve(points, [None] * 6)
    away = np.array([norm(path.locate(line, u))[0] for u in np.linspace(0, 5, 101)])
    assert np.abs(away - 80.0).max() < 0.01


@pytest.mark.parametrize("goings", [[None] * 3, [DOWN, None, RIGHT], [None, None, RIGHT], [DOWN, None, None]])
@pytest.mark.parametrize("fulness", [0.9, 1.0, 1.15])
def test_curvature_is_even_at_free_points(goings: list[Array | None], fulness: float) -> None:
    line = fair.fair_curve(ARMHOLE, goings, fulness)
    assert bends(line) < 1e-12
    assert jumps(line).max() < 1e-8


def test_stated_directions_are_kept_and_part_the_curve() -> None:
    points = [*ARMHOLE, vec(200, 160), vec(260, 220)]
    goings = [None, vec(3, 9), None, vec(7, -1), None]
    line = fair.fair_curve(points, goings)
    assert bends(line) < 1e-12
    assert path.start_tangent(Path(line.ctrl[1:], (False,) * 3)) == pytest.approx(unit(vec(3, 9)))
    assert path.start_tangent(Path(line.ctrl[3:], (False,))) == pytest.approx(unit(vec(7, -1)))
    assert jumps(line)[1, 0] < 1e-8
    for number, point in enumerate(points[:-1]):
        assert path.locate(line, float(number)) == pytest.approx(point)


def test_every_orientation_is_drawn_alike() -> None:
    """The angles wrap at the back of the circle; the curve must not notice."""
    for angle in np.linspace(-math.pi, math.pi, 25):
        points = [turn(point, angle) for point in ARMHOLE]
        line = fair.fair_curve(points, [turn(DOWN, angle), None, None])
        upright = fair.fair_curve(ARMHOLE, [DOWN, None, None])
        assert path.turn_path(line, vec(0, 0), -angle).ctrl == pytest.approx(upright.ctrl, abs=1e-9)


def test_fulness_scales_the_handles() -> None:
    plain = fair.fair_curve([vec(0, 0), vec(90, 60)], [RIGHT, DOWN])
    full = fair.fair_curve([vec(0, 0), vec(90, 60)], [RIGHT, DOWN], np.array([1.2, 0.8]))
    handle = norm(plain.ctrl[0, 1] - plain.ctrl[0, 0])[0]
    assert norm(full.ctrl[0, 1] - full.ctrl[0, 0]) == pytest.approx([1.2 * handle, 0.8 * handle])


@pytest.mark.parametrize("goings", [[None, None], [RIGHT, None], [None, RIGHT], [RIGHT, DOWN]])
def test_coincident_points_are_nan(goings: list[Array | None]) -> None:
    b = vec(np.array([5.0, 9.0]), 5.0)
    line = fair.fair_curve([vec(5, 5), b], goings)
    assert np.isnan(line.ctrl[..., 0]).all()
    assert np.isfinite(line.ctrl[..., 1]).all()


def test_coincident_points_in_a_longer_curve_are_nan_for_that_body() -> None:
    middle = vec(np.array([0.0, 50.0]), np.array([0.0, 20.0]))
    line = fair.fair_curve([vec(0, 0), middle, vec(100, 0)], [None, None, None])
    assert np.isnan(line.ctrl[..., 0]).all()
    assert np.isfinite(line.ctrl[..., 1]).all()


def test_where_the_curvature_cannot_be_made_even_the_curve_stands() -> None:
    """A point far out of the way: the curve still goes through, in one direction."""
    line = fair.fair_curve([vec(0, 0), vec(200, 1), vec(1, 3)], [vec(-1, 0), None, vec(1, 0)])
    assert np.isfinite(line.ctrl).all()
    assert bends(line) < 1e-12


def test_a_curve_is_made_as_long_as_asked() -> None:
    points = [vec(0, 0), vec(90, 140)]
    plain = path.length(fair.fair_curve(points, [DOWN, RIGHT]))
    target = plain * np.array([0.97, 1.0, 1.06, 1.5])
    line, low, high = fair.curve_of_length(points, [DOWN, RIGHT], target)
    assert path.length(line) == pytest.approx(target, abs=1e-9)
    assert path.start_tangent(line) == pytest.approx(DOWN + 0.0 * target, abs=1e-12)
    assert (low[0] < target).all()
    assert (target < high[0]).all()


def test_a_length_out_of_reach_is_nan_and_the_reach_is_told() -> None:
    points = [vec(0, 0), vec(90, 140)]
    line, low, high = fair.curve_of_length(points, [DOWN, RIGHT], np.array([150.0, 180.0, 5000.0]))
    assert np.isnan(line.ctrl).all(axis=(0, 1, 2)).tolist() == [True, False, True]
    chord = math.hypot(90, 140)
    assert chord < low[0] < 180.0 < high[0] < 5000.0
    back, _, _ = fair.curve_of_length(points, [DOWN, RIGHT], np.array([low[0], high[0]]))
    assert path.length(back) == pytest.approx(np.array([low[0], high[0]]), abs=1e-9)


def test_a_straight_has_only_its_own_length() -> None:
    line, low, high = fair.curve_of_length([vec(0, 0), vec(30, 40)], [None, None], np.array([50.0, 50.1]))
    assert np.isfinite(line.ctrl[..., 0]).all()
    assert np.isnan(line.ctrl[..., 1]).all()
    assert low[0] == high[0] == pytest.approx(50.0)


def test_a_curve_of_a_length_is_even_at_its_free_points() -> None:
    plain = path.length(fair.fair_curve(ARMHOLE, [DOWN, None, RIGHT]))[0]
    line, _, _ = fair.curve_of_length(ARMHOLE, [DOWN, None, RIGHT], plain * 1.03)
    assert path.length(line)[0] == pytest.approx(plain * 1.03, abs=1e-9)
    assert jumps(line).max() < 0.002
    assert bends(line) < 1e-12


def test_an_arc_of_a_length_bows_to_its_side() -> None:
    a, b, target = vec(0, 0), vec(100, 0), np.array([100.0, 101.0, 50 * math.pi, 300.0])
    line, low, high = fair.arc_of_length(a, b, target, DOWN)
    assert path.length(line) == pytest.approx(target, abs=1e-9)
    depth = path.locate(line, 0.5)[1]
    assert depth[0] == pytest.approx(0.0)
    assert depth[2] == pytest.approx(50.0, abs=1.0)
    assert (np.diff(depth) > 0.0).all()
    assert low[0] == 100.0
    assert high[0] > 300.0
    up, _, _ = fair.arc_of_length(a, b, target, vec(0.2, -1))
    assert path.locate(up, 0.5)[1] == pytest.approx(-depth)


def test_an_arc_out_of_reach_is_nan() -> None:
    line, _, high = fair.arc_of_length(vec(0, 0), vec(100, 0), np.array([99.9, 110.0, 1e4]), DOWN)
    assert np.isnan(line.ctrl).all(axis=(0, 1, 2)).tolist() == [True, False, True]
    assert high[0] < 1e4


@pytest.mark.parametrize("at", [0.25, 0.4, 0.5, 0.7])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_bowed_curve_is_deepest_where_it_should_be(at: float, sign: float) -> None:
    a, b = vec(20, 10), vec(200, 90)
    line = fair.bowed_curve(a, b, np.array([5.0, 30.0]), sign, at)
    aside = quarter_turn(unit(b - a))
    places = np.linspace(0.0, 2.0, 81)
    depths = sign * np.stack([dot(path.locate(line, u) - a, aside) for u in places])
    assert depths.max(axis=0) == pytest.approx([5.0, 30.0], abs=1e-9)
    assert depths.min(axis=0) == pytest.approx(0.0, abs=1e-9)
    deepest = path.locate(line, 1.0)
    assert dot(deepest - a, unit(b - a))[0] == pytest.approx(at * norm(b - a)[0])
    assert np.abs(cross(path.tangent(line, 1.0), unit(b - a))).max() < 1e-12
    assert jumps(line).max() < 1e-9
    assert path.inflections(line).tolist() == [0, 0]


def test_half_way_a_bowed_curve_is_an_arc() -> None:
    line = fair.bowed_curve(vec(0, 0), vec(100, 0), 20.0, 1.0)
    radius = (50.0**2 + 20.0**2) / 40.0
    away = [norm(path.locate(line, u) - vec(50, 20 - radius))[0] for u in np.linspace(0, 2, 41)]
    assert np.array(away) == pytest.approx(radius, abs=0.05)


def test_a_bowed_curve_keeps_stated_directions() -> None:
    a, b = vec(0, 0), vec(60, 180)
    line = fair.bowed_curve(a, b, 25.0, 1.0, 0.6, vec(-1, 3), RIGHT)
    assert path.start_tangent(line) == pytest.approx(unit(vec(-1, 3)))
    assert path.end_tangent(line) == pytest.approx(RIGHT)
    assert path.locate(line, 1.0) == pytest.approx(0.6 * b + 25.0 * quarter_turn(unit(b)))
    assert bends(line) < 1e-12
    one = fair.bowed_curve(a, b, 25.0, 1.0, 0.6, None, RIGHT)
    assert path.end_tangent(one) == pytest.approx(RIGHT)
    assert jumps(one).max() < 1e-9


@pytest.mark.parametrize("steep", [1.0, 3.0, 30.0])
def test_a_bowed_curve_is_no_deeper_elsewhere_however_steeply_it_leaves(steep: float) -> None:
    line = fair.bowed_curve(vec(0, 0), vec(180, 0), 25.0, 1.0, 0.7, vec(1, steep), vec(1, -1))
    depths = np.array([path.locate(line, u)[1, 0] for u in np.linspace(0, 2, 101)])
    assert depths.max() == pytest.approx(25.0, abs=1e-9)
    assert path.inflections(line)[0] == 0


def test_a_bowed_curve_between_coincident_points_is_nan() -> None:
    assert np.isnan(fair.bowed_curve(vec(1, 1), vec(1, 1), 5.0, 1.0).ctrl).all()
    assert np.isnan(fair.bowed_curve(vec(1, 1), vec(1, 1), 5.0, 1.0, 0.5, RIGHT).ctrl).all()


def test_regularity_of_an_arc_a_straight_and_a_bump() -> None:
    arc = fair.fair_curve([vec(0, 0), vec(100, 100)], [RIGHT, None])
    extra, peak = fair.regularity(arc)
    assert extra[0] == 0
    assert peak[0] == pytest.approx(1.0, abs=0.02)
    assert fair.regularity(path.polyline([vec(0, 0), vec(9, 9)]))[1][0] == 1.0
    ess = fair.fair_curve([vec(0, 0), vec(100, 60)], [RIGHT, RIGHT])
    assert fair.regularity(ess)[0][0] == 0
    overfull = fair.fair_curve([vec(0, 0), vec(100, 20)], [vec(0.2, 1), RIGHT], 1.8)
    extra, peak = fair.regularity(overfull)
    assert extra[0] > 0
    assert peak[0] > 3.0


def test_regularity_of_a_curve_that_is_not_drawn_is_nan() -> None:
    extra, peak = fair.regularity(fair.fair_curve([vec(5, 5), vec(5, 5)], [RIGHT, DOWN]))
    assert extra[0] == 0
    assert np.isnan(peak[0])
