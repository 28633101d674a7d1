"""Laws of error bars: straight figures have exact slopes, errors add as squares, and order doesn't matter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scye.ir.sureness import ErrorBar
from scye.tolerance.bars import Trial
from scye.tolerance.carry import carry, how_sure
from scye.tolerance.figures import Figure, Figures
from scye.tolerance.steps import Steps
from scye.tolerance.tries import Tried

NAMES = ("bust", "waist", "hip")
SLOPES = st.lists(st.floats(-4, 4), min_size=3, max_size=3)
BARS = st.lists(st.floats(0.5, 40), min_size=3, max_size=3)
STEP = 0.1


def straight(slopes: list[float], bars: list[float], at: float = 700.0) -> tuple[Figures, Tried]:
    """One figure that is a straight sum of three measures, for a body and its six neighbours."""
    trials = tuple(
        Trial(ErrorBar(name, name.title(), "mm", bar, 3), STEP, (STEP, -STEP))
        for name, bar in zip(NAMES, bars, strict=True)
    )
    values = [at] + [at + slope * offset for slope in slopes for offset in (STEP, -STEP)]
    figure = Figure("amount", "total", "mm", (0,))
    return Figures((figure,), np.array([values])), Tried(0, 1, trials, Steps({}))


@given(SLOPES, BARS)
def test_a_straight_figure_has_its_slopes(slopes: list[float], bars: list[float]) -> None:
    carried = carry(*straight(slopes, bars))
    assert carried.slopes[0] == pytest.approx(slopes, abs=1e-10)


@given(SLOPES, BARS)
def test_out_is_the_root_of_the_sum_of_squares(slopes: list[float], bars: list[float]) -> None:
    sure = how_sure(*straight(slopes, bars), "in")
    expected = float(np.sqrt(np.sum((np.array(slopes) * np.array(bars)) ** 2)))
    out = sure.doubts[0].out if sure.doubts else 0.0
    assert out == pytest.approx(expected, rel=1e-6, abs=1e-6)


@given(SLOPES, BARS)
def test_the_greatest_part_comes_first_and_none_exceeds_the_whole(
    slopes: list[float], bars: list[float]
) -> None:
    for doubt in how_sure(*straight(slopes, bars), "in").doubts:
        moves = [part.moves for part in doubt.parts]
        assert moves == sorted(moves, reverse=True)
        assert moves[0] <= doubt.out * (1 + 1e-12)


@given(SLOPES, BARS, st.floats(1, 5))
def test_a_wider_bar_never_makes_a_figure_surer(slopes: list[float], bars: list[float], by: float) -> None:
    wider = [bars[0] * by, *bars[1:]]
    one, two = (how_sure(*straight(slopes, b), "in").doubts for b in (bars, wider))
    assert len(one) == len(two) or not one
    if one and two:
        assert two[0].out >= one[0].out * (1 - 1e-12)


@given(SLOPES, BARS)
def test_the_shares_of_a_piece_are_those_of_its_variance(slopes: list[float], bars: list[float]) -> None:
    figures, tried = straight(slopes, bars)
    edge = Figure("edge", "side", "mm", (0,), ("front", "Front"))
    pieces = how_sure(Figures((edge,), figures.values), tried, "in").pieces
    variance = (np.array(slopes) * np.array(bars)) ** 2
    for piece in pieces:
        for name, share in piece.shares:
            assert share == pytest.approx(variance[NAMES.index(name)] / variance.sum(), rel=1e-4, abs=1e-4)
