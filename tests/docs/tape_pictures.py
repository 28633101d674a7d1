"""Pictures of the reference: the tape on a neutral figure for each measure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import yaml
from documents import ROOT

Point = tuple[float, float]
Box = tuple[float, float, float, float]  # left, bottom, right, top

FIGURE = ROOT / "stdlib" / "figure.yaml"
SCALE = 4.0  # dots to a centimetre
LEAST = 62.0  # cm of the figure are shown at least, so that one sees where one is
ROOM = 9.0  # cm round the tape
GAP = 8.0  # cm between two views
STYLE = {
    "skin": 'fill="#f2f2f2" stroke="#8a8a8a" stroke-width="0.45"',
    "detail": 'stroke="#b4b4b4" stroke-width="0.4"',
    "level": 'stroke="#555" stroke-width="0.3" stroke-dasharray="1.4 0.9"',
    "tape": 'stroke="#000" stroke-width="1.1"',
    "behind": 'stroke="#000" stroke-width="0.8" stroke-dasharray="1.1 1.3"',
}


@dataclass(frozen=True)
class Part:
    """A stroke of a picture: SVG path data in its view, the style, and the points that it covers."""

    style: str
    data: str
    points: tuple[Point, ...] = ()


def figure() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(FIGURE.read_text(encoding="utf-8"))
    return found


def picture(title: str, drawn: list[dict[str, Any]], views: dict[str, Any]) -> str:
    """The views that the strokes of a measure are in, side by side, cut to what matters."""
    names = list(dict.fromkeys(values[0] for stroke in drawn for values in stroke.values()))
    strokes = {name: [p for stroke in drawn for p in _parts(stroke, name)] for name in names}
    tape = [point for parts in strokes.values() for part in parts for point in part.points]
    bottom, top = _shown(tape, _heights(views, names))
    boxes = [_box_of(views, name, strokes[name], bottom, top) for name in names]
    width = sum(box[2] - box[0] for box in boxes) + GAP * (len(boxes) - 1)
    high = top - bottom
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width * SCALE)}" height="{_n(high * SCALE)}"'
        f' viewBox="0 0 {_n(width)} {_n(high)}" fill="none" stroke-linecap="round" stroke-linejoin="round">',
        f"<title>{title}</title>",
        f'<rect width="{_n(width)}" height="{_n(high)}" fill="#fff"/>',
    ]
    left = 0.0
    for name, box in zip(names, boxes, strict=True):
        inner = [*_body(views, name), *strokes[name]]
        lines.append(f'<svg x="{_n(left)}" width="{_n(box[2] - box[0])}" height="{_n(high)}">')
        lines.append(f'<g transform="translate({_n(-box[0])} {_n(top)}) scale(1 -1)">')
        lines += [f'<path d="{part.data}" {STYLE[part.style]}/>' for part in inner]
        lines += ["</g>", "</svg>"]
        left += box[2] - box[0] + GAP
    return "\n".join([*lines, "</svg>"]) + "\n"


def _heights(views: dict[str, Any], names: Iterable[str]) -> tuple[float, float]:
    ys = [y for name in names for outline in _outline(views, name, "outline") for _, y in outline]
    return min(ys) - 2, max(ys) + 2


def _shown(tape: list[Point], whole: tuple[float, float]) -> tuple[float, float]:
    """From which height to which: round the tape, but never less than one needs to know the place."""
    low, high = min(y for _, y in tape) - ROOM, max(y for _, y in tape) + ROOM
    spare = max(0.0, LEAST - (high - low)) / 2
    low, high = low - spare, high + spare
    if high > whole[1]:
        low, high = low - (high - whole[1]), whole[1]
    if low < whole[0]:
        low, high = whole[0], high + (whole[0] - low)
    return max(low, whole[0]), min(high, whole[1])


def _box_of(views: dict[str, Any], name: str, parts: list[Part], bottom: float, top: float) -> Box:
    """Only as wide as what is shown of the figure."""
    outlines = [*_outline(views, name, "outline"), *_outline(views, name, "arms")]
    mirrored = views[name].get("half", False)
    xs = [x for line in outlines for x, y in line if bottom <= y <= top]
    xs += [-x for x in xs] if mirrored else []
    xs += [x for part in parts for x, _ in part.points]
    return min(xs) - 3, bottom, max(xs) + 3, top


def _outline(views: dict[str, Any], name: str, what: str) -> list[list[Point]]:
    found = views[name].get(what, [])
    return (
        _outline(views, found, what)
        if isinstance(found, str)
        else [[(x, y) for x, y in line] for line in found]
    )


def _body(views: dict[str, Any], name: str) -> Iterator[Part]:
    """The figure, arms first so that the body lies over them."""
    mirrored = views[name].get("half", False)
    for line in _outline(views, name, "arms"):
        for points in (line, _mirrored(line)):
            yield Part("skin", smooth(points) + "Z")
    for line in _outline(views, name, "outline"):
        points = [*line, *_mirrored(line)[::-1][1:]] if mirrored else line
        yield Part("skin", smooth(points) + "Z")
    for line in _outline(views, name, "details"):
        yield Part("detail", smooth(line))
        if mirrored:
            yield Part("detail", smooth(_mirrored(line)))


def _mirrored(line: Sequence[Point]) -> list[Point]:
    return [(-x, y) for x, y in line]


# --- the tape -----------------------------------------------------------------------------------


def _parts(stroke: dict[str, Any], view: str) -> Iterator[Part]:
    ((kind, (where, *values)),) = stroke.items()
    if where != view:
        return
    match kind:
        case "round":
            yield from _round(*values)
        case "along":
            yield from _along([(x, y) for x, y in values])
        case "level":
            left, right, y = values
            yield Part("level", f"M{_n(left)} {_n(y)}H{_n(right)}", ((left, y), (right, y)))


def _round(
    x: float, y: float, wide: float, deep: float, turned: float = 0, part: str = "all"
) -> Iterator[Part]:
    """A tape round the body: the near half as it is seen, the far half dashed."""
    angle = math.radians(turned)
    ends = [(x + side * wide * math.cos(angle), y + side * wide * math.sin(angle)) for side in (-1, 1)]
    (ax, ay), (bx, by) = ends
    radii = f"A{_n(wide)} {_n(deep)} {_n(turned)}"
    reach = ((x, y - deep), (x, y + deep), *ends)
    if part == "all":
        yield Part("behind", f"M{_n(ax)} {_n(ay)}{radii} 0 0 {_n(bx)} {_n(by)}", reach)
    yield Part("tape", f"M{_n(ax)} {_n(ay)}{radii} 0 1 {_n(bx)} {_n(by)}", reach)
    if part == "near":
        yield from (_tick((ax, ay), (0, 1)), _tick((bx, by), (0, 1)))


def _along(points: list[Point]) -> Iterator[Part]:
    """A tape from a place to another, with a stroke across each end."""
    yield Part("tape", smooth(points), tuple(points))
    for end, other in ((points[0], points[1]), (points[-1], points[-2])):
        length = math.dist(end, other)
        yield _tick(end, ((end[1] - other[1]) / length, (other[0] - end[0]) / length))


def _tick(at: Point, way: Point) -> Part:
    a = at[0] - 1.3 * way[0], at[1] - 1.3 * way[1]
    b = at[0] + 1.3 * way[0], at[1] + 1.3 * way[1]
    return Part("tape", f"M{_n(a[0])} {_n(a[1])}L{_n(b[0])} {_n(b[1])}")


# --- lines --------------------------------------------------------------------------------------


def smooth(points: Sequence[Point]) -> str:
    """A smooth line through points as SVG path data: at each the way from the one before to the one after
    (Catmull and Rom), evened by how far apart they are."""
    if len(points) == 2:
        return f"M{_p(points[0])}L{_p(points[1])}"
    parts = [f"M{_p(points[0])}"]
    for i in range(len(points) - 1):
        a, b = points[i], points[i + 1]
        before = points[i - 1] if i else a
        after = points[i + 2] if i + 2 < len(points) else b
        parts.append(f"C{_p(_handle(before, a, b))} {_p(_handle(after, b, a))} {_p(b)}")
    return "".join(parts)


def _handle(before: Point, at: Point, after: Point) -> Point:
    """The control point at `at` toward `after`."""
    near, far = math.dist(at, after), math.dist(before, at)
    if far == 0:
        return at[0] + (after[0] - at[0]) / 3, at[1] + (after[1] - at[1]) / 3
    reach = near / (near + far) / 3
    return at[0] + (after[0] - before[0]) * reach, at[1] + (after[1] - before[1]) * reach


def _p(point: Point) -> str:
    return f"{_n(point[0])} {_n(point[1])}"


def _n(value: float) -> str:
    return f"{round(value, 1) + 0.0:g}"
