"""A pattern as the page draws it: path data in mm, each piece in its own coordinates; and findings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from scye.diagnostics.model import Diagnostic
from scye.ir.pattern import (
    DartMark,
    Edge,
    Finding,
    Nesting,
    Notch,
    Pattern,
    Piece,
    PieceLines,
    Point,
    Proof,
    Seam,
    Stroke,
)
from scye.ir.people import DisplayUnit
from scye.live.draft import AS_CHOSEN
from scye.source import Span
from scye.units.names import edge_name
from scye.units.tape import show_difference, show_length, show_value

Data = dict[str, object]
NEAR = 0.1  # mm within which two ends of lines are one place
PLACES = 2  # decimals of a mm on the screen
MOVE, LINE = "M{:.2f},{:.2f}".format, "L{:.2f},{:.2f}".format
CUBIC = "C{:.2f},{:.2f} {:.2f},{:.2f} {:.2f},{:.2f}".format


def piece_data(piece: Piece, nest: Nesting | None, unit: DisplayUnit) -> Data:
    """One piece as it is drawn. A piece of one side alone has no place that it shares with other sizes."""
    names = [edge.name for edge in piece.edges]
    return {
        "name": piece.name,
        "title": piece.title,
        "number": f"{piece.number} of {piece.of}",
        "cuts": [cut.text for cut in piece.cuts],
        "labels": list(piece.labels),
        "cut": screen_path(piece.cutting),
        "edges": [_edge(edge, piece, names, unit) for edge in piece.edges],
        "darts": [_dart(dart, unit) for dart in piece.darts],
        "notches": [_notch(notch) for notch in piece.notches],
        "drills": [[*_at(drill.at), drill.text] for drill in piece.drills],
        "grain": [*_at(piece.grain[0]), *_at(piece.grain[1])],
        "levels": [[name, *_at(a), *_at(b)] for name, a, b in piece.levels],
        "words": [[*_at(w.at), round(math.degrees(w.angle), 1), w.text, w.role] for w in piece.edge_labels],
        "at": _at(piece.label_at),
        "box": _box(piece.cutting),
        "nest": _nest(nest) if nest is not None else None,
    }


def lines_data(lines: PieceLines) -> Data:
    """One piece as it is drawn while a slider is held: only what its shape is."""
    return {
        "cut": screen_path(lines.cutting),
        "edges": [screen_path(path) for _, path in lines.edges],
        "darts": [["".join(map(screen_path, legs)), screen_path(fold)] for _, legs, fold in lines.darts],
    }


def screen_path(stroke: Stroke) -> str:
    """SVG path data to a hundredth of a mm: what a screen shows, and quick to write while a slider moves."""
    parts = [MOVE(*stroke.start)]
    for segment in stroke.segments:
        cubic = len(segment) == 3
        parts.append(CUBIC(*segment[0], *segment[1], *segment[2]) if cubic else LINE(*segment[0]))
    return "".join(parts) + ("Z" if stroke.closed else "")


def _at(point: Point) -> list[float]:
    return [round(point[0], PLACES), round(point[1], PLACES)]


def _nest(nest: Nesting) -> list[float]:
    return [*_at(nest.at), round(math.degrees(nest.angle), 4)]


def _box(stroke: Stroke) -> list[float]:
    """Left, top, right and bottom of a line's points and handles, so no less than the room it takes."""
    xs, ys = zip(stroke.start, *(p for segment in stroke.segments for p in segment), strict=True)
    return [round(v, PLACES) for v in (min(xs), min(ys), max(xs), max(ys))]


def under_data(pattern: Pattern) -> Data:
    """The stitch line of each piece, with the place it is laid over other sizes by."""
    nests = {nest.piece: _nest(nest) for nest in pattern.nests}
    return {
        piece.name: {"d": screen_path(piece.net), "nest": nests[piece.name]}
        for piece in pattern.pieces
        if piece.name in nests
    }


def _edge(edge: Edge, piece: Piece, names: Sequence[str], unit: DisplayUnit) -> Data:
    return {
        "name": edge.name,
        "said": edge_name(edge.name, names),
        "d": screen_path(edge.path),
        "length": show_length(edge.length, unit),
        "allow": _allowed(edge, unit),
        "letters": list(edge.letters),
        "fold": edge.on_fold,
        "closing": list(_closings(edge, piece)),
    }


def _allowed(edge: Edge, unit: DisplayUnit) -> str:
    """`1/2 in, turned back` or `net, bound`: what is added to an edge."""
    if edge.on_fold:
        return "on the fold"
    widths = dict.fromkeys(show_length(run.width, unit) if run.width else "net" for run in edge.allowances)
    said = " and ".join(widths) or "net"
    extra = ["turned back"] if edge.turned_back else []
    return ", ".join([said, *extra, *([edge.finish] if edge.finish else [])])


def _dart(dart: DartMark, unit: DisplayUnit) -> Data:
    return {
        "name": dart.name,
        "d": "".join(screen_path(leg) for leg in dart.legs),
        "fold": screen_path(dart.fold),
        "point": _at(dart.point),
        "said": f"takes {show_length(dart.intake, unit)}, pressed {dart.pressed}",
        "inner": dart.edge is None,
    }


