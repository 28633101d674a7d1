"""Pieces as blocks for a cutting room: curves made into points, names in plain letters, sizes laid alike."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from itertools import chain, count

from scye.ir.blocks import Block, BlockFile, Ring
from scye.ir.grade import Grade, NestLine, NestPlan
from scye.ir.pattern import Notch, Pattern, Piece, Point, Stroke
from scye.ir.sheets import PicturePlan
from scye.place.words import plain

# How far a straight between two points may leave its curve, mm. A cutter follows about 0.02; with a quarter
# of that, lengths too come out within a hundredth.
FLAT = 0.005
# Curves that meet within this angle run on into each other: no corner.
SMOOTH = math.radians(1.0)
LONGEST_NAME = 31  # characters of a block's name in Release 12
STROKES = {2: " double", 3: " triple"}

Lay = Callable[[Point], Point]


def picture_blocks(picture: PicturePlan) -> BlockFile:
    """The pieces of one body, lying as in the picture of all of them."""
    pattern = picture.pattern
    names = _names([placed.piece.title for placed in picture.placed])
    blocks = [
        _block(name, pattern, placed.piece, lambda p: p, _up(placed.move))
        for name, placed in zip(names, picture.placed, strict=True)
    ]
    return BlockFile((*_style(pattern), f"SIZE: {ascii_words(pattern.body)}"), tuple(blocks))


def nest_blocks(nest: NestPlan, grade: Grade, patterns: Sequence[Pattern]) -> BlockFile:
    """A block for each size of each piece, laid over each other as in the nest."""
    by_size = {pattern.body: pattern for pattern in patterns}
    found = [
        (grade.sizes[line.size], nested.piece.title, nested.move, nested.piece.name, line)
        for nested in nest.pieces
        for line in nested.piece.lines
    ]
    names = _names([f"{title} {size}" for size, title, *_ in found])
    blocks = []
    for block_name, (size, _, move, name, line) in zip(names, found, strict=True):
        pattern = by_size[size]
        piece = next(piece for piece in pattern.pieces if piece.name == name)
        blocks.append(_block(block_name, pattern, piece, laid_as(piece, line), _up(move)))
    base = f"SAMPLE SIZE: {ascii_words(grade.sizes[grade.base])}"
    return BlockFile((*_style(patterns[0]), base), tuple(blocks))


def laid_as(piece: Piece, line: NestLine) -> Lay:
    """The move and turn that take a piece's own places to where the nest has them."""
    (ax, ay), (bx, by) = piece.net.start, line.net.start
    ends = [(s[-1], t[-1]) for s, t in zip(piece.net.segments, line.net.segments, strict=True)]
    (cx, cy), (dx, dy) = max(ends, key=lambda pair: math.dist(pair[0], piece.net.start))
    turn = math.atan2(dy - by, dx - bx) - math.atan2(cy - ay, cx - ax)
    cosine, sine = math.cos(turn), math.sin(turn)

    def lay(p: Point) -> Point:
        x, y = p[0] - ax, p[1] - ay
        return bx + x * cosine - y * sine, by + x * sine + y * cosine

    return lay


def _style(pattern: Pattern) -> tuple[str, ...]:
    return (
        f"STYLE NAME: {ascii_words(pattern.recipe)}",
        f"EDITION: {ascii_words(pattern.edition)}",
        *((f"CREATION DATE: {ascii_words(pattern.date)}",) if pattern.date else ()),
        "UNITS: METRIC",
    )


def _block(name: str, pattern: Pattern, piece: Piece, lay: Lay, insert: Point) -> Block:
    def at(point: Point) -> Point:
        return _up(lay(point))

    return Block(
        name=name,
        texts=tuple(_texts(pattern, piece)),
        notes=tuple((at(point), ascii_words(words)) for point, words in _notes(piece) if words),
        cutting=_ring(piece.cutting, at),
        sewing=_ring(piece.net, at),
        notches=tuple(at(notch.cut) for notch in piece.notches),
        folds=tuple(
            (at(edge.path.start), at(edge.path.segments[-1][-1])) for edge in piece.edges if edge.on_fold
        ),
        grain=(at(piece.grain[0]), at(piece.grain[1])),
        internal=tuple(tuple(at(p) for p in points) for points in _internal(piece)),
        drills=tuple(at(place) for place in _drilled(piece)),
        insert=insert,
    )


def _up(point: Point) -> Point:
    """Paper has y down, the cutting room up."""
    return point[0], -point[1]


def _texts(pattern: Pattern, piece: Piece) -> Iterator[str]:
    yield f"PIECE NAME: {ascii_words(piece.title)}"
    yield f"SIZE: {ascii_words(pattern.body)}"
    for cut in piece.cuts:
        yield f"QUANTITY: {cut.count}"
        yield f"MATERIAL: {ascii_words(', '.join(cut.layers))}"
        yield f"ANNOTATION: {ascii_words(cut.text)}"
    if piece.one_way:
        yield "ANNOTATION: one way"
    for label in piece.labels:
        yield f"ANNOTATION: {ascii_words(label)}"


def _notes(piece: Piece) -> Iterator[tuple[Point, str]]:
    for notch in piece.notches:
        yield notch.cut, _notch_words(notch)
    for drill in piece.drills:
        yield drill.at, drill.text
    for label in piece.edge_labels:
        yield label.at, label.text
    for name, a, _ in piece.levels:
        yield a, plain(name)
    for line in piece.shown:
        yield line.stroke.start, line.text
    for mark in piece.marked:
        yield (*mark.places, *(line.start for line in mark.lines))[0], mark.text


