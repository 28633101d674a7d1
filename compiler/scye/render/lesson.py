"""lesson.html and lesson.json: the sheet for a class, and the same steps for a machine to follow."""

from __future__ import annotations

import dataclasses
import json
import math
from typing import Any

from scye.ir.lesson import Act, CurveMark, Figure, Lesson, Sketch
from scye.ir.pattern import Point, Stroke
from scye.render.page import page_template


def lesson_html(lesson: Lesson) -> bytes:
    """One page in itself, which prints in black; every line of a draft is kept once, shown where needed."""
    page = page_template("lesson.html").render(
        lesson=lesson,
        paths=[(number, path_text(stroke)) for number, stroke in lesson.strokes],
        path_text=path_text,
        labels=labels,
        numbers=_point_numbers(lesson),
        units={"in": "inches", "cm": "centimetres", "mm": "millimetres"}[lesson.unit],
    )
    return page.encode()


def lesson_json(lesson: Lesson, version: str) -> bytes:
    """The steps with every figure as it is (`exact`) and as it is printed: mm, and radians for angles."""
    document = {
        "scye": version,
        "recipe": lesson.recipe,
        "edition": lesson.edition,
        "sample": lesson.sample,
        "units": lesson.unit,
        "exactness": lesson.exactness,
        "measures": [_plain(row) for row in lesson.measures],
        "choices": [_plain(row) for row in lesson.choices],
        "sums": [_plain(row) for row in lesson.sums],
        "rows": [_plain(row) for row in lesson.rows],
        "stages": [
            {
                "title": stage.title,
                "steps": [
                    {
                        "number": step.number,
                        "text": step.text,
                        "makes": step.makes,
                        "uses": step.uses,
                        "acts": [_act(act) for act in step.acts],
                    }
                    for step in stage.steps
                ],
                "checks": [_plain(check) for check in stage.checks],
            }
            for stage in lesson.stages
        ],
        "pieces": [
            {
                "name": cut.piece,
                "title": cut.title,
                "boundary": cut.boundary,
                "trued": [_plain(trued) for trued in cut.trued],
            }
            for cut in lesson.cuts
        ],
    }
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def _act(act: Act) -> dict[str, Any]:
    return {
        "id": act.id,
        "name": act.name,
        "kind": act.kind,
        "do": act.do,
        **{name: _plain(value) for name, value in act.fields},
    }


def _plain(value: object) -> Any:
    match value:
        case Figure(text=text, exact=exact, printed=printed):
            return {"text": text, "exact": _number(exact), "printed": _number(printed)}
        case CurveMark(along=along, out=out):
            return {"along": _plain(along), "out": _plain(out)}
        case tuple():
            return [_plain(v) for v in value]
        case float():
            return _number(value)
        case _ if dataclasses.is_dataclass(value) and not isinstance(value, type):
            return {f.name: _plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
        case _:
            return value


def _number(value: float) -> float | None:
    return round(value, 9) + 0.0 if math.isfinite(value) else None


def path_text(stroke: Stroke) -> str:
    """A stroke as SVG path data, to a tenth of a mm, which is finer than a small figure shows."""
    parts = [f"M{_pair(stroke.start)}"]
    for segment in stroke.segments:
        parts.append(("L" if len(segment) == 1 else "C") + " ".join(_pair(p) for p in segment))
    return "".join(parts) + ("Z" if stroke.closed else "")


def _pair(point: Point) -> str:
    return " ".join(f"{round(v, 1) + 0.0:g}" for v in point)


@dataclasses.dataclass(frozen=True, slots=True)
class LabelAt:
    x: float
    y: float
    text: str
    anchor: str
    new: bool


def labels(sketch: Sketch) -> list[LabelAt]:
    """The names of the points of a figure, kept within it and off each other as far as may be."""
    left, _, width, height = sketch.box
    size = max(width, height)
    placed: list[LabelAt] = []
    for point in sorted(sketch.points, key=lambda p: not p.new):
        if not point.label:
            continue
        right = point.at[0] < left + width * 0.6
        x = point.at[0] + (0.02 if right else -0.02) * size
        y = point.at[1] - 0.015 * size
        while any(abs(y - other.y) < 0.045 * size and abs(x - other.x) < 0.4 * size for other in placed):
            y += 0.05 * size
        placed.append(LabelAt(round(x, 1), round(y, 1), point.label, "start" if right else "end", point.new))
    return placed


def _point_numbers(lesson: Lesson) -> dict[str, int]:
    """Points are numbered as they are marked, through the whole lesson."""
    points = [
        a.name for stage in lesson.stages for step in stage.steps for a in step.acts if a.kind == "point"
    ]
    return {name: i for i, name in enumerate([n for n in points if n], 1)}
