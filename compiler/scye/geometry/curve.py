"""One cubic curve a body: control points (4, 2, n), in Bernstein form.

The functions take any leading axes: (..., 4, 2, n), with parameters t that broadcast against (..., n). So
the same code serves one cubic and all the segments of a path together. Lengths are mm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from scye.geometry.newton import solve_rising
from scye.geometry.quadrature import halved_gauss
from scye.geometry.vector import Array, Ints, cross, in_blocks, norm, quiet, row, rows_of

NODES, WEIGHTS = halved_gauss()  # (32,) each, on [0, 1]
_A_HAIR = 1e-9  # mm
_MANY = 64  # bodies
_AT = NODES[:, None]
_FIRST, _MIDDLE, _LAST = 3.0 * (1 - _AT) ** 2, 6.0 * _AT * (1 - _AT), 3.0 * _AT**2


def evaluate(cubic: Array, t: ArrayLike) -> Array:
    """The point at t, (..., 2, n). Exactly the end points at 0 and 1."""
    at = _spread(t)
    rest = 1.0 - at
    first, second_, third, last = _points(cubic)
    near: Array = rest * first
    near += 3.0 * at * second_
    near *= rest * rest
    far = 3.0 * rest * third
    far += at * last
    far *= at * at
    near += far
    return near


def derivative(cubic: Array, t: ArrayLike) -> Array:
    """The velocity dP/dt at t, (..., 2, n)."""
    at = _spread(t)
    rest = 1.0 - at
    first, middle, last = hodograph(cubic)
    velocity: Array = 3.0 * (rest * rest * first + 2.0 * rest * at * middle + at * at * last)
    return velocity


def second(cubic: Array, t: ArrayLike) -> Array:
    """The acceleration d2P/dt2 at t, (..., 2, n)."""
    at = _spread(t)
    first, middle, last = hodograph(cubic)
    acceleration: Array = 6.0 * ((1.0 - at) * (middle - first) + at * (last - middle))
    return acceleration


def curvature(cubic: Array, t: ArrayLike) -> Array:
    """1/radius at t, per mm, (..., n): positive where the curve bends clockwise on the paper."""
    with quiet(all="ignore"):
        velocity = derivative(cubic, t)
        speed = norm(velocity)
        bend: Array = cross(velocity, second(cubic, t)) / (speed * speed * speed)
    return bend


def split(cubic: Array, t: ArrayLike) -> tuple[Array, Array]:
    """The parts before and after t (de Casteljau)."""
    at = _spread(t)
    first, second_, third, last = _points(cubic)
    ab, bc, cd = _between(first, second_, at), _between(second_, third, at), _between(third, last, at)
    abc, bcd = _between(ab, bc, at), _between(bc, cd, at)
    middle = _between(abc, bcd, at)
    shape = middle.shape
    before = np.stack((np.broadcast_to(first, shape), ab, abc, middle), axis=-3)
    after = np.stack((middle, bcd, cd, np.broadcast_to(last, shape)), axis=-3)
    return before, after


def portion(cubic: Array, t0: ArrayLike, t1: ArrayLike) -> Array:
    """The part from t0 to t1, (..., 4, 2, n), by polar forms; exactly the cubic itself for 0 and 1."""
    low, high = _spread(_spread(t0)), _spread(_spread(t1))
    low_side, high_side = _blend(cubic, low), _blend(cubic, high)
    both_low, mixed, both_high = _blend(low_side, low), _blend(low_side, high), _blend(high_side, high)
    ends = [_blend(both_low, low), _blend(both_low, high), _blend(mixed, high), _blend(both_high, high)]
    return np.concatenate(np.broadcast_arrays(*ends), axis=-3)


def hodograph(cubic: Array) -> tuple[Array, Array, Array]:
    """The three differences of the control points: a third of the velocity's own control points."""
    steps = cubic[..., 1:, :, :] - cubic[..., :-1, :, :]
    return steps[..., 0, :, :], steps[..., 1, :, :], steps[..., 2, :, :]


def arc_length(cubic: Array) -> Array:
    """Length of the whole cubic, (..., n)."""
    return in_blocks(_arc_length, cubic)


def _arc_length(cubic: Array) -> Array:
    return add_up(_paces(cubic))


def _paces(cubic: Array) -> Array:
    """The share of each node in the length, (..., 32, n)."""
    first, middle, last = hodograph(cubic)
    x = _FIRST * first[..., None, 0, :] + _MIDDLE * middle[..., None, 0, :] + _LAST * last[..., None, 0, :]
    y = _FIRST * first[..., None, 1, :] + _MIDDLE * middle[..., None, 1, :] + _LAST * last[..., None, 1, :]
    pace: Array = np.sqrt(x * x + y * y) * WEIGHTS[:, None]
    return pace


