"""Parallel curves, flattening and areas."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.geometry import area, offset, path
from scye.geometry.fair import fair_curve
from scye.geometry.path import Path
from scye.geometry.vector import norm, vec

RIGHT, DOWN = vec(1, 0), vec(0, 1)
QUARTER = fair_curve([vec(0, 0), vec(100, 100)], [RIGHT, DOWN])


def test_a_straight_is_moved_square_to_itself() -> None:
    line, worst = offset.offset_path(path.polyline([vec(0, 0), vec(100, 0), vec(100, 50)]), 10.0)
    assert line.straight == (True, True)
    assert line.ctrl[0, :, :, 0] == pytest.approx(
        np.array([[0, 10], [100 / 3, 10], [200 / 3, 10], [100, 10]])
    )
    assert path.start(Path(line.ctrl[1:], (True,))) == pytest.approx(vec(90, 0))
    assert worst[0] == 1.0


def test_the_offset_of_an_arc_has_its_radius_less_the_distance() -> None:
    line, worst = offset.offset_path(QUARTER, np.array([20.0, -20.0]))
    assert line.straight == (False,) * offset.PARTS
    for u in np.linspace(0.0, offset.PARTS, 33):
        away = norm(path.locate(line, u) - vec(0, 100))
        assert away == pytest.approx([80.0, 120.0], abs=0.03)
    assert worst == pytest.approx([0.8, 1.2], abs=0.01)
    assert path.end_tangent(line) == pytest.approx(np.array([[0.0, 0.0], [1.0, 1.0]]), abs=1e-9)


def test_a_cusp_is_told() -> None:
    _, worst = offset.offset_path(QUARTER, np.array([90.0, 101.0, 120.0]))
    assert worst[0] > 0.0
    assert (worst[1:] < 0.0).all()


def test_segments_of_no_length_go_with_their_neighbours() -> None:
    whole = path.join([QUARTER, path.polyline([vec(100, 100), vec(100, 150)])])
    for low, high in ((0.2, 0.8), (1.1, 1.9), (0.5, 1.0)):
        some = path.part(whole, low, high)
        line, _ = offset.offset_path(some, 10.0)
        assert np.isfinite(line.ctrl).all()
        assert norm(path.start(line) - path.locate(some, 0.0))[0] == pytest.approx(10.0)
        assert norm(path.end(line) - path.end(some))[0] == pytest.approx(10.0)
        gaps = norm(line.ctrl[1:, 0] - line.ctrl[:-1, 3])
        assert gaps == pytest.approx(0.0, abs=1e-9)


def test_a_body_that_is_not_drawn_is_not_offset() -> None:
    far = vec(np.array([100.0, np.nan]), 100.0)
    line, worst = offset.offset_path(fair_curve([vec(0, 0), far], [RIGHT, DOWN]), 10.0)
    assert np.isfinite(line.ctrl[..., 0]).all()
    assert np.isnan(line.ctrl[..., 1]).all()
    assert np.isnan(worst[1])


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 0.01])
def test_flattening_keeps_the_tolerance_and_the_ends(tolerance: float) -> None:
    whole = path.join([QUARTER, path.polyline([vec(100, 100), vec(100, 150)])])
    points = offset.flatten(whole, tolerance, 0)
    assert points[0] == (0.0, 0.0)
    assert points[-2:] == [(100.0, 100.0), (100.0, 150.0)]
    chords = path.polyline([vec(x, y) for x, y in points])
    for u in np.linspace(0.0, 2.0, 57):
        assert path.nearest(chords, path.locate(whole, u))[1][0] <= tolerance
    assert len(points) < 4 + 12 / math.sqrt(tolerance)


def test_flattening_takes_one_body() -> None:
    two = fair_curve([vec(0, 0), vec(np.array([100.0, 50.0]), 80)], [RIGHT, DOWN])
    assert offset.flatten(two, 0.1, 1)[-1] == (50.0, 80.0)


def test_area_is_signed_by_the_way_round() -> None:
    square = path.polyline([vec(0, 0), vec(10, 0), vec(10, 10), vec(0, 10), vec(0, 0)])
    assert area.signed_area(square)[0] == pytest.approx(100.0)
    assert area.signed_area(path.reverse(square))[0] == pytest.approx(-100.0)
    unclosed = Path(square.ctrl[:3], square.straight[:3])
    assert area.signed_area(unclosed)[0] == pytest.approx(100.0)


def test_area_loses_no_digits_far_away() -> None:
    ring = path.join([QUARTER, path.polyline([vec(100, 100), vec(0, 100), vec(0, 0)])])
    near, far = area.signed_area(ring), area.signed_area(path.move_path(ring, vec(1e6, -3e6)))
    assert near[0] == pytest.approx(math.pi * 100.0**2 / 4, rel=1e-3)
    assert far == pytest.approx(near, rel=1e-9)


def test_a_sharp_bend_makes_no_whisker() -> None:
    """A sleeve cap near its limit: all but straight, bent within half a millimetre at its ends."""
    ctrl = np.array([[-2.77, -153.58], [3.86, -153.58], [159.39, -9.6], [164.66, -6.46]])[None, :, :, None]
    cut, worst = offset.offset_path(Path(ctrl, (False,)), np.array([-9.525]))
    assert worst[0] < 0.0  # the hollow end is told to have a cusp
    x, y = cut.ctrl[:, :, 0, 0], cut.ctrl[:, :, 1, 0]
    assert x.min() > -2.78 - 9.6
    assert x.max() < 164.66 + 9.6
    assert y.min() > -153.58 - 9.6
    assert (np.diff(x[:7].ravel()) >= -1e-9).all()  # every part but the last goes on to the right
