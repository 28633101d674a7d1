"""What moves against the trend of the measures, row by row."""

from __future__ import annotations

import math

import pytest

from scye.grade.trend import against, trend_of
from scye.ir.grade import GradeRow


def row(*values: float) -> GradeRow:
    return GradeRow("front.scye", "down", "mm", values)


def found(values: tuple[float, ...], trend: tuple[int, ...], way: int = 1) -> list[tuple[int, int, float]]:
    return [(a.first, a.last, pytest.approx(a.by)) for a in against(row(*values), trend, way)]  # type: ignore[misc]


def test_moves_and_steps_are_single_subtractions() -> None:
    tenths = row(*(0.1 * k for k in range(7)))
    assert tenths.moves(3)[6] == 0.1 * 6 - 0.1 * 3
    assert tenths.steps()[5] == 0.1 * 6 - 0.1 * 5


def test_the_trend_is_that_of_the_first_measure() -> None:
    assert trend_of([row(30, 32, 32, 31), row(9, 1, 2, 3)]) == (1, 0, -1)
    assert trend_of([]) == ()


def test_a_row_that_grows_is_not_against_it() -> None:
    assert found((1, 3, 5, 5, 9), (1, 1, 1, 1)) == []


def test_neighbouring_steps_against_it_are_one() -> None:
    assert found((10, 20, 15, 12, 30, 28), (1,) * 5) == [(1, 3, 8), (4, 5, 2)]


def test_a_chart_written_from_large_to_small_is_read_the_other_way() -> None:
    assert found((30, 12, 15, 10), (-1, -1, -1)) == [(1, 2, 3)]


def test_a_figure_that_is_meant_to_fall_may_not_rise() -> None:
    assert found((10, 8, 9, 5), (1, 1, 1), way=-1) == [(1, 2, 1)]


def test_what_a_tape_cannot_show_is_no_move() -> None:
    """1/32 in is 0.79 mm."""
    assert found((10, 9.25), (1,)) == []
    assert found((10, 9.15), (1,)) == [(0, 1, 0.85)]


def test_where_the_first_measure_stands_still_nothing_is_against_it() -> None:
    assert found((10, 5), (0,)) == []


def test_a_size_that_lacks_the_figure_is_passed_over() -> None:
    assert found((10, math.nan, 5), (1, 1)) == []
