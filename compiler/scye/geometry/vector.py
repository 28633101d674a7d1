"""Points and directions on the paper, for many bodies at once.

A vector is an array whose last two axes are (2, n): x and y, then bodies. n is 1 for a thing that is the
same for every body. x runs right and y runs DOWN the paper; lengths are mm and angles radians. A positive
angle turns clockwise as seen on the paper. Nothing raises: what can't be worked out is NaN.

The trigonometry here gives every body the same bits whoever its neighbours are: numpy works several lanes
at a time, and a NaN or a huge value in one lane may send all of them down another path.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]
Ints: TypeAlias = NDArray[np.int64]

quiet = np.errstate  # `with quiet(all="ignore")`: a NaN is an answer here, not a mistake

BLOCK = 256  # bodies
LARGEST_ANGLE = 1e6  # radians; beyond this an angle is nonsense on paper and its sine is NaN


def bodies(*arrays: Array) -> int:
    """How many bodies the arrays (last axis n or 1) are for together."""
    for array in arrays:
        if array.shape[-1] != 1:
            return int(array.shape[-1])
    return 1


def rows_of(array: Array, which: Ints) -> Array:
    """Of (S, ..., n) each body's own rows numbered `which` (M, n), as (M, ..., n)."""
    if len(array) == 1:
        return array
    if array.shape[-1] == 1:
        return array[which[:, 0]]
    if array.ndim == 2:
        return array[which, np.arange(which.shape[-1])]
    flat = array.reshape(len(array), -1, array.shape[-1])
    picked: Array = flat[which[:, None], np.arange(flat.shape[1])[:, None], np.arange(which.shape[-1])]
    return picked.reshape(len(which), *array.shape[1:])


def in_blocks(function: Callable[..., Array], *arrays: Array) -> Array:
    """`function` of arrays (..., n or 1), giving (..., n), worked a few hundred bodies at a time.

    For what makes large arrays between: they stay in the processor's cache, and the bits are the same.
    """
    n = bodies(*arrays)
    if n <= BLOCK:
        return function(*arrays)
    parts = [
        function(*(a if a.shape[-1] == 1 else a[..., first : first + BLOCK] for a in arrays))
        for first in range(0, n, BLOCK)
    ]
    return np.concatenate(parts, axis=-1)


def clamp(values: Array, low: ArrayLike, high: ArrayLike) -> Array:
    """The values kept between two bounds; NaN where any of the three is. Quicker than `np.clip` for few."""
    return np.minimum(np.maximum(values, low), high)


def row(value: ArrayLike) -> Array:
    """A number, or one number a body, as a contiguous float64 array (n,) or (1,)."""
    return np.ascontiguousarray(value, dtype=np.float64)


def vec(x: ArrayLike, y: ArrayLike) -> Array:
    """The vector (2, n) with these coordinates, each (n,), (1,) or a number."""
    across, down = row(x), row(y)
    out = np.empty((2, bodies(across, down)))
    out[0] = across
    out[1] = down
    return out


def dot(a: Array, b: Array) -> Array:
    """Scalar product, (..., n)."""
    product: Array = a[..., 0, :] * b[..., 0, :] + a[..., 1, :] * b[..., 1, :]
    return product


def cross(a: Array, b: Array) -> Array:
    """ax by - ay bx, (..., n): positive where b lies clockwise of a on the paper."""
    product: Array = a[..., 0, :] * b[..., 1, :] - a[..., 1, :] * b[..., 0, :]
    return product


def norm(a: Array) -> Array:
    """Length, (..., n). A plain root: exact rounding, the same bits in any batch."""
    x, y = a[..., 0, :], a[..., 1, :]
    length: Array = np.sqrt(x * x + y * y)
    return length


def unit(a: Array) -> Array:
    """The direction of `a`, length 1; NaN for a zero vector."""
    with quiet(all="ignore"):
        direction: Array = a / norm(a)[..., None, :]
    return direction


def turn(a: Array, angle: ArrayLike) -> Array:
    """`a` (2, n) turned by `angle` (n,), clockwise on the paper."""
    with quiet(all="ignore"):
        return rotated(a, cos(angle), sin(angle))


def rotated(a: Array, cosine: Array, sine: Array) -> Array:
    """`a` turned by the angle with this cosine and sine, both (..., n)."""
    x, y = a[..., 0, :], a[..., 1, :]
    across = x * cosine - y * sine
    out = np.empty((*across.shape[:-1], 2, across.shape[-1]))
    out[..., 0, :] = across
    np.add(x * sine, y * cosine, out=out[..., 1, :])
    return out


def quarter_turn(a: Array) -> Array:
    """`a` turned 90 degrees clockwise on the paper: (-y, x)."""
    out = np.empty(a.shape)
    np.negative(a[..., 1, :], out=out[..., 0, :])
    out[..., 1, :] = a[..., 0, :]
    return out


def mirror(p: Array, through: Array, direction: Array) -> Array:
    """`p` (..., 2, n) mirrored in the straight through a point in a direction of any length."""
    with quiet(all="ignore"):
        square = quarter_turn(unit(direction))
        mirrored: Array = p - 2.0 * dot(p - through, square)[..., None, :] * square
    return mirrored


def sin(angle: ArrayLike) -> Array:
    """Sine; NaN for what is not finite or beyond a million radians."""
    return _lane_safe(np.sin, row(angle), LARGEST_ANGLE)


def cos(angle: ArrayLike) -> Array:
    """Cosine; NaN for what is not finite or beyond a million radians."""
    return _lane_safe(np.cos, row(angle), LARGEST_ANGLE)


def arcsin(sine: ArrayLike) -> Array:
    """The angle in [-pi/2, pi/2] with this sine; NaN beyond -1..1."""
    return _lane_safe(np.arcsin, row(sine), 1.0)


def arccos(cosine: ArrayLike) -> Array:
    """The angle in [0, pi] with this cosine; NaN beyond -1..1."""
    return _lane_safe(np.arccos, row(cosine), 1.0)


def arctan2(y: ArrayLike, x: ArrayLike) -> Array:
    """The angle in [-pi, pi] of the vector (x, y); NaN where either is not finite."""
    down, across = (np.ascontiguousarray(a) for a in np.broadcast_arrays(row(y), row(x)))
    usable = np.isfinite(down) & np.isfinite(across)
    if usable.all():
        return np.asarray(np.arctan2(down, across))
    angle = np.arctan2(np.where(usable, down, 0.0), np.where(usable, across, 1.0))
    return np.where(usable, angle, np.nan)


def angle_of(a: Array) -> Array:
    """The angle (..., n) of a vector from right, clockwise on the paper."""
    return arctan2(a[..., 1, :], a[..., 0, :])


def angle_between(a: Array, b: Array) -> Array:
    """The turn from `a` to `b`, in [-pi, pi], clockwise positive."""
    with quiet(all="ignore"):
        return arctan2(cross(a, b), dot(a, b))


def _lane_safe(function: Callable[[Array], Array], values: Array, largest: float) -> Array:
    """`function` of the values within reach; the rest are kept out of it and answered with NaN."""
    usable = np.abs(values) <= largest
    if usable.all():
        return np.asarray(function(values))
    return np.where(usable, function(np.where(usable, values, 0.0)), np.nan)
