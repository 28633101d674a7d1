"""The area that a closed path encloses. mm2."""

from __future__ import annotations

import numpy as np

from scye.geometry.curve import add_up
from scye.geometry.path import Path
from scye.geometry.vector import Array, cross, quiet

# Green's theorem on a cubic with control points P0..P3: half the integral of P x dP is this sum of
# cross products, exactly (the Bernstein products integrated one by one).
_PAIRS = (((0, 1), 6.0), ((0, 2), 3.0), ((0, 3), 1.0), ((1, 2), 3.0), ((1, 3), 3.0), ((2, 3), 6.0))


def signed_area(outline: Path) -> Array:
    """The area (n,) in mm2 within a path, exact for cubics; positive where it runs clockwise on the paper.

    The path is closed with a straight where its end is not its start. A part of the paper it goes round
    twice counts twice.
    """
    with quiet(all="ignore"):
        ctrl = outline.ctrl - outline.ctrl[:1, :1]  # about its own start: no digits are lost far away
        terms = np.stack([weight / 20.0 * cross(ctrl[:, a], ctrl[:, b]) for (a, b), weight in _PAIRS], axis=1)
        return add_up(terms.reshape(-1, terms.shape[-1]))
