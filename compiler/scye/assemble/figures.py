"""The solution as the assemble room reads it: every figure spread over the bodies at hand.

What may differ in structure from body to body (which way an edge runs, which darts a piece has) is settled
by `agree`: when the bodies at hand do not agree it raises `Differ`, and the caller assembles each kind
apart. So the code after it works on whole batches of one structure, and a body's result never depends on
its neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scye.geometry.path import Circle, Guide, Line, Path
from scye.geometry.vector import Array, Flags, Ints
from scye.ir.equations import Ref
from scye.ir.solution import Solution
from scye.units.names import edge_name


class Differ(Exception):
    """The bodies at hand are built in different ways; `mask` (m,) parts them in two."""

    def __init__(self, mask: Flags) -> None:
        super().__init__()
        self.mask = mask


def agree(values: Ints | Flags, known: Flags) -> int:
    """The value that all known bodies share, 0 if none is known. Raises `Differ` if they do not agree."""
    if len(known) == 1:  # alone there is nobody to differ from
        return int(values[0]) if known[0] else 0
    if not known.any():
        return 0
    first = values[int(np.argmax(known))]
    other = known & (values != first)
    if other.any():
        raise Differ(other)
    return int(first)


def known(array: Array) -> Flags:
    """Which bodies (the last axis) have no NaN in an array."""
    finite: Flags = np.logical_and.reduce(np.isfinite(array).reshape(-1, array.shape[-1]), axis=0)
    return finite


@dataclass(frozen=True, slots=True)
class Figures:
    """The values of a solution for the bodies at these places of the batch, as (m,), (2, m) or lines.

    Only the first `printed` bodies of the batch come on paper; nobody needs room for a label on the others.
    """

    solution: Solution
    bodies: Ints
    printed: int

    @property
    def on_paper(self) -> Ints:
        """Which of these bodies come on paper, by their places among these."""
        return np.flatnonzero(self.bodies < self.printed)

    @property
    def count(self) -> int:
        return len(self.bodies)

    def amount(self, ref: Ref) -> Array:
        return self._picked(self.solution.values[ref])

    def point(self, ref: Ref) -> Array:
        return self._picked(self.solution.values[ref])

    def line(self, ref: Ref) -> Line:
        match self.solution.values[ref]:
            case Path() as path:
                return Path(self._picked(path.ctrl), path.straight)
            case Guide() as guide:
                return Guide(self._picked(guide.point), self._picked(guide.direction))
            case Circle() as circle:
                return Circle(self._picked(circle.centre), self._picked(circle.radius))
            case _:
                raise TypeError(f"node {ref} is not a line")

    def name(self, ref: Ref) -> str:
        return spoken(self.solution.names[ref])

    def _picked(self, value: object) -> Array:
        array = np.asarray(value, dtype=np.float64)
        if array.shape[-1] == 1 == self.count:
            return np.ascontiguousarray(array)
        if array.shape[-1] == 1:
            return np.ascontiguousarray(np.broadcast_to(array, (*array.shape[:-1], self.count)))
        return np.ascontiguousarray(array[..., self.bodies])


def spoken(name: str) -> str:
    """The name of a piece, dart, point or level as it is said: `front.waist_line` is `waist line`."""
    return name.rsplit(".", 1)[-1].replace("_", " ")


def edge_words(name: str) -> str:
    """The name of an edge as it is said in a message: `seam 1, right edge`, `neck edge`, `hem 2`."""
    return edge_name(name, (name, name))
