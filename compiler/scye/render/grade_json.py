"""The grade as it stands in pattern.json: every figure's move from the base size, and the steps, in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scye.ir.grade import Grade, GradeRow
from scye.ir.pattern import Finding

Json = dict[str, "Json"] | list["Json"] | str | float | bool | None


def grade_block(grade: Grade) -> Json:
    """Lengths in mm, angles in radians. Points have a row each way: `front.sp right`, `front.sp down`."""
    return {
        "chart": grade.chart,
        "base": grade.sizes[grade.base],
        "sizes": list(grade.sizes),
        "measured_from": dict(grade.measured_from),
        "measures": _rows(grade.measures, grade.base),
        "points": _rows(grade.points, grade.base),
        "amounts": _rows(grade.amounts, grade.base),
        "seams": _rows(grade.seams, grade.base),
        "edges": _rows(grade.edges, grade.base),
        "girths": _rows(grade.girths, grade.base),
        "findings": [_finding(finding) for finding in grade.findings],
    }


def _rows(rows: Sequence[GradeRow], base: int) -> Json:
    return {f"{row.name} {row.axis}".strip(): _row(row, base) for row in rows}


def _row(row: GradeRow, base: int) -> Json:
    return {
        "unit": row.unit,
        "base": _number(row.values[base]),
        "moves": [_number(move) for move in row.moves(base)],
        "steps": [_number(step) for step in row.steps()],
    }


def _number(value: float) -> float | None:
    return round(value, 4) + 0.0 if math.isfinite(value) else None


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "severity": finding.severity.word,
        "where": finding.where,
        "text": finding.text,
        "try": finding.attempt,
    }
