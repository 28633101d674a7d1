"""The canvas that drawings are made on, and the shapes and words they are made of."""

from __future__ import annotations

import math
from typing import Protocol

from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Begin, End, Fill, Operation, Pen, Trace, Write

# Handle length of the cubic that stands for a quarter circle of radius 1.
_QUARTER = 4 / 3 * (math.sqrt(2) - 1)


class Canvas(Protocol):
    """Takes one flat drawing operation after another (mm, x right, y down)."""

    def draw(self, operation: Operation) -> None: ...


class Recorder:
    """A canvas that keeps what it was given."""

    def __init__(self) -> None:
        self.operations: list[Operation] = []

    def draw(self, operation: Operation) -> None:
        self.operations.append(operation)


def straight(*points: Point) -> Stroke:
    return Stroke(points[0], tuple((p,) for p in points[1:]), False)


def polygon(*points: Point) -> Stroke:
    return Stroke(points[0], tuple((p,) for p in points[1:]), True)


def rectangle(left: float, top: float, width: float, height: float) -> Stroke:
    right, bottom = left + width, top + height
    return polygon((left, top), (right, top), (right, bottom), (left, bottom))


def circle(centre: Point, radius: float) -> Stroke:
    x, y = centre
    r, h = radius, radius * _QUARTER
    return Stroke(
        (x + r, y),
        (
            ((x + r, y + h), (x + h, y + r), (x, y + r)),
            ((x - h, y + r), (x - r, y + h), (x - r, y)),
            ((x - r, y - h), (x - h, y - r), (x, y - r)),
            ((x + h, y - r), (x + r, y - h), (x + r, y)),
        ),
        True,
    )


def trace(canvas: Canvas, pen: Pen, *paths: Stroke) -> None:
    for path in paths:
        canvas.draw(Trace(path, pen))


def fill(canvas: Canvas, path: Stroke, tone: float = 0.0) -> None:
    canvas.draw(Fill(path, tone))


def write(canvas: Canvas, text: Write) -> None:
    if text.words:
        canvas.draw(text)


def begin(canvas: Canvas, name: str, move: Point) -> None:
    canvas.draw(Begin(name, move))


def end(canvas: Canvas) -> None:
    canvas.draw(End())
