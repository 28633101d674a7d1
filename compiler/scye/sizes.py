"""A run of sizes: its grade and its nest, and the report on a chart by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scye.diagnostics.grading import BaseNotDrafted, NestPointUnknown
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.grade.align import nested_at, point_names
from scye.grade.table import grade
from scye.ir.grade import AlignedPiece, Grade
from scye.ir.pattern import Finding, Pattern
from scye.ir.people import Chart

Graded = tuple[Grade, tuple[AlignedPiece, ...]]


def graded(
    patterns: Sequence[Pattern], chart: Chart | None, nest_at: str | None
) -> Graded | Diagnostic | None:
    """The grade of the drafted sizes of a chart, from its base size; None where there are no sizes to compare.

    `nest_at` names a point of the drafts at which all sizes are laid over each other.
    """
    if chart is None or len(patterns) < 2:
        return None
    places = {body.code: i for i, body in enumerate(chart.sizes)}
    ordered = sorted(patterns, key=lambda pattern: places[pattern.body])
    if nest_at is not None:
        names = point_names(ordered)
        if nest_at not in names:
            return NestPointUnknown(span=None, name=nest_at, near=nearest(nest_at, names))
        ordered = nested_at(ordered, nest_at)
    base = next((i for i, pattern in enumerate(ordered) if pattern.body == chart.base), None)
    table, pieces = grade(ordered, chart, base or 0)
    if base is None:
        table = replace(table, findings=(_no_base(chart.base, ordered[0].body), *table.findings))
    return table, pieces


def _no_base(base: str, instead: str) -> Finding:
    said = BaseNotDrafted(span=None, base=base, instead=instead)
    return Finding(said.code, said.severity, "chart", said.seen(), said.attempt(), None)


def grade_lines(table: Grade) -> list[str]:
    """What is to be said of a run of sizes on the command line."""
    codes = f"sizes {', '.join(table.sizes)}, moves from {table.sizes[table.base]}"
    found = [f"  {finding.severity.word}: {finding.text}" for finding in table.findings]
    return [f"{codes}: see grade.html", *found]
