"""A hand-made pattern by the Saltmarsh Workroom for the tests of paper: folds, curves, a dart, a loop."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from scye.diagnostics.model import Severity
from scye.ir.pattern import (
    AllowanceRun,
    CutOrder,
    DartMark,
    DrillHole,
    Edge,
    EdgeLabel,
    Finding,
    LedgerLine,
    Notch,
    Pattern,
    Piece,
    Point,
    Proof,
    Seam,
    SeamPart,
    Stroke,
    Value,
    ValueList,
)
from scye.source import Source, Span

INCH = 25.4
Segment = tuple[Point, ...]
Side = tuple[str, Stroke, float]


def path(start: Point, *segments: Segment) -> Stroke:
    return Stroke(start, segments, False)


def line(a: Point, b: Point) -> Stroke:
    return path(a, (b,))


def chain(stroke: Stroke) -> list[Point]:
    points = [stroke.start]
    for segment in stroke.segments:
        points.extend(segment)
    return points


def close(sides: Sequence[Side]) -> Stroke:
    segments = tuple(segment for _, stroke, _ in sides for segment in stroke.segments)
    return Stroke(sides[0][1].start, segments, True)


def shifted(stroke: Stroke, by: float) -> Stroke:
    """The handles moved out square to their neighbours: near enough a parallel line for a drawing."""
    points = chain(stroke)
    out = []
    for i, (x, y) in enumerate(points):
        (ax, ay), (bx, by_) = points[max(0, i - 1)], points[min(len(points) - 1, i + 1)]
        far = math.dist((ax, ay), (bx, by_))
        out.append((x + (by_ - ay) / far * by, y - (bx - ax) / far * by))
    places = iter(out[1:])
    return Stroke(out[0], tuple(tuple(next(places) for _ in segment) for segment in stroke.segments), False)


def crossing(a: Stroke, b: Stroke) -> Point:
    """Where the end of one offset edge, run on straight, meets the start of the next."""
    (px, py), (qx, qy) = chain(a)[-2:]
    (rx, ry), (sx, sy) = chain(b)[:2]
    ux, uy, vx, vy = qx - px, qy - py, sx - rx, sy - ry
    k = ((rx - qx) * vy - (ry - qy) * vx) / (ux * vy - uy * vx)
    return qx + k * ux, qy + k * uy


def cutting(sides: Sequence[Side]) -> Stroke:
    """Round the piece clockwise on paper (y down), each side moved out by its allowance."""
    out = [shifted(stroke, by) for _, stroke, by in sides]
    segments: list[Segment] = []
    for here, following in zip(out, [*out[1:], out[0]], strict=True):
        segments.extend(here.segments)
        segments.append((crossing(here, following),))
        segments.append((following.start,))
    return Stroke(out[0].start, tuple(segments), True)


def edge(side: Side, letters: tuple[str, ...] = (), **more: object) -> Edge:
    name, stroke, by = side
    length = sum(math.dist(a, b) for a, b in zip(chain(stroke), chain(stroke)[1:], strict=False))
    plain = Edge(name, length, length, (AllowanceRun(by, 0, length),), False, "", False, stroke, letters)
    return replace(plain, **more)  # type: ignore[arg-type]


def centre_front() -> Piece:
    sides = [
        ("top_edge", path((0, 40), ((30, 40), (60, 20), (85, 0))), 0.0),
        (
            "seam[1].left",
            path((85, 0), ((100, 60), (84, 110), (67, 190)), ((62, 214), (72, 280), (80, 300))),
            12.7,
        ),
        ("hem", path((80, 300), ((50, 312), (25, 318), (0, 318))), 0.0),
        ("centre_front", line((0, 318), (0, 40)), 0.0),
    ]
    return Piece(
        name="centre_front",
        title="Centre front",
        number=1,
        of=4,
        cuts=(
            CutOrder(1, "fold", ("self",), "cut 1 on the fold of self"),
            CutOrder(1, "fold", ("interlining",), "cut 1 on the fold of interlining"),
        ),
        net=close(sides),
        cutting=cutting(sides),
        edges=(
            edge(sides[0], finish="bound"),
            edge(sides[1], ("A",)),
            edge(sides[2], finish="bound"),
            edge(sides[3], on_fold=True),
        ),
        notches=(Notch("seam[1].left", "waist", (67, 190), (79.4, 192.6), (-0.979, -0.21), 1, 196.0, "A"),),
        darts=(),
        drills=(),
        grain=((45, 90), (45, 270)),
        bias=False,
        labels=(),
        label_at=(38, 160),
        edge_labels=(
            EdgeLabel((62, 165), 0, "A", "letter"),
            EdgeLabel((84, 70), math.radians(-88), "1/2 in", "allowance"),
        ),
        levels=(("waist_line", (0, 190), (67, 190)),),
    )


def side_front() -> Piece:
    sides = [
        ("top_edge", path((10, 0), ((40, 14), (70, 30), (110, 34))), 0.0),
        (
            "seam[2].left",
            path((110, 34), ((118, 80), (100, 140), (88, 200)), ((84, 230), (100, 290), (108, 320))),
            12.7,
        ),
        ("hem", path((108, 320), ((70, 330), (40, 332), (4, 322))), 0.0),
        (
            "seam[1].right",
            path((4, 322), ((8, 290), (24, 230), (22, 200)), ((18, 140), (-14, 70), (10, 0))),
            12.7,
        ),
    ]
    return Piece(
        name="side_front",
        title="Side front",
        number=2,
        of=4,
        cuts=(
            CutOrder(2, "pair", ("self", "lining"), "cut 2 (a pair) of self, lining"),
            CutOrder(2, "pair", ("interlining",), "cut 2 (a pair) of interlining"),
        ),
        net=close(sides),
        cutting=cutting(sides),
        edges=(edge(sides[0]), edge(sides[1], ("B",)), edge(sides[2]), edge(sides[3], ("A",))),
        notches=(
            Notch("seam[1].right", "waist", (22, 200), (9.3, 200), (1, 0), 1, 198.0, "A"),
            Notch("seam[2].left", "waist", (88, 200), (100.4, 202), (-0.985, -0.17), 2, 170.0, "B"),
        ),
        darts=(),
        drills=(DrillHole((58, 70), "bust point"),),
        grain=((62, 90), (62, 300)),
        bias=False,
        labels=("This way up",),
        label_at=(55, 150),
        edge_labels=(
            EdgeLabel((28, 180), 0, "A", "letter"),
            EdgeLabel((84, 180), 0, "B", "letter"),
            EdgeLabel((103, 100), math.radians(-80), "1/2 in", "allowance"),
        ),
        levels=(("bust_line", (-2, 70), (112, 70)), ("waist_line", (22, 200), (88, 200))),
    )


def skirt_front() -> Piece:
    left, middle, right = (95.0, 5.0), (111.0, 95.0), (127.0, 6.0)
    sides = [
        (
            "waist_seam",
            path((0, 0), ((30, 0), (60, 3), left), ((111, -3),), (right,), ((170, 3), (200, -4), (240, -14))),
            9.5,
        ),
        ("side_seam", path((240, -14), ((262, 60), (270, 140), (272, 200)), ((272, 610),)), 12.7),
        ("hem_line", line((272, 610), (0, 610)), 50.8),
        ("centre_front", line((0, 610), (0, 0)), 0.0),
    ]
    dart = DartMark(
        "waist_dart",
        "waist_seam",
        (111, 90),
        middle,
        0.36,
        32.0,
        (path(left, (middle,), (right,)),),
        line((111, -3), middle),
        "toward centre front",
    )
    return Piece(
        name="skirt_front",
        title="Skirt front",
        number=3,
        of=4,
        cuts=(CutOrder(1, "fold", ("self", "lining"), "cut 1 on the fold of self, lining"),),
        net=close(sides),
        cutting=cutting(sides),
        edges=(
            edge(sides[0], ("C",)),
            edge(sides[1], ("D",)),
            edge(sides[2], turned_back=True),
            edge(sides[3], on_fold=True),
        ),
        notches=(Notch("side_seam", "hip", (272, 200), (284.7, 200), (-1, 0), 3, 215.0, "D"),),
        darts=(dart,),
        drills=(DrillHole((111, 82), ""),),
        grain=((60, 120), (60, 560)),
        bias=False,
        labels=(),
        label_at=(150, 330),
        edge_labels=(
            EdgeLabel((40, 12), 0, "C", "letter"),
            EdgeLabel((262, 230), 0, "D", "letter"),
            EdgeLabel((180, 10), math.radians(-6), "3/8 in", "allowance"),
            EdgeLabel((268, 420), -math.pi / 2, "1/2 in", "allowance"),
            EdgeLabel((150, 606), 0, "2 in turned back", "allowance"),
        ),
        levels=(("hip_line", (0, 200), (272, 200)),),
    )


def loop() -> Piece:
    """A piece too small for its own words."""
    sides = [
        ("top", line((0, 0), (16, 0)), 3.0),
        ("right", line((16, 0), (16, 30)), 3.0),
        ("bottom", line((16, 30), (0, 30)), 3.0),
        ("left", line((0, 30), (0, 0)), 3.0),
    ]
    return Piece(
        name="button_loop",
        title="Button loop & tab",
        number=4,
        of=4,
        cuts=(CutOrder(1, "single", ("self",), "cut 1, right side up, of self"),),
        net=close(sides),
        cutting=cutting(sides),
        edges=tuple(edge(side) for side in sides),
        notches=(),
        darts=(),
        drills=(),
        grain=((3, 27), (13, 3)),
        bias=True,
        labels=(),
        label_at=(8, 15),
        edge_labels=(),
        levels=(),
    )


RECIPE = Source("bodice.scye", 'recipe "Saltmarsh bodice & skirt"\n  edition 2\nkeep "seam A takes" x\n')
KEEP = Span(RECIPE, RECIPE.text.index("keep"), len(RECIPE.text) - 1)


def pattern() -> Pattern:
    """Wren's pattern, in inches."""
    return Pattern(
        recipe="Saltmarsh bodice & skirt",
        slug="saltmarsh-bodice",
        edition="2",
        headings=(
            ("about", "Five panels a side, laced back."),
            ("licence", "CC-BY-4.0"),
            ("studio", "Saltmarsh Workroom"),
        ),
        body="Wren",
        date="2026-03-03",
        unit="in",
        pieces=(centre_front(), side_front(), skirt_front(), loop()),
        seams=(
            Seam(
                "A",
                "Centre front: seam 1, left edge",
                "Side front: seam 1, right edge",
                342.9,
                333.4,
                6.35,
                3.15,
                "not proved",
                (SeamPart("start to waist", 196.0, 190.0, 6.35), SeamPart("waist to end", 146.9, 143.4, 0)),
                1,
            ),
            Seam(
                "B",
                "Side front: seam 2, left edge",
                "Side: seam 2, right edge",
                300.0,
                300.0,
                0,
                0.0,
                "walks true",
                (),
                2,
            ),
        ),
        proofs=(
            Proof(
                "laced waist",
                660.4,
                660.41,
                1.5875,
                "mm",
                "walks true",
                "waist 28 in - reduction 2 in - gap 2 in",
            ),
            Proof("panels", 5.0, math.nan, 0.0, "", "not drawn", "count of panel_width"),
        ),
        ledger=(
            LedgerLine("waist_line", "seam[1]", 44.45),
            LedgerLine("waist_line", "seam[2]", 25.4),
            LedgerLine("waist_line", "total", 69.85),
        ),
        values=(
            Value(
                "half_bust",
                431.8,
                "mm",
                "tape",
                "(bust 36 in - lacing gap 2 in) / 2",
                "half the bust, less half the gap",
            ),
            Value("waist_dart.angle", math.radians(9.53), "rad", "sum", "", ""),
            Value("panels", 5.0, "", "taste", "5", "panels a side"),
        ),
        lists=(ValueList("panel_width", (88.9, 101.6, 88.9, 82.55, 69.85), "mm", "share half bust"),),
        reports=(("Reduction", "7.1 % of the waist"),),
        cautions=(("tight_lacing", "Lace gradually; loosen at once if breathing is hard."),),
        findings=(
            Finding("SC402", Severity.NOTE, "button_loop", "The loop is <cut> on the bias.", "", None),
            Finding(
                "SC401",
                Severity.CAUTION,
                "seam A",
                "Seam A takes 1 3/4 in; your limit is 1 1/2 in.",
                "Consider a sixth panel.",
                KEEP,
            ),
        ),
    )


def metric() -> Pattern:
    """Plover's pattern: the same pieces, centimetres, with words that must be escaped."""
    return replace(pattern(), body='Plover "1" <3>', unit="cm")


def rectangle_piece(width: float, height: float, name: str = "sheet") -> Piece:
    """A plain net rectangle that fills a sheet of a stated size."""
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    names = ("top", "right", "bottom", "left")
    sides = [(n, line(corners[i], corners[(i + 1) % 4]), 0.0) for i, n in enumerate(names)]
    return replace(
        loop(),
        name=name,
        title="Cloth sheet",
        net=close(sides),
        cutting=close(sides),
        edges=tuple(edge(side) for side in sides),
        grain=((width / 2, 20), (width / 2, height - 20)),
        bias=False,
        label_at=(width / 2, height / 2),
    )


def of_pieces(*pieces: Piece) -> Pattern:
    return replace(pattern(), pieces=pieces)
