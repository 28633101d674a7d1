"""The pieces of each body, as plain figures, out of the arrays over all of them.

A piece is told apart for many bodies at once: most functions here give a list with one for each of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import TypeVar

import numpy as np

from scye.assemble.drawn import Asked, round_about, strokes_of, taken
from scye.assemble.figures import known
from scye.assemble.folds import fold_lines
from scye.assemble.piece import Built
from scye.geometry.memory import each
from scye.geometry.path import Path
from scye.geometry.vector import Array, Ints
from scye.ir.assembly import (
    Assembly,
    DoubleDart,
    EdgeDrawn,
    LabelDrawn,
    LevelDrawn,
    Mouth,
    NotchDrawn,
    PieceDrawn,
)
from scye.ir.pattern import (
    AllowanceRun,
    DartMark,
    DrillHole,
    Edge,
    EdgeLabel,
    Notch,
    Piece,
    PieceLines,
    Point,
    ShownLine,
    Stroke,
)
from scye.ir.people import DisplayUnit
from scye.units.names import edge_name
from scye.units.tape import show_length

Of = TypeVar("Of")

ALONE = np.zeros(1, dtype=np.int64)  # the place of the only body


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """A piece of the body `index`, which is at this `place` in its part."""

    index: int
    piece: PieceDrawn
    number: int
    of: int
    place: int
    unit: DisplayUnit


def pieces_on_paper(
    assembly: Assembly, indexes: Sequence[int], units: Sequence[DisplayUnit]
) -> list[tuple[Piece, ...]]:
    """The pieces of some bodies of the batch, each in its unit, without those that could not be drawn."""
    asked = [one for index, unit in zip(indexes, units, strict=True) for one in _asked(assembly, index, unit)]
    made = each(
        "pieces on paper", asked, lambda one: (id(one.piece), one.number, one.of, one.place, one.unit), _told
    )
    by_body: dict[int, list[Piece]] = {index: [] for index in indexes}
    for one, piece in zip(asked, made, strict=True):
        by_body[one.index].append(piece)
    return [tuple(by_body[index]) for index in indexes]


def _asked(assembly: Assembly, index: int, unit: DisplayUnit) -> Iterator[_Asked]:
    part = next(part for part in assembly.parts if index in part.bodies)
    place = int(np.searchsorted(part.bodies, index))
    for number, piece in enumerate(part.pieces, 1):
        if piece.drawn[place]:
            yield _Asked(index, piece, number, len(part.pieces), place, unit)


def _told(asked: Sequence[_Asked]) -> list[Piece]:
    """Pieces in the order asked; those of one piece for several bodies are made together."""
    alike: dict[int, list[int]] = {}
    for k, one in enumerate(asked):
        alike.setdefault(id(one.piece), []).append(k)
    made: dict[int, Piece] = {}
    for places in alike.values():
        its = [asked[k] for k in places]
        bodies = np.array([one.place for one in its])
        first = its[0]
        pieces = _pieces(first.piece, first.number, first.of, bodies, [one.unit for one in its])
        made.update(zip(places, pieces, strict=True))
    return [made[k] for k in range(len(asked))]


def _pieces(
    piece: PieceDrawn, number: int, of: int, bodies: Ints, units: Sequence[DisplayUnit]
) -> Iterator[Piece]:
    strokes = iter(strokes_of([*_lines_of(piece), *_lines_shown(piece)], bodies))
    cutting = _cutting(piece, bodies, next(strokes))
    edges = _rows(
        [_edge(e, piece.letters[k], bodies, next(strokes)) for k, e in enumerate(piece.edges)], bodies
    )
    darts = _rows([*_edge_darts(piece, bodies), *_double_darts(piece, bodies, strokes)], bodies)
    notches = _rows([_notch(notch, piece.edges, bodies) for notch in piece.notches], bodies)
    drills = _rows([_drill(at, text, bodies) for at, text in piece.drills], bodies)
    labels = _rows([_edge_label(piece, label, bodies, units) for label in piece.labels], bodies)
    levels = _rows([_level(level, bodies) for level in piece.levels], bodies)
    inside: list[Sequence[ShownLine | None]] = [
        *_shown(piece, bodies, strokes),
        *fold_lines(piece, bodies, units),
    ]
    shown = _rows(inside, bodies)
    grain = zip(_points(piece.grain[0], bodies), _points(piece.grain[1], bodies), strict=True)
    for k, (ends, label_at) in enumerate(zip(grain, _points(piece.label_at, bodies), strict=True)):
        yield Piece(
            name=piece.plan.name,
            title=piece.plan.title,
            number=number,
            of=of,
            cuts=piece.cuts,
            net=round_about([edge.path for edge in edges[k]]),
            cutting=cutting[k],
            edges=edges[k],
            notches=notches[k],
            darts=darts[k],
            drills=drills[k],
            grain=ends,
            bias=piece.plan.bias,
            one_way=piece.plan.one_way,
            labels=piece.plan.labels,
            label_at=label_at,
            edge_labels=labels[k],
            levels=levels[k],
            shown=shown[k],
        )


def lines_on_paper(pieces: Sequence[Built]) -> list[PieceLines]:
    """The lines of pieces of one body, drawn for it alone, without what is marked on them."""
    asked = [list(_lines_of(piece)) for piece in pieces]
    strokes = iter(strokes_of([stroke for row in asked for stroke in row], ALONE)) if pieces else iter(())
    return [_lines(piece, list(islice(strokes, len(row)))) for piece, row in zip(pieces, asked, strict=True)]


def _lines(piece: Built, strokes: Sequence[list[Stroke]]) -> PieceLines:
    cutting, *others = strokes
    edges = tuple((edge.name, its[0]) for edge, its in zip(piece.edges, others, strict=False))
    mouths = [m for edge in piece.edges for m in edge.mouths if m is not None and m.kind == "dart"]
    sides = iter(others[len(edges) :])
    return PieceLines(
        name=piece.plan.name,
        net=round_about([path for _, path in edges]),
        cutting=_cutting(piece, ALONE, cutting)[0],
        edges=edges,
        darts=(
            *((mouth.name, *_mouth_lines(mouth, ALONE)[0]) for mouth in mouths),
            *((dart.name, *_inner_lines(dart, ALONE, sides)[0]) for dart in piece.within.doubles),
        ),
    )


def _lines_of(piece: PieceDrawn | Built) -> Iterator[Asked]:
    """The cutting line, the edges, and the sides of each dart that lies inside, as strokes."""
    yield (piece.cutting,), True
    for edge in piece.edges:
        yield tuple(_along(edge)), False
    for dart in piece.doubles if isinstance(piece, PieceDrawn) else piece.within.doubles:
        for side in dart.sides:
            yield (side,), False


def _lines_shown(piece: PieceDrawn) -> Iterator[Asked]:
    return (((path,), False) for line in piece.shown for path in line.parts)


def _along(edge: EdgeDrawn) -> Iterator[Path]:
    yield edge.stretches[0].path
    for mouth, stretch in zip(edge.mouths, edge.stretches[1:], strict=True):
        if mouth is not None:
            yield from mouth.cap
        yield stretch.path


def _cutting(piece: PieceDrawn | Built, bodies: Ints, strokes: list[Stroke]) -> list[Stroke]:
    if not piece.cleaned:
        return strokes
    cleaned = [piece.cleaned.get(i) for i in bodies.tolist()]
    return [line if c is None else _polygon(c) for c, line in zip(cleaned, strokes, strict=True)]


def _shown(
    piece: PieceDrawn, bodies: Ints, strokes: Iterator[list[Stroke]]
) -> Iterator[list[ShownLine | None]]:
    """Each part of a line by itself, None where it isn't drawn; only the first of a body has the words."""
    for line in piece.shown:
        texts = [line.text] * len(bodies)
        for path, its in zip(line.parts, strokes, strict=False):
            drawn: list[bool] = known(taken(path.ctrl, bodies)).tolist()
            lines: list[ShownLine | None] = []
            for k, there in enumerate(drawn):
                lines.append(ShownLine(its[k], texts[k]) if there else None)
                texts[k] = "" if there else texts[k]
            yield lines


