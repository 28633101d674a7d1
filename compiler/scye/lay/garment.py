"""A garment to be laid: out of a pattern just drafted, or out of a pattern.json written before."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any, NoReturn, get_args

from scye.diagnostics.lay import NotAPattern, WhichBodyOfPattern
from scye.diagnostics.model import Diagnostic, Severity
from scye.ir.lay import Garment, PieceToLay
from scye.ir.pattern import CutOrder, Pattern, Piece, Point, Stroke
from scye.ir.people import DisplayUnit
from scye.units.names import How

SCHEMA = "urn:scye:pattern:1"
FARTHEST = 100_000.0  # mm from the origin of a piece that is believed
GRAVE = ("failure", "error")
HOW: tuple[How, ...] = get_args(How)
UNITS = ("in", "cm", "mm")
_PATH = re.compile(r"[MLCZ]|-?[0-9]+(?:\.[0-9]+)?|[, ]")


def garment_of(pattern: Pattern) -> Garment:
    return Garment(
        pattern.recipe,
        pattern.edition,
        pattern.body,
        pattern.date,
        pattern.unit,
        tuple(_to_lay(piece) for piece in pattern.pieces),
        all(finding.severity < Severity.FAILURE for finding in pattern.findings),
    )


def _to_lay(piece: Piece) -> PieceToLay:
    folds = [(e.path.start, e.path.segments[-1][-1]) for e in piece.edges if e.on_fold]
    fold = folds[0] if folds else None
    return PieceToLay(piece.name, piece.title, piece.cuts, piece.cutting, piece.grain, fold, piece.one_way)


def read_garment(text: str, name: str, body: str | None, units: DisplayUnit | None) -> Garment | Diagnostic:
    """The pieces of one body of a pattern.json; `name` is the file's, of which nothing is taken on trust."""
    try:
        data = json.loads(text, parse_constant=_refused)
        if data["schema"] != SCHEMA:
            raise ValueError
        bodies = {_words(b["body"]): b for b in data["bodies"]}
        if (body is None and len(bodies) != 1) or (body is not None and body not in bodies):
            return WhichBodyOfPattern(span=None, file=name, wanted=body or "", bodies=tuple(bodies))
        return _garment(data, bodies[body if body is not None else next(iter(bodies))], units)
    except (KeyError, TypeError, ValueError, IndexError, AttributeError, RecursionError, OverflowError):
        return NotAPattern(span=None, name=name)


def _refused(constant: str) -> NoReturn:
    raise ValueError(constant)


def _garment(data: Any, body: Any, units: DisplayUnit | None) -> Garment:
    unit = units or _one_of(body["display_unit"], UNITS)
    return Garment(
        _words(data["recipe"]),
        _words(data["edition"]),
        _words(body["body"]),
        _words(body["date"]),
        unit,
        tuple(_piece(piece) for piece in body["pieces"]),
        all(_words(finding["severity"]) not in GRAVE for finding in body["findings"]),
    )


def _piece(piece: Any) -> PieceToLay:
    folds = [_stroke(edge["path"]) for edge in piece["edges"] if edge["on_fold"] is True]
    cutting = _stroke(piece["cutting"])
    grain = (_point(piece["grain"]["from"]), _point(piece["grain"]["to"]))
    if len(cutting.segments) < 3 or math.dist(*grain) < 1:
        raise ValueError
    fold = (folds[0].start, folds[0].segments[-1][-1]) if folds else None
    cuts = tuple(_cut(cut) for cut in piece["cut"])
    one_way = piece["grain"].get("one_way", False) is True
    return PieceToLay(_words(piece["name"]), _words(piece["title"]), cuts, cutting, grain, fold, one_way)


def _cut(cut: Any) -> CutOrder:
    count = cut["count"]
    if not isinstance(count, int) or not 1 <= count <= 100:
        raise ValueError
    layers = tuple(_words(layer) for layer in cut["layers"])
    return CutOrder(count, _one_of(cut["how"], HOW), layers, _words(cut["text"]))


def _stroke(text: Any) -> Stroke:
    """A path as pattern.json has it: M, then L and C, all absolute, and Z where it is closed."""
    marks = [found for found in _marks(_words(text)) if found not in ", "]
    closed = marks[-1] == "Z"
    groups: list[tuple[str, list[float]]] = []
    for mark in marks[:-1] if closed else marks:
        if mark in "MLC":
            groups.append((mark, []))
        else:
            groups[-1][1].append(_figure(float(mark)))
    points = [(kind, tuple(zip(figures[::2], figures[1::2], strict=True))) for kind, figures in groups]
    (first, start), rest = points[0], points[1:]
    if first != "M" or len(start) != 1 or any(len(p) != {"L": 1, "C": 3}.get(kind, 0) for kind, p in rest):
        raise ValueError
    return Stroke(start[0], tuple(p for _, p in rest), closed)


def _marks(text: str) -> Iterator[str]:
    at = 0
    while at < len(text):
        found = _PATH.match(text, at)
        if found is None:
            raise ValueError
        yield found[0]
        at = found.end()


def _figure(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= FARTHEST:
        raise ValueError
    return float(value)


def _point(value: Any) -> Point:
    x, y = value
    return _figure(x), _figure(y)


def _words(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _one_of(value: Any, known: tuple[str, ...]) -> Any:
    if value not in known:
        raise ValueError
    return value
