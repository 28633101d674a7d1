"""The nests of a run of sizes on one long sheet: pieces in rows, the names of their sizes beside them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from scye.ir.grade import AlignedPiece, Grade, NestPiece, NestPlan, SizeLabel
from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Box, Write
from scye.place.outline import bounds, flatten, stroke_box, union
from scye.place.roll import LONGEST, MARGIN, ROLL_WIDTH, TITLE_HEIGHT, TITLE_WIDTH
from scye.place.widths import text_width
from scye.place.words import plain

GAP = 20.0
LABEL_SIZE = 3.2
LABEL_APART = 4.6
# From the piece to the column of its labels.
ASIDE = 9.0
# Above a piece, for its name and the place that its sizes share.
TITLE_ROOM = 15.0
TITLE_SIZE = 5.0
KEY_ROWS = 10
KEY_COLUMN = 78.0
KEY_LINE = 34.0
KEY_STEP = 7.0
KEY_SIZE = 3.8
# Ways out of a piece that are tried for its labels.
WAYS = 32


@dataclass(frozen=True, slots=True)
class _Ready:
    """A nested piece with its labels and its room, in its own coordinates."""

    piece: AlignedPiece
    labels: tuple[SizeLabel, ...]
    words: tuple[Write, ...]
    marked: bool
    box: Box


def lay_nest(grade: Grade, pieces: Sequence[AlignedPiece]) -> NestPlan:
    """All nests on one page of roll paper; wider than the roll only where it would be too long."""
    ready = [_ready(piece, grade) for piece in pieces]
    key_right = MARGIN + TITLE_WIDTH + GAP + math.ceil(len(grade.sizes) / KEY_ROWS) * KEY_COLUMN + MARGIN
    width = max([ROLL_WIDTH, key_right, *(r.box.width + 2 * MARGIN for r in ready)])
    placed, bottom = _rows(ready, width)
    while bottom > LONGEST and width < LONGEST:
        width = min(LONGEST, width * 1.5)
        placed, bottom = _rows(ready, width)
    return NestPlan(
        recipe=grade.recipe,
        edition=grade.edition,
        sizes=grade.sizes,
        base=grade.base,
        pieces=placed,
        width=width,
        height=bottom + MARGIN,
        corner=(MARGIN, MARGIN),
        key=tuple(_key(grade, size) for size in range(len(grade.sizes))),
        words=_words(grade),
    )


def _words(grade: Grade) -> tuple[str, ...]:
    return (
        f"{grade.recipe}: nest of sizes",
        f"edition {grade.edition}; {grade.chart}",
        f"sizes {', '.join(grade.sizes)}"[:70],
        f"base size {grade.sizes[grade.base]}: solid and heavier",
        "stitch lines; cutting lines are a layer of their own",
        "full scale: print at 100 %, then measure the bar and the squares",
    )


def _rows(ready: Sequence[_Ready], width: float) -> tuple[tuple[NestPiece, ...], float]:
    """Pieces in rows by their numbers, from under the title block; and how far down they reach."""
    placed: list[NestPiece] = []
    left, top = MARGIN, MARGIN + TITLE_HEIGHT + GAP
    bottom = top
    for one in ready:
        if left > MARGIN and left + one.box.width > width - MARGIN:
            left, top = MARGIN, bottom + GAP
        move = (left - one.box.left, top - one.box.top)
        placed.append(NestPiece(one.piece, one.labels, one.words, one.marked, move))
        left += one.box.width + GAP
        bottom = max(bottom, top + one.box.height)
    return tuple(placed), bottom


def _key(grade: Grade, size: int) -> SizeLabel:
    """A sample of a size's line with its name, in columns at the right of the title block."""
    column, row = divmod(size, KEY_ROWS)
    x, y = MARGIN + TITLE_WIDTH + GAP + column * KEY_COLUMN, MARGIN + 4 + row * KEY_STEP
    name = f"{grade.sizes[size]} (base)" if size == grade.base else grade.sizes[size]
    return SizeLabel(
        size, _straight((x, y), (x + KEY_LINE, y)), Write((x + KEY_LINE + 3, y + 1.2), name, KEY_SIZE)
    )