def _edge(edge: EdgeDrawn, letters: tuple[str, ...], bodies: Ints, strokes: Sequence[Stroke]) -> list[Edge]:
    runs = _rows(
        [list(map(AllowanceRun, *_figures(bodies, r.width, r.start, r.end))) for r in edge.runs], bodies
    )
    return [
        Edge(
            name=edge.name,
            length=length,
            drawn=drawn,
            allowances=allowances,
            turned_back=edge.turned_back,
            finish=edge.finish,
            on_fold=edge.on_fold,
            path=path,
            letters=letters,
        )
        for length, drawn, allowances, path in zip(
            *_figures(bodies, edge.length, edge.drawn), runs, strokes, strict=True
        )
    ]


def _notch(notch: NotchDrawn, edges: Sequence[EdgeDrawn], bodies: Ints) -> list[Notch | None]:
    edge = edges[notch.edge].name
    places = [_points(point, bodies) for point in (notch.at, notch.cut, notch.inward)]
    return [
        Notch(edge, notch.name, at, cut, inward, notch.strokes, along, notch.letter)
        if _is_there(at)
        else None
        for at, cut, inward, along in zip(*places, *_figures(bodies, notch.along), strict=True)
    ]


def _drill(at: Array, text: str, bodies: Ints) -> list[DrillHole | None]:
    return [DrillHole(point, text) if _is_there(point) else None for point in _points(at, bodies)]


