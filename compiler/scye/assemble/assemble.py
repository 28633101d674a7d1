"""The assemble room: from solved lines to pieces.

Reads a `CuttingPlan` and a `Solution`; adds outlines, darts as sewn, allowances, notches and marks, and
what the prove room needs to judge: both sides of every seam and the width of pieces across lines. It
changes neither, and guarantees that a body's result is the same bit for bit in any batch. A body whose
lines could not be drawn has NaN pieces and no finding here: the cause was told where it arose.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from scye.assemble import reads, telling
from scye.assemble.allow import unstated
from scye.assemble.darts import double_darts
from scye.assemble.edges import Spot
from scye.assemble.figures import Differ, Figures
from scye.assemble.marks import NotchAsked, asked_labels, asked_notches, marks_at
from scye.assemble.on_paper import lines_on_paper
from scye.assemble.outline import trim_all
from scye.assemble.piece import Built, EdgeMarks, Inner, Outlined, build_pieces, finish_piece, insides
from scye.assemble.seams import Sewn, Side, crossings_of, on_edge, walk
from scye.assemble.section import Finished, as_guide, times_cut
from scye.assemble.strokes import Crossed, all_crossed, crossed
from scye.assemble.wide import settled_too_wide
from scye.diagnostics.model import Diagnostic
from scye.geometry.memory import each, figures_of
from scye.geometry.path import Guide
from scye.geometry.vector import Array, Flags, Ints, quiet
from scye.ir.assembly import (
    Assembly,
    AssemblyPart,
    BodyFinding,
    DartMove,
    EdgeDrawn,
    PieceDrawn,
    Reshaped,
    SeamWalk,
    Section,
)
from scye.ir.equations import Ref
from scye.ir.notions import TapePlan
from scye.ir.pattern import PieceLines
from scye.ir.people import DisplayUnit
from scye.ir.plan import CuttingPlan, MeasuredOnPieces, PiecePlan, SewPlan
from scye.ir.solution import Solution
from scye.units.names import edge_name


@dataclass(frozen=True, slots=True)
class _Group:
    """Everything about the bodies that are built alike; arrays are over them alone."""

    part: AssemblyPart
    walks: tuple[SeamWalk, ...]
    sections: tuple[Section, ...]
    moves: tuple[DartMove, ...]
    reshaped: tuple[Reshaped, ...]
    findings: tuple[BodyFinding, ...]


def assemble(plan: CuttingPlan, solution: Solution, printed: int | None = None) -> Assembly:
    """All pieces of a recipe for every body of a solution. Bodies behind the first `printed` (None: all are)
    are measured only: their pieces have no place for a label, and no grain line."""
    on_paper = solution.count if printed is None else printed
    groups = _grouped(plan, solution, np.arange(solution.count), on_paper)
    count = solution.count
    return Assembly(
        count=count,
        parts=tuple(group.part for group in groups),
        walks=tuple(_gathered_walk(groups, i, count) for i in range(len(plan.seams))),
        sections=tuple(_gathered_section(groups, i, count) for i in range(len(groups[0].sections))),
        moves=_gathered_moves(groups, count),
        reshaped=_gathered_reshaped(groups, count),
        findings=tuple(_spread_finding(f, group, count) for group in groups for f in group.findings),
        diagnostics=unsaid(plan),
    )


def unsaid(plan: CuttingPlan) -> tuple[Diagnostic, ...]:
    """What the plan leaves unsaid of its pieces, and what is too wide: what needs no body to be seen."""
    lacking = (telling.no_allowance(piece, edge) for piece in plan.pieces for edge in unstated(piece))
    return (*lacking, *settled_too_wide(plan.pieces))


def lines_alone(plan: CuttingPlan, solution: Solution) -> tuple[PieceLines, ...]:
    """The lines of the pieces of the only body of a solution, and nothing else: no seam is walked, nothing is
    marked or measured. A piece that could not be drawn is left out."""
    with quiet(all="ignore"):
        built = _built(plan, Figures(solution, np.arange(1), 1))
    return tuple(each("lines on paper", [piece for piece in built if piece.drawn[0]], id, lines_on_paper))


def _grouped(plan: CuttingPlan, solution: Solution, bodies: Ints, printed: int) -> list[_Group]:
    """The bodies assembled together where they are built alike, apart where they differ."""
    try:
        with quiet(all="ignore"):
            return [_group(plan, Figures(solution, bodies, printed))]
    except Differ as parted:
        one, two = bodies[~parted.mask], bodies[parted.mask]
    return [*_grouped(plan, solution, one, printed), *_grouped(plan, solution, two, printed)]


def _group(plan: CuttingPlan, figures: Figures) -> _Group:
    built = _built(plan, figures)
    within = _insides(plan, built, figures)
    edges = {
        (b.plan.name, edge.name): Sewn(number, edge, b.drawn, _words(b, edge))
        for b in built
        for number, edge in enumerate(b.edges)
    }
    findings = [finding for b in built for finding in b.findings]
    walks: list[SeamWalk] = []
    sides: list[tuple[Side, Side]] = []
    crossings = crossings_of(plan.seams, edges, figures)
    for seam in plan.seams:
        walked, both, notes = walk(seam, edges, crossings, figures)
        walks.append(walked)
        sides.append(both)
        findings += notes
    marked = _marked(built, _seam_notches(plan.seams, walks, sides), _letters(plan.seams), figures)
    pieces = each(
        "finished pieces",
        list(zip(built, marked, within, strict=True)),
        lambda parts: (id(parts[0]), id(parts[2]), figures_of(parts[1])),
        lambda some: [finish_piece(*parts, figures) for parts in some],
    )
    return _Group(
        AssemblyPart(figures.bodies, tuple(pieces)),
        tuple(walks),
        tuple(_sections(plan, pieces, [inside.levels for inside in within], figures)),
        tuple(line for b in built for line in b.moves),
        tuple(line for b in built for line in b.reshaped),
        tuple(findings),
    )


def _built(plan: CuttingPlan, figures: Figures) -> Sequence[Built]:
    """Every piece. What is remembered of one, its outline or the whole of it, is not worked out again."""
    darts = plan.darts
    outlines = each(
        "outlines",
        plan.pieces,
        lambda piece: reads.outline_from(piece, figures),
        lambda pieces: trim_all(pieces, figures),
    )
    bare = [Outlined(piece, outline, ()) for piece, outline in zip(plan.pieces, outlines, strict=True)]
    doubles = each(
        "darts inside",
        bare,
        lambda piece: reads.doubles_from(piece, darts, figures),
        lambda pieces: [double_darts(piece.plan, darts, piece.outline, figures) for piece in pieces],
    )
    return each(
        "pieces",
        [replace(piece, doubles=its) for piece, its in zip(bare, doubles, strict=True)],
        lambda piece: reads.built_from(piece, darts, figures),
        lambda pieces: build_pieces(pieces, darts, figures),
    )


def _insides(plan: CuttingPlan, built: Sequence[Built], figures: Figures) -> Sequence[Inner]:
    return each(
        "inside",
        built,
        lambda piece: reads.inside_from(piece, _levels(plan, piece.plan), figures),
        lambda pieces: insides(pieces, [_level_lines(plan, piece, figures) for piece in pieces], figures),
    )


def _marked(
    built: Sequence[Built],
    seam_notches: Sequence[tuple[str, NotchAsked]],
    letters: Mapping[tuple[str, str], tuple[str, ...]],
    figures: Figures,
) -> list[EdgeMarks]:
    """What is marked along the edges of each piece. The places of all of it are worked out together."""
    own = [tuple(letters.get((b.plan.name, edge.name), ()) for edge in b.edges) for b in built]
    notches = [
        [
            *(notch for piece, notch in seam_notches if piece == b.plan.name),
            *asked_notches(b.plan, b.edges, b.drawn, figures),
        ]
        for b in built
    ]
    labels = [list(asked_labels(b.edges, row, b.drawn)) for b, row in zip(built, own, strict=True)]
    drawn, words = marks_at(
        [notch for row in notches for notch in row], [label for row in labels for label in row]
    )
    cuts, letters_at = iter(drawn), iter(words)
    return [
        EdgeMarks(its, tuple(islice(cuts, len(asked))), tuple(islice(letters_at, len(row))))
        for its, asked, row in zip(own, notches, labels, strict=True)
    ]


def _words(built: Built, edge: EdgeDrawn) -> str:
    """`Side front: seam 1, right edge`."""
    return f"{built.plan.title}: {edge_name(edge.name, [other.name for other in built.edges])}"


def _seam_notches(
    seams: Sequence[SewPlan], walks: Sequence[SeamWalk], sides: Sequence[tuple[Side, Side]]
) -> list[tuple[str, NotchAsked]]:
    """Every match as a notch on each of its edges, alike in name, strokes and letter."""
    rows = []
    for seam, walked, both in zip(seams, walks, sides, strict=True):
        alongs = (walked.matches_a,) if seam.to_pair else (walked.matches_a, walked.matches_b)
        for side, places in zip(both, alongs, strict=False):
            for match, name, along in zip(seam.matches, walked.names, places, strict=True):
                step, at = on_edge(side, along)
                sewn = step.sewn
                spot = Spot(sewn.edge, at, sewn.drawn)
                rows.append((step.piece, NotchAsked(sewn.number, spot, name, match.strokes, seam.letter)))
    return rows


def _letters(seams: Sequence[SewPlan]) -> dict[tuple[str, str], tuple[str, ...]]:
    letters: dict[tuple[str, str], tuple[str, ...]] = {}
    for seam in seams:
        for side in dict.fromkeys((s.piece, s.edge) for s in (*seam.first, *seam.second)):
            known = letters.get(side, ())
            letters[side] = known if seam.letter in known else (*known, seam.letter)
    return letters


def _levels(plan: CuttingPlan, piece: PiecePlan) -> tuple[Ref, ...]:
    """The lines that proofs measure this piece at and that its seams are matched at, each once."""
    lines = [term.line for term in _measured(plan) if piece.draft == term.draft]
    for seam in plan.seams:
        if any(side.piece == piece.name for side in (*seam.first, *seam.second)):
            lines += [match.line for match in seam.matches if match.line is not None]
    return tuple(dict.fromkeys(lines))


def _level_lines(plan: CuttingPlan, built: Built, figures: Figures) -> dict[Ref, Guide]:
    lines = [(ref, figures.line(ref)) for ref in _levels(plan, built.plan)]
    return {ref: line for ref, line in lines if isinstance(line, Guide)}


def _measured(plan: CuttingPlan) -> Iterator[MeasuredOnPieces]:
    for proof in plan.proofs:
        for term in (*proof.left, *proof.right):
            if isinstance(term.value, MeasuredOnPieces):
                yield term.value
    for tape in plan.notions:
        if isinstance(tape, TapePlan):
            yield MeasuredOnPieces("girth", tape.line, tape.words, tape.draft, None)


def _sections(
    plan: CuttingPlan,
    pieces: Sequence[PieceDrawn],
    across: Sequence[Mapping[Ref, Crossed]],
    figures: Figures,
) -> Iterator[Section]:
    """The width of every piece that a proof measures, across each line once."""
    wanted: dict[tuple[str, Ref], None] = {}
    for term in _measured(plan):
        for piece in pieces:
            named = piece.plan.name == term.piece
            if named or (term.what == "girth" and piece.plan.draft == term.draft):
                wanted[piece.plan.name, term.line] = None
    own = {piece.plan.name: row for piece, row in zip(pieces, across, strict=True)}
    by_name = {piece.plan.name: piece for piece in pieces}
    finished = dict(zip(by_name, _finished(pieces), strict=True))
    nets = {
        (name, line): own[name].get(line) or crossed(by_name[name].net, guide)
        for name, line in wanted
        if (guide := as_guide(figures.line(line))) is not None
    }
    rows = [finished[name].wedges_at(net.line) for (name, _), net in nets.items()]
    wedges = iter(all_crossed([pair for row in rows for pair in row]))
    widths = {
        key: finished[key[0]].width(net, list(islice(wedges, len(row))))
        for (key, net), row in zip(nets.items(), rows, strict=True)
    }
    for name, line in wanted:
        piece = by_name[name]
        width = np.full(figures.count, np.nan)
        if (name, line) in widths:
            width = np.where(piece.drawn, widths[name, line], np.nan)
        yield Section(name, piece.plan.draft, line, width, times_cut(piece.plan.cuts))


def _finished(pieces: Sequence[PieceDrawn]) -> Sequence[Finished]:
    return each(
        "finished",
        pieces,
        lambda piece: (id(piece.edges), id(piece.doubles)),
        lambda some: [Finished(piece.edges, piece.doubles) for piece in some],
    )


# --- groups put together again -----------------------------------------------------------------


def _gather(groups: Sequence[_Group], rows: Sequence[Array], count: int) -> Array:
    """Arrays (..., m) of each group as one over the whole batch (..., count)."""
    whole = np.full((*rows[0].shape[:-1], count), np.nan)
    for group, row in zip(groups, rows, strict=True):
        whole[..., group.part.bodies] = row
    return whole


def _gathered_walk(groups: Sequence[_Group], i: int, count: int) -> SeamWalk:
    walks = [group.walks[i] for group in groups]
    return replace(
        walks[0],
        length_a=_gather(groups, [w.length_a for w in walks], count),
        length_b=_gather(groups, [w.length_b for w in walks], count),
        matches_a=_gather(groups, [w.matches_a for w in walks], count),
        matches_b=_gather(groups, [w.matches_b for w in walks], count),
        lie=_gather(groups, [w.lie for w in walks], count),
    )


def _gathered_section(groups: Sequence[_Group], i: int, count: int) -> Section:
    rows = [group.sections[i] for group in groups]
    return replace(rows[0], width=_gather(groups, [row.width for row in rows], count))


def _gathered_moves(groups: Sequence[_Group], count: int) -> tuple[DartMove, ...]:
    """The moved darts, each move once: bodies that are built otherwise may lack it."""
    rows: dict[tuple[str, int], list[tuple[_Group, DartMove]]] = {}
    for group in groups:
        for move in group.moves:
            rows.setdefault((move.piece, move.number), []).append((group, move))
    return tuple(_gathered_move(row, count) for row in rows.values())


def _gathered_move(row: Sequence[tuple[_Group, DartMove]], count: int) -> DartMove:
    groups = [group for group, _ in row]
    moves = [move for _, move in row]
    return replace(
        moves[0],
        taken=_gather(groups, [m.taken for m in moves], count),
        left=_gather(groups, [m.left for m in moves], count),
        opened=_gather(groups, [m.opened for m in moves], count),
    )


def _gathered_reshaped(groups: Sequence[_Group], count: int) -> tuple[Reshaped, ...]:
    """What was done to the pieces, each operation once: bodies that are built otherwise may lack it."""
    rows: dict[tuple[str, int], list[tuple[_Group, Reshaped]]] = {}
    for group in groups:
        for line in group.reshaped:
            rows.setdefault((line.piece, line.number), []).append((group, line))
    gathered = []
    for row in rows.values():
        own = [group for group, _ in row]
        amounts = zip(*(line.amounts for _, line in row), strict=True)
        gathered.append(replace(row[0][1], amounts=tuple(_gather(own, x, count) for x in amounts)))
    return tuple(gathered)


def _spread_finding(finding: BodyFinding, group: _Group, count: int) -> BodyFinding:
    bodies = group.part.bodies
    mask: Flags = np.zeros(count, dtype=bool)
    mask[bodies] = finding.mask

    def text(body: int, unit: DisplayUnit) -> str:
        return finding.text(int(np.searchsorted(bodies, body)), unit)

    return replace(finding, mask=mask, text=text)
