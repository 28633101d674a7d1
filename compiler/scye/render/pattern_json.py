"""pattern.json: everything that was drafted, for machines to read, in mm. Schema: pattern.schema.json."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from scye.ir.grade import Grade
from scye.ir.notions import Notion
from scye.ir.pattern import (
    AllowanceRun,
    CutOrder,
    DartMark,
    DecisionMade,
    Edge,
    Finding,
    LedgerLine,
    Notch,
    Pattern,
    Piece,
    Point,
    Proof,
    Seam,
    Value,
    ValueList,
)
from scye.ir.sureness import Beside, Doubt, HowSure
from scye.render.grade_json import Json, grade_block
from scye.render.svg import path_data

SCHEMA = "urn:scye:pattern:1"


@dataclass(frozen=True, slots=True)
class Header:
    """What stands above the bodies: the version of scye, and the recipe they were drafted by."""

    scye: str
    recipe: str
    edition: str


def pattern_json(patterns: Sequence[Pattern], header: Header, grade: Grade | None = None) -> bytes:
    """All bodies of a run as one JSON text, a body to a line; sizes of a chart with their grade.

    Lengths in mm, angles in radians.
    """
    head: Json = {
        "schema": SCHEMA,
        "scye": header.scye,
        "recipe": header.recipe,
        "edition": header.edition,
        "unit": "mm",
    }
    bodies = ",\n".join(_text(_body(pattern)) for pattern in patterns)
    graded = "" if grade is None else ',\n"grade":' + _text(grade_block(grade))
    return (_text(head)[:-1] + ',"bodies":[\n' + bodies + "\n]" + graded + "}\n").encode()


@cache
def pattern_schema() -> str:
    """The published JSON Schema (2020-12) of pattern.json."""
    return files("scye.render").joinpath("pattern.schema.json").read_text(encoding="utf-8")


def _text(value: Json) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _number(value: float) -> float | None:
    """Four decimals, no minus nought; what could not be worked out is null."""
    return round(value, 4) + 0.0 if math.isfinite(value) else None


def _point(point: Point) -> Json:
    return [_number(point[0]), _number(point[1])]


def _body(pattern: Pattern) -> Json:
    return {
        "body": pattern.body,
        "date": pattern.date,
        "display_unit": pattern.unit,
        "pieces": [_piece(piece) for piece in pattern.pieces],
        "seams": [_seam(seam) for seam in pattern.seams],
        "proofs": [_proof(proof) for proof in pattern.proofs],
        "values": {value.name: _value(value) for value in pattern.values},
        "lists": {values.name: _list(values) for values in pattern.lists},
        "ledger": [_ledger(line) for line in pattern.ledger],
        "reports": [{"title": title, "text": text} for title, text in pattern.reports],
        "cautions": [{"name": name, "text": text} for name, text in pattern.cautions],
        "notices": [{"name": n.name, "sheet": n.sheet, "text": n.text} for n in pattern.notices],
        "decisions": [_decision(decision) for decision in pattern.decisions],
        "rules_beside_tape": [_beside(beside) for beside in pattern.beside],
        "tolerance": None if pattern.sure is None else _sure(pattern.sure),
        "findings": [_finding(finding) for finding in pattern.findings],
        "findings_list": [_notion(line) for line in pattern.notions],
        "sewing_order": list(pattern.sewing),
        **_fittings(pattern),
    }


def _notion(line: Notion) -> Json:
    return {
        "kind": line.kind,
        "where": line.where,
        "count": line.count,
        "length": None if line.length is None else _number(line.length),
        "finished": None if line.finished is None else _number(line.finished),
        "spare": line.spare,
        "text": line.text,
        "working": line.working,
    }


def _fittings(pattern: Pattern) -> dict[str, Json]:
    """The corrections of a fitted body; of any other body nothing at all."""
    rows: list[Json] = [
        {
            "date": line.date,
            "by": line.by,
            "correction": line.what,
            "why": line.why,
            "outcome": line.outcome,
            "where": line.where,
            "reason": line.reason,
        }
        for line in pattern.fittings
    ]
    return {"fittings": rows} if rows else {}


def _piece(piece: Piece) -> Json:
    return {
        "name": piece.name,
        "title": piece.title,
        "number": piece.number,
        "of": piece.of,
        "cut": [_cut(order) for order in piece.cuts],
        "net": path_data(piece.net),
        "cutting": path_data(piece.cutting),
        "edges": [_edge(edge) for edge in piece.edges],
        "grain": _grain(piece),
        "notches": [_notch(notch) for notch in piece.notches],
        "darts": [_dart(dart) for dart in piece.darts],
        "drills": [{"at": _point(drill.at), "text": drill.text} for drill in piece.drills],
        "levels": [{"name": name, "from": _point(a), "to": _point(b)} for name, a, b in piece.levels],
        **_shown(piece),
        **_marked(piece),
        "labels": list(piece.labels),
    }


def _grain(piece: Piece) -> Json:
    start, end = piece.grain
    return {"from": _point(start), "to": _point(end), "bias": piece.bias, "one_way": piece.one_way}


def _shown(piece: Piece) -> dict[str, Json]:
    """The lines shown inside, of a piece that has any."""
    rows: list[Json] = [{"text": line.text, "path": path_data(line.stroke)} for line in piece.shown]
    return {"shown": rows} if rows else {}


def _marked(piece: Piece) -> dict[str, Json]:
    """Where findings come on a piece that has any."""
    rows: list[Json] = [
        {
            "kind": mark.kind,
            "text": mark.text,
            "places": [_point(place) for place in mark.places],
            "lines": [path_data(line) for line in mark.lines],
        }
        for mark in piece.marked
    ]
    return {"findings_marked": rows} if rows else {}


def _cut(order: CutOrder) -> Json:
    return {"count": order.count, "how": order.how, "layers": list(order.layers), "text": order.text}


def _edge(edge: Edge) -> Json:
    shown: Json = {
        "name": edge.name,
        "length": _number(edge.length),
        "drawn": _number(edge.drawn),
        "allowance": _uniform(edge.allowances),
        "allowances": [_run(run) for run in edge.allowances],
        "turned_back": edge.turned_back,
        "finish": edge.finish,
        "on_fold": edge.on_fold,
        "seams": list(edge.letters),
        "path": path_data(edge.path),
    }
    return shown


def _uniform(runs: tuple[AllowanceRun, ...]) -> float | None:
    """The one allowance of an edge, 0 for a net edge, null where it changes along the edge."""
    widths = {run.width for run in runs} or {0.0}
    return _number(widths.pop()) if len(widths) == 1 else None


def _run(run: AllowanceRun) -> Json:
    return {"width": _number(run.width), "from": _number(run.start), "to": _number(run.end)}


def _notch(notch: Notch) -> Json:
    return {
        "edge": notch.edge,
        "name": notch.name,
        "at": _point(notch.at),
        "cut": _point(notch.cut),
        "inward": _point(notch.inward),
        "strokes": notch.strokes,
        "along": _number(notch.along),
        "letter": notch.letter,
    }


def _dart(dart: DartMark) -> Json:
    return {
        "name": dart.name,
        "edge": dart.edge,
        "pivot": _point(dart.pivot),
        "point": _point(dart.point),
        "angle": _number(dart.angle),
        "intake": _number(dart.intake),
        "legs": [path_data(leg) for leg in dart.legs],
        "fold": path_data(dart.fold),
        "pressed": dart.pressed,
    }


def _seam(seam: Seam) -> Json:
    return {
        "letter": seam.letter,
        "order": seam.order,
        "a": seam.a,
        "b": seam.b,
        "length_a": _number(seam.length_a),
        "length_b": _number(seam.length_b),
        "ease": _number(seam.ease),
        "difference": _number(seam.difference),
        "verdict": seam.verdict,
        "parts": [
            {
                "name": part.name,
                "length_a": _number(part.length_a),
                "length_b": _number(part.length_b),
                "ease": _number(part.ease),
            }
            for part in seam.parts
        ],
    }


def _proof(proof: Proof) -> Json:
    return {
        "name": proof.name,
        "expected": _number(proof.expected),
        "found": _number(proof.found),
        "within": _number(proof.within),
        "unit": proof.unit,
        "verdict": proof.verdict,
        "working": proof.working,
    }


def _ledger(line: LedgerLine) -> Json:
    return {"at": line.at, "owner": line.owner, "amount": _number(line.amount)}


def _value(value: Value) -> Json:
    return {
        "value": _number(value.value),
        "unit": value.unit,
        "by": value.owner,
        "working": value.working,
        "sentence": value.sentence,
    }


def _list(values: ValueList) -> Json:
    return {"values": [_number(v) for v in values.values], "unit": values.unit, "sentence": values.sentence}


def _decision(made: DecisionMade) -> Json:
    return {
        "limit": made.limit,
        "value": _number(made.value),
        "unit": made.unit,
        "by": made.by,
        "date": made.date,
        "why": made.why,
    }


def _beside(beside: Beside) -> Json:
    return {
        "measure": beside.measure,
        "unit": beside.unit,
        "rule": _number(beside.rule),
        "tape": _number(beside.tape),
        "error_bar": _number(beside.bar),
        "far": beside.far,
    }


def _sure(sure: HowSure) -> Json:
    return {
        "error_bars": [
            {"measure": bar.measure, "unit": bar.unit, "bar": _number(bar.bar), "times": bar.times}
            for bar in sure.bars
        ],
        "figures": [_doubt(doubt) for doubt in sure.doubts],
        "pieces": [
            {"piece": piece.piece, "shares": {name: _number(share) for name, share in piece.shares}}
            for piece in sure.pieces
        ],
    }


def _doubt(doubt: Doubt) -> Json:
    return {
        "what": doubt.what,
        "name": doubt.name,
        "unit": doubt.unit,
        "out": _number(doubt.out),
        "because": [
            {
                "measure": part.measure,
                "slope": None if part.stepped else _number(part.slope),
                "moves": _number(part.moves),
            }
            for part in doubt.parts
        ],
    }


def _finding(finding: Finding) -> Json:
    span = finding.span
    return {
        "code": finding.code,
        "severity": finding.severity.word,
        "where": finding.where,
        "text": finding.text,
        "try": finding.attempt,
        "file": span.source.name if span else None,
        "line": span.line if span else None,
        "column": span.column if span else None,
    }
