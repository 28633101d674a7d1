"""Bounds and points of strokes."""

import math
from itertools import pairwise

import pytest

from scye.ir.pattern import Stroke
from scye.ir.sheets import Box
from scye.place.ground import places_along
from scye.place.outline import flatten, overlaps, stroke_box, union


def test_the_bounds_of_a_cubic_reach_to_its_turn_and_no_further():
    # y = 3 t (1 - t) * 40: highest at the middle, three quarters of its handles' height.
    arch = Stroke((0, 0), (((0, -40), (100, -40), (100, 0)),), False)
    assert stroke_box(arch) == Box(0, pytest.approx(-30), 100, 0)


def test_the_bounds_of_a_cubic_with_one_turn_of_a_straight_derivative():
    # x is t * 30 exactly; y rises as a parabola written as a cubic.
    parabola = Stroke((0, 0), (((10, 20), (20, 20), (30, 0)),), False)
    assert stroke_box(parabola) == Box(0, 0, 30, pytest.approx(15))


def test_straight_lines_have_the_bounds_of_their_ends():
    assert stroke_box(Stroke((3, 4), (((-1, 9),),), False)) == Box(-1, 4, 3, 9)


def test_flattening_stays_on_the_curve_and_closes():
    quarter = 4 / 3 * (math.sqrt(2) - 1)
    arc = Stroke((50, 0), (((50, 50 * quarter), (50 * quarter, 50), (0, 50)), ((0, 0),)), True)
    points = flatten(arc, 2.0)
    assert points[0] == points[-1]
    assert all(abs(math.hypot(*p) - 50) < 0.02 for p in points[:-2])


def test_places_along_are_no_further_apart_than_asked():
    places = places_along(Stroke((0, 0), (((10, 0),), ((10, 7),)), False), 3)
    assert max(math.dist(p, q) for p, q in pairwise(places)) <= 3
    assert [10, 0] in places.tolist()
    assert places[-1].tolist() == [10, 7]


def test_boxes():
    a, b = Box(0, 0, 10, 10), Box(9, 9, 20, 30)
    assert overlaps(a, b)
    assert not overlaps(a, Box(10, 0, 12, 10))
    assert union((a, b)) == Box(0, 0, 20, 30)
