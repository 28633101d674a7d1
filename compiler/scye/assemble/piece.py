"""One piece for many bodies: from its boundary lines to everything that is drawn on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from scye.assemble import clean, marks, telling
from scye.assemble.allow import Sewing, cutting_lines, edge_widths
from scye.assemble.darts import Item, open_darts, unplaced, with_caps
from scye.assemble.edges import edge_drawn
from scye.assemble.figures import Figures, known
from scye.assemble.folds import notched
from scye.assemble.operations import reshaped
from scye.assemble.outline import Outline
from scye.assemble.parting import Job, State, Within
from scye.assemble.shown import shown_inside
from scye.assemble.strokes import Crossed, all_crossed, chain, samples
from scye.assemble.wide import too_wide
from scye.diagnostics.model import Severity
from scye.geometry.path import Guide, Path
from scye.geometry.vector import Array, Flags, dot, quarter_turn, unit
from scye.ir.assembly import (
    BodyFinding,
    DartMove,
    DoubleDart,
    EdgeDrawn,
    LabelDrawn,
    NotchDrawn,
    PieceDrawn,
    Reshaped,
    ShownDrawn,
    Stretch,
)
from scye.ir.equations import Ref
from scye.ir.pattern import CutOrder, Point
from scye.ir.plan import DartPlan, PiecePlan

FOLDED = 0.5  # mm that an edge on the fold may leave the straight
NOTED = 1.0  # mm that tidying may move the cutting line without a word


@dataclass(frozen=True, slots=True)
class Shaped:
    """A piece with its darts opened, moved and capped, before its cutting line; `whole` for these bodies."""

    sewing: Sewing
    edges: tuple[EdgeDrawn, ...]
    net: Path
    within: Within
    whole: Flags
    moves: tuple[DartMove, ...]
    reshaped: tuple[Reshaped, ...]
    findings: tuple[BodyFinding, ...]


@dataclass(frozen=True, slots=True)
class Built:
    """A piece with its stitch line, edges and cutting line, before what is marked on it."""

    plan: PiecePlan
    edges: tuple[EdgeDrawn, ...]
    net: Path
    cutting: Path
    cleaned: dict[int, tuple[Point, ...]]
    within: Within
    drawn: Flags
    moves: tuple[DartMove, ...]
    reshaped: tuple[Reshaped, ...]
    findings: tuple[BodyFinding, ...]


@dataclass(frozen=True, slots=True)
class EdgeMarks:
    """What is marked along the edges of a piece; `letters` has a row for each edge."""

    letters: tuple[tuple[str, ...], ...]
    notches: tuple[NotchDrawn, ...]
    labels: tuple[LabelDrawn, ...]


@dataclass(frozen=True, slots=True)
class Inner:
    """What lies inside a piece: its middle (2, n), and where its grain and its level lines cross it."""

    middle: Array
    grain: Crossed
    levels: Mapping[Ref, Crossed]


def insides(pieces: Sequence[Built], levels: Sequence[Mapping[Ref, Guide]], figures: Figures) -> list[Inner]:
    """The middle of each piece, and the piece crossed by its grain and by its `levels`."""
    middles, grains = [], []
    for piece in pieces:
        at, room = marks.middle(piece.net, piece.edges, piece.within.doubles, figures.on_paper)
        middles.append(at)
        grains.append(
            marks.grain_guide(piece.plan, at, room, piece.edges, piece.within.doubles, figures)
        )
    lines = [(grain, *row.values()) for grain, row in zip(grains, levels, strict=True)]
    found = iter(
        all_crossed([(piece.net, line) for piece, row in zip(pieces, lines, strict=True) for line in row])
    )
    return [
        Inner(at, next(found), dict(zip(row, islice(found, len(row)), strict=True)))
        for at, row in zip(middles, levels, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class Outlined:
    """A piece with its outline and the darts that lie inside it."""

    plan: PiecePlan
    outline: Outline
    doubles: tuple[DoubleDart, ...]


def build_pieces(pieces: Sequence[Outlined], darts: Sequence[DartPlan], figures: Figures) -> list[Built]:
    """Every piece with its darts and its cutting line. Bodies that fail at a stage are not drawn after it."""
    if not pieces:
        return []
    shaped = _crossed([_shaped(piece, darts, figures) for piece in pieces])
    return _allowed(shaped, cutting_lines([piece.sewing for piece in shaped]))


def _shaped(piece: Outlined, darts: Sequence[DartPlan], figures: Figures) -> Shaped:
    """Open darts, move them, cap them."""
    plan, outline, doubles = piece.plan, piece.outline, piece.doubles
    findings = list(outline.findings)
    opened, troubles = open_darts(plan, darts, outline, figures)
    findings += troubles
    drills = [figures.point(drill.point) for drill in plan.drills]
    shown = shown_inside(plan.shows, chain([edge.path for edge in outline.edges]), figures)
    begun = State(tuple(opened), Within(doubles, tuple(drills), shown))
    moved = reshaped(Job(plan, outline, figures), begun)
    findings += moved.findings
    items = with_caps(moved.items, outline.drawn)
    net = net_line(items)
    widths, lacking = edge_widths(plan, outline, figures)
    findings += [*lacking, *too_wide(plan, outline.drawn, figures)]
    edges = tuple(
        edge_drawn(number, edge, items, widths[number]) for number, edge in enumerate(outline.edges)
    )
    whole = outline.drawn & known(net.ctrl) & ~unplaced(darts, outline, figures)
    for dart in doubles:
        whole &= known(dart.sides[0].ctrl)
    for finding in (*troubles, *moved.findings):
        if finding.severity >= Severity.FAILURE:
            whole = whole & ~finding.mask
    return Shaped(
        Sewing(plan, outline, items, widths), edges, net, moved.within, whole, moved.moves, moved.reshaped,
        tuple(findings),
    )  # fmt: skip


def _crossed(shaped: Sequence[Shaped]) -> list[Shaped]:
    """The pieces; not whole, and with a finding, where the outline of one crosses itself."""
    paths = [[chain([stretch.path for stretch in edge.stretches]) for edge in s.edges] for s in shaped]
    found = clean.crossings(
        [clean.Ring(s.net, edges, s.whole) for s, edges in zip(shaped, paths, strict=True)]
    )
    return [_told(s, _crossing(s, row)) if row else s for s, row in zip(shaped, found, strict=True)]


def _told(shaped: Shaped, findings: Sequence[BodyFinding]) -> Shaped:
    whole = shaped.whole
    for finding in findings:
        whole = whole & ~finding.mask
    return replace(shaped, whole=whole, findings=(*shaped.findings, *findings))


def _allowed(shaped: Sequence[Shaped], lines: Sequence[tuple[Path, Flags]]) -> list[Built]:
    """The pieces with their cutting lines and the bodies (n,) for which these have a cusp."""
    drawn = [s.whole & known(cutting.ctrl) for s, (cutting, _) in zip(shaped, lines, strict=True)]
    simple = clean.simple([cutting for cutting, _ in lines], drawn)
    return [
        _built(s, cutting, own, ~sound | (cusp & own))
        for s, (cutting, cusp), own, sound in zip(shaped, lines, drawn, simple, strict=True)
    ]


def _built(shaped: Shaped, cutting: Path, drawn: Flags, looped: Flags) -> Built:
    """The piece with its cutting line, rid of its loops."""
    plan = shaped.sewing.plan
    cleaned, notes = _cleaned(plan, cutting, looped)
    findings = (*shaped.findings, *notes, *_bent_folds(plan, shaped.edges, drawn))
    edges = _only_drawn(shaped.edges, drawn)
    return Built(
        plan, edges, shaped.net, cutting, cleaned, shaped.within, drawn, shaped.moves, shaped.reshaped,
        findings,
    )  # fmt: skip


def net_line(items: Sequence[Item]) -> Path:
    """The stitch line round the piece, dart mouths bridged by their caps."""
    paths: list[Path] = []
    for item in items:
        paths += [item.path] if isinstance(item, Stretch) else item.cap
    return chain(paths)


def _only_drawn(edges: Sequence[EdgeDrawn], drawn: Flags) -> tuple[EdgeDrawn, ...]:
    """Edges whose length is NaN for the bodies without the piece, so that no seam is proved on them."""
    return tuple(
        replace(edge, length=np.where(drawn, edge.length, np.nan), drawn=np.where(drawn, edge.drawn, np.nan))
        for edge in edges
    )


def _crossing(shaped: Shaped, crossings: Mapping[int, clean.Crossing]) -> list[BodyFinding]:
    """A finding for each pair of edges that cross in some body's outline."""
    pairs: dict[tuple[int, int], dict[int, tuple[float, float]]] = {}
    for body, found in crossings.items():
        pairs.setdefault((found.one, found.two), {})[body] = found.along
    plan, names, shape = shaped.sewing.plan, [edge.name for edge in shaped.edges], shaped.whole.shape
    return [telling.crosses(plan, names, pair, along, shape) for pair, along in sorted(pairs.items())]


