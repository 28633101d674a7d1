"""One cubic: evaluating, splitting, measuring."""

from __future__ import annotations

import math

import numpy as np
import pytest

from scye.geometry import curve
from scye.geometry.hobby import span_curve
from scye.geometry.newton import solve_rising
from scye.geometry.vector import Array, norm, vec

QUARTER = span_curve(vec(0, 0), vec(100, 100), vec(1, 0), vec(0, 1), np.ones(1))


@pytest.fixture
def bent() -> Array:
    rng = np.random.default_rng(3)
    return rng.uniform(0.0, 200.0, (4, 2, 5))


def test_ends_are_exact(bent: Array) -> None:
    assert (curve.evaluate(bent, 0.0) == bent[0]).all()
    assert (curve.evaluate(bent, 1.0) == bent[3]).all()
    assert (curve.portion(bent, 0.0, 1.0) == bent).all()


def test_velocity_and_acceleration_are_the_slopes(bent: Array) -> None:
    t, h = np.linspace(0.1, 0.9, 5), 1e-5
    slope = (curve.evaluate(bent, t + h) - curve.evaluate(bent, t - h)) / (2 * h)
    assert curve.derivative(bent, t) == pytest.approx(slope, abs=1e-4)
    bend = (curve.derivative(bent, t + h) - curve.derivative(bent, t - h)) / (2 * h)
    assert curve.second(bent, t) == pytest.approx(bend, abs=1e-4)


def test_powers_agree_with_control_points(bent: Array) -> None:
    powers, t = curve.Powers.of(bent), np.linspace(0.0, 1.0, 5)
    point, velocity = powers.motion(t)
    assert point == pytest.approx(curve.evaluate(bent, t), abs=1e-10)
    assert powers.point(t) == pytest.approx(point, abs=1e-10)
    assert velocity == pytest.approx(curve.derivative(bent, t), abs=1e-9)
    assert powers.acceleration(t) == pytest.approx(curve.second(bent, t), abs=1e-9)


def test_curvature_of_a_clockwise_quarter_circle_is_positive() -> None:
    assert curve.curvature(QUARTER, 0.5)[0] == pytest.approx(1 / 100, rel=0.01)


def test_split_and_portion_are_the_same_curve(bent: Array) -> None:
    t = np.linspace(0.2, 0.8, 5)
    before, after = curve.split(bent, t)
    assert curve.evaluate(before, 0.25) == pytest.approx(curve.evaluate(bent, 0.25 * t))
    assert curve.evaluate(after, 0.25) == pytest.approx(curve.evaluate(bent, t + 0.25 * (1 - t)))
    assert (before[3] == after[0]).all()
    assert curve.portion(bent, 0.0, t) == pytest.approx(before)
    assert curve.portion(bent, t, 1.0) == pytest.approx(after)


def test_length_of_a_straight_and_of_a_quarter_circle() -> None:
    third = np.stack([vec(x, 0) for x in (0, 1, 2, 3)])
    assert curve.arc_length(third)[0] == pytest.approx(3.0, abs=1e-14)
    # a cubic's quarter circle is a little longer than the true one: 2.7e-4 of its radius at most
    assert curve.arc_length(QUARTER)[0] == pytest.approx(50 * math.pi, abs=0.03)


def test_parameter_at_length_finds_it_and_knows_what_is_outside(bent: Array) -> None:
    whole = curve.arc_length(bent)
    t = curve.parameter_at_length(bent, 0.37 * whole)
    assert curve.length_to(bent, t) == pytest.approx(0.37 * whole, abs=1e-9)
    assert curve.parameter_at_length(bent, 0.0 * whole) == pytest.approx(0.0)
    assert curve.parameter_at_length(bent, whole) == pytest.approx(1.0)
    assert np.isnan(curve.parameter_at_length(bent, whole + 1.0)).all()
    assert np.isnan(curve.parameter_at_length(bent, np.full(5, -1.0))).all()


def test_newton_is_kept_between_its_bounds() -> None:
    """The cube root's slope is infinite at its root, where Newton alone runs away."""

    def cube_root(x: Array) -> tuple[Array, Array]:
        with np.errstate(all="ignore"):
            return np.cbrt(x), 1.0 / (3.0 * np.cbrt(x) ** 2)

    low, high = np.array([-1.0, -0.3]), np.array([2.0, 8.0])
    assert solve_rising(cube_root, low, high, np.array([1.9, 0.1])) == pytest.approx(0.0, abs=1e-14)


def test_newton_stops_at_a_bound_where_there_is_no_root() -> None:
    def above(x: Array) -> tuple[Array, Array]:
        return x + 1.0, np.ones_like(x)

    assert solve_rising(above, np.zeros(1), np.ones(1), np.full(1, 0.5))[0] == pytest.approx(0.0, abs=1e-12)
    assert np.isnan(solve_rising(above, np.zeros(1), np.ones(1), np.full(1, np.nan)))[0]


@pytest.mark.parametrize("root", [0.0, -1e-17, 1.0, 1.0 + 1e-15, -1.0, 3.0])
def test_a_root_at_a_bound_or_beyond_it_is_soon_known(root: float) -> None:
    asked = []

    def rising(x: Array) -> tuple[Array, Array]:
        asked.append(x)
        return x - root, np.ones_like(x)

    found = solve_rising(rising, np.zeros(1), np.ones(1), np.full(1, 0.5))
    assert found[0] == pytest.approx(min(max(root, 0.0), 1.0), abs=1e-15)
    assert len(asked) <= 3


def test_a_loop_is_measured_too() -> None:
    """A cubic with a cusp, by the length of very many chords."""
    cusp = np.stack([vec(0, 0), vec(100, 100), vec(0, 100), vec(100, 0)])
    points = curve.evaluate(cusp, np.linspace(0.0, 1.0, 20001))
    chords = norm(np.diff(points, axis=1)).sum()
    assert curve.arc_length(cusp)[0] == pytest.approx(chords, abs=0.1)
