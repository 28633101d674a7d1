"""The grade of a run: every figure of its sizes side by side, read off drafts of their own measures."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import chain

from scye.diagnostics.model import Severity
from scye.grade.align import Lay, Sizes, aligned, all_sizes, laying
from scye.grade.crossing import crossings
from scye.grade.trend import findings_of
from scye.ir.grade import AlignedPiece, Axis, Crossing, Grade, GradeRow, SizeProofs
from scye.ir.pattern import Nesting, Pattern, Point
from scye.ir.people import Body, Chart
from scye.units.quantity import Kind

BEGINNING = "the draft's beginning"

# What one size has to say: by name (and axis) a unit tag and a figure.
Figures = dict[tuple[str, Axis], tuple[str, float]]


def grade(patterns: Sequence[Pattern], chart: Chart, base: int) -> tuple[Grade, tuple[AlignedPiece, ...]]:
    """The grade of some sizes of a chart, and their pieces laid over each other.

    The patterns are in the chart's order; `base` is the place of the size that moves are taken from.
    """
    codes = tuple(pattern.body for pattern in patterns)
    bodies = {body.code: body for body in chart.sizes}
    sizes = all_sizes(patterns, base)
    draft_lays = _draft_lays(patterns, base)
    crossed = _crossings(sizes, codes, patterns)
    rows = _Rows(patterns, draft_lays)
    measures = tuple(_rows([_measured(bodies[code]) for code in codes]))
    table = Grade(
        recipe=patterns[base].recipe,
        edition=patterns[base].edition,
        chart=chart.title,
        source=chart.source,
        notes=bodies[codes[base]].notes,
        unit=patterns[base].unit,
        sizes=codes,
        base=base,
        measured_from=tuple((draft, words) for draft, (words, _) in draft_lays.items()),
        measures=measures,
        points=tuple(rows.points()),
        amounts=rows.of(_amounts),
        seams=rows.of(_seams),
        edges=rows.of(_edges),
        girths=rows.of(_girths),
        crossings=crossed,
        proofs=tuple(_proofs(pattern) for pattern in patterns),
        findings=(),
    )
    pieces = tuple(aligned(s, base) for s in sizes)
    return findings_of(table, {piece.name: piece.title for piece in pieces}), pieces


class _Rows:
    """Reads rows of figures off the patterns."""

    def __init__(self, patterns: Sequence[Pattern], lays: dict[str, tuple[str, list[Lay]]]) -> None:
        self.patterns, self.lays = patterns, lays

    def of(self, figures: Callable[[Pattern], Figures]) -> tuple[GradeRow, ...]:
        return tuple(_rows([figures(pattern) for pattern in self.patterns]))

    def points(self) -> Iterator[GradeRow]:
        """Two rows a point, reckoned from the place that its draft's pieces share."""
        return _rows([self._points(i) for i in range(len(self.patterns))])

    def _points(self, i: int) -> Figures:
        found: Figures = {}
        for name, at in self.patterns[i].points:
            draft = name.partition(".")[0]
            x, y = self.lays[draft][1][i](at) if draft in self.lays else at
            found[name, "right"], found[name, "down"] = ("mm", x), ("mm", y)
        return found


def _rows(sizes: Sequence[Figures]) -> Iterator[GradeRow]:
    """One row a figure, in the order they first come; NaN where a size lacks one."""
    for key in dict.fromkeys(key for figures in sizes for key in figures):
        unit = next(figures[key][0] for figures in sizes if key in figures)
        values = tuple(figures[key][1] if key in figures else math.nan for figures in sizes)
        yield GradeRow(key[0], key[1], unit, values)


def _draft_lays(patterns: Sequence[Pattern], base: int) -> dict[str, tuple[str, list[Lay]]]:
    """For each draft what its points are reckoned from: the place its pieces share, if all share one."""
    lays: dict[str, tuple[str, list[Lay]]] = {}
    for draft in dict.fromkeys(nest.draft for nest in patterns[base].nests):
        nests = [_shared(pattern, draft) for pattern in patterns]
        if any(nest is None for nest in nests):
            nests = [Nesting("", draft, (0.0, 0.0), 0.0, "") for _ in patterns]
        held = [nest for nest in nests if nest is not None]
        lays[draft] = (held[base].words or BEGINNING, [laying(nest, held[base]) for nest in held])
    return lays


def _shared(pattern: Pattern, draft: str) -> Nesting | None:
    """The nesting of a draft's pieces, if they have one and the same."""
    nests = [nest for nest in pattern.nests if nest.draft == draft]
    first = nests[0]
    alike = all((nest.at, nest.angle) == (first.at, first.angle) for nest in nests)
    return first if alike and math.isfinite(first.at[0] + first.at[1] + first.angle) else None


# --- figures of one size -------------------------------------------------------------------------


def _measured(body: Body) -> Figures:
    tags = {Kind.ANGLE: "rad"}
    return {
        (r.name if r.side is None else f"{r.name} {r.side}", ""): (tags.get(r.written.kind, "mm"), r.value)
        for r in body.readings
    }


def _amounts(pattern: Pattern) -> Figures:
    listed = ((f"{one.name}[{i}]", one.unit, v) for one in pattern.lists for i, v in enumerate(one.values, 1))
    single = ((value.name, value.unit, value.value) for value in pattern.values)
    return {(name, ""): (unit, value) for name, unit, value in chain(single, listed)}


def _seams(pattern: Pattern) -> Figures:
    """Both sides of every seam on the stitch line."""
    found: Figures = {}
    for seam in pattern.seams:
        found[f"{seam.letter}: {seam.a}", ""] = ("mm", seam.length_a)
        if seam.b != seam.a and not seam.b.startswith("its "):
            found[f"{seam.letter}: {seam.b}", ""] = ("mm", seam.length_b)
    return found


def _edges(pattern: Pattern) -> Figures:
    """The edges that no seam has: necks, hems, armholes without a sleeve."""
    return {
        (f"{piece.name}.{edge.name}", ""): ("mm", edge.length)
        for piece in pattern.pieces
        for edge in piece.edges
        if not edge.letters
    }


def _girths(pattern: Pattern) -> Figures:
    """Proofs that are measured on the pieces, as their workings say."""
    return {
        (proof.name, ""): ("mm", proof.found)
        for proof in pattern.proofs
        if proof.unit == "mm" and ("girth at " in proof.working or "width of " in proof.working)
    }


def _proofs(pattern: Pattern) -> SizeProofs:
    of = max((piece.of for piece in pattern.pieces), default=len(pattern.nests))
    return SizeProofs(
        size=pattern.body,
        pieces=len(pattern.pieces),
        of=of,
        seams_true=sum(seam.verdict == "walks true" for seam in pattern.seams),
        seams=len(pattern.seams),
        proofs_true=sum(proof.verdict == "walks true" for proof in pattern.proofs),
        proofs=len(pattern.proofs),
        cautions=sum(f.severity is Severity.CAUTION for f in pattern.findings),
        failures=sum(f.severity >= Severity.FAILURE for f in pattern.findings),
    )


def _crossings(
    sizes: Sequence[Sizes], codes: Sequence[str], patterns: Sequence[Pattern]
) -> tuple[Crossing, ...]:
    points: list[dict[str, Point]] = [dict(pattern.points) for pattern in patterns]
    return tuple(crossing for piece in sizes for crossing in crossings(piece, codes, points))