def _bent_folds(plan: PiecePlan, edges: Sequence[EdgeDrawn], drawn: Flags) -> list[BodyFinding]:
    """A finding for each edge on the fold that leaves the straight line between its ends."""
    findings = []
    for edge in edges:
        if edge.on_fold:
            off = _off_straight(chain([stretch.path for stretch in edge.stretches]))
            mask = drawn & (off > FOLDED)
            if mask.any():
                findings.append(telling.fold_bent(plan, edge.name, mask, off))
    return findings


def _off_straight(path: Path) -> Array:
    """How far (n,) mm a path leaves the straight line between its ends."""
    points = samples(path)
    along = unit(points[-1] - points[0])
    away: Array = np.abs(dot(points - points[0], quarter_turn(along))).max(axis=0)
    return away


def _cleaned(
    plan: PiecePlan, cutting: Path, looped: Flags
) -> tuple[dict[int, tuple[Point, ...]], list[BodyFinding]]:
    """The cutting lines that run over themselves, body by body, without their loops."""
    rows: dict[int, tuple[Point, ...]] = {}
    changed = np.zeros(looped.shape)
    for body in np.flatnonzero(looped):
        rows[int(body)], changed[body] = clean.tidied(cutting, int(body))
    noted = changed > NOTED
    return rows, [telling.tidied(plan, noted, changed)] if noted.any() else []


def finish_piece(built: Built, along: EdgeMarks, inside: Inner, figures: Figures) -> PieceDrawn:
    """The piece with everything that is marked on it."""
    plan = built.plan
    return PieceDrawn(
        plan=plan,
        drawn=built.drawn,
        edges=built.edges,
        net=built.net,
        cutting=built.cutting,
        cleaned=built.cleaned,
        notches=(*along.notches, *notched(built.edges)),
        doubles=built.within.doubles,
        drills=tuple((p, drill.text) for p, drill in zip(built.within.drills, plan.drills, strict=True)),
        grain=marks.grain_line(inside.grain),
        label_at=inside.middle,
        labels=along.labels,
        levels=marks.levels(inside.levels, figures),
        letters=along.letters,
        shown=tuple(ShownDrawn(line.plan.text, line.parts) for line in built.within.shown),
        cuts=tuple(CutOrder(cut.count, cut.how, cut.layers, marks.cut_text(cut)) for cut in plan.cuts),
    )
