"""Reading what a run has written, `pattern.json`, as far as two editions are compared by it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

Point = tuple[float, float]

SCHEMA = "urn:scye:pattern:1"
_FIGURE = re.compile(r"-?\d+(?:\.\d+)?")
_STEP = re.compile(r"([MLCZ])([^MLCZ]*)")
# A cubic is taken as this many straight steps: within 0.05 mm on the curves of a garment.
_STEPS = 24


@dataclass(frozen=True, slots=True)
class Outline:
    """A path as its SVG data, and as points along it (mm)."""

    data: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Edge:
    """One side of a piece. `length` in mm; `allowances` as runs of width, start and end along it (mm)."""

    name: str
    length: float
    allowances: tuple[tuple[float, float, float], ...]
    turned_back: bool
    finish: str
    on_fold: bool
    letters: tuple[str, ...]
    path: Outline


@dataclass(frozen=True, slots=True)
class Notch:
    """`at` on the stitch line (mm); `along` from the edge's first end as it runs round the piece (mm)."""

    edge: str
    name: str
    at: Point
    strokes: int
    along: float


@dataclass(frozen=True, slots=True)
class Dart:
    name: str
    intake: float
    point: Point
    pressed: str


@dataclass(frozen=True, slots=True)
class Shown:
    """A line drawn inside a piece and not cut, with its words if any."""

    text: str
    path: Outline


@dataclass(frozen=True, slots=True)
class Piece:
    """One pattern piece; `texts` are its cut list and the lines printed on it."""

    name: str
    title: str
    number: tuple[int, int]
    cuts: tuple[str, ...]
    net: Outline
    cutting: Outline
    edges: tuple[Edge, ...]
    notches: tuple[Notch, ...]
    darts: tuple[Dart, ...]
    drills: tuple[tuple[str, Point], ...]
    grain: tuple[Point, Point]
    bias: bool
    one_way: bool
    labels: tuple[str, ...]
    shown: tuple[Shown, ...]


@dataclass(frozen=True, slots=True)
class Seam:
    a: str
    b: str
    letter: str
    ease: float
    verdict: str


@dataclass(frozen=True, slots=True)
class BodyPattern:
    """What one body has got: lengths in mm. `unit` is that of the printed figures; a size has no `date`.

    `bought` is the list of findings, by kind and place, with how much of each as it is shown; `steps` are
    those of sewing, where the recipe names them.
    """

    body: str
    date: str
    unit: str
    pieces: Mapping[str, Piece]
    seams: Mapping[tuple[str, str], Seam]
    tastes: Mapping[str, tuple[float, str]]
    proofs: Mapping[str, str]
    reports: Mapping[str, str]
    cautions: tuple[str, ...]
    bought: Mapping[tuple[str, str], str] = field(default_factory=dict)
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Choice:
    """A choice as it is written: what it is, and what it may be (`from 1 in to 5 in`, `of laced, zipped`)."""

    default: str
    offered: str

    @property
    def whole(self) -> str:
        return " ".join(filter(None, (self.default, self.offered)))


@dataclass(frozen=True, slots=True)
class Document:
    """One edition, for every body that it was drafted for; `choices` where its recipe was at hand."""

    recipe: str
    edition: str
    bodies: Mapping[str, BodyPattern]
    choices: Mapping[str, Choice] = field(default_factory=dict)


def read_document(text: str) -> Document | str:
    """The document of a `pattern.json`, or why it is none."""
    try:
        data = json.loads(text)
    except (ValueError, RecursionError):
        return "it is not such data at all"
    if not isinstance(data, dict) or data.get("schema") != SCHEMA:
        return "it does not say that it is one"
    try:
        bodies = [_body(body) for body in data["bodies"]]
        return Document(str(data["recipe"]), str(data["edition"]), {b.body: b for b in bodies})
    except (KeyError, TypeError, ValueError, AttributeError, IndexError, OverflowError):
        return "something is missing in it, or is not as it should be"


