"""Gauss-Legendre quadrature on each half of [0, 1]: 32 nodes, 1e-9 of the length of a fair curve.

The numbers are written out so that they are the same on every machine: roots of the Legendre polynomial
of degree 16 and their weights 2 / ((1 - x2) P'(x)2), to the nearest double.
"""

from __future__ import annotations

import numpy as np

from scye.geometry.vector import Array

_POSITIVE = (
    (0.09501250983763744, 0.1894506104550685),
    (0.2816035507792589, 0.18260341504492358),
    (0.45801677765722737, 0.16915651939500254),
    (0.6178762444026438, 0.14959598881657674),
    (0.755404408355003, 0.12462897125553388),
    (0.8656312023878318, 0.09515851168249279),
    (0.9445750230732326, 0.062253523938647894),
    (0.9894009349916499, 0.027152459411754096),
)


def halved_gauss() -> tuple[Array, Array]:
    """The nodes in rising order and their weights, (32,) each; the weights sum to 1."""
    both = sorted([(-x, weight) for x, weight in _POSITIVE] + list(_POSITIVE))
    x, weight = np.array(both).T
    return np.concatenate(((x + 1.0) / 4.0, (x + 3.0) / 4.0)), np.concatenate((weight, weight)) / 4.0
