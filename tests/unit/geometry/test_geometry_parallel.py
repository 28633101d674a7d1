"""Lines beside others: held to shapely's offsets, to the distance itself, and to one body at a time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from scye.geometry.fair import fair_curve
from scye.geometry.offset import flatten
from scye.geometry.parallel import parallel_path
from scye.geometry.path import Path, end, join, nearest, polyline, start
from scye.geometry.vector import vec

CORNERS = [(0.0, 0.0), (80.0, 5.0), (90.0, 90.0), (190.0, 110.0), (200.0, 20.0)]


def bent(corners: list[tuple[float, float]]) -> Path:
    return polyline([vec(np.array([x]), np.array([y])) for x, y in corners])


@pytest.mark.parametrize("distance", [12.0, -12.0, 3.5, -20.0])
def test_a_bent_line_is_as_shapely_offsets_it(distance: float):
    """shapely's offset_curve, mitred; left of the way is positive there, with y up, so right with y down."""
    beside, least = parallel_path(bent(CORNERS), np.array([distance]))
    other = LineString(CORNERS).offset_curve(distance, join_style="mitre", mitre_limit=20.0)
    own = LineString(flatten(beside, 0.001, 0))
    assert own.hausdorff_distance(other) < 1e-6
    assert least[0] == 1.0


def test_it_ends_square_from_the_ends():
    beside, _ = parallel_path(bent([(0, 0), (100, 0), (100, 100)]), np.array([10.0]))
    assert np.allclose(start(beside)[:, 0], (0, 10))
    assert np.allclose(end(beside)[:, 0], (90, 100))


@given(st.lists(st.floats(-0.9, 0.9), min_size=2, max_size=4), st.floats(-25.0, 25.0))
def test_every_place_of_a_curve_keeps_its_distance(turns: list[float], distance: float):
    """A fair curve through points that wander less than its breadth, and a corner in its middle."""
    points = [vec(np.array([100.0 * i]), np.array([60.0 * t])) for i, t in enumerate([0.0, *turns])]
    curve = fair_curve(points, [None] * len(points))
    beside, least = parallel_path(curve, np.array([distance]))
    if least[0] <= 0.05:
        return
    line = LineString(flatten(curve, 0.001, 0))
    places = np.array(flatten(beside, 0.01, 0))
    away = np.array([line.distance(Point(x, y)) for x, y in places])
    assert np.abs(away - abs(distance)).max() < 0.02


def test_each_body_of_a_batch_has_the_line_it_has_alone():
    """The corner turns one way in some bodies and the other way in others, and not at all in one."""
    rise = np.array([-60.0, -1e-4, 0.0, 30.0, 120.0])
    corner = vec(100.0 + 0.0 * rise, rise)
    line = join(
        [
            fair_curve(
                [vec(np.zeros(5), np.zeros(5)), corner], [vec(np.full(5, 1.0), np.full(5, 0.1)), None]
            ),
            polyline([corner, vec(np.full(5, 200.0), np.zeros(5))]),
        ]
    )
    distance = np.full(5, 8.0)
    together, _ = parallel_path(line, distance)
    for body in range(5):
        alone = Path(line.ctrl[..., body : body + 1], line.straight)
        single, _ = parallel_path(alone, distance[:1])
        places = np.array(flatten(single, 0.05, 0)).T[:, :, None]
        off = [nearest(together, np.broadcast_to(p, (2, 5)))[1][body] for p in places.transpose(1, 0, 2)]
        assert max(off) < 0.01


def test_a_bend_too_sharp_for_the_distance_is_told():
    ring = [(0.0, 0.0), (50.0, 40.0), (100.0, 0.0)]
    points = [vec(np.array([x]), np.array([y])) for x, y in ring]
    curve = fair_curve(points, [None, None, None])
    assert parallel_path(curve, np.array([-200.0]))[1][0] <= 0.0
    assert parallel_path(curve, np.array([20.0]))[1][0] > 0.0
