"""A run of sizes: its grade and its nest, and the report on a chart by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from scye.diagnostics.grading import BaseNotDrafted, NestPointUnknown
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.suggest import nearest
from scye.grade.align import nested_at, point_names
from scye.grade.smooth import FEWEST, lines_of, remarks, smoothness
from scye.grade.table import grade
from scye.ir.grade import AlignedPiece, Grade
from scye.ir.pattern import Finding, Pattern
from scye.ir.people import Chart
from scye.ir.requests import ChartRequest, ExitCode, Outcome
from scye.library import find_stdlib, read_source
from scye.project import open_chart
from scye.read.cards import cross_check
from scye.read.catalogue import read_catalogue

HOW = (
    "`neighbours say` is the figure of the parabola nearest to the two sizes on either side, or near\n"
    "an end to the four nearest. `!` marks a figure further from it than two careful readings may differ\n"
    "(at an end of the chart about twice that). Nothing is changed."
)
TOO_FEW = "five sizes with one measure at least are wanted to say what would be smooth"
NOTHING = "no figure is out of line with its neighbours, and every size agrees with itself"
Graded = tuple[Grade, tuple[AlignedPiece, ...]]


def graded(
    patterns: Sequence[Pattern], chart: Chart | None, nest_at: str | None
) -> Graded | Diagnostic | None:
    """The grade of the drafted sizes of a chart; None where there are none to compare.

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


def run_chart(request: ChartRequest) -> Outcome:
    """What can be said of a chart without a recipe: how smooth it is, and what is amiss at any size."""
    measures = read_source(find_stdlib() / "measures.yaml")
    if isinstance(measures, Diagnostic):
        return Outcome((measures,), ExitCode.BAD_INPUT)
    catalogue, found = read_catalogue(measures)
    chart, mistakes = open_chart(request.chart, catalogue)
    found = [*found, *mistakes]
    if chart is None or any(d.severity is Severity.ERROR for d in found):
        return Outcome(tuple(found), ExitCode.BAD_INPUT)
    rows = smoothness(chart, catalogue)
    lines = [f"{chart.title}: {len(chart.sizes)} sizes, base {chart.base}; amounts in {chart.unit}", HOW]
    for row in rows:
        lines += ["", *lines_of(row, chart.unit)]
    said = [f"caution: {d.seen()}" for row in rows for d in remarks(row, chart.unit)]
    said += [
        f"{d.severity.word}: size {b.code}: {d.seen()}"
        for b in chart.sizes
        for d in cross_check(b, catalogue)
    ]
    judged = any(len(row.sizes) >= FEWEST for row in rows)
    return Outcome(tuple(found), ExitCode.GOOD, (*lines, "", *(said or [NOTHING if judged else TOO_FEW])))
