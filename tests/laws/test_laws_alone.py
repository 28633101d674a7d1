"""What is worked for one body, figure by figure, has the bits of what is worked for many bodies at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from scye.geometry.intersect import meet
from scye.geometry.memory import Memory, remembering
from scye.geometry.path import (
    Guide,
    Path,
    end_tangent,
    locate,
    nearest,
    part,
    start_tangent,
    straight_cubic,
    tangent,
)
from scye.geometry.vector import Array, unit

Answer = TypeVar("Answer")
PLACES = st.sampled_from([0.0, -0.0, 1.0, 10.0, 100.0]) | st.floats(-200.0, 200.0)
POINT = st.tuples(PLACES, PLACES)
SEGMENT = st.tuples(st.booleans(), POINT, POINT, POINT)
US = st.sampled_from([0.0, 0.5, 1.0, 2.0, 3.0, np.nan, -0.25, 7.0]) | st.floats(-1.0, 5.0)


Place = tuple[float, float]


def path_of(first: Place, segments: list[tuple[bool, Place, Place, Place]]) -> Path:
    """A path of one body from the ends and handles of its segments."""
    at, rows = np.array(first)[:, None], []
    for straight, *points in segments:
        one, two, last = (np.array(p)[:, None] for p in points)
        rows.append(straight_cubic(at, last) if straight else np.stack((at, one, two, last)))
        at = last
    return Path(np.stack(rows), tuple(row[0] for row in segments))


def without(path: Path, lost: int) -> Path:
    """The path without figures for one of its segments, if it has as many."""
    ctrl = path.ctrl.copy()
    ctrl[lost : lost + 1] = np.nan
    return Path(ctrl, path.straight)


WHOLE = st.builds(path_of, POINT, st.lists(SEGMENT, min_size=1, max_size=4))
PATHS = WHOLE | st.builds(without, WHOLE, st.integers(0, 3))


def twice(array: Array) -> Array:
    """The same figures for two bodies, so that they are worked as a batch is."""
    return np.concatenate((array, array), axis=-1)


def doubled(path: Path) -> Path:
    return Path(twice(path.ctrl), path.straight)


def again(work: Callable[..., Answer], *about: object) -> Answer:
    """Worked as for a body that is drafted again and again."""
    with remembering(Memory()):
        return work(*about)


def same(one: Array, many: Array) -> None:
    """The same figures, a nought with its sign."""
    first = np.ascontiguousarray(many[..., :1])
    assert one.shape == first.shape
    there = ~np.isnan(first)
    assert (there == ~np.isnan(one)).all()
    assert one[there].tobytes() == first[there].tobytes()


@settings(max_examples=600)
@given(PATHS, POINT)
def test_the_nearest_place(path: Path, point: Place):
    at = np.array(point)[:, None]
    for one, many in zip(again(nearest, path, at), nearest(doubled(path), twice(at)), strict=True):
        same(one, many)


@settings(max_examples=600)
@given(PATHS, US)
def test_the_point_at_a_place(path: Path, u: float):
    same(again(locate, path, [u]), locate(doubled(path), [u, u]))


@settings(max_examples=600)
@given(PATHS, US)
def test_the_directions_of_a_path(path: Path, u: float):
    both = doubled(path)
    same(again(tangent, path, [u]), tangent(both, [u, u]))
    same(again(start_tangent, path), start_tangent(both))
    same(again(end_tangent, path), end_tangent(both))


@settings(max_examples=600)
@given(PATHS, US, US)
def test_a_part_of_a_path(path: Path, first: float, last: float):
    one, many = again(part, path, [first], [last]), part(doubled(path), [first, first], [last, last])
    same(one.ctrl, many.ctrl)
    assert one.straight == many.straight


@settings(max_examples=1200)
@given(PATHS, POINT, POINT, st.booleans())
def test_the_meetings_with_a_guide(path: Path, point: Place, way: Place, on: bool):
    """Guides of all kinds: through an end, along a straight, and anywhere."""
    start = path.ctrl[0, 0] if on else np.array(point)[:, None]
    along = unit(path.ctrl[0, 3] - start if on else np.array(way)[:, None])
    guide, both = Guide(start, along), Guide(twice(start), twice(along))
    for a, b, c, d in ((path, guide, doubled(path), both), (guide, path, both, doubled(path))):
        one, many = again(meet, a, b), meet(c, d)
        assert one.count[0] == many.count[0]
        for x, y in ((one.u, many.u), (one.v, many.v), (one.point, many.point)):
            same(x, y)