def _notch_words(notch: Notch) -> str:
    return f"{plain(notch.name)}{STROKES.get(notch.strokes, '')}".strip()


def _internal(piece: Piece) -> Iterator[tuple[Point, ...]]:
    """Darts, levels, lines shown and bones: lines that are drawn and not cut."""
    for dart in piece.darts:
        for leg in dart.legs:
            yield tuple(_flattened(leg))
    for _, a, b in piece.levels:
        yield a, b
    for stroke in (*(line.stroke for line in piece.shown), *(line for m in piece.marked for line in m.lines)):
        yield tuple(_flattened(stroke))


def _drilled(piece: Piece) -> Iterator[Point]:
    """Drill holes, and the places of eyelets, hooks and buttons that are said to be set in."""
    yield from (drill.at for drill in piece.drills)
    yield from (place for mark in piece.marked for place in mark.places)


# --- curves to points ----------------------------------------------------------------------------


Segment = tuple[Point, tuple[Point, ...]]


def _ring(stroke: Stroke, at: Lay) -> Ring:
    """A closed stroke as points. Where two curves run on into each other there is no turn."""
    segments = _segments(stroke)
    points: list[Point] = []
    turns: list[bool] = []
    for i, (start, segment) in enumerate(segments):
        within = _within(start, segment)
        points += [start, *within]
        turns += [not _runs_on(segments[i - 1], (start, segment)), *(False for _ in within)]
    return Ring(tuple(at(point) for point in points), tuple(turns))


def _segments(stroke: Stroke) -> list[Segment]:
    """The segments of a closed stroke with their starts, those of no length left out."""
    found: list[Segment] = []
    here = stroke.start
    for segment in (*stroke.segments, (stroke.start,)):
        if max(math.dist(here, point) for point in segment) > 1e-6:
            found.append((here, segment))
            here = segment[-1]
    return found


def _runs_on(one: Segment, other: Segment) -> bool:
    """Whether two curves meet without a corner."""
    if len(one[1]) == 1 or len(other[1]) == 1:
        return False
    (ax, ay), (bx, by) = _leaving(one[1][-1], (*one[1][-2::-1], one[0])), _leaving(*other)
    # The first runs into the place where the second runs out: the one way is the other's opposite.
    return abs(math.remainder(math.atan2(by, bx) - math.atan2(-ay, -ax), math.tau)) <= SMOOTH


def _leaving(start: Point, points: tuple[Point, ...]) -> Point:
    """The way from a point to the first of the others that is apart from it."""
    x, y = next((p for p in points if math.dist(p, start) > 1e-6), points[-1])
    return x - start[0], y - start[1]


def _flattened(stroke: Stroke) -> Iterator[Point]:
    """The points of an open stroke."""
    here = stroke.start
    yield here
    for segment in stroke.segments:
        yield from _within(here, segment)
        here = segment[-1]
        yield here


def _within(start: Point, segment: tuple[Point, ...]) -> list[Point]:
    """The points inside a curve; a straight has none."""
    if len(segment) == 1:
        return []
    parts = parts_of(start, segment)
    return [_on_cubic(start, segment, k / parts) for k in range(1, parts)]


def parts_of(start: Point, cubic: tuple[Point, ...]) -> int:
    """Into how many equal parts a cubic is cut so that none leaves the curve by more than `FLAT`.

    Wang's bound: with M the largest second difference of the control points, root(3 x 2 / 8 x M / FLAT) parts
    (G. Wang, The subdivision method for finding the intersection between two Bezier curves or surfaces,
    1984).
    """
    a, b, c, d = (start, *cubic)
    triples = ((a, b, c), (b, c, d))
    most = max(math.hypot(p[0] - 2 * q[0] + r[0], p[1] - 2 * q[1] + r[1]) for p, q, r in triples)
    return max(1, math.ceil(math.sqrt(0.75 * most / FLAT)))


def _on_cubic(start: Point, cubic: tuple[Point, ...], t: float) -> Point:
    s = 1 - t
    shares = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t)
    points = (start, *cubic)
    return (
        sum(share * p[0] for share, p in zip(shares, points, strict=True)),
        sum(share * p[1] for share, p in zip(shares, points, strict=True)),
    )


# --- names ---------------------------------------------------------------------------------------


def ascii_words(words: str) -> str:
    """Words in plain ASCII: accents dropped, dashes and quotes made plain, anything else a question mark."""
    made_plain = words.translate(str.maketrans("–—’‘“”·×ßøØłŁ", "--''\"\"-xsoOlL"))
    bare = "".join(c for c in unicodedata.normalize("NFKD", made_plain) if not unicodedata.combining(c))
    return "".join(c if " " <= c <= "~" else "?" for c in bare)


def _names(titles: Sequence[str]) -> list[str]:
    """A name for each block in capitals, figures, hyphens and underscores; no two alike."""
    taken: dict[str, None] = {}
    for title in titles:
        name = re.sub(r"[^A-Z0-9]+", "_", ascii_words(title).upper()).strip("_") or "PIECE"
        ends = chain([""], (f"-{k}" for k in count(2)))
        tries = (name[: LONGEST_NAME - len(end)] + end for end in ends)
        taken[next(each for each in tries if each not in taken)] = None
    return list(taken)
