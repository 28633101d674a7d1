"""Roots of one equation a body, by Newton's method kept between two bounds.

Each body is frozen the moment it has arrived, so that it ends on the same bits however long its neighbours
take; the loop may then stop as soon as all are frozen.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from scye.geometry.vector import Array

MOST_STEPS = 80  # bisection alone would be done: 2**-80 of the interval
LAST_NEWTON = 1e-9  # of the interval: Newton squares the error, so after such a step nothing is left
LAST_HALVING = 1e-15  # of the interval

Function = Callable[[Array], tuple[Array, Array]]


def solve_rising(function: Function, low: Array, high: Array, guess: Array) -> Array:
    """The x in [low, high] where `function` (value and slope) rises through 0.

    All arrays have one shape (..., n), which `function` also returns. A step that would leave the bounds
    stops at the bound if that is near, as it is for a root at an end; else the bounds are halved. Where the
    value has one sign throughout, the answer is the bound nearest to a root. NaN where the guess or the value
    is NaN.
    """
    x = guess
    low, high = low + 0.0 * guess, high + 0.0 * guess
    step = width = high - low
    moving = width == width
    for _ in range(MOST_STEPS):
        value, slope = function(x)
        below, above = value < 0.0, value > 0.0
        low, high = np.where(below, x, low), np.where(above, x, high)
        newton = x - value / slope
        newton = np.where(below & (newton > high), high, np.where(above & (newton < low), low, newton))
        # a Newton step must stay inside and at least halve the step before, or the bounds are halved
        usable = ((newton - low) * (high - newton) >= 0.0) & (np.abs(newton - x) <= 0.5 * step)
        better = np.where(usable, newton, 0.5 * (low + high) + 0.0 * value)
        step = np.abs(better - x)
        x = np.where(moving, better, x)
        moving = moving & (step > width * np.where(usable, LAST_NEWTON, LAST_HALVING))
        if not moving.any():
            break
    return x
