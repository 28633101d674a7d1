"""DXF for a cutting room: Release 12 text (ASCII), layer conventions after ASTM D6673.

"After", and not "conforms". What blocks, curve points, internal lines, sew lines and annotation are is as the
first page of D6673-10 defines them (withdrawn in 2019; it builds on Release 13, while this is written as
Release 12, which all that read DXF read). That page has no table of layers: the numbers of all layers and the
words of the texts (PIECE NAME, QUANTITY, UNITS ...) are from memory, and the file says so. Try one piece with
the cutting room first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from scye.ir.blocks import Block, BlockFile, Ring
from scye.ir.pattern import Point
from scye.render.numbers import number

# The layers that are written, all from memory.
BOUNDARY, TURNS, CURVES, NOTCHES = "1", "2", "3", "4"
MIRROR, GRAIN, INTERNAL, DRILLS, SEWING, NOTES = "6", "7", "8", "13", "14", "15"
LAYERS = (BOUNDARY, TURNS, CURVES, NOTCHES, MIRROR, GRAIN, INTERNAL, DRILLS, SEWING, NOTES)
COLOURS = {BOUNDARY: 7, SEWING: 3, NOTCHES: 1, GRAIN: 5, INTERNAL: 4, MIRROR: 6}

COMMENTS = (
    "Layer conventions after ASTM D6673; no claim to conform is made.",
    "Lengths in mm, y up. Each piece is a block, inserted once.",
    "1 cutting line and texts, 2 turn points, 3 curve points, 4 notches, 6 mirror line, 7 grain,",
    "8 internal lines, 13 drill holes, 14 sew line, 15 annotation.",
    "The numbers of all layers and the words of the texts are from memory:",
    "try one piece with your cutting room first.",
)
TEXT_HEIGHT = 5.0
NOTE_HEIGHT = 3.0
LINE_STEP = 8.0

Tags = Iterator[tuple[int, str]]


def dxf(file: BlockFile) -> bytes:
    """The blocks of a file, each in its layers and inserted once."""
    tags = [*_head(), *_tables(), *_blocks(file.blocks), *_entities(file), (0, "EOF")]
    return "".join(f"{code:>3}\r\n{value}\r\n" for code, value in tags).encode("ascii")


def _head() -> Tags:
    for comment in COMMENTS:
        yield 999, comment
    yield from _section("HEADER", [(9, "$ACADVER"), (1, "AC1009")])


def _section(name: str, tags: Iterable[tuple[int, str]]) -> Tags:
    yield 0, "SECTION"
    yield 2, name
    yield from tags
    yield 0, "ENDSEC"


def _tables() -> Tags:
    yield from _section("TABLES", [*_line_types(), *_layers(), *_styles()])


def _table(name: str, count: int, tags: Iterable[tuple[int, str]]) -> Tags:
    yield 0, "TABLE"
    yield 2, name
    yield 70, str(count)
    yield from tags
    yield 0, "ENDTAB"


def _line_types() -> Tags:
    solid = [
        (0, "LTYPE"), (2, "CONTINUOUS"), (70, "0"), (3, "Solid line"), (72, "65"), (73, "0"), (40, "0"),
    ]  # fmt: skip
    yield from _table("LTYPE", 1, solid)


def _layers() -> Tags:
    rows = [
        tag
        for layer in ("0", *LAYERS)
        for tag in (
            (0, "LAYER"), (2, layer), (70, "0"), (62, str(COLOURS.get(layer, 7))), (6, "CONTINUOUS"),
        )
    ]  # fmt: skip
    yield from _table("LAYER", 1 + len(LAYERS), rows)


def _styles() -> Tags:
    standard = [
        (0, "STYLE"), (2, "STANDARD"), (70, "0"), (40, "0"), (41, "1"), (50, "0"), (71, "0"), (42, "5"),
        (3, "txt"), (4, ""),
    ]  # fmt: skip
    yield from _table("STYLE", 1, standard)


def _blocks(blocks: Sequence[Block]) -> Tags:
    yield from _section("BLOCKS", (tag for block in blocks for tag in _block(block)))


def _block(block: Block) -> Tags:
    yield 0, "BLOCK"
    yield 8, BOUNDARY
    yield 2, block.name
    yield 70, "0"
    yield from _at((0.0, 0.0))
    yield 3, block.name
    yield from _ring(block.cutting, BOUNDARY)
    yield from _boundary_points(block.cutting)
    yield from _ring(block.sewing, SEWING)
    for place in block.notches:
        yield from _point(place, NOTCHES)
    for fold in block.folds:
        yield from _line(*fold, MIRROR)
    yield from _line(*block.grain, GRAIN)
    for points in block.internal:
        yield from _polyline(points, INTERNAL, closed=False)
    for place in block.drills:
        yield from _point(place, DRILLS)
    for place, words in block.notes:
        yield from _text(place, words, NOTE_HEIGHT, NOTES)
    yield from _texts(block.texts, block.grain[0])
    yield 0, "ENDBLK"
    yield 8, BOUNDARY


def _boundary_points(ring: Ring) -> Tags:
    for point, turn in zip(ring.points, ring.turns, strict=True):
        yield from _point(point, TURNS if turn else CURVES)


def _texts(texts: Sequence[str], start: Point) -> Tags:
    for k, words in enumerate(texts):
        yield from _text((start[0] + LINE_STEP, start[1] - k * LINE_STEP), words, TEXT_HEIGHT, BOUNDARY)


def _entities(file: BlockFile) -> Tags:
    tags: list[tuple[int, str]] = []
    for block in file.blocks:
        tags += [(0, "INSERT"), (8, BOUNDARY), (2, block.name), *_at(block.insert)]
    for k, words in enumerate(file.style):
        tags += _text((0.0, (len(file.style) - k) * LINE_STEP), words, TEXT_HEIGHT, BOUNDARY)
    yield from _section("ENTITIES", tags)


def _at(point: Point, code: int = 10) -> Tags:
    yield code, number(point[0])
    yield code + 10, number(point[1])
    yield code + 20, "0"


def _point(at: Point, layer: str) -> Tags:
    yield 0, "POINT"
    yield 8, layer
    yield from _at(at)


def _line(a: Point, b: Point, layer: str) -> Tags:
    yield 0, "LINE"
    yield 8, layer
    yield from _at(a)
    yield from _at(b, 11)


def _text(at: Point, words: str, height: float, layer: str) -> Tags:
    yield 0, "TEXT"
    yield 8, layer
    yield from _at(at)
    yield 40, number(height)
    yield 1, words


def _ring(ring: Ring, layer: str) -> Tags:
    yield from _polyline(ring.points, layer, closed=True)


def _polyline(points: Sequence[Point], layer: str, *, closed: bool) -> Tags:
    yield 0, "POLYLINE"
    yield 8, layer
    yield 66, "1"
    yield from _at((0.0, 0.0))
    yield 70, "1" if closed else "0"
    for point in points:
        yield 0, "VERTEX"
        yield 8, layer
        yield from _at(point)
    yield 0, "SEQEND"
    yield 8, layer