def _notch(notch: Notch) -> Data:
    """A tick from the cutting line to the stitch line, one for each stroke."""
    (x, y), (cx, cy), (ix, iy) = notch.at, notch.cut, notch.inward
    ticks = []
    for k in range(notch.strokes):
        aside = (k - (notch.strokes - 1) / 2) * 3.0
        dx, dy = -iy * aside, ix * aside
        ticks.append(f"M{cx + dx:.2f},{cy + dy:.2f}L{x + dx + ix * 1.5:.2f},{y + dy + iy * 1.5:.2f}")
    return {"d": "".join(ticks), "at": _at(notch.at), "name": notch.name, "edge": notch.edge}


# --- darts closed -------------------------------------------------------------------------------


def _closings(edge: Edge, piece: Piece) -> Iterator[Data]:
    """What lies beyond each dart along an edge, as far as the next, and the turn that closes it (degrees)."""
    mouths = [
        (dart, dart.legs[0].start, dart.legs[0].segments[-1][-1])
        for dart in piece.darts
        if dart.edge == edge.name
    ]
    for dart, start, end in mouths:
        stretch = stretch_from(edge.path, end, [s for _, s, _ in mouths])
        if stretch is not None:
            yield {
                "d": screen_path(stretch),
                "leg": screen_path(Stroke(dart.point, ((end,),), False)),
                "pivot": _at(dart.pivot),
                "turn": round(_turn(dart.pivot, end, start), 3),
            }


def stretch_from(path: Stroke, place: Point, stops: Sequence[Point]) -> Stroke | None:
    """A path from one of its corners on, as far as the next of the stops; None if it has no such corner."""
    corners = [path.start, *(segment[-1] for segment in path.segments)]
    first = next((i for i, corner in enumerate(corners) if math.dist(corner, place) < NEAR), None)
    if first is None:
        return None
    beyond = range(first + 1, len(corners))
    last = next((i for i in beyond if any(math.dist(corners[i], s) < NEAR for s in stops)), len(corners) - 1)
    return Stroke(corners[first], path.segments[first:last], False)


def _turn(about: Point, start: Point, end: Point) -> float:
    """Degrees that turn one point to another about a third, clockwise on the screen."""
    one = math.atan2(start[1] - about[1], start[0] - about[0])
    two = math.atan2(end[1] - about[1], end[0] - about[0])
    turn = math.degrees(two - one)
    return (turn + 180.0) % 360.0 - 180.0


# --- what is said -------------------------------------------------------------------------------


def seam_data(seam: Seam, unit: DisplayUnit) -> Data:
    return {
        "letter": seam.letter,
        "a": seam.a,
        "b": seam.b,
        "lengths": [show_length(seam.length_a, unit), show_length(seam.length_b, unit)],
        "ease": show_difference(seam.ease, unit) if seam.ease else "",
        "out": show_difference(abs(seam.difference), unit),
        "verdict": seam.verdict,
    }


def proof_data(proof: Proof, unit: DisplayUnit) -> Data:
    expected, found = (show_value(v, proof.unit, unit) for v in (proof.expected, proof.found))
    return {"name": proof.name, "expected": expected, "found": found, "verdict": proof.verdict}


def finding_data(finding: Finding, pieces: Sequence[str], file: str) -> Data:
    """A finding with the pieces that it stands beside."""
    return {
        "code": finding.code,
        "severity": finding.severity.word,
        "text": finding.text,
        "try": finding.attempt,
        "pieces": list(pieces),
        **place_data(finding.span, file),
    }


def diagnostic_data(diagnostic: Diagnostic, file: str) -> Data:
    return {
        "code": diagnostic.code,
        "severity": diagnostic.severity.word,
        "text": diagnostic.seen(),
        "expected": diagnostic.expected(),
        "try": diagnostic.attempt(),
        "pieces": [],
        "also": [{"text": label.text, **place_data(label.span, file)} for label in diagnostic.labels],
        **place_data(diagnostic.span, file),
    }


def place_data(span: Span | None, file: str) -> Data:
    """Line and column in the recipe's own text; a place in another file is said in words."""
    if span is None or span.source.name == AS_CHOSEN:
        return {"line": 0, "column": 0, "elsewhere": ""}
    if span.source.name != file:
        return {"line": 0, "column": 0, "elsewhere": f"{span.source.name}, line {span.line}"}
    return {"line": span.line, "column": span.column, "elsewhere": ""}


def summary_of(pattern: Pattern, planned: int) -> str:
    """`5 pieces; 5 of 5 seams walk true; 7 of 7 proofs hold`."""
    drawn = len(pattern.pieces)
    said = [
        f"{drawn} of {planned} pieces drawn" if drawn < planned else f"{drawn} piece" + "s" * (drawn != 1)
    ]
    for kind, verb, items in (("seam", "walk true", pattern.seams), ("proof", "hold", pattern.proofs)):
        if items:
            true = sum(item.verdict == "walks true" for item in items)
            said.append(f"{true} of {len(items)} {kind}s {verb}")
    return "; ".join(said)
