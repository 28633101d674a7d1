"""What is drawn and notched where cloth is gathered, eased or folded into an edge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from scye.assemble.darts import folded_flat
from scye.assemble.edges import width_at
from scye.geometry.path import end_tangent, length, start_tangent
from scye.geometry.vector import Array, Ints, quarter_turn, quiet, unit
from scye.ir.assembly import EdgeDrawn, Mouth, NotchDrawn, PieceDrawn
from scye.ir.pattern import ShownLine, Stroke
from scye.ir.people import DisplayUnit
from scye.units.tape import show_length

INSET = 8.0  # mm from the stitch line to the line that says what is gathered
TUCK = 0.4  # of a dart's leg that is shown where the dart is folded as a tuck


def notched(edges: Sequence[EdgeDrawn]) -> Iterator[NotchDrawn]:
    """A notch at both ends of everything that is gathered, eased or folded into an edge."""
    for number, edge in enumerate(edges):
        if all(mouth is None or mouth.kind == "dart" for mouth in edge.mouths):
            continue
        along = np.zeros_like(edge.length)
        for k, mouth in enumerate(edge.mouths):
            along = along + length(edge.stretches[k].path)
            if mouth is not None and mouth.kind != "dart":
                with quiet(all="ignore"):
                    before = end_tangent(edge.stretches[k].path)
                    after = start_tangent(edge.stretches[k + 1].path)
                for at, way in ((mouth.start, before), (mouth.end, after)):
                    chord = unit(mouth.end - mouth.start)
                    inward = quarter_turn(np.where(np.isfinite(way), way, chord))
                    cut = at - width_at(edge, along) * inward
                    yield NotchDrawn(number, mouth.name, at, cut, inward, 1, along, "")


def fold_lines(piece: PieceDrawn, bodies: Ints, units: Sequence[DisplayUnit]) -> Iterator[list[ShownLine]]:
    """The lines that a pleat or a tuck is folded at, and where an edge is gathered or eased; each for some
    bodies, in the unit of each."""
    for edge in piece.edges:
        for mouth in edge.mouths:
            if mouth is not None and mouth.kind != "dart":
                yield from _lines(mouth, bodies, units)


def _lines(mouth: Mouth, bodies: Ints, units: Sequence[DisplayUnit]) -> Iterator[list[ShownLine]]:
    held = mouth.intake[bodies].tolist()
    middle = (mouth.start + mouth.end) / 2.0
    if folded_flat(mouth):
        deep = [show_length(twice / 2.0, its) for twice, its in zip(held, units, strict=True)]
        yield _line(mouth.start, mouth.pivot, bodies, [f"{mouth.name} {depth} deep" for depth in deep])
        yield _line(middle, (mouth.pivot + mouth.point) / 2.0, bodies)
        yield _line(mouth.end, mouth.point, bodies)
    elif mouth.kind == "tuck":
        start, end = mouth.start, mouth.end
        yield _line(start, start + TUCK * (mouth.point - start), bodies, ["tuck"] * len(bodies))
        yield _line(end, end + TUCK * (mouth.point - end), bodies)
    else:
        inward = INSET * quarter_turn(unit(mouth.end - mouth.start))
        word = "gather" if mouth.kind == "gathers" else "ease"
        words = [f"{word} {show_length(much, its)}" for much, its in zip(held, units, strict=True)]
        yield _line(mouth.start + inward, mouth.end + inward, bodies, words)


def _line(a: Array, b: Array, bodies: Ints, words: Sequence[str] = ()) -> list[ShownLine]:
    ends = zip(a[:, bodies].T.tolist(), b[:, bodies].T.tolist(), words or [""] * len(bodies), strict=True)
    return [ShownLine(Stroke((ax, ay), (((bx, by),),), False), text) for (ax, ay), (bx, by), text in ends]
