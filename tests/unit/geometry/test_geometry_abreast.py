"""Lines worked side by side give each the bits it has by itself; and how far lines turn at their joints."""

from __future__ import annotations

import numpy as np
import pytest

from scye.geometry.abreast import at_lengths, lengths_to
from scye.geometry.intersect import meet, meet_all
from scye.geometry.path import Guide, Path, at_length, length_between, locate, part, polyline, tangent
from scye.geometry.regularity import kinks
from scye.geometry.vector import clamp, vec


def arch(height: float, count: int = 3) -> Path:
    """One curved segment and one straight, a little otherwise for each body."""
    tall = height + np.arange(count, dtype=float)
    nought = np.zeros(count)
    points = [(0.0, 0.0), (30.0, 1.0), (60.0, 1.0), (90.0, 0.0)]
    curved = np.stack([vec(nought + x, share * tall) for x, share in points])
    ruled = polyline([vec(nought + 90.0, nought), vec(nought + 120.0, tall)]).ctrl[0]
    return Path(np.stack((curved, ruled)), (False, True))


PATHS = [arch(20.0), polyline([vec(0.0, 0.0), vec(50.0, 10.0)]), arch(35.0)]


def test_places_are_those_of_each_line_by_itself() -> None:
    along = [np.array([5.0, 100.0, np.nan]), np.array([1.0, 2.0, 3.0]), np.array([0.0, 40.0, 119.0])]
    for path, s, (point, direction) in zip(PATHS, along, at_lengths(PATHS, along), strict=True):
        u = at_length(path, s)
        np.testing.assert_array_equal(point, locate(path, u))
        np.testing.assert_array_equal(direction, tangent(path, u) + 0.0 * u)


def test_lengths_are_those_of_each_line_by_itself() -> None:
    places = [np.array([0.25, 1.5, np.nan]), np.array([0.5, 0.25, 1.0]), np.array([2.0, 1.0, 0.0])]
    for path, u, whole in zip(PATHS, places, lengths_to(PATHS, places), strict=True):
        np.testing.assert_array_equal(whole, length_between(path, 0.0, u))


def test_meetings_are_those_of_each_pair_by_itself() -> None:
    level = Guide(vec(0.0, 8.0), vec(1.0, 0.0))
    for path, found in zip(PATHS, meet_all([(path, level) for path in PATHS]), strict=True):
        alone = meet(path, level)
        np.testing.assert_array_equal(found.u[: len(alone.u)], alone.u)
        np.testing.assert_array_equal(found.count, alone.count)


def test_a_corner_is_a_kink_and_a_smooth_joint_is_none() -> None:
    square = polyline([vec(0.0, 0.0), vec(10.0, 0.0), vec(10.0, 5.0), vec(10.0, 9.0)])
    assert kinks(square)[:, 0] == pytest.approx([np.pi / 2.0, 0.0])


def test_beside_a_segment_of_no_length_no_turn_is_known() -> None:
    stuck = polyline([vec(0.0, 0.0), vec(10.0, 0.0), vec(10.0, 0.0), vec(10.0, 9.0)])
    assert np.isnan(kinks(stuck)).all()


def test_a_whole_path_is_its_own_part_whoever_else_is_cut() -> None:
    path = arch(20.0)
    all_whole = part(path, np.zeros(3), np.full(3, 2.0))
    one_cut = part(path, np.array([0.0, 0.5, 0.0]), np.full(3, 2.0))
    for body in (0, 2):
        assert all_whole.ctrl[..., body].tobytes() == one_cut.ctrl[..., body].tobytes()


def test_clamping_keeps_nan() -> None:
    kept = clamp(np.array([-1.0, 0.5, 2.0, np.nan]), 0.0, 1.0)
    np.testing.assert_array_equal(kept, [0.0, 0.5, 1.0, np.nan])
