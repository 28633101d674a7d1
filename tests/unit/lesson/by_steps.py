"""A draft drawn again by following nothing but the steps of lesson.json: a student with a ruler, a square, a
compass and a curved ruler. No code of the compiler takes part."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np

Vec = np.ndarray
LONG = 1e4  # mm, as good as endless
RUN_ON = 40.0  # "a little past" the ends of a panel line
LOOKS = 60  # places looked at from one mark to the next
UNSEEN = 0.05  # mm on paper


class Student:
    """`figures` says whether to measure with what is `exact` or what is `printed`."""

    def __init__(self, lesson: Any, figures: str) -> None:
        self.figures = figures
        self.things: dict[int, Any] = {}
        self.names: dict[str, int] = {}
        self.curves: list[tuple[str, Vec]] = []
        for stage in lesson["stages"]:
            for step in stage["steps"]:
                for act in step["acts"]:
                    self.things[act["id"]] = self.follow(act)
                    if act["name"]:
                        self.names[act["name"]] = act["id"]

    def named(self, name: str) -> Any:
        return self.things[self.names[name]]

    def far(self, figure: Any) -> float:
        return float(figure[self.figures])

    def get(self, ref: int) -> Any:
        return self.things[ref]  # a KeyError is a thing that was not marked yet

    def follow(self, act: Any) -> Any:
        return getattr(self, act["do"].replace(" ", "_"))(act)

    # points: (2,)

    def begin(self, act: Any) -> Vec:
        return np.zeros(2)

    def measure(self, act: Any) -> Vec:
        return self.get(act["from"]) + self.get(act["way"]) * self.far(act["far"])

    def meet(self, act: Any) -> Vec:
        near = None if act["nearest"] is None else self.get(act["nearest"])
        found = crossings(self.get(act["first"]), self.get(act["second"]))
        if near is not None:
            return min(found, key=lambda p: np.hypot(*(p - near)))
        return found[0]

    def along_line(self, act: Any) -> Vec:
        line = self.get(act["line"])
        whole = length(line)
        far = whole * self.far(act["share"]) if "share" in act else self.far(act["far"])
        if act["from"] is None:
            return at_length(line, far)
        before = place_on(line, self.get(act["from"]))
        return at_length(line, whole - far if before > whole - 0.5 else before + far)

    def part_way(self, act: Any) -> Vec:
        a, b = self.get(act["from"]), self.get(act["to"])
        return (
            a + (b - a) * self.far(act["share"]) if "share" in act else a + unit(b - a) * self.far(act["far"])
        )

    def square(self, act: Any) -> Vec:
        return nearest(self.get(act["line"]), self.get(act["from"]))

    def mirror_point(self, act: Any) -> Vec:
        return mirrored(self.get(act["point"]), self.get(act["axis"]))

    def turn_point(self, act: Any) -> Vec:
        return turned(self.get(act["point"]), self.far(act["angle"]), self.get(act["about"]))

    def end(self, act: Any) -> Vec:
        line = self.get(act["line"])
        if act["do"] == "end" and len(line) == 3 and abs(np.hypot(*(line[2] - line[0])) - 2 * LONG) < 1:
            return line[1]  # a level or plumb: the place it was ruled through
        return line[0] if act["which"] == "start" else line[-1]

    # ways: unit (2,)

    def way(self, act: Any) -> Vec:
        return np.array(act["xy"])

    def way_along(self, act: Any) -> Vec:
        line = self.get(act["line"])
        way = tangent(line, line[0] if act["at"] is None else self.get(act["at"]))
        return -way if act["back"] else way

    def way_square(self, act: Any) -> Vec:
        way = tangent(self.get(act["line"]), self.get(act["at"]))
        square = np.array([-way[1], way[0]])
        return square if square @ self.get(act["toward"]) >= 0 else -square

    def way_to(self, act: Any) -> Vec:
        return unit(self.get(act["to"]) - self.get(act["from"]))

    def way_turned(self, act: Any) -> Vec:
        base, toward = self.get(act["base"]), self.get(act["toward"])
        side = -1.0 if base[0] * toward[1] - base[1] * toward[0] < 0 else 1.0
        return turned(base, self.far(act["angle"]) * side, np.zeros(2))

    def way_between(self, act: Any) -> Vec:
        return unit(self.get(act["first"]) + self.get(act["second"]))

    # lines: rows of points (k, 2)

    def guide(self, act: Any) -> Vec:
        at, way = self.get(act["through"]), self.get(act["way"])
        return np.array([at - way * LONG, at, at + way * LONG])

    def arc(self, act: Any) -> Vec:
        t = np.linspace(0, math.tau, 1441)
        return self.get(act["about"]) + self.far(act["radius"]) * np.stack([np.cos(t), np.sin(t)], 1)

    def straight(self, act: Any) -> Vec:
        return np.array([self.get(p) for p in act["points"]])

    def same(self, act: Any) -> Any:
        return self.get(act["of"])

    def curve(self, act: Any) -> Vec:
        a, b = self.get(act["from"]), self.get(act["to"])
        points, line = self.ruled(a, b, act["marks"], act["leaving"], act["arriving"])
        self.curves.append((act["name"], points))
        return line

    def ruled(self, a: Vec, b: Vec, marks: Any, leaving: Any, arriving: Any) -> tuple[Vec, Vec]:
        """The marks off the straight from a to b, and the curved ruler laid through them."""
        along = unit(b - a)
        out = np.array([-along[1], along[0]])
        points = [a, *(a + along * self.far(m["along"]) + out * self.far(m["out"]) for m in marks), b]
        return np.array(points), through(np.array(points), np.array(leaving), np.array(arriving))

    def panel_edge(self, act: Any) -> Vec:
        centre = self.get(act["centre"])
        points = []
        for i, ref in enumerate(act["stations"]):
            at = self.get(ref)
            way = tangent(centre, at)
            points.append(at + np.array([way[1], -way[0]]) * self.far(act[f"out {i}"]))
        if len(points) == 1:
            way = tangent(centre, self.get(act["stations"][0]))
            return np.array([points[0] - way * RUN_ON, points[0] + way * RUN_ON])
        stretches = []
        for i in range(len(points) - 1):
            ways = act[f"leaving {i}"], act[f"arriving {i}"]
            marks = act[f"marks {i}"]
            some, line = self.ruled(points[i], points[i + 1], marks, *ways)
            stretches.append(line if marks else np.array([points[i], points[i + 1]]))
            self.curves.append((act["name"], some))
        first = points[0] - np.array(act["leaving 0"]) * RUN_ON
        last = points[-1] + np.array(act[f"arriving {len(points) - 2}"]) * RUN_ON
        return np.concatenate([[first], *stretches, [last]])

    def join(self, act: Any) -> Vec:
        return np.concatenate([self.get(ref) for ref in act["lines"]])

    def part(self, act: Any) -> Vec:
        line = self.get(act["line"])
        ends = [place_on(line, self.get(act[end])) for end in ("from", "to")]
        s = lengths(line)
        if np.hypot(*(line[0] - line[-1])) < 1e-6 and abs(ends[1] - ends[0]) > s[-1] / 2:
            # Of an arc the shorter way is meant, be it over the place where the compass was set down.
            line, ends = np.concatenate([line, line[1:]]), [max(ends), min(ends) + s[-1]]
            s, back = lengths(line), place_on(line, self.get(act["from"])) < s[-1] / 2
            ends = ends[::-1] if back else ends
        low, high = sorted(ends)
        inner = [p for p, at in zip(line, s, strict=True) if low < at < high]
        found = np.array([at_length(line, low), *inner, at_length(line, high)])
        return found if ends[0] <= ends[1] else found[::-1]

    def mirror_line(self, act: Any) -> Vec:
        axis = self.get(act["axis"])
        return np.array([mirrored(p, axis) for p in self.get(act["line"])])

    def turn_line(self, act: Any) -> Vec:
        about, angle = self.get(act["about"]), self.far(act["angle"])
        return np.array([turned(p, angle, about) for p in self.get(act["line"])])

    def move_line(self, act: Any) -> Vec:
        return self.get(act["line"]) + self.get(act["to"]) - self.get(act["from"])

    def lay_point(self, act: Any) -> Vec:
        return self.laid(act, self.get(act["point"])[None])[0]

    def lay_line(self, act: Any) -> Vec:
        return self.laid(act, self.get(act["line"]))

    def laid(self, act: Any, points: Vec) -> Vec:
        """Traced and laid so that `from` falls on `to` and `by` toward `toward`."""
        a, b, c, d = (self.get(act[key]) for key in ("from", "by", "to", "toward"))
        angle = math.atan2(*(d - c)[::-1]) - math.atan2(*(b - a)[::-1])
        return np.array([turned(p, angle, a) for p in points]) + (c - a)

    def parallel(self, act: Any) -> Vec:
        """Measured square from the line at many places, and at its corners where the two straights meet."""
        line, far = self.get(act["line"]), self.far(act["far"])
        ways = [unit(b - a) for a, b in pairwise(line) if np.hypot(*(b - a)) > 1e-9]
        kept = [line[0], *(b for a, b in pairwise(line) if np.hypot(*(b - a)) > 1e-9)]
        outs = [np.array([-way[1], way[0]]) for way in ways]
        if "point" in act:
            place = self.get(act["point"])
            at = nearest(line, place)
            lean = place - at
            way = tangent(line, at)
        else:
            lean, way = self.get(act["way"]), tangent(line, at_length(line, length(line) / 2))
        side = 1.0 if way[0] * lean[1] - way[1] * lean[0] > 0 else -1.0
        both = [(outs[0], outs[0]), *pairwise(outs), (outs[-1], outs[-1])]
        places = [p + side * far * (m + n) / (1 + m @ n) for p, (m, n) in zip(kept, both, strict=True)]
        # Where marks to an eighth leave the line uneven its squares cross: what comes nearer is not drawn.
        return np.array([p for p in places if away(line, p) > far - UNSEEN])

    def reverse(self, act: Any) -> Vec:
        return self.get(act["line"])[::-1]

    def extend(self, act: Any) -> Vec:
        line = self.get(act["line"])
        first, last = unit(line[0] - line[1]), unit(line[-1] - line[-2])
        return np.concatenate([[line[0] + first * LONG], line, [line[-1] + last * LONG]])


def unit(v: Vec) -> Vec:
    return v / np.hypot(*v)


def turned(p: Vec, angle: float, about: Vec) -> Vec:
    c, s = math.cos(angle), math.sin(angle)
    x, y = p - about
    return about + np.array([x * c - y * s, x * s + y * c])


def mirrored(p: Vec, axis: Vec) -> Vec:
    way = unit(axis[-1] - axis[0])
    off = p - axis[0]
    return axis[0] + 2 * way * (off @ way) - off


def lengths(line: Vec) -> Vec:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def length(line: Vec) -> float:
    return float(lengths(line)[-1])


def at_length(line: Vec, far: float) -> Vec:
    s = lengths(line)
    return np.array([np.interp(far, s, line[:, 0]), np.interp(far, s, line[:, 1])])


def feet(line: Vec, p: Vec) -> tuple[Vec, Vec, Vec]:
    """The nearest place of each stretch to a point, the share along it, and how far off."""
    a, d = line[:-1], np.diff(line, axis=0)
    square = np.maximum((d * d).sum(1), 1e-30)
    t = np.clip(((p - a) * d).sum(1) / square, 0, 1)
    at = a + d * t[:, None]
    return at, t, np.hypot(*(at - p).T)


def nearest(line: Vec, p: Vec) -> Vec:
    at, _, off = feet(line, p)
    return at[int(np.argmin(off))]


def away(line: Vec, p: Vec) -> float:
    return float(feet(line, p)[2].min())


def place_on(line: Vec, p: Vec) -> float:
    _, t, off = feet(line, p)
    i = int(np.argmin(off))
    s = lengths(line)
    return float(s[i] + (s[i + 1] - s[i]) * t[i])


def tangent(line: Vec, p: Vec) -> Vec:
    i = int(np.argmin(feet(line, p)[2]))
    return unit(line[i + 1] - line[i])


def crossings(a: Vec, b: Vec) -> list[Vec]:
    """Where two rows of points cross or touch; ends that stop just short of each other meet as well."""
    p, r = a[:-1, None], np.diff(a, axis=0)[:, None]
    q, s = b[None, :-1], np.diff(b, axis=0)[None]
    cross = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    cross = np.where(np.abs(cross) < 1e-12, np.nan, cross)
    d = q - p
    t = (d[..., 0] * s[..., 1] - d[..., 1] * s[..., 0]) / cross
    u = (d[..., 0] * r[..., 1] - d[..., 1] * r[..., 0]) / cross
    hit = np.argwhere((t >= -1e-9) & (t <= 1 + 1e-9) & (u >= -1e-9) & (u <= 1 + 1e-9))
    found = [a[i] + (a[i + 1] - a[i]) * t[i, j] for i, j in hit]
    if not found:
        ends = [(away(b, p), nearest(b, p)) for p in (a[0], a[-1])] + [(away(a, p), p) for p in (b[0], b[-1])]
        found = [min(ends, key=lambda pair: pair[0])[1]]
    return found


def through(points: Vec, leaving: Vec, arriving: Vec) -> Vec:
    """A springy ruler through points, clamped at both ends: the cubic spline over the chords."""
    h = np.hypot(*np.diff(points, axis=0).T)
    n = len(points)
    if n == 2 or (h < 1e-9).any():
        return points
    matrix, right = np.zeros((n, n)), np.zeros((n, 2))
    matrix[0, 0] = matrix[-1, -1] = 1.0
    right[0], right[-1] = leaving, arriving
    slope = np.diff(points, axis=0) / h[:, None]
    for i in range(1, n - 1):
        matrix[i, i - 1], matrix[i, i], matrix[i, i + 1] = h[i], 2 * (h[i - 1] + h[i]), h[i - 1]
        right[i] = 3 * (h[i] * slope[i - 1] + h[i - 1] * slope[i])
    ways = np.linalg.solve(matrix, right)
    t = np.linspace(0, 1, LOOKS + 1)[:, None]
    rows = [
        (2 * t**3 - 3 * t**2 + 1) * points[i]
        + (t**3 - 2 * t**2 + t) * h[i] * ways[i]
        + (3 * t**2 - 2 * t**3) * points[i + 1]
        + (t**3 - t**2) * h[i] * ways[i + 1]
        for i in range(n - 1)
    ]
    return np.concatenate([rows[0], *(row[1:] for row in rows[1:])])
