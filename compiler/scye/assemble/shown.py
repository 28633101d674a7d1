"""Lines shown inside a piece: cut off at its outline, and carried along with a part of it that is turned."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from scye.assemble.figures import Figures
from scye.assemble.strokes import inside, samples
from scye.geometry.intersect import meet
from scye.geometry.path import Circle, Guide, Line, Path, locate, part, polyline
from scye.geometry.vector import Array, Flags, cos, quiet, sin, vec
from scye.ir.plan import ShowPlan

SHORTEST = 1e-6  # of a segment, below which there is nothing between two cuts
FAR = 20_000.0  # mm an endless line is looked at
QUARTER = 4.0 / 3.0 * (2.0**0.5 - 1.0)  # the handle of a cubic for a quarter of a circle (Goldapp 1991)


@dataclass(frozen=True, slots=True)
class Shown:
    """The parts of one line that are drawn in a piece; a part is NaN for a body that does not have it."""

    plan: ShowPlan
    parts: tuple[Path, ...]


def shown_inside(plans: Sequence[ShowPlan], outline: Path, figures: Figures) -> tuple[Shown, ...]:
    """Each line as far as it lies inside a closed outline."""
    if not plans:
        return ()
    polygon = samples(outline)
    return tuple(
        Shown(plan, tuple(_within(_as_path(figures.line(plan.line)), outline, polygon))) for plan in plans
    )


def _as_path(line: Line) -> Path:
    match line:
        case Path():
            return line
        case Guide():
            return polyline([line.point - FAR * line.direction, line.point + FAR * line.direction])
        case Circle():
            return _ring(line)


def _ring(circle: Circle) -> Path:
    cubics = []
    for i in range(4):
        one, two = (np.full(1, (i + k) * np.pi / 2.0) for k in (0, 1))
        spokes = [circle.radius * vec(cos(a), sin(a)) for a in (one, two)]
        ways = [circle.radius * vec(-sin(a), cos(a)) for a in (one, two)]
        p, q = (circle.centre + spoke for spoke in spokes)
        cubics.append(np.stack((p, p + QUARTER * ways[0], q - QUARTER * ways[1], q)))
    return Path(np.stack(cubics), (False,) * 4)


def _within(line: Path, outline: Path, polygon: Array) -> Iterator[Path]:
    for piece, middle in cut_at(line, outline):
        kept = inside(polygon, middle[None])[0]
        if kept.any():
            yield Path(np.where(kept, piece.ctrl, np.nan), piece.straight)


def cut_at(line: Path, knife: Path) -> Iterator[tuple[Path, Array]]:
    """A line cut wherever it meets another: each part, NaN for bodies without it, and its middle (2, n)."""
    whole = float(len(line.straight))
    with quiet(all="ignore"):
        u = meet(line, knife).u
        n = u.shape[-1]
        cuts = [np.zeros(n), *np.where(np.isnan(u), whole, u), np.full(n, whole)]
        for low, high in pairwise(cuts):
            there = high - low > SHORTEST
            if there.any():
                piece = part(line, low, high)
                yield (
                    Path(np.where(there, piece.ctrl, np.nan), piece.straight),
                    np.where(there, locate(line, (low + high) / 2.0), np.nan),
                )


def carried(
    shown: Sequence[Shown],
    knife: Path,
    belongs: Callable[[Array], Flags],
    turn: Callable[[Path], Path],
    gone: Array | None,
) -> tuple[Shown, ...]:
    """The lines after the piece was cut along `knife` and the part that a point `belongs` to was turned; what
    lay in the polygon `gone` (K, 2, n) is left out."""
    return tuple(replace(line, parts=tuple(_carried(line, knife, belongs, turn, gone))) for line in shown)


def _carried(
    line: Shown,
    knife: Path,
    belongs: Callable[[Array], Flags],
    turn: Callable[[Path], Path],
    gone: Array | None,
) -> Iterator[Path]:
    for path in line.parts:
        for piece, middle in cut_at(path, knife):
            ctrl = np.where(belongs(middle), turn(piece).ctrl, piece.ctrl)
            if gone is not None:
                ctrl = np.where(inside(gone, middle[None])[0], np.nan, ctrl)
            yield Path(ctrl, piece.straight)
