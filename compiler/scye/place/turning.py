"""Words that are turned with a line."""

from __future__ import annotations

import math

# Words on a line that is steeper than this are all read from the right, whichever way it leans.
STEEP = math.radians(80.0)


def readable_angle(angle: float) -> float:
    """The same line, read from below or, where it is steep, from the right: -100 deg (included) to 80 deg."""
    turned = math.remainder(angle, math.pi)
    return turned - math.pi if turned >= STEEP - 1e-9 else turned
