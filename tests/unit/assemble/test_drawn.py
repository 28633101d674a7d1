"""Paths as strokes: what bodies are drawn otherwise than their neighbours."""

import numpy as np

from scye.assemble.drawn import strokes_of
from scye.geometry.path import Path
from scye.ir.pattern import Stroke


def path_of(*bodies: list[list[complex]]) -> Path:
    """Segments of four control points for each body, x and y as real and imaginary part."""
    points = np.array(bodies)
    ctrl = np.stack((points.real, points.imag), axis=-1).transpose(1, 2, 3, 0)
    return Path(ctrl, (False,) * len(ctrl))


STRAIGHT = [0, 1, 2, 3]
BENT = [3, 3 + 1j, 4 + 2j, 4 + 3j]
FAR = [5, 5 + 1j, 6 + 2j, 6 + 3j]
NOWHERE = [3, 3, 3, 3]


def test_each_body_has_its_own_segments_and_gaps_in_any_company() -> None:
    path = path_of([STRAIGHT, BENT], [STRAIGHT, FAR], [STRAIGHT, NOWHERE], [STRAIGHT, BENT])
    open_, closed = (strokes_of([((path,), is_closed)], np.arange(4))[0] for is_closed in (False, True))

    start, straight = (0.0, 0.0), ((3.0, 0.0),)
    bent = ((3.0, 1.0), (4.0, 2.0), (4.0, 3.0))
    assert open_ == [
        Stroke(start, (straight, bent), False),
        Stroke(start, (straight, ((5.0, 0.0),), ((5.0, 1.0), (6.0, 2.0), (6.0, 3.0))), False),
        Stroke(start, (straight,), False),
        Stroke(start, (straight, bent), False),
    ]
    assert [s.segments for s in closed] == [(*s.segments, (start,)) for s in open_]
    for i in range(4):
        assert strokes_of([((path,), True)], np.array([i])) == [[closed[i]]]


def test_a_path_that_is_one_for_all_is_drawn_for_each() -> None:
    [[one, two]] = strokes_of([((path_of([STRAIGHT]),), False)], np.array([1, 4]))
    assert one == two == Stroke((0.0, 0.0), (((3.0, 0.0),),), False)