def _straight(a: Point, b: Point) -> Stroke:
    return Stroke(a, ((b,),), False)


def _ready(piece: AlignedPiece, grade: Grade) -> _Ready:
    lines = union(box for line in piece.lines for box in (stroke_box(line.cutting), stroke_box(line.net)))
    labels = _labels(piece, grade, lines)
    shared = f"all sizes laid at {plain(piece.words) or 'the beginning of the draft'}"
    top = lines.top - TITLE_ROOM + TITLE_SIZE
    words = (
        Write((lines.left, top), piece.title, TITLE_SIZE),
        Write((lines.left, top + TITLE_SIZE), shared, LABEL_SIZE),
    )
    room = union([lines, *(_room(text) for text in (*words, *(label.words for label in labels)))])
    marked = lines.left - 1 <= 0 <= lines.right + 1 and lines.top - 1 <= 0 <= lines.bottom + 1
    return _Ready(piece, labels, words, marked, room)


def _room(text: Write) -> Box:
    wide = text_width(text.words, text.size) * (-1 if text.anchor == "end" else 1)
    x, y = text.at
    return bounds([(x, y - text.size), (x + wide, y + 1)])


def _labels(piece: AlignedPiece, grade: Grade, room: Box) -> tuple[SizeLabel, ...]:
    """The sizes' names in a column beside the piece, led to the places where its lines lie widest apart."""
    ends = _widest_apart([flatten(line.net) for line in piece.lines])
    right = sum(x for x, _ in ends) / len(ends) >= (room.left + room.right) / 2
    x = room.right + ASIDE if right else room.left - ASIDE
    order = sorted(range(len(ends)), key=lambda k: _down_the_column(ends, k, right))
    top = _column_top(ends)
    return tuple(
        _label(piece.lines[k].size, ends[k], (x, top + LABEL_APART * place), right, grade)
        for place, k in enumerate(order)
    )


def _label(size: int, at: Point, words_at: Point, right: bool, grade: Grade) -> SizeLabel:
    x, y = words_at
    leader = _straight(at, (x - 1 if right else x + 1, y - LABEL_SIZE * 0.36))
    return SizeLabel(
        size, leader, Write(words_at, grade.sizes[size], LABEL_SIZE, anchor="start" if right else "end")
    )


def _widest_apart(outlines: Sequence[list[Point]]) -> list[Point]:
    """For each outline its outermost place, the way out being that in which neighbours lie widest apart."""
    best: tuple[float, list[Point]] = (-1.0, [outline[0] for outline in outlines])
    for k in range(WAYS):
        way = (math.cos(k * math.tau / WAYS), math.sin(k * math.tau / WAYS))
        ends = [max(outline, key=lambda p: p[0] * way[0] + p[1] * way[1]) for outline in outlines]
        out = sorted(p[0] * way[0] + p[1] * way[1] for p in ends)
        apart = min((b - a for a, b in pairwise(out)), default=0.0)
        if apart > best[0] + 1e-6:
            best = (apart, ends)
    return best[1]


def _upright(ends: Sequence[Point]) -> bool:
    """Whether the places lie rather above than beside each other."""
    box = bounds(ends)
    return box.height >= box.width


def _down_the_column(ends: Sequence[Point], k: int, right: bool) -> float:
    """The order of labels that keeps their leaders from crossing."""
    x, y = ends[k]
    return y if _upright(ends) else (x if right else -x)


def _column_top(ends: Sequence[Point]) -> float:
    """Beside places that lie above each other, over places that lie beside each other."""
    box = bounds(ends)
    height = LABEL_APART * (len(ends) - 1)
    middle = (box.top + box.bottom) / 2
    return middle - height / 2 if _upright(ends) else box.top - height - 2 * LABEL_APART
