"""Finding room on a piece for its words: clear of lines, as large as fits, upright before turned."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterator
from functools import lru_cache
from itertools import product

from scye.ir.pattern import Edge, Pattern, Piece, Point, Stroke
from scye.ir.sheets import Box, LabelBlock, Lettering, TextLine, Write
from scye.place.ground import Ground, ground_within
from scye.place.outline import piece_box
from scye.place.widths import text_width
from scye.place.words import piece_words, plain

TITLE = 1.5
LEADING = 1.4
SMALL = 2.8
SIZES = (5.2, 4.2, 3.6, 3.0, 2.6, 2.2, 1.9)
READABLE = 3.0
# How far a fold bracket and its words reach in from the fold edge.
FOLD_REACH = 14.0


def letter(pattern: Pattern, piece: Piece, joints: tuple[Box, ...] = ()) -> Lettering:
    """Places for the label, the names of the levels and the word of the grain (mm, the piece's own).

    `joints` are stretches that the words keep clear of, if there is other room.
    """
    base = _base_ground(piece)
    for joint in joints:
        middle = ((joint.left + joint.right) / 2, (joint.top + joint.bottom) / 2)
        base.block_rectangle(middle, joint.width, joint.height, 0)
    levels = [Stroke(a, ((b,),), False) for _, a, b in piece.levels]
    grain = Stroke(piece.grain[0], ((piece.grain[1],),), False)
    clear = base.copy()
    for stroke in (*levels, grain):
        clear.block_stroke(stroke)
    label = _fit_label(piece_words(pattern, piece), piece, (clear, base))
    if label.leader is None:
        base.block_rectangle(label.centre, *block_size(label.lines), label.angle)
    return Lettering(label, _level_names(piece, base, grain), _grain_word(piece, base, levels))


def _base_ground(piece: Piece) -> Ground:
    """The ground less darts, drill holes, edge labels and fold brackets."""
    ground = ground_within(piece.net)
    for dart in piece.darts:
        for stroke in (*dart.legs, dart.fold):
            ground.block_stroke(stroke)
    for at in (*(drill.at for drill in piece.drills), *(notch.at for notch in piece.notches)):
        ground.block_rectangle(at, 6, 6, 0)
    for mark in piece.edge_labels:
        width = 8 if mark.role == "letter" else text_width(mark.text, SMALL) + 2
        ground.block_rectangle(mark.at, width, 8 if mark.role == "letter" else 4, mark.angle)
    for edge in (edge for edge in piece.edges if edge.on_fold):
        ground.block_rectangle(*fold_room(edge))
    return ground


def fold_room(edge: Edge) -> tuple[Point, float, float, float]:
    """The room of a fold bracket, as a rectangle over the edge: its middle, length, breadth and angle."""
    a, b = edge.path.start, edge.path.segments[-1][-1]
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return middle, math.dist(a, b), 2 * FOLD_REACH, math.atan2(b[1] - a[1], b[0] - a[0])


@lru_cache(maxsize=4096)
def block_size(lines: tuple[TextLine, ...]) -> tuple[float, float]:
    """Width and height (mm) of lines set one under another."""
    return max(text_width(t.words, t.size) for t in lines), sum(t.size * LEADING for t in lines)


def _fit_label(words: tuple[str, ...], piece: Piece, grounds: tuple[Ground, ...]) -> LabelBlock:
    for ground, (lines, turned) in product(grounds, list(_settings(words))):
        width, height = block_size(lines)
        room = (height, width) if turned else (width, height)
        centre = ground.nearest_free(room[0] + 2, room[1] + 2, piece.label_at)
        if centre is not None:
            return LabelBlock(lines, centre, -math.pi / 2 if turned else 0.0, None)
    return _beside(words, piece)


def _settings(words: tuple[str, ...]) -> Iterator[tuple[tuple[TextLine, ...], bool]]:
    """Ways to set the words, the best first: readable sizes upright, then turned, then closer and smaller."""
    shapes = (words, _wrapped(words, 24), _run_on(words, 60))
    large, small = [s for s in SIZES if s >= READABLE], [s for s in SIZES if s < READABLE]
    for sizes, turned, shape in product((large, small), (False, True), shapes):
        for size in sizes:
            yield _lines(shape, size), turned


def _lines(words: tuple[str, ...], size: float) -> tuple[TextLine, ...]:
    return (TextLine(words[0], size * TITLE), *(TextLine(w, size) for w in words[1:]))


def _wrapped(words: tuple[str, ...], width: int) -> tuple[str, ...]:
    return tuple(part for line in words for part in _broken(line, width))


def _broken(line: str, width: int) -> list[str]:
    """A line broken at spaces, but never within an amount: `1 1/2 in` stays together."""
    held = re.sub(r"(?<=\d) (?=\d|in\b|cm\b|mm\b)", "\u00a0", line)
    return [part.replace("\u00a0", " ") for part in textwrap.wrap(held, width)] or [line]


def _run_on(words: tuple[str, ...], width: int) -> tuple[str, ...]:
    return (words[0], *_broken("; ".join(words[1:]), width))


def _beside(words: tuple[str, ...], piece: Piece) -> LabelBlock:
    """The label under a piece too small to hold it, with a leader to the piece."""
    box = piece_box(piece)
    lines = _lines(_wrapped(words, 40), READABLE)
    width, height = block_size(lines)
    top = box.bottom + 4
    leader = Stroke(piece.label_at, (((piece.label_at[0], top),),), False)
    return LabelBlock(lines, (max(box.left + width / 2, piece.label_at[0]), top + height / 2), 0.0, leader)


def _level_names(piece: Piece, base: Ground, grain: Stroke) -> tuple[Write, ...]:
    ground = base.copy()
    ground.block_stroke(grain)
    written = []
    for name, a, b in piece.levels:
        words = _words_along(plain(name), a, b, ground)
        if words is not None:
            written.append(words)
            ground.block_rectangle(words.at, text_width(words.words, SMALL), SMALL, words.angle)
    return tuple(written)


def _grain_word(piece: Piece, base: Ground, levels: list[Stroke]) -> Write | None:
    ground = base.copy()
    for stroke in levels:
        ground.block_stroke(stroke)
    for end in piece.grain:
        # Its arrowhead.
        ground.block_rectangle(end, 8, 8, 0)
    words = "true bias" if piece.bias else "straight grain"
    return _words_along(words, *piece.grain, ground)


def _words_along(words: str, a: Point, b: Point, ground: Ground) -> Write | None:
    """Small words just above a straight line, where there is room for them nearest its middle."""
    angle = readable_angle(math.atan2(b[1] - a[1], b[0] - a[0]))
    width = text_width(words, SMALL)
    up = (math.sin(angle), -math.cos(angle))
    for share in (0.3, 0.7, 0.5, 0.2, 0.8, 0.4, 0.6, 0.1, 0.9):
        x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
        middle = (x + up[0] * (1.2 + SMALL / 2), y + up[1] * (1.2 + SMALL / 2))
        if ground.is_free(middle, width, SMALL, angle):
            return Write((x + up[0] * 1.2, y + up[1] * 1.2), words, SMALL, angle, "middle")
    return None


def readable_angle(angle: float) -> float:
    """The same line, read from below or from the right: turned into -90 deg (included) to 90 deg."""
    turned = math.remainder(angle, math.pi)
    return -math.pi / 2 if turned >= math.pi / 2 - 1e-9 else turned


def label_box(block: LabelBlock) -> Box:
    """The room of a label in the piece's own coordinates (mm)."""
    width, height = block_size(block.lines)
    if block.angle:
        width, height = height, width
    x, y = block.centre
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
