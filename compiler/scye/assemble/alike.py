"""Which pieces of two bodies of a batch are the same: a body's right and left side, drafted as two."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from scye.geometry.vector import Array
from scye.ir.assembly import Assembly, PieceDrawn

SAME = 0.25  # mm, less than the breadth of a pencil line


def alike(assembly: Assembly, one: int, two: int) -> frozenset[str]:
    """The names of the pieces that are drawn for both bodies and are the same to a pencil line."""
    parts = [next(part for part in assembly.parts if body in part.bodies) for body in (one, two)]
    if parts[0] is not parts[1]:
        return frozenset()
    a, b = (int(np.searchsorted(parts[0].bodies, body)) for body in (one, two))
    return frozenset(piece.plan.name for piece in parts[0].pieces if _same(piece, a, b))


def _same(piece: PieceDrawn, a: int, b: int) -> bool:
    if not (piece.drawn[a] and piece.drawn[b]):
        return bool(piece.drawn[a] == piece.drawn[b])
    return all(_equal(array, a, b) for array in _arrays(piece))


def _equal(array: Array, a: int, b: int) -> bool:
    return array.shape[-1] == 1 or bool(
        np.allclose(array[..., a], array[..., b], rtol=0.0, atol=SAME, equal_nan=True)
    )


def _arrays(piece: PieceDrawn) -> Iterator[Array]:
    """Everything of a piece that can differ from body to body."""
    yield piece.net.ctrl
    yield piece.cutting.ctrl
    for notch in piece.notches:
        yield notch.at
    for drill, _ in piece.drills:
        yield drill
    for dart in piece.doubles:
        yield dart.sides[0].ctrl
        yield dart.sides[1].ctrl
    for edge in piece.edges:
        for mouth in edge.mouths:
            if mouth is not None:
                yield mouth.point