def _level(level: LevelDrawn, bodies: Ints) -> list[tuple[str, Point, Point] | None]:
    ends = zip(_points(level.start, bodies), _points(level.end, bodies), strict=True)
    return [(level.name, start, end) if _is_there(start) else None for start, end in ends]


def _edge_label(
    piece: PieceDrawn, label: LabelDrawn, bodies: Ints, units: Sequence[DisplayUnit]
) -> list[EdgeLabel]:
    places = zip(_points(label.at, bodies), *_figures(bodies, label.angle), strict=True)
    if label.run is None:
        return [EdgeLabel(at, angle, label.letter, "letter") for at, angle in places]
    [widths] = _figures(bodies, piece.edges[label.edge].runs[label.run].width)
    shown = map(_width, widths, units)
    return [EdgeLabel(at, angle, text, "allowance") for (at, angle), text in zip(places, shown, strict=True)]


def _width(width: float, unit: DisplayUnit) -> str:
    return "net" if width == 0.0 else show_length(width, unit)


def _polygon(points: Sequence[Point]) -> Stroke:
    return Stroke(points[0], tuple((p,) for p in (*points[1:], points[0])), True)


# --- darts -------------------------------------------------------------------------------------


def _edge_darts(piece: PieceDrawn, bodies: Ints) -> Iterator[list[DartMark]]:
    for edge in piece.edges:
        for mouth in edge.mouths:
            if mouth is not None and mouth.kind == "dart":
                yield _edge_dart(piece, edge, mouth, bodies)


def _edge_dart(piece: PieceDrawn, edge: EdgeDrawn, mouth: Mouth, bodies: Ints) -> list[DartMark]:
    pivots, points = _points(mouth.pivot, bodies), _points(mouth.point, bodies)
    middles = _points((mouth.start + mouth.end) / 2.0, bodies)
    angles, intakes = _figures(bodies, mouth.angle, mouth.intake)
    pressed = _pressed(piece, mouth.pressed, points, middles, bodies)
    lines = _mouth_lines(mouth, bodies)
    return [
        DartMark(mouth.name, edge.name, pivots[k], points[k], angles[k], intakes[k], *lines[k], pressed[k])
        for k in range(len(bodies))
    ]


def _double_darts(
    piece: PieceDrawn, bodies: Ints, strokes: Iterator[list[Stroke]]
) -> Iterator[list[DartMark]]:
    for dart in piece.doubles:
        ones, twos = _points(dart.start, bodies), _points(dart.end, bodies)
        angles, intakes = _figures(bodies, dart.angle, dart.intake)
        pressed = _pressed(piece, dart.pressed, ones, twos, bodies)
        lines = _inner_lines(dart, bodies, strokes)
        yield [
            DartMark(dart.name, None, ones[k], twos[k], angles[k], intakes[k], *lines[k], pressed[k])
            for k in range(len(bodies))
        ]


