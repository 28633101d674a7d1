"""Lines of two sizes that cross in the nest."""

from __future__ import annotations

import numpy as np
import pytest

from scye.grade.align import Member, Sizes
from scye.grade.crossing import crossings, flat, offsets
from scye.ir.pattern import Edge, Piece, Point, Stroke

STRAIGHT = Stroke((0.0, 0.0), (((100.0, 0.0),),), False)


def edge(path: Stroke) -> Edge:
    return Edge("armhole", 1.0, 1.0, (), False, "", False, path, ())


def piece(path: Stroke) -> Piece:
    grain = ((0.0, 0.0), (0.0, 1.0))
    edges = (edge(path),)
    return Piece("front", "Front", 1, 1, (), path, path, edges, (), (), (), grain, False, (), (0, 0), (), ())


def crossed(one: Stroke, other: Stroke, shift: Point = (0.0, 0.0)) -> list[tuple[int, str, bool]]:
    def lay(p: Point) -> Point:
        return p[0] + shift[0], p[1] + shift[1]

    members = (Member(0, piece(one), lambda p: p), Member(1, piece(other), lay))
    points = [{"front.half_scye": (50.0, 1.0), "front.far": (900.0, 0.0), "back.near": (30.0, 0.0)}] * 2
    sizes = Sizes("front", "front", "", members)
    return [(c.times, c.near, c.expected) for c in crossings(sizes, ("10", "12"), points)]


def bowed(by: float) -> Stroke:
    return Stroke((0.0, 3.0), (((30.0, 3.0 - by), (70.0, 3.0 - by), (100.0, 3.0)),), False)


def test_lines_beside_each_other_do_not_cross() -> None:
    assert crossed(STRAIGHT, STRAIGHT, (5.0, 4.0)) == []


def test_a_line_does_not_cross_itself() -> None:
    assert crossed(bowed(20.0), bowed(20.0)) == []


def test_a_line_whose_ends_move_to_opposite_sides_crosses_once() -> None:
    slanted = Stroke((0.0, -4.0), (((100.0, 6.0),),), False)
    assert crossed(STRAIGHT, slanted) == [(1, "half_scye", True)]


def test_a_deeper_hollow_crosses_twice_and_is_no_ones_wish() -> None:
    """A curve with both ends 3 mm to one side and its middle 12 mm to the other."""
    assert crossed(STRAIGHT, bowed(20.0)) == [(2, "half_scye", False)]


def test_lines_within_half_a_millimetre_are_one() -> None:
    wavy = Stroke((0.0, 0.4), (((50.0, -0.4),), ((100.0, 0.4),)), False)
    assert crossed(STRAIGHT, wavy) == []


def test_laying_in_the_nest_comes_first() -> None:
    """Moved 3 mm up, the ends of the hollow lie on the line and nothing crosses."""
    assert crossed(STRAIGHT, bowed(20.0), (0.0, -3.0)) == []


def test_offsets_are_signed_and_reach_past_the_ends() -> None:
    places = np.array([[-50.0, 2.0], [50.0, -3.0], [150.0, 4.0]])
    assert offsets(flat(STRAIGHT), places) == pytest.approx([2.0, -3.0, 4.0])
