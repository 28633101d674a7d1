"""Words that are turned with a line."""

from __future__ import annotations

import math


def readable_angle(angle: float) -> float:
    """The same line, read from below or from the right: turned into -90 deg (included) to 90 deg."""
    turned = math.remainder(angle, math.pi)
    return -math.pi / 2 if turned >= math.pi / 2 - 1e-9 else turned