# The legs and the fold of a dart.
_Lines = tuple[tuple[Stroke, ...], Stroke]


def _mouth_lines(mouth: Mouth, bodies: Ints) -> list[_Lines]:
    """The legs and the fold of a dart in an edge."""
    ends = (mouth.start, mouth.point, mouth.end, mouth.cap[1].ctrl[0, 0])
    return [
        ((Stroke(start, ((point,), (end,)), False),), Stroke(point, ((tip,),), False))
        for start, point, end, tip in zip(*[_points(end, bodies) for end in ends], strict=True)
    ]


def _inner_lines(dart: DoubleDart, bodies: Ints, strokes: Iterator[list[Stroke]]) -> list[_Lines]:
    """The legs and the fold of a dart that lies inside; its sides are the next of the strokes."""
    legs = list(zip(*[next(strokes) for _ in dart.sides], strict=True))
    ends = zip(_points(dart.start, bodies), _points(dart.end, bodies), strict=True)
    return [(its, Stroke(one, ((two,),), False)) for its, (one, two) in zip(legs, ends, strict=True)]


def _pressed(
    piece: PieceDrawn, direction: Array, ones: Sequence[Point], twos: Sequence[Point], bodies: Ints
) -> list[str]:
    """`down`, `up`, or toward the edge that lies most nearly that way from the dart.

    Fulness goes across the dart, whichever way it was asked: across the straight from `one` end to the other.
    """
    return [
        _pressed_to(piece, way, one, two, i)
        for way, one, two, i in zip(_points(direction, bodies), ones, twos, bodies.tolist(), strict=True)
    ]


def _pressed_to(piece: PieceDrawn, direction: Point, one: Point, two: Point, i: int) -> str:
    x, y = _across(direction, (two[0] - one[0], two[1] - one[1]))
    if abs(y) >= abs(x):
        return "down" if y > 0.0 else "up"
    middle = ((one[0] + two[0]) / 2.0, (one[1] + two[1]) / 2.0)
    names = [edge.name for edge in piece.edges]
    nearest = max(range(len(names)), key=lambda k: _agrees((x, y), middle, _middle(piece.edges[k], i)))
    return f"toward {edge_name(names[nearest], names)}"


def _across(direction: Point, axis: Point) -> Point:
    """What is left of a direction square to an axis; all of it if nothing is."""
    (x, y), (ax, ay) = direction, axis
    share = (x * ax + y * ay) / (ax * ax + ay * ay)
    left = (x - share * ax, y - share * ay)
    return direction if math.hypot(*left) < 1e-6 else left


def _agrees(way: Point, start: Point, end: Point) -> float:
    """How nearly the way from one place to another is the way asked: 1 if wholly, in proportion."""
    x, y = end[0] - start[0], end[1] - start[1]
    return (way[0] * x + way[1] * y) / (math.hypot(x, y) * math.hypot(*way) or 1.0)


def _middle(edge: EdgeDrawn, i: int) -> Point:
    (ax, ay), (bx, by) = edge.trimmed.ctrl[0, 0, :, i].tolist(), edge.trimmed.ctrl[-1, 3, :, i].tolist()
    return (ax + bx) / 2.0, (ay + by) / 2.0


# --- figures of several bodies -----------------------------------------------------------------


def _points(point: Array, bodies: Ints) -> list[Point]:
    """A point (2, n) of each body."""
    x, y = point[:, bodies].tolist()
    return list(zip(x, y, strict=True))


def _figures(bodies: Ints, *amounts: Array) -> list[list[float]]:
    """Some amounts (n,), each as a list with one figure for each body."""
    return [amount[bodies].tolist() for amount in amounts]


def _rows(columns: Sequence[Sequence[Of | None]], bodies: Ints) -> list[tuple[Of, ...]]:
    """Things told column by column as those of each body; None is what a body hasn't."""
    if not columns:
        return [()] * len(bodies)
    return [tuple([one for one in row if one is not None]) for row in zip(*columns, strict=True)]


def _is_there(point: Point) -> bool:
    return math.isfinite(point[0]) and math.isfinite(point[1])
