"""The plain geometry of a lay: curves as points, heads, cells, depths, and pieces slid together."""

from __future__ import annotations

import math
from itertools import pairwise
from random import Random

import numpy as np
import pytest
import shapely

from scye.ir.pattern import Stroke
from scye.lay.depths import depth_map
from scye.lay.flat import area, feet_first, flattened, heads_along, over, shifted
from scye.lay.grid import CellCloth, cells_of, lay_cells
from scye.lay.settle import settled
from scye.lay.shapes import alike, clear, opened_out, sound, strips, widened

SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
ELL = ((0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (30.0, 30.0), (30.0, 100.0), (0.0, 100.0))
QUARTER = 100 * 4 / 3 * (math.sqrt(2) - 1)
# A quarter of a round piece of 100 mm, centre at the origin.
FAN = Stroke(
    (100.0, 0.0), (((100.0, QUARTER), (QUARTER, 100.0), (0.0, 100.0)), ((0.0, 0.0),), ((100.0, 0.0),)), True
)


def test_a_curve_is_followed_as_closely_as_asked():
    ring = flattened(FAN, 0.05)
    curve = [p for p in ring if p != (0.0, 0.0)]
    for a, b in pairwise(curve):
        middle = math.hypot((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert 100 - 0.05 - 0.03 < middle < 100.03  # the cubic itself is 0.03 % off the circle
    # a chord of 6.3 mm is 0.05 mm off such a circle: 25 of them go round a quarter
    assert 25 < len(ring) < 32


def test_a_ring_does_not_repeat_its_first_point():
    assert flattened(FAN)[0] == (100.0, 0.0)
    assert flattened(FAN)[-1] == (0.0, 0.0)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("degrees", range(0, 360, 15))
def test_the_upper_end_of_any_grain_comes_to_the_left(degrees: int, mirrored: bool):
    angle = math.radians(degrees)
    end = (100 * math.cos(angle), 100 * math.sin(angle))
    turn = heads_along(feet_first(((0.0, 0.0), end)), mirrored)
    (x, y), (x2, y2) = turn.point((0.0, 0.0)), turn.point(end)
    assert y == pytest.approx(y2, abs=1e-9)
    if degrees % 180:
        assert (x < x2) == (end[1] > 0)
    else:
        assert (x < x2) == (end[0] > 0)


def test_a_piece_turned_over_twice_is_itself():
    line = ((3.0, 1.0), (8.0, 40.0))
    twice = over(over(ELL, line), line)
    assert np.allclose(twice, ELL)


def test_a_half_is_opened_out_to_twice_its_area():
    whole = opened_out(ELL, ((0.0, 0.0), (0.0, 100.0)))
    assert area(whole) == pytest.approx(2 * area(ELL))
    assert min(x for x, _ in whole) == pytest.approx(-100)


def test_a_widened_outline_holds_the_outline_with_its_margin():
    wide = shapely.Polygon(widened(ELL, 2.0))
    assert shapely.covers(wide, shapely.buffer(shapely.Polygon(ELL), 1.999, quad_segs=32))
    assert wide.bounds == (-2, -2, 102, 102)


def test_strips_cover_the_outline_with_little_more():
    parts = strips(ELL, 10.0)
    cover = shapely.union_all([shapely.box(k * 10, low, k * 10 + 10, high) for k, low, high in parts])
    assert cover.area == pytest.approx(area(ELL))


def test_a_strip_that_is_left_and_entered_again_has_two_parts():
    fork = (
        (0.0, 0.0),
        (40.0, 0.0),
        (40.0, 10.0),
        (10.0, 10.0),
        (10.0, 30.0),
        (40.0, 30.0),
        (40.0, 40.0),
        (0.0, 40.0),
    )
    assert [(low, high) for k, low, high in strips(fork, 20.0) if k == 1] == [(0.0, 10.0), (30.0, 40.0)]


def test_pieces_that_share_ground_are_not_clear():
    assert clear([SQUARE, shifted(SQUARE, (100.0, 0.0))])
    assert not clear([SQUARE, shifted(SQUARE, (99.9, 0.0))])


def test_outlines_alike_and_not():
    assert alike(SQUARE, SQUARE[1:] + SQUARE[:1], 0.01)
    assert not alike(SQUARE, ELL, 1.0)


def test_an_outline_that_crosses_itself_is_not_sound():
    assert sound(ELL)
    assert not sound(((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)))


def test_the_first_free_place_is_that_of_trying_every_place():
    random = Random(3)
    for _ in range(60):
        cloth, taken = CellCloth(12), np.zeros((60, 12), dtype=bool)
        for _ in range(5):
            runs = []
            for column in range(random.randint(1, 4)):
                low = random.randint(0, 3)
                runs.append((column, float(low), float(low + random.randint(1, 4))))
            wide = max(int(high) for _, _, high in runs)
            cells = cells_of(runs, 1.0, len(runs), 12 - wide + 1)
            place = cloth.first_free(cells)
            assert place == tried(taken, cells)
            cloth.put(cells, place)
            for c, first, last in cells.runs:
                taken[place[0] + c, place[1] + first : place[1] + last] = True


def tried(taken, cells):
    for column in range(60):
        for row in range(cells.room):
            if not any(taken[column + c, row + a : row + b].any() for c, a, b in cells.runs):
                return column, row
    return None


def test_a_partner_is_laid_the_same_way():
    tall = [
        cells_of([(0, 0.0, 3.0), (1, 0.0, 1.0)], 1.0, 2, 2),
        cells_of([(0, 2.0, 3.0), (1, 0.0, 3.0)], 1.0, 2, 2),
    ]
    alone, _ = lay_cells(4, [0, 1], [tall, tall], [None, None])
    paired, _ = lay_cells(4, [0, 1], [tall, tall], [1, 0])
    assert alone[0][0] != alone[1][0]
    assert paired[0][0] == paired[1][0]


def test_depths_are_nought_only_where_pieces_are_clear():
    """Beside shapely: where a depth is nought the outlines share nothing; deep inside it is not nought."""
    one, other = widened(ELL, 1.0), widened(SQUARE, 1.0)
    one, other = shifted(one, (1.0, 1.0)), shifted(other, (1.0, 1.0))
    found = depth_map(strips(one, 10.0), strips(other, 10.0), 10.0, 4.0)
    shapes = shapely.Polygon(one), shapely.Polygon(other)
    for along in range(-14, 15):
        for across in range(-30, 31):
            moved = shapely.affinity.translate(shapes[1], along * 10.0, across * 4.0)
            shared = shapely.intersection(shapes[0], moved).area
            depth = found.at(along, across)
            assert depth > 0 or shared < 1e-6
            # a step is all by which strips and places can be too careful
            inner = shapely.buffer(shapes[0], -11.0)
            assert depth == 0 or not shapely.disjoint(shapely.buffer(inner, 24.0), moved)


def test_a_depth_is_the_shortest_way_straight_out():
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    found = depth_map(strips(square, 10.0), strips(square, 10.0), 10.0, 4.0)
    assert found.at(0, 0) == 40.0
    assert found.at(3, 0) == 10.0
    assert found.at(0, -9) == 4.0
    assert found.at(4, 0) == found.at(0, 10) == found.at(50, 50) == 0.0


def test_pieces_slide_until_they_meet():
    at = settled([SQUARE, SQUARE], [(40.0, 0.0), (300.0, 20.0)], [False, False])
    assert at[0] == pytest.approx((0.001, 0.0), abs=1e-6)
    assert at[1][0] == pytest.approx(100.002, abs=1e-6)
    assert at[1][1] == pytest.approx(0.001, abs=1e-6)


def test_a_slid_piece_goes_into_a_hollow():
    small = ((0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0))
    at = settled([ELL, small], [(0.0, 0.0), (200.0, 45.0)], [False, False])
    assert at[1] == pytest.approx((30.002, 30.002), abs=0.002)


def test_what_lies_on_the_fold_slides_along_it_alone():
    at = settled([SQUARE], [(50.0, 7.0)], [True])
    assert at[0] == pytest.approx((0.001, 7.0))
