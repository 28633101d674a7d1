"""Meetings of lines of every kind, their order, ends, joints, touches and overlaps."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.geometry import path
from scye.geometry.fair import bowed_curve, fair_curve
from scye.geometry.intersect import Meets, meet
from scye.geometry.path import Circle, Guide, Line, Path
from scye.geometry.vector import Array, cos, norm, sin, unit, vec

RIGHT, DOWN = vec(1, 0), vec(0, 1)
LEVEL = Guide(vec(0, 50), RIGHT)
WAVE = fair_curve([vec(0, 0), vec(100, 80), vec(200, 0), vec(300, 80)], [None] * 4)
SWEEP = Circle(vec(100, 50), np.array([40.0]))


def place(line: Line, u: Array) -> Array:
    match line:
        case Path():
            return path.locate(line, u)
        case Guide():
            return line.point + u * line.direction
        case Circle():
            return line.centre + line.radius * vec(cos(u), sin(u))


def agreed(a: Line, b: Line) -> Meets:
    """The meetings, after seeing that places and points say the same, that they rise, and turned about."""
    meets = meet(a, b)
    for u, v, point in zip(meets.u, meets.v, meets.point, strict=True):
        there = np.isfinite(u)
        assert norm(place(a, u) - point)[there] == pytest.approx(0.0, abs=1e-9)
        assert norm(place(b, v) - point)[there] == pytest.approx(0.0, abs=1e-9)
    assert not (np.diff(meets.u, axis=0) < 0.0).any()
    other = meet(b, a)
    assert other.count.tolist() == meets.count.tolist()
    assert np.sort(other.v, axis=0) == pytest.approx(meets.u, nan_ok=True, abs=1e-9)
    return meets


def test_guides_meet_once_or_are_parallel() -> None:
    meets = agreed(LEVEL, Guide(vec(np.array([10.0, 20.0]), 0), unit(vec(np.array([0.0, 3.0]), 4))))
    assert meets.count.tolist() == [1, 1]
    assert meets.u[0] == pytest.approx([10.0, 57.5])
    assert meets.v[0] == pytest.approx([50.0, 62.5])
    assert meet(LEVEL, Guide(vec(0, 60), -RIGHT)).count.tolist() == [0]
    assert meet(LEVEL, LEVEL).count.tolist() == [0]


def test_a_guide_meets_a_circle_twice_once_or_not() -> None:
    radius = np.array([5.0, 10.0, 13.0, 10.0 + 5e-8, 10.0 - 1e-9])
    meets = meet(LEVEL, Circle(vec(30, 40), radius))
    assert meets.count.tolist() == [0, 1, 2, 1, 1]
    assert meets.u[:, 2] == pytest.approx([30 - math.sqrt(69), 30 + math.sqrt(69)])
    agreed(LEVEL, SWEEP)


def test_circles_meet_twice_once_or_not() -> None:
    other = Circle(vec(np.array([30.0, 50.0, 200.0, 0.0]), 0), np.array([20.0, 30.0, 10.0, 5.0]))
    meets = agreed(Circle(vec(0, 0), np.array([20.0])), other)
    assert meets.count.tolist() == [2, 1, 0, 0]
    assert np.sort(meets.point[:, 1, 0]) == pytest.approx([-math.sqrt(175), math.sqrt(175)])


def test_a_curve_meets_a_level_in_order_along_it() -> None:
    meets = agreed(WAVE, LEVEL)
    assert meets.count.tolist() == [3]
    assert [math.floor(u) for u in meets.u[:, 0]] == [0, 1, 2]
    backwards = meet(path.reverse(WAVE), LEVEL)
    assert backwards.point[::-1] == pytest.approx(meets.point, abs=1e-9)


def test_a_curve_meets_a_circle_and_curves_meet_curves() -> None:
    assert agreed(WAVE, SWEEP).count.tolist() == [2]
    assert agreed(WAVE, Circle(vec(100, 50), np.array([10.0, 55.0]))).count.tolist() == [0, 2]
    across = fair_curve([vec(-10, 60), vec(150, 20), vec(310, 60)], [None, RIGHT, None])
    assert agreed(WAVE, across).count.tolist() == [3]
    assert agreed(WAVE, path.polyline([vec(0, 40), vec(300, 41)])).count.tolist() == [3]
    assert (
        agreed(path.polyline([vec(0, 0), vec(10, 10)]), path.polyline([vec(10, 0), vec(0, 10)])).count[0] == 1
    )


def test_bodies_may_meet_a_different_number_of_times() -> None:
    meets = agreed(WAVE, Guide(vec(0, np.array([50.0, -300.0, np.nan, 60.0])), RIGHT))
    assert meets.count.tolist() == [3, 0, 0, 3]
    assert np.isnan(meets.u[:, 1:3]).all()
    assert meets.point.shape == (3, 2, 4)


def test_nothing_met_is_one_row_of_nan() -> None:
    for a, b in (
        (WAVE, Guide(vec(0, 500), RIGHT)),
        (WAVE, path.move_path(WAVE, vec(0, 500))),
        (SWEEP, SWEEP),
    ):
        meets = meet(a, b)
        assert meets.count.tolist() == [0]
        assert meets.u.shape == (1, 1)
        assert np.isnan(meets.point).all()


@pytest.mark.parametrize("short", [0.0, 0.004, 0.0099, -0.005])
def test_an_end_reaches_a_hundredth(short: float) -> None:
    """The drawn line stops short of the other by less than 0.01 mm, or crosses it by as little."""
    wall = path.polyline([vec(100 + short, -50), vec(100 + short, 80)])
    for line in (
        path.polyline([vec(0, 10), vec(100, 20)]),
        fair_curve([vec(0, 10), vec(100, 20)], [DOWN, RIGHT]),
    ):
        for other in (Guide(vec(100 + short, 0), DOWN), wall, path.reverse(wall)):
            meets = meet(line, other)
            assert meets.count.tolist() == [1]
            assert meets.u[0, 0] == pytest.approx(1.0, abs=1e-4)
            assert meet(other, line).count.tolist() == [1]


def test_an_end_reaches_no_further() -> None:
    line = path.polyline([vec(0, 10), vec(100, 10)])
    assert meet(line, Guide(vec(100.011, 0), DOWN)).count.tolist() == [0]
    assert meet(line, path.polyline([vec(100.011, -50), vec(100.011, 80)])).count.tolist() == [0]
    assert meet(line, Circle(vec(150, 10), np.array([49.98, 49.995]))).count.tolist() == [0, 1]
    assert meet(line, Guide(vec(100.5, 0), DOWN), reach=1.0).count.tolist() == [1]


def test_a_crossing_just_before_a_shallow_end_is_one_meeting() -> None:
    """The line runs within reach of the level from its crossing to its end."""
    line = path.polyline([vec(0, 40), vec(1000, 50.008)])
    meets = meet(line, LEVEL)
    assert meets.count.tolist() == [1]
    assert meets.point[0, 1, 0] == pytest.approx(50.0, abs=1e-9)
    assert meet(line, path.polyline([vec(900, 50), vec(1100, 50)])).count.tolist() == [1]


def test_lines_that_share_an_end_meet_there_once() -> None:
    neck = fair_curve([vec(0, 0), vec(70, 80)], [DOWN, RIGHT])
    shoulder = path.polyline([vec(0, 0), vec(-120, 40)])
    meets = meet(neck, shoulder)
    assert meets.count.tolist() == [1]
    assert meets.u[0, 0] == pytest.approx(0.0, abs=1e-12)
    assert meets.v[0, 0] == pytest.approx(0.0, abs=1e-12)
    onwards = fair_curve([vec(70, 80), vec(150, 60)], [RIGHT, None])
    meets = meet(neck, onwards)
    assert meets.count.tolist() == [1]
    assert meets.u[0, 0] == pytest.approx(1.0, abs=1e-12)


def test_a_joint_is_met_once_even_across_its_hair_of_a_gap() -> None:
    for gap in (0.0, 0.008):
        line = path.join(
            [path.polyline([vec(0, 0), vec(50, 50)]), path.polyline([vec(50, 50 + gap), vec(90, 90)])]
        )
        meets = meet(line, Guide(vec(0, 50 + 0.5 * gap), RIGHT))
        assert meets.count.tolist() == [1]
        assert meets.u[0, 0] == pytest.approx(1.0)
    cornered = path.polyline([vec(0, 0), vec(50, 50), vec(100, 0)])
    assert meet(cornered, LEVEL).count.tolist() == [1]
    assert meet(cornered, path.polyline([vec(0, 50), vec(50, 50), vec(70, 90)])).count.tolist() == [1]


def test_touching_without_crossing_is_meeting_once() -> None:
    bow = bowed_curve(vec(0, 0), vec(180, 0), 50.0, 1.0, 0.4)
    for touched in (LEVEL, path.polyline([vec(-10, 50), vec(200, 50)])):
        meets = meet(bow, touched)
        assert meets.count.tolist() == [1]
        assert norm(meets.point[0] - vec(72, 50))[0] < 0.02
    arc = fair_curve([vec(40, 0), vec(80, 50), vec(120, 0)], [None, RIGHT, None])
    assert meet(arc, Circle(vec(80, 80), np.array([30.0, 29.9]))).count.tolist() == [1, 0]


def test_a_tangent_at_an_end_is_one_meeting() -> None:
    """The usual neckline: it arrives square to the centre front, along the level."""
    neck = fair_curve([vec(0, 0), vec(70, 50)], [DOWN, RIGHT])
    meets = meet(neck, LEVEL)
    assert meets.count.tolist() == [1]
    assert meets.u[0, 0] == pytest.approx(1.0, abs=1e-6)


def test_lines_along_each_other_do_not_meet() -> None:
    along = path.polyline([vec(10, 50), vec(90, 50)])
    assert meet(along, LEVEL).count.tolist() == [0]
    assert meet(along, path.polyline([vec(50, 50), vec(150, 50)])).count.tolist() == [0]
    assert meet(WAVE, WAVE).count.tolist() == [0]
    assert meet(WAVE, path.part(WAVE, 0.4, 1.7)).count.tolist() == [0]
    assert meet(path.reverse(WAVE), WAVE).count.tolist() == [0]


def test_a_corner_that_leaves_a_level_it_ran_along_does_not_meet_it_twice() -> None:
    line = path.polyline([vec(0, 0), vec(30, 50), vec(90, 50), vec(140, 100)])
    assert meet(line, LEVEL).count.tolist() == [0]
    crossing = path.polyline([vec(0, 0), vec(30, 50), vec(90, 50), vec(140, 0), vec(140, 100)])
    assert meet(crossing, LEVEL).count.tolist() == [1]


def test_trimmed_lines_with_segments_of_no_length_still_meet_at_their_cut() -> None:
    line = path.part(WAVE, meet(WAVE, LEVEL).u[0], np.array([2.0]))
    meets = meet(line, LEVEL)
    assert meets.count.tolist() == [2]
    assert meets.u[0, 0] == pytest.approx(0.0, abs=1e-9)
    late = path.part(WAVE, meet(WAVE, LEVEL).u[1], np.array([2.2]))
    assert meet(late, LEVEL).count.tolist() == [1]
    assert meet(late, path.polyline([vec(0, 50), vec(300, 50)])).count.tolist() == [1]


def test_a_closed_line_meets_once_where_it_begins_and_ends() -> None:
    square = path.polyline([vec(0, 50), vec(80, 0), vec(80, 100), vec(0, 50)])
    meets = meet(square, Guide(vec(0, 50), RIGHT))
    assert meets.count.tolist() == [2]


def test_many_bodies_at_once_take_chunks() -> None:
    n = 9000
    far = vec(np.linspace(60.0, 90.0, n), 80.0)
    line = fair_curve([vec(0, 0), far], [RIGHT, DOWN])
    other = fair_curve([vec(0, 60), vec(100, 10)], [RIGHT, None])
    meets = meet(line, other)
    assert (meets.count == 1).all()
    assert norm(path.locate(line, meets.u[0]) - path.locate(other, meets.v[0])).max() < 1e-9
