"""Stage 6, the solution: every node's value for a chunk of bodies."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scye.ir.equations import Ref

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class BlockReport:
    """How a block of unknowns came out: `miss` (n,) is what is left of its conditions (mm, or the kind's own
    unit), NaN where they could not be computed at all, and without end where other unknowns would do as well;
    `met` (n,) says whether that is nothing."""

    unknowns: tuple[Ref, ...]
    met: NDArray[np.bool_]
    miss: Array
    # For one unknown: the least and greatest of what its condition's left side less its right can be made.
    reach: tuple[Array, Array] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """`values[ref]`: amounts (n,) or (1,), points and directions (2, n) or (2, 1), lines as Path, Guide or
    Circle; NaN for bodies that could not be drawn. The same for every body where the last axis is 1."""

    count: int
    values: list[Any]
    names: list[str]
    blocks: list[BlockReport] = field(default_factory=list)