def add_up(terms: Array) -> Array:
    """The sum over the second last axis, in order: np.sum may pair terms otherwise for other batches.

    The bits are the same both ways; for many bodies the loop is twice as fast, for few `accumulate` is.
    """
    if terms.shape[-1] < _MANY:
        few: Array = np.add.accumulate(terms, axis=-2)[..., -1, :]
        return few
    total: Array = terms[..., 0, :].copy()
    for k in range(1, terms.shape[-2]):
        total += terms[..., k, :]
    return total


def length_to(cubic: Array, t: ArrayLike) -> Array:
    """Length from the start to t, (..., n); t in [0, 1]."""
    at = np.asarray(t, dtype=np.float64)
    nodes = _AT * at[..., None, :] if at.ndim else _AT * at
    velocity = derivative(cubic[..., None, :, :, :], nodes)
    return at * add_up(norm(velocity) * WEIGHTS[:, None])


def parameter_at_length(cubic: Array, s: ArrayLike) -> Array:
    """The t in [0, 1] whose length from the start is s (n,); NaN where s is outside the curve.

    Newton's method from a first guess by the lengths up to the nodes of the quadrature.
    """
    with quiet(all="ignore"):
        return in_blocks(_parameter_at_length, cubic, row(s))


def _parameter_at_length(cubic: Array, s: Array) -> Array:
    paces = _paces(cubic)
    whole = add_up(paces)
    # a whole length that was added up in another order may be a hair longer: that is still the end
    inside = (s >= 0.0) & (s <= whole + _A_HAIR)
    wanted = np.minimum(s, whole)
    guess = np.where(inside, _guess_at_length(paces, wanted), np.nan)

    def excess(t: Array) -> tuple[Array, Array]:
        return length_to(cubic, t) - wanted, norm(derivative(cubic, t))

    return solve_rising(excess, np.zeros_like(guess), np.ones_like(guess), guess)


def _guess_at_length(pace: Array, wanted: Array) -> Array:
    """The t whose length is about as wanted, from the share of each node (..., 32, n) in the length."""
    step = WEIGHTS[:, None]
    done = np.add.accumulate(pace, axis=-2) - pace
    share: Array = np.clip((wanted[..., None, :] - done) / pace, 0.0, 1.0)
    return np.clip(add_up(share * step), 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Powers:
    """Cubics by the powers of t, for many evaluations: nought + one t + two t2 + three t3; (..., d, n)."""

    nought: Array
    one: Array
    two: Array
    three: Array

    @staticmethod
    def of(ctrl: Array) -> Powers:
        """Those of control points (..., 4, d, n)."""
        first, second_, third, last = _points(ctrl)
        one = 3.0 * (second_ - first)
        two = 3.0 * (third - second_) - one
        return Powers(first, one, two, last - first - one - two)

    def point(self, t: ArrayLike) -> Array:
        """The points at t."""
        at = _spread(t)
        place: Array = self.nought + at * (self.one + at * (self.two + at * self.three))
        return place

    def motion(self, t: ArrayLike) -> tuple[Array, Array]:
        """The points at t and the velocities."""
        at = _spread(t)
        bend = at * self.three
        slope = at * (self.two + bend)
        return self.nought + at * (self.one + slope), self.one + 2.0 * slope + at * bend

    def acceleration(self, t: ArrayLike) -> Array:
        """The accelerations at t."""
        force: Array = 2.0 * self.two + (6.0 * _spread(t)) * self.three
        return force

    def own(self, which: Ints) -> Powers:
        """Of S cubics each, the ones numbered `which` (M, n)."""
        return Powers(*(rows_of(part, which) for part in (self.nought, self.one, self.two, self.three)))


def _spread(t: ArrayLike) -> Array:
    """t with an axis put in for x and y."""
    at = np.asarray(t, dtype=np.float64)
    return at if at.ndim == 0 else at[..., None, :]


def _points(cubic: Array) -> tuple[Array, Array, Array, Array]:
    return cubic[..., 0, :, :], cubic[..., 1, :, :], cubic[..., 2, :, :], cubic[..., 3, :, :]


def _between(a: Array, b: Array, t: Array) -> Array:
    """a at t = 0 and b at t = 1, both to the bit."""
    mixed: Array = (1.0 - t) * a + t * b
    return mixed


def _blend(points: Array, t: Array) -> Array:
    """Between each of some points (..., k, 2, n) and the next, (..., k - 1, 2, n)."""
    return _between(points[..., :-1, :, :], points[..., 1:, :, :], t)
