"""Finding room on a piece for its words: clear of lines, as large as fits, upright before turned."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise, product

from scye.ir.pattern import DrillHole, Edge, Pattern, Piece, Point, Stroke
from scye.ir.sheets import Box, FoldMark, LabelBlock, Lettering, TextLine, Write
from scye.place.ground import Ground, ground_within
from scye.place.joints import SMALL, crosses, letter_radius, turned_box
from scye.place.outline import piece_box
from scye.place.turning import readable_angle
from scye.place.widths import text_width
from scye.place.words import piece_words, plain

TITLE = 1.5
LEADING = 1.4
SIZES = (5.2, 4.2, 3.6, 3.0, 2.6, 2.2, 1.9)
READABLE = 3.0
# How far a fold bracket lies in from the fold edge, and with its words reaches.
FOLD_IN = 8.0
FOLD_REACH = 14.0
SHARES = (0.5, 0.3, 0.7, 0.4, 0.6, 0.2, 0.8, 0.1, 0.9)


def letter(pattern: Pattern, piece: Piece, joints: tuple[Box, ...] = ()) -> Lettering:
    """Places for all words of a piece that have to be found room for (mm, the piece's own).

    `joints` are stretches that the words keep clear of, if there is other room.
    """
    return letter_words(piece_words(pattern, piece), piece, joints)


def letter_words(
    words: tuple[str, ...],
    piece: Piece,
    joints: tuple[Box, ...] = (),
    sizes: tuple[float, ...] = SIZES,
    small: float = SMALL,
) -> Lettering:
    """The same with a label of these words, set at one of the `sizes`, and small words at `small` mm."""
    base = _base_ground(piece)
    for joint in joints:
        middle = ((joint.left + joint.right) / 2, (joint.top + joint.bottom) / 2)
        base.block_rectangle(middle, joint.width, joint.height, 0)
    levels = [Stroke(a, ((b,),), False) for _, a, b in piece.levels]
    grain = Stroke(piece.grain[0], ((piece.grain[1],),), False)
    clear = base.copy()
    for stroke in (*levels, grain, *(line.stroke for line in piece.shown)):
        clear.block_stroke(stroke)
    wordings = (words, words[:2]) if joints else (words,)
    label = _fit_label(wordings, piece, (clear, base), sizes)
    if label.leader is None:
        base.block_rectangle(label.centre, *block_size(label.lines), label.angle)
    return Lettering(
        label,
        _level_names(piece, base, grain, small),
        _grain_word(piece, base, levels, small),
        tuple(_fold_mark(edge, piece, joints, small) for edge in piece.edges if edge.on_fold),
        tuple(_drill_words(drill, joints, small) for drill in piece.drills),
        _shown_words(piece, base, (*levels, grain), small),
    )


def _base_ground(piece: Piece) -> Ground:
    """The ground less darts, drill holes, edge labels and fold brackets."""
    ground = ground_within(piece.net)
    for dart in piece.darts:
        for stroke in (*dart.legs, dart.fold):
            ground.block_stroke(stroke)
    places = [place for mark in piece.marked for place in mark.places]
    for at in (*(drill.at for drill in piece.drills), *(notch.at for notch in piece.notches), *places):
        ground.block_rectangle(at, 6, 6, 0)
    for stroke in (line for mark in piece.marked for line in mark.lines):
        ground.block_stroke(stroke)
    for mark in piece.edge_labels:
        ring = 2 * letter_radius(mark.text)
        width, height = (ring, ring) if mark.role == "letter" else (text_width(mark.text, SMALL) + 2, 4.0)
        ground.block_rectangle(mark.at, width, height, mark.angle)
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


def _fit_label(
    wordings: tuple[tuple[str, ...], ...],
    piece: Piece,
    grounds: tuple[Ground, ...],
    sizes: tuple[float, ...],
) -> LabelBlock:
    """The first wording that there is room for, as large and as clear of lines as it can be."""
    settings = [setting for words in wordings for setting in _settings(words, sizes)]
    for ground, (lines, turned) in product(grounds, settings):
        width, height = block_size(lines)
        room = (height, width) if turned else (width, height)
        centre = ground.nearest_free(room[0] + 2, room[1] + 2, piece.label_at)
        if centre is not None:
            return LabelBlock(lines, centre, -math.pi / 2 if turned else 0.0, None)
    return _beside(wordings[0], piece)


def _settings(
    words: tuple[str, ...], all_sizes: tuple[float, ...]
) -> Iterator[tuple[tuple[TextLine, ...], bool]]:
    """Ways to set the words, the best first: readable sizes upright, then turned, then closer and smaller."""
    shapes = (words, _wrapped(words, 24), _run_on(words, 60))
    large, small = [s for s in all_sizes if s >= READABLE], [s for s in all_sizes if s < READABLE]
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


def _level_names(piece: Piece, base: Ground, grain: Stroke, size: float) -> tuple[Write, ...]:
    ground = base.copy()
    ground.block_stroke(grain)
    written = []
    for name, a, b in piece.levels:
        words = _words_along(plain(name), a, b, ground, size)
        if words is not None:
            written.append(words)
            ground.block_rectangle(words.at, text_width(words.words, size), size, words.angle)
    return tuple(written)


def _shown_words(piece: Piece, base: Ground, lines: tuple[Stroke, ...], size: float) -> tuple[Write, ...]:
    """The words of each line shown inside, along the longest of its chords that has room for them."""
    ground = base.copy()
    for stroke in lines:
        ground.block_stroke(stroke)
    written = []
    for text, ends in _rows_with_words(piece):
        chords = sorted(pairwise(ends), key=lambda ab: -math.dist(*ab))
        tried = (_words_along(text, a, b, ground, size) for a, b in chords)
        words = next((found for found in tried if found is not None), None)
        if words is not None:
            written.append(words)
            ground.block_rectangle(words.at, text_width(words.words, size), size, words.angle)
    return tuple(written)


def _rows_with_words(piece: Piece) -> Iterator[tuple[str, tuple[Point, ...]]]:
    """The words inside a piece that go along something, and the places that they go along."""
    for line in piece.shown:
        if line.text:
            yield line.text, (line.stroke.start, *(segment[-1] for segment in line.stroke.segments))
    for mark in piece.marked:
        yield mark.text, mark.along


def _grain_word(piece: Piece, base: Ground, levels: list[Stroke], size: float) -> Write | None:
    ground = base.copy()
    for stroke in levels:
        ground.block_stroke(stroke)
    for end in piece.grain:
        # Its arrowhead.
        ground.block_rectangle(end, 8, 8, 0)
    words = ("true bias" if piece.bias else "straight grain") + (", one way" if piece.one_way else "")
    return _words_along(words, *piece.grain, ground, size)


def _words_along(words: str, a: Point, b: Point, ground: Ground, size: float) -> Write | None:
    """Small words just above a straight line, where there is room for them nearest its middle."""
    angle = readable_angle(math.atan2(b[1] - a[1], b[0] - a[0]))
    width = text_width(words, size)
    up = (math.sin(angle), -math.cos(angle))
    # Clear of the line with the tails of its letters.
    above = 0.43 * size
    for share in (0.3, 0.7, 0.5, 0.2, 0.8, 0.4, 0.6, 0.1, 0.9):
        x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
        middle = (x + up[0] * (above + size / 2), y + up[1] * (above + size / 2))
        if ground.is_free(middle, width, size, angle):
            return Write((x + up[0] * above, y + up[1] * above), words, size, angle, "middle")
    return None


def _fold_mark(edge: Edge, piece: Piece, joints: tuple[Box, ...], size: float) -> FoldMark:
    """A bracket inside a fold edge whose arrows point at the fold, with words along it."""
    a, b = edge.path.start, edge.path.segments[-1][-1]
    far = math.dist(a, b)
    along = ((b[0] - a[0]) / far, (b[1] - a[1]) / far)
    inward = _inward(along, a, piece)
    short = min(15.0, far / 6)
    first, last = _shift(a, along, short), _shift(b, along, -short)
    rail = (_shift(first, inward, FOLD_IN), _shift(last, inward, FOLD_IN))
    ends = ((_shift(first, inward, 1),), (rail[0],), (rail[1],), (_shift(last, inward, 1),))
    arrows = ((rail[0], _shift(first, inward, 0.6)), (rail[1], _shift(last, inward, 0.6)))
    return FoldMark(Stroke(ends[0][0], ends[1:], False), arrows, _along_rail(rail, inward, joints, size))


def _along_rail(rail: tuple[Point, Point], inward: Point, joints: tuple[Box, ...], size: float) -> Write:
    """`place on fold` nearest the middle of the rail where it is on no joint."""
    (ax, ay), (bx, by) = rail
    angle = readable_angle(math.atan2(by - ay, bx - ax))
    # The baseline lies on the side of the rail away from the fold, or just clear of it on the near side.
    outward = inward[0] * math.sin(angle) - inward[1] * math.cos(angle) > 0
    off = size / SMALL + (0.0 if outward else size * 0.75)
    words = "place on fold"
    width = text_width(words, size)
    places = [(ax + (bx - ax) * share, ay + (by - ay) * share) for share in SHARES]
    clear = (at for at in places if not crosses(turned_box(at, width, 2 * (off + size), angle), joints))
    return Write(_shift(next(clear, places[0]), inward, off), words, size, angle, "middle")


def _inward(along: Point, at: Point, piece: Piece) -> Point:
    """The side of a fold edge on which the label of the piece lies."""
    normal = (-along[1], along[0])
    x, y = piece.label_at
    return normal if (x - at[0]) * normal[0] + (y - at[1]) * normal[1] > 0 else (-normal[0], -normal[1])


def _shift(at: Point, direction: Point, by: float) -> Point:
    return at[0] + direction[0] * by, at[1] + direction[1] * by


def _drill_words(drill: DrillHole, joints: tuple[Box, ...], size: float) -> Write:
    """The words of a drill hole beside it, on the side where they are on no joint."""
    x, y = drill.at
    width = text_width(drill.text, size)
    right, left = (x + 3.4, y - 1), (x - 3.4 - width, y - 1)
    places = [right, left, (x - width / 2, y - 4), (x - width / 2, y + 4 + size)]
    clear = (p for p in places if not crosses(Box(p[0], p[1] - size, p[0] + width, p[1] + 1), joints))
    return Write(next(clear, right), drill.text, size)


def label_box(block: LabelBlock) -> Box:
    """The room of a label in the piece's own coordinates (mm)."""
    width, height = block_size(block.lines)
    if block.angle:
        width, height = height, width
    x, y = block.centre
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
