"""The small figure of each step: the draft so far, and what is new."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from scye.geometry import path
from scye.ir.lesson import Sketch, SketchPoint, Step
from scye.ir.pattern import Point, Stroke
from scye.lesson.drawn import Drawn, stroke_of
from scye.lesson.sequence import DRAWS, part_of
from scye.units.quantity import Kind

Box = tuple[float, float, float, float]
MARGIN = 0.08


def box_of(points: Iterable[Point]) -> Box:
    """Left, top, width and height round some points, with a margin."""
    some = list(points) or [(0.0, 0.0)]
    xs, ys = [p[0] for p in some], [p[1] for p in some]
    width, height = max(xs) - min(xs), max(ys) - min(ys)
    pad = MARGIN * max(width, height, 100.0)
    return min(xs) - pad, min(ys) - pad, width + 2 * pad, height + 2 * pad


def corners_of(stroke: Stroke) -> list[Point]:
    return [stroke.start, *(p for segment in stroke.segments for p in segment)]


class Sketches:
    """Draws what the steps of each draft have marked so far; each line is kept once, by its number."""

    def __init__(
        self, drawn: Drawn, legs: dict[str, tuple[Stroke, ...]], steps: list[tuple[str, Step]]
    ) -> None:
        self.drawn, self.legs = drawn, legs
        self.boxes = {d: self._box(d, steps) for d in dict.fromkeys(draft for draft, _ in steps)}
        self.strokes: dict[int, Stroke] = {}
        self.lines = len(drawn.equations.nodes)
        self.so_far: dict[str, list[int]] = {}
        self.points: dict[str, dict[str, Point]] = {}

    def sketch(self, draft: str, step: Step) -> Sketch | None:
        """The figure of a step, or None where nothing is marked."""
        new: list[int] = []
        seen = self.so_far.setdefault(draft, [])
        known = self.points.setdefault(draft, {})
        marked: dict[str, Point] = {}
        for act in step.acts:
            if not act.name or act.kind == "direction" or part_of(self.drawn.node(act.id)) == "centre":
                continue
            if act.kind == "point":
                marked[act.name] = self.drawn.place(act.id)
                new += self._dart(act.id)
            else:
                self.strokes[act.id] = self._stroke(act.id, self.boxes[draft])
                new.append(act.id)
        if not new and not marked:
            return None
        home = f"{draft}."
        points = tuple(
            SketchPoint(at, name.removeprefix(home) if name in step.uses else "", False)
            for name, at in known.items()
        )
        points += tuple(SketchPoint(at, name.removeprefix(home), True) for name, at in marked.items())
        words = f"The draft so far, with {', '.join(n.removeprefix(home) for n in step.makes)} new"
        sketch = Sketch(self.boxes[draft], tuple(seen), tuple(new), points, words)
        seen += new
        known.update(marked)
        return sketch

    def _dart(self, ref: int) -> list[int]:
        """The legs of a dart, by numbers that no line has."""
        node = self.drawn.node(ref)
        legs = self.legs.get(node.name.removesuffix(".point"), ()) if part_of(node) == "point" else ()
        numbers = [self.lines + 2 * ref + i for i in range(len(legs[:2]))]
        self.strokes.update(zip(numbers, legs, strict=False))
        return numbers

    def _box(self, draft: str, steps: list[tuple[str, Step]]) -> Box:
        points: list[Point] = []
        for home, step in steps:
            for act in step.acts if home == draft else ():
                kind = self.drawn.node(act.id).kind
                if kind is Kind.POINT and act.name:
                    points.append(self.drawn.place(act.id))
                elif kind in DRAWS and act.name and isinstance(line := self.drawn.line(act.id), path.Path):
                    points += corners_of(stroke_of(line))
        return box_of(points)

    def _stroke(self, ref: int, box: Box) -> Stroke:
        line = self.drawn.line(ref)
        match line:
            case path.Path():
                return stroke_of(line)
            case path.Guide():
                return _across(line, box)
            case path.Circle():
                return _round(line)


def _across(guide: path.Guide, box: Box) -> Stroke:
    """A guide as far as the paper goes."""
    x, y = float(guide.point[0, 0]), float(guide.point[1, 0])
    dx, dy = float(guide.direction[0, 0]), float(guide.direction[1, 0])
    left, top, width, height = box
    low, high = -1e6, 1e6
    for at, way, first, size in ((x, dx, left, width), (y, dy, top, height)):
        if abs(way) > 1e-9:
            ends = sorted(((first - at) / way, (first + size - at) / way))
            low, high = max(low, ends[0]), min(high, ends[1])
    return Stroke((x + dx * low, y + dy * low), (((x + dx * high, y + dy * high),),), False)


def _round(circle: path.Circle) -> Stroke:
    """A whole sweep in four cubics; the handle of a quarter is 0.5523 of the radius."""
    cx, cy, r = float(circle.centre[0, 0]), float(circle.centre[1, 0]), float(circle.radius[0])
    k = 0.5522847498 * r
    turns = ((r, 0.0), (0.0, r), (-r, 0.0), (0.0, -r), (r, 0.0))
    segments = []
    for (ax, ay), (bx, by) in pairwise(turns):
        one = (cx + ax - ay * k / r, cy + ay + ax * k / r)
        two = (cx + bx + by * k / r, cy + by - bx * k / r)
        segments.append((one, two, (cx + bx, cy + by)))
    return Stroke((cx + r, cy), tuple(segments), True)