def _body(data: Mapping[str, Any]) -> BodyPattern:
    values = {str(name): value for name, value in data["values"].items()}
    seams = [_seam(seam) for seam in data["seams"]]
    return BodyPattern(
        body=str(data["body"]),
        date=str(data["date"]),
        unit=_one_of(data["display_unit"], ("in", "cm", "mm")),
        pieces={str(p["name"]): _piece(p) for p in data["pieces"]},
        seams={(seam.a, seam.b): seam for seam in seams},
        tastes={
            name: (_number(v["value"]), str(v["unit"])) for name, v in values.items() if v["by"] == "taste"
        },
        proofs={str(p["name"]): str(p["verdict"]) for p in data["proofs"]},
        reports={str(r["title"]): str(r["text"]) for r in data["reports"]},
        cautions=tuple(str(c["name"]) for c in data["cautions"]),
        bought={(str(n["kind"]), str(n["where"])): str(n["text"]) for n in data.get("findings_list", ())},
        steps=tuple(str(step) for step in data.get("sewing_order", ())),
    )


def _one_of(word: Any, words: Iterable[str]) -> str:
    if word not in words:
        raise ValueError(word)
    return str(word)


def _number(value: Any) -> float:
    return float("nan") if value is None else float(value)


def _seam(data: Mapping[str, Any]) -> Seam:
    ease = _number(data["ease"])
    return Seam(str(data["a"]), str(data["b"]), str(data["letter"]), ease, str(data["verdict"]))


def _piece(data: Mapping[str, Any]) -> Piece:
    grain = data["grain"]
    return Piece(
        name=str(data["name"]),
        title=str(data["title"]),
        number=(int(data["number"]), int(data["of"])),
        cuts=tuple(str(cut["text"]) for cut in data["cut"]),
        net=outline(str(data["net"])),
        cutting=outline(str(data["cutting"])),
        edges=tuple(_edge(edge) for edge in data["edges"]),
        notches=tuple(_notch(notch) for notch in data["notches"]),
        darts=tuple(_dart(dart) for dart in data["darts"]),
        drills=tuple((str(drill["text"]), _point(drill["at"])) for drill in data["drills"]),
        grain=(_point(grain["from"]), _point(grain["to"])),
        bias=bool(grain["bias"]),
        one_way=bool(grain.get("one_way", False)),
        labels=tuple(str(label) for label in data["labels"]),
        shown=tuple(Shown(str(s["text"]), outline(str(s["path"]))) for s in data.get("shown", ())),
    )


def _edge(data: Mapping[str, Any]) -> Edge:
    return Edge(
        name=str(data["name"]),
        length=_number(data["length"]),
        allowances=tuple(
            (_number(r["width"]), _number(r["from"]), _number(r["to"])) for r in data["allowances"]
        ),
        turned_back=bool(data["turned_back"]),
        finish=str(data["finish"]),
        on_fold=bool(data["on_fold"]),
        letters=tuple(str(letter) for letter in data["seams"]),
        path=outline(str(data["path"])),
    )


def _notch(data: Mapping[str, Any]) -> Notch:
    at, along = _point(data["at"]), _number(data["along"])
    return Notch(str(data["edge"]), str(data["name"]), at, int(data["strokes"]), along)


def _dart(data: Mapping[str, Any]) -> Dart:
    point, intake = _point(data["point"]), _number(data["intake"])
    return Dart(str(data["name"]), intake, point, str(data["pressed"]))


def _point(data: Any) -> Point:
    x, y = data
    return (_number(x), _number(y))


# --- paths --------------------------------------------------------------------------------------


def outline(data: str) -> Outline:
    """The points along SVG path data of the kind that is written: M, L, C and Z, absolute."""
    points: list[Point] = []
    for word, figures in _STEP.findall(data):
        places = _places(figures)
        if word == "C":
            for i in range(0, len(places), 3):
                points += _cubic(points[-1], *places[i : i + 3])
        elif word in "ML":
            points += places
        elif points:
            points.append(points[0])
    if not points:
        raise ValueError("a path without points")
    return Outline(data, tuple(points))


def _places(figures: str) -> list[Point]:
    numbers = [float(n) for n in _FIGURE.findall(figures)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _cubic(a: Point, b: Point, c: Point, d: Point) -> list[Point]:
    found = []
    for i in range(1, _STEPS + 1):
        t = i / _STEPS
        u = 1 - t
        weights = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        x, y = (sum(w * p[axis] for w, p in zip(weights, (a, b, c, d), strict=True)) for axis in (0, 1))
        found.append((x, y))
    return found
