"""Paths: walking, parting, joining and looking along them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.geometry import path
from scye.geometry.fair import fair_curve
from scye.geometry.path import Circle, Guide, Path
from scye.geometry.vector import Array, norm, vec

CORNERED = path.polyline([vec(0, 0), vec(100, 0), vec(100, 50)])


def mixed() -> Path:
    """A straight of 100 and a curve of about 78, for three bodies."""
    far = vec(np.array([150.0, 160.0, 140.0]), 50)
    return path.join(
        [
            path.polyline([vec(0, 0), vec(100, 0)]),
            fair_curve([vec(100, 0), far], [vec(1, 0), vec(0, 1)]),
        ]
    )


def near(found: Array, x: float, y: float) -> bool:
    return bool(np.allclose(found, vec(x, y), atol=1e-9))


def test_polyline_is_even_along_each_straight() -> None:
    assert CORNERED.straight == (True, True)
    assert near(path.locate(CORNERED, 0.25), 25, 0)
    assert near(path.locate(CORNERED, 1.5), 100, 25)
    assert near(path.start(CORNERED), 0, 0)
    assert near(path.end(CORNERED), 100, 50)
    assert path.length(CORNERED)[0] == pytest.approx(150.0)
    assert [float(part[0]) for part in path.segment_lengths(CORNERED)] == pytest.approx([100.0, 50.0])


def test_lengths_of_the_other_lines() -> None:
    assert path.length(Guide(vec(0, 0), vec(1, 0)))[0] == math.inf
    assert np.isnan(path.length(Guide(vec(np.nan, 0), vec(1, 0))))[0]
    assert path.length(Circle(vec(0, 0), np.array([10.0])))[0] == pytest.approx(20 * math.pi)


def test_tangents_at_ends_and_at_a_corner() -> None:
    assert near(path.start_tangent(CORNERED), 1, 0)
    assert near(path.end_tangent(CORNERED), 0, 1)
    assert near(path.tangent(CORNERED, 0.999), 1, 0)
    assert near(path.tangent(CORNERED, 1.0), 0, 1)


def test_a_segment_of_no_length_takes_its_direction_from_its_neighbour() -> None:
    along = path.polyline([vec(0, 0), vec(0, 0), vec(30, 40), vec(30, 40)])
    for u in (0.0, 0.5, 1.5, 2.0, 3.0):
        assert near(path.tangent(along, u), 0.6, 0.8)
    assert np.isnan(path.tangent(path.polyline([vec(5, 5), vec(5, 5)]), 0.0)).all()
    assert np.isnan(path.tangent(along, np.nan)).all()


def test_tangents_where_a_handle_or_a_segment_has_no_length() -> None:
    bare = Path(np.stack([vec(0, 0), vec(0, 0), vec(50, 50), vec(50, 50)])[None], (False,))
    for found in (
        path.start_tangent(bare),
        path.end_tangent(bare),
        path.tangent(bare, 0.0),
        path.tangent(bare, 1.0),
    ):
        assert near(found, math.sqrt(0.5), math.sqrt(0.5))
    shrunk = path.part(CORNERED, 1.2, 1.8)
    assert near(path.start_tangent(shrunk), 0, 1)
    nothing = path.part(CORNERED, 0.5, 0.5)
    assert np.isnan(path.start_tangent(nothing)).all()


def test_each_body_is_located_on_its_own_segment() -> None:
    line = mixed()
    found = path.locate(line, np.array([0.5, 1.0, 2.0]))
    assert found.T.tolist() == [[50.0, 0.0], [100.0, 0.0], [140.0, 50.0]]
    assert np.isnan(path.locate(line, np.array([np.nan, 0.0, 0.0]))[:, 0]).all()


def test_at_length_walks_over_the_joint() -> None:
    line = mixed()
    u = path.at_length(line, np.array([50.0, 100.0, 130.0]))
    assert u[:2] == pytest.approx([0.5, 1.0])
    assert path.length_between(line, 0.0, u) == pytest.approx([50.0, 100.0, 130.0], abs=1e-9)


def test_at_length_allows_a_hair_past_the_ends_and_no_more() -> None:
    assert path.at_length(CORNERED, -5e-7)[0] == 0.0
    assert path.at_length(CORNERED, 150.0 + 5e-7)[0] == pytest.approx(2.0)
    assert np.isnan(path.at_length(CORNERED, -1e-5)[0])
    assert np.isnan(path.at_length(CORNERED, 150.0 + 1e-5)[0])
    curved = fair_curve([vec(0, 0), vec(50, 80)], [vec(1, 0), None])
    assert path.at_length(curved, path.length(curved) + 5e-7)[0] == pytest.approx(1.0)
    assert path.at_length(curved, 0.0)[0] == pytest.approx(0.0)


def test_at_length_passes_over_segments_of_no_length() -> None:
    line = path.part(mixed(), 1.2, 1.9)
    half = path.at_length(line, 0.5 * path.length(line))
    assert ((half > 1.0) & (half < 2.0)).all()
    assert path.length_between(line, 0.0, half) == pytest.approx(0.5 * path.length(line), abs=1e-9)


def test_nearest_is_square_to_the_line_or_at_its_end() -> None:
    line = mixed()
    u, distance = path.nearest(line, vec(40, -7))
    assert u == pytest.approx(0.4)
    assert distance == pytest.approx(7.0)
    u, distance = path.nearest(line, vec(-3, -4))
    assert u == pytest.approx(0.0)
    assert distance == pytest.approx(5.0)
    u, distance = path.nearest(line, path.end(line) + vec(0, 9))
    assert u == pytest.approx(2.0)
    assert distance == pytest.approx(9.0)
    u, distance = path.nearest(line, path.locate(line, 1.37))
    assert u == pytest.approx(1.37, abs=1e-9)
    assert distance == pytest.approx(0.0, abs=1e-9)


def test_nearest_on_a_guide_is_signed_along() -> None:
    u, distance = path.nearest(Guide(vec(10, 10), vec(0, 1)), vec(14, 3))
    assert u[0] == pytest.approx(-7.0)
    assert distance[0] == pytest.approx(4.0)


def test_a_part_keeps_its_segments_and_its_ends() -> None:
    line = mixed()
    for low, high in ((0.25, 0.75), (0.25, 1.5), (1.1, 1.5), (1.0, 2.0), (0.0, 1.0)):
        some = path.part(line, low, high)
        assert len(some.straight) == 2
        assert np.allclose(path.start(some), path.locate(line, low))
        assert np.allclose(path.end(some), path.locate(line, high))
        assert path.length(some) == pytest.approx(path.length_between(line, low, high))
        assert (norm(some.ctrl[1, 0] - some.ctrl[0, 3]) < 1e-9).all()


def test_a_part_may_run_backwards_for_some_bodies() -> None:
    line = mixed()
    u0, u1 = np.array([0.3, 1.6, 0.3]), np.array([1.6, 0.3, 1.2])
    some = path.part(line, u0, u1)
    assert np.allclose(path.start(some), path.locate(line, u0))
    assert np.allclose(path.end(some), path.locate(line, u1))
    assert some.straight == (False, False)
    assert path.length_between(line, u0, u1)[1] == pytest.approx(-path.length(some)[1])
    forward, backward = path.take(some, 0), path.take(some, 1)
    assert forward.straight == (True, False)
    assert backward.straight == (False, True)
    assert path.part(line, 1.6, 0.3).straight == (False, True)


def test_reversing_twice_is_nothing() -> None:
    line = mixed()
    back = path.reverse(line)
    assert back.straight == (False, True)
    assert (path.start(back) == path.end(line)).all()
    assert np.allclose(path.locate(back, 0.7), path.locate(line, 1.3))
    assert (path.reverse(back).ctrl == line.ctrl).all()


def test_join_closes_hairs_and_refuses_gaps() -> None:
    gap = vec(np.array([0.0, 0.009, 0.02]), 0)
    line = path.join([path.polyline([vec(0, 0), vec(10, 0)]), path.polyline([vec(10, 0) + gap, vec(10, 5)])])
    assert np.isfinite(line.ctrl[..., :2]).all()
    assert np.isnan(line.ctrl[..., 2]).all()
    assert line.ctrl[1, 0, 0, 1] == 10.009


def test_turning_moving_and_mirroring() -> None:
    line = mixed()
    turned = path.turn_path(line, vec(100, 0), math.pi / 2)
    assert near(path.start(turned), 100, -100)
    assert near(path.start(path.move_path(line, vec(1, 2))), 1, 2)
    mirrored = path.mirror_path(line, vec(0, 10), vec(1, 0))
    assert near(path.start(mirrored), 0, 20)
    for same in (turned, mirrored):
        assert path.length(same) == pytest.approx(path.length(line))
        assert same.straight == line.straight


def test_extending_runs_on_along_the_ends() -> None:
    longer = path.extend(mixed(), np.array([10.0, 20.0, 30.0]))
    assert longer.straight == (True, True, False, True)
    assert np.allclose(path.start(longer), vec(np.array([-10.0, -20.0, -30.0]), 0))
    assert np.allclose(path.end(longer) - path.end(mixed()), vec(0, np.array([10.0, 20.0, 30.0])))


def test_taking_and_stacking_bodies() -> None:
    line = mixed()
    apart = [path.take(line, k) for k in range(3)]
    assert (np.concatenate([one.ctrl for one in apart], axis=-1) == line.ctrl).all()
    assert all(one.straight == line.straight for one in apart)
    guide = path.take(Guide(vec(np.arange(3.0), 0), vec(1, 0)), 2)
    assert isinstance(guide, Guide)
    assert guide.point.tolist() == [[2.0], [0.0]]
    circle = path.take(Circle(vec(1, 1), np.arange(3.0)), 1)
    assert isinstance(circle, Circle)
    assert circle.radius.tolist() == [1.0]


def test_turning_points_are_counted_and_straights_passed_over() -> None:
    ess = fair_curve([vec(0, 0), vec(100, 60)], [vec(1, 0), vec(1, 0)])
    assert path.inflections(ess)[0] == 1
    assert path.inflections(mixed()).tolist() == [0, 0, 0]
    between = path.join([ess, path.polyline([vec(100, 60), vec(200, 60)]), path.move_path(ess, vec(200, 60))])
    assert path.inflections(between)[0] == 3
