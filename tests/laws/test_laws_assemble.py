"""Laws of pieces: areas of allowances, legs, ledgers, and the same bits in any batch."""

from __future__ import annotations

import sys
from pathlib import Path as FilePath

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(FilePath(__file__).parents[1] / "unit" / "assemble"))

from by_hand import (
    Paper,
    allow,
    alone,
    bodice_front,
    boundary,
    drafted,
    piece,
    recipe,
    skirt_front,
    turns,
)

QUICK = settings(max_examples=25, deadline=None)


def _area(points: np.ndarray) -> float:
    x, y = points.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0


@QUICK
@given(
    corners=st.lists(st.floats(-0.3, 0.3), min_size=5, max_size=5),
    width=st.floats(1.0, 25.0),
    backwards=st.booleans(),
)
def test_an_even_allowance_adds_its_area_with_corners_run_on(
    corners: list[float], width: float, backwards: bool
) -> None:
    """Steiner: round a convex polygon the offset with run-on corners adds perimeter times width, and at
    every corner width squared times the tangent of half the turn."""
    angles = [2.0 * np.pi * i / 5 + lean for i, lean in enumerate(corners)]
    points = [(300.0 * np.cos(a), 300.0 * np.sin(a)) for a in angles]
    paper = Paper()
    sides = [(f"e{i}", paper.line(points[i], points[(i + 1) % 5])) for i in range(5)]
    amount = paper.amount(width)
    order = sides[::-1] if backwards else sides
    plan = recipe([piece("p", boundary(*order), allowances=tuple(allow(n, amount) for n, _ in order))])
    (drawn,) = drafted(plan, paper).pieces
    net = np.array(points)
    steps = np.roll(net, -1, axis=0) - net
    turned = np.arctan2(*(np.roll(steps, -1, axis=0)[:, ::-1].T)) - np.arctan2(*(steps[:, ::-1].T))
    halves = np.abs(np.tan(np.remainder(turned + np.pi, 2.0 * np.pi) / 2.0 - np.pi / 2.0))
    expected = abs(_area(net)) + width * np.hypot(*steps.T).sum() + width**2 * halves.sum()
    assert _area(turns(drawn.cutting)[:-1]) > 0.0
    assert np.isclose(_area(turns(drawn.cutting)[:-1]), expected, rtol=1e-9)


@QUICK
@given(share=st.floats(0.02, 0.98))
def test_moving_a_share_of_a_dart_keeps_its_angle_and_its_legs(share: float) -> None:
    (front,) = drafted(*bodice_front(share)).pieces
    marks = {mark.name: mark for mark in front.darts}
    old, new = marks["front.side_dart"], marks["shoulder_dart"]
    whole = 2.0 * np.arcsin(0.1)
    assert np.isclose(new.angle, share * whole, rtol=0.0, atol=1e-12)
    assert np.isclose(old.angle + new.angle, whole, rtol=0.0, atol=1e-12)
    for mark in (old, new):
        one, _, two = turns(mark.legs[0])
        assert np.isclose(np.hypot(*(one - mark.pivot)), np.hypot(*(two - mark.pivot)), rtol=0.0, atol=1e-9)


@QUICK
@given(count=st.integers(2, 9), data=st.data())
def test_a_body_is_the_same_alone_and_in_any_batch(count: int, data: st.DataObject) -> None:
    plan, paper = skirt_front(count)
    body = data.draw(st.integers(0, count - 1))
    assert drafted(plan, paper, body) == drafted(plan, alone(paper, body))
