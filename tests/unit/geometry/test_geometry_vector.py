"""Vectors, turning and lane-safe trigonometry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.geometry import vector
from scye.geometry.vector import vec


def test_vec_broadcasts_numbers_and_bodies() -> None:
    assert vec(1, 2).shape == (2, 1)
    assert vec(np.arange(3.0), 2).tolist() == [[0.0, 1.0, 2.0], [2.0, 2.0, 2.0]]


def test_turning_is_clockwise_on_the_paper() -> None:
    down = vector.turn(vec(1, 0), math.pi / 2)
    assert down == pytest.approx(vec(0, 1), abs=1e-15)
    assert vector.quarter_turn(vec(1, 0)).tolist() == [[0.0], [1.0]]
    assert vector.angle_between(vec(1, 0), vec(0, 1))[0] == pytest.approx(math.pi / 2)
    assert vector.cross(vec(1, 0), vec(0, 1))[0] == 1.0


def test_mirror_keeps_what_lies_on_the_straight() -> None:
    through, direction = vec(3, 4), vec(10, 10)
    assert vector.mirror(vec(5, 6), through, direction) == pytest.approx(vec(5, 6))
    assert vector.mirror(vec(3, 5), through, direction) == pytest.approx(vec(4, 4))


def test_unit_of_nothing_is_nan() -> None:
    assert np.isnan(vector.unit(vec(0, 0))).all()
    assert vector.unit(vec(3, 4)) == pytest.approx(vec(0.6, 0.8))


@pytest.mark.parametrize("function", [vector.sin, vector.cos, vector.arcsin, vector.arccos])
def test_trigonometry_answers_nan_where_there_is_no_answer(function: object) -> None:
    assert callable(function)
    found = function([0.5, np.nan, np.inf, 1e7, -1e7])
    assert np.isfinite(found[0])
    assert np.isnan(found[1:]).all()


def test_arctan2_is_nan_beside_infinity_and_broadcasts() -> None:
    found = vector.arctan2(np.array([1.0, np.inf, np.nan]), 1.0)
    assert found[0] == pytest.approx(math.pi / 4)
    assert np.isnan(found[1:]).all()


def test_rows_of_gives_each_body_its_own() -> None:
    rows = np.array([[1.0, 2.0], [3.0, 4.0]])
    assert vector.rows_of(rows, np.array([[1, 0]])).tolist() == [[3.0, 2.0]]
    stacked = np.stack((rows, rows + 10.0))
    assert vector.rows_of(stacked, np.array([[1, 0]])).tolist() == [[[11.0, 2.0], [13.0, 4.0]]]
