"""The pattern of one body, as plain figures, out of the arrays over all of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from scye.assemble.drawn import Strokes, round_about
from scye.assemble.folds import fold_lines
from scye.assemble.piece import Built
from scye.geometry.memory import each
from scye.geometry.path import Path
from scye.geometry.vector import Array
from scye.ir.assembly import (
    Assembly,
    BodyFinding,
    DoubleDart,
    EdgeDrawn,
    Mouth,
    NotchDrawn,
    PartJudged,
    PieceDrawn,
    Proofs,
    Run,
    SeamJudged,
)
from scye.ir.pattern import (
    AllowanceRun,
    DartMark,
    DrillHole,
    Edge,
    EdgeLabel,
    Finding,
    LedgerLine,
    Notch,
    Pattern,
    Piece,
    PieceLines,
    Point,
    Proof,
    Seam,
    SeamPart,
    ShownLine,
    Stroke,
    Value,
    ValueList,
    Verdict,
)
from scye.ir.people import DisplayUnit
from scye.ir.plan import CuttingPlan
from scye.units.names import edge_name
from scye.units.tape import show_difference, show_length

NO_LENGTH = 1e-6  # mm; less than this was not changed

VERDICTS: tuple[Verdict, ...] = ("walks true", "caution", "not proved", "not drawn")


def materialise(
    plan: CuttingPlan,
    assembly: Assembly,
    proofs: Proofs,
    index: int,
    *,
    body: str,
    date: str,
    unit: DisplayUnit,
    workings: Mapping[str, str],
    values: tuple[Value, ...] = (),
    lists: tuple[ValueList, ...] = (),
    ledger: tuple[LedgerLine, ...] = (),
    caution_texts: Mapping[str, str],
    strokes: Strokes,
) -> Pattern:
    """The pattern of body `index` of the batch. `workings` has the working of each proof by its title,
    `caution_texts` the text of each caution by its name; `strokes` are shared by all bodies of a batch.
    Pieces that could not be drawn are left out."""
    part = next(part for part in assembly.parts if index in part.bodies)
    place = int(np.searchsorted(part.bodies, index))
    drawn = [(number, p) for number, p in enumerate(part.pieces, 1) if p.drawn[place]]
    return Pattern(
        recipe=plan.title,
        slug=plan.slug,
        edition=plan.edition,
        headings=plan.headings,
        body=body,
        date=date,
        unit=unit,
        pieces=tuple(
            each(
                "pieces on paper",
                drawn,
                lambda piece: (id(piece[1]), piece[0], len(part.pieces), place, unit),
                lambda some: [_piece(p, k, len(part.pieces), place, unit, strokes) for k, p in some],
            )
        ),
        seams=tuple(_seam(seam, order, index) for order, seam in enumerate(proofs.seams, 1)),
        proofs=tuple(
            Proof(
                p.name, float(p.expected[index]), float(p.found[index]), float(p.within[index]), p.unit,
                VERDICTS[int(p.standing[index])],
                workings.get(p.name, "") + _fitted_words(float(p.fitted[index]), unit),
            )
            for p in proofs.proofs
        ),
        ledger=ledger,
        values=values,
        lists=lists,
        reports=tuple((report.title, report.text(index, unit)) for report in proofs.reports),
        cautions=tuple((name, caution_texts[name]) for name, flags in proofs.cautions if flags[index]),
        findings=tuple(_findings((*assembly.findings, *proofs.findings), index, unit)),
    )  # fmt: skip


def _fitted_words(taken: float, unit: DisplayUnit) -> str:
    """What fittings changed in the expected figure: `, less 3/4 in taken in at fittings`."""
    if not np.isfinite(taken) or abs(taken) <= NO_LENGTH:
        return ""
    shown = show_difference(abs(taken), unit)
    return f", less {shown} taken in at fittings" if taken > 0.0 else f", and {shown} let out at fittings"


def _findings(rows: Sequence[BodyFinding], index: int, unit: DisplayUnit) -> Iterator[Finding]:
    for row in rows:
        if row.mask[index]:
            text, attempt = row.text(index, unit), row.attempt(index, unit)
            yield Finding(row.code, row.severity, row.where, text, attempt, row.span)


def _seam(seam: SeamJudged, order: int, index: int) -> Seam:
    return Seam(
        letter=seam.letter,
        a=seam.a,
        b=seam.b,
        length_a=float(seam.length_a[index]),
        length_b=float(seam.length_b[index]),
        ease=float(seam.ease[index]),
        difference=float(seam.difference[index]),
        verdict=VERDICTS[int(seam.standing[index])],
        parts=tuple(
            SeamPart(_part_name(seam, p, index), *(float(x[index]) for x in (p.length_a, p.length_b, p.ease)))
            for p in seam.parts
            if np.isfinite(p.length_a[index])
        ),
        order=order,
    )


def _part_name(seam: SeamJudged, part: PartJudged, index: int) -> str:
    first, last = int(part.first[index]), int(part.last[index])
    begin = "start" if first < 0 else seam.names[first]
    finish = "end" if last >= len(seam.names) else seam.names[last]
    return f"{begin} to {finish}"


# --- one piece ---------------------------------------------------------------------------------


def _piece(piece: PieceDrawn, number: int, of: int, i: int, unit: DisplayUnit, strokes: Strokes) -> Piece:
    cleaned = piece.cleaned.get(i)
    edges = tuple(_edge(e, piece.letters[k], i, strokes) for k, e in enumerate(piece.edges))
    return Piece(
        name=piece.plan.name,
        title=piece.plan.title,
        number=number,
        of=of,
        cuts=piece.cuts,
        net=round_about([edge.path for edge in edges]),
        cutting=strokes.of((piece.cutting,), i, closed=True) if cleaned is None else _polygon(cleaned),
        edges=edges,
        notches=tuple(_notch(n, piece.edges, i) for n in piece.notches if np.isfinite(n.at[:, i]).all()),
        darts=tuple(_darts(piece, i, strokes)),
        drills=tuple(DrillHole(_at(p, i), text) for p, text in piece.drills if np.isfinite(p[:, i]).all()),
        grain=(_at(piece.grain[0], i), _at(piece.grain[1], i)),
        bias=piece.plan.bias,
        one_way=piece.plan.one_way,
        labels=piece.plan.labels,
        label_at=_at(piece.label_at, i),
        edge_labels=tuple(_edge_labels(piece, i, unit)),
        levels=tuple(
            (level.name, _at(level.start, i), _at(level.end, i))
            for level in piece.levels
            if np.isfinite(level.start[:, i]).all()
        ),
        shown=(*_shown(piece, i, strokes), *fold_lines(piece, i, unit)),
    )


def piece_lines(piece: Built, i: int, strokes: Strokes) -> PieceLines:
    """The lines of a piece, without what is marked on it."""
    cleaned = piece.cleaned.get(i)
    edges = tuple((edge.name, strokes.of(tuple(_along(edge)), i, closed=False)) for edge in piece.edges)
    mouths = [m for edge in piece.edges for m in edge.mouths if m is not None and m.kind == "dart"]
    return PieceLines(
        name=piece.plan.name,
        net=round_about([path for _, path in edges]),
        cutting=strokes.of((piece.cutting,), i, closed=True) if cleaned is None else _polygon(cleaned),
        edges=edges,
        darts=(
            *((mouth.name, *_mouth_lines(mouth, i)) for mouth in mouths),
            *((dart.name, *_inner_lines(dart, i, strokes)) for dart in piece.within.doubles),
        ),
    )


def _shown(piece: PieceDrawn, i: int, strokes: Strokes) -> Iterator[ShownLine]:
    """Each part of a line by itself; only its first has the words."""
    for line in piece.shown:
        text = line.text
        for path in line.parts:
            if np.isfinite(path.ctrl[..., min(i, path.ctrl.shape[-1] - 1)]).all():
                yield ShownLine(strokes.of((path,), i, closed=False), text)
                text = ""


def _at(point: Array, i: int) -> Point:
    return float(point[0, i]), float(point[1, i])


def _edge(edge: EdgeDrawn, letters: tuple[str, ...], i: int, strokes: Strokes) -> Edge:
    return Edge(
        name=edge.name,
        length=float(edge.length[i]),
        drawn=float(edge.drawn[i]),
        allowances=tuple(
            AllowanceRun(float(r.width[i]), float(r.start[i]), float(r.end[i])) for r in edge.runs
        ),
        turned_back=edge.turned_back,
        finish=edge.finish,
        on_fold=edge.on_fold,
        path=strokes.of(tuple(_along(edge)), i, closed=False),
        letters=letters,
    )


def _along(edge: EdgeDrawn) -> Iterator[Path]:
    yield edge.stretches[0].path
    for mouth, stretch in zip(edge.mouths, edge.stretches[1:], strict=True):
        if mouth is not None:
            yield from mouth.cap
        yield stretch.path


def _notch(notch: NotchDrawn, edges: Sequence[EdgeDrawn], i: int) -> Notch:
    return Notch(
        edges[notch.edge].name, notch.name, _at(notch.at, i), _at(notch.cut, i), _at(notch.inward, i),
        notch.strokes, float(notch.along[i]), notch.letter,
    )  # fmt: skip


def _darts(piece: PieceDrawn, i: int, strokes: Strokes) -> Iterator[DartMark]:
    for edge in piece.edges:
        for mouth in edge.mouths:
            if mouth is not None and mouth.kind == "dart":
                yield _edge_dart(piece, edge, mouth, i)
    for dart in piece.doubles:
        yield _double_dart(piece, dart, i, strokes)


def _edge_dart(piece: PieceDrawn, edge: EdgeDrawn, mouth: Mouth, i: int) -> DartMark:
    point = _at(mouth.point, i)
    legs, fold = _mouth_lines(mouth, i)
    return DartMark(
        name=mouth.name,
        edge=edge.name,
        pivot=_at(mouth.pivot, i),
        point=point,
        angle=float(mouth.angle[i]),
        intake=float(mouth.intake[i]),
        legs=legs,
        fold=fold,
        pressed=_pressed(piece, mouth.pressed, point, _at((mouth.start + mouth.end) / 2.0, i), i),
    )


def _double_dart(piece: PieceDrawn, dart: DoubleDart, i: int, strokes: Strokes) -> DartMark:
    one, two = _at(dart.start, i), _at(dart.end, i)
    legs, fold = _inner_lines(dart, i, strokes)
    return DartMark(
        name=dart.name,
        edge=None,
        pivot=one,
        point=two,
        angle=float(dart.angle[i]),
        intake=float(dart.intake[i]),
        legs=legs,
        fold=fold,
        pressed=_pressed(piece, dart.pressed, one, two, i),
    )


def _mouth_lines(mouth: Mouth, i: int) -> tuple[tuple[Stroke, ...], Stroke]:
    """The legs and the fold of a dart in an edge."""
    point, tip = _at(mouth.point, i), _at(mouth.cap[1].ctrl[0, 0], i)
    legs = Stroke(_at(mouth.start, i), ((point,), (_at(mouth.end, i),)), False)
    return (legs,), Stroke(point, ((tip,),), False)


def _inner_lines(dart: DoubleDart, i: int, strokes: Strokes) -> tuple[tuple[Stroke, ...], Stroke]:
    """The legs and the fold of a dart that lies inside."""
    legs = tuple(strokes.of((side,), i, closed=False) for side in dart.sides)
    return legs, Stroke(_at(dart.start, i), ((_at(dart.end, i),),), False)


def _pressed(piece: PieceDrawn, direction: Array, one: Point, two: Point, i: int) -> str:
    """`down`, `up`, or toward the edge that lies most nearly that way from the dart.

    Fulness goes across the dart, whichever way it was asked: across the straight from `one` end to the other.
    """
    x, y = _across(_at(direction, i), (two[0] - one[0], two[1] - one[1]))
    if abs(y) >= abs(x):
        return "down" if y > 0.0 else "up"
    middle = ((one[0] + two[0]) / 2.0, (one[1] + two[1]) / 2.0)
    names = [edge.name for edge in piece.edges]
    nearest = max(range(len(names)), key=lambda k: _agrees((x, y), middle, _middle(piece.edges[k], i)))
    return f"toward {edge_name(names[nearest], names)}"


def _across(direction: Point, axis: Point) -> Point:
    """What is left of a direction square to an axis; all of it if nothing is."""
    (x, y), (ax, ay) = direction, axis
    share = (x * ax + y * ay) / (ax * ax + ay * ay)
    left = (x - share * ax, y - share * ay)
    return direction if math.hypot(*left) < 1e-6 else left


def _agrees(way: Point, start: Point, end: Point) -> float:
    """How nearly the way from one place to another is the way asked: 1 if wholly, in proportion."""
    x, y = end[0] - start[0], end[1] - start[1]
    return (way[0] * x + way[1] * y) / (math.hypot(x, y) * math.hypot(*way) or 1.0)


def _middle(edge: EdgeDrawn, i: int) -> Point:
    (ax, ay), (bx, by) = _at(edge.trimmed.ctrl[0, 0], i), _at(edge.trimmed.ctrl[-1, 3], i)
    return (ax + bx) / 2.0, (ay + by) / 2.0


def _edge_labels(piece: PieceDrawn, i: int, unit: DisplayUnit) -> Iterator[EdgeLabel]:
    for label in piece.labels:
        at, angle = _at(label.at, i), float(label.angle[i])
        if label.run is None:
            yield EdgeLabel(at, angle, label.letter, "letter")
        else:
            yield EdgeLabel(at, angle, _width(piece.edges[label.edge].runs[label.run], i, unit), "allowance")


def _width(run: Run, i: int, unit: DisplayUnit) -> str:
    return "net" if run.width[i] == 0.0 else show_length(float(run.width[i]), unit)


def _polygon(points: Sequence[Point]) -> Stroke:
    return Stroke(points[0], tuple((p,) for p in (*points[1:], points[0])), True)
