"""What is drawn and notched where cloth is gathered, eased or folded into an edge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from scye.assemble.darts import folded_flat
from scye.assemble.edges import width_at
from scye.geometry.path import end_tangent, length, start_tangent
from scye.geometry.vector import Array, quarter_turn, quiet, unit
from scye.ir.assembly import EdgeDrawn, Mouth, NotchDrawn, PieceDrawn
from scye.ir.pattern import Point, ShownLine, Stroke
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


def fold_lines(piece: PieceDrawn, i: int, unit_: DisplayUnit) -> Iterator[ShownLine]:
    """For one body the lines that a pleat or a tuck is folded at, and where an edge is gathered or eased."""
    for edge in piece.edges:
        for mouth in edge.mouths:
            if mouth is not None and mouth.kind != "dart":
                yield from _lines(mouth, i, unit_)


def _lines(mouth: Mouth, i: int, unit_: DisplayUnit) -> Iterator[ShownLine]:
    held = float(mouth.intake[i])
    middle = (mouth.start + mouth.end) / 2.0
    if folded_flat(mouth):
        yield _line(mouth.start, mouth.pivot, i, f"{mouth.name} {show_length(held / 2.0, unit_)} deep")
        yield _line(middle, (mouth.pivot + mouth.point) / 2.0, i)
        yield _line(mouth.end, mouth.point, i)
    elif mouth.kind == "tuck":
        yield _line(mouth.start, mouth.start + TUCK * (mouth.point - mouth.start), i, "tuck")
        yield _line(mouth.end, mouth.end + TUCK * (mouth.point - mouth.end), i)
    else:
        inward = INSET * quarter_turn(unit(mouth.end - mouth.start))
        words = f"{'gather' if mouth.kind == 'gathers' else 'ease'} {show_length(held, unit_)}"
        yield _line(mouth.start + inward, mouth.end + inward, i, words)


def _line(a: Array, b: Array, i: int, words: str = "") -> ShownLine:
    return ShownLine(Stroke(_at(a, i), ((_at(b, i),),), False), words)


def _at(point: Array, i: int) -> Point:
    return float(point[0, i]), float(point[1, i])
