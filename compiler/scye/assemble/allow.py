"""From the stitch line to the cutting line: each stretch of edge moved out by its own allowance."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise
from typing import Literal

import numpy as np

from scye.assemble import telling
from scye.assemble.corners import Asked, Corner, Side, corners
from scye.assemble.darts import Item
from scye.assemble.figures import Figures, agree
from scye.assemble.outline import Outline, Trimmed, structure
from scye.assemble.strokes import chain
from scye.geometry.offset import offset_paths
from scye.geometry.path import (
    Path,
    at_length,
    even_cubics,
    length,
    length_between,
    nearest,
    part,
    segment_lengths,
)
from scye.geometry.regularity import kinks
from scye.geometry.vector import Array, Flags, norm, quiet
from scye.ir.assembly import BodyFinding, Mouth, Stretch
from scye.ir.plan import AllowPlan, CornerTreatment, PiecePlan

TINY = 0.02  # mm: a segment this short is left out of the cutting line
SHORTEST = 0.2  # mm: no stretch of an edge with its own allowance is shorter
KINK = 1e-3  # radians between two segments that are no longer one curve
CUSP = 0.05  # of 1 - allowance * curvature, below which the cutting line is looked at


@dataclass(frozen=True, slots=True)
class Width:
    """An allowance (n,) along an edge as trimmed, from `begin` to `finish` (n,) mm."""

    begin: Array
    finish: Array
    width: Array


@dataclass(frozen=True, slots=True)
class EdgeWidths:
    widths: tuple[Width, ...]
    turned_back: bool
    finish: str
    on_fold: bool


# --- which allowance where ---------------------------------------------------------------------


def edge_widths(
    plan: PiecePlan, outline: Outline, figures: Figures
) -> tuple[tuple[EdgeWidths, ...], list[BodyFinding]]:
    """The allowances of every edge, and bodies that have a stretch without one."""
    folds = {cut.fold for cut in plan.cuts if cut.fold is not None}
    rows, findings = [], []
    for edge in outline.edges:
        row, lacking = _widths(plan, edge, edge.name in folds, outline.drawn, figures)
        rows.append(row)
        if lacking.any():
            findings.append(telling.no_allowance_on_part(plan, edge.name, lacking))
    return tuple(rows), findings


def _widths(
    plan: PiecePlan, edge: Trimmed, fold: bool, drawn: Flags, figures: Figures
) -> tuple[EdgeWidths, Flags]:
    whole = edge.length
    stated = [a for a in plan.allowances if a.edge == edge.name]
    if fold:
        return EdgeWidths((Width(0.0 * whole, whole, 0.0 * whole),), False, "", True), ~drawn & drawn
    everywhere = [a for a in stated if a.start is None and a.end is None]
    stretches = [a for a in stated if not (a.start is None and a.end is None)]
    general = _amount(everywhere[-1], figures) if everywhere else None
    spans = [(*_span(edge, a, whole, figures), _amount(a, figures)) for a in stretches]
    widths, lacking = _laid(whole, spans, general, drawn)
    turned = any(a.turned_back for a in stated)
    finish = next((a.finish for a in stated if a.finish), "")
    return EdgeWidths(tuple(widths), turned, finish, False), lacking if stated else ~drawn & drawn


def _amount(plan: AllowPlan, figures: Figures) -> Array:
    return np.zeros(figures.count) if plan.width is None else figures.amount(plan.width)


def _span(edge: Trimmed, plan: AllowPlan, whole: Array, figures: Figures) -> tuple[Array, Array]:
    """Where a stretch with its own allowance begins and ends along the edge as it runs round the piece."""
    line_start, line_end = (0.0 * whole, whole) if edge.forward else (whole, 0.0 * whole)
    one = line_start if plan.start is None else _along(edge.path, figures.point(plan.start))
    two = line_end if plan.end is None else _along(edge.path, figures.point(plan.end))
    return np.minimum(one, two), np.maximum(one, two)


def _along(path: Path, point: Array) -> Array:
    return length_between(path, 0.0, nearest(path, point)[0])


def _laid(
    whole: Array, spans: Sequence[tuple[Array, Array, Array]], general: Array | None, drawn: Flags
) -> tuple[list[Width], Flags]:
    """The edge cut at every end of a stretch; each part has the first stretch that covers it."""
    cuts = [0.0 * whole, *(at for low, high, _ in spans for at in (low, high)), whole]
    if spans:
        cuts = [cuts[i] for i in structure(cuts, drawn)]
    widths = []
    lacking = ~drawn & drawn
    for begin, finish in pairwise(cuts):
        if not agree(finish - begin > SHORTEST, drawn):
            continue
        middle = (begin + finish) / 2.0
        covering = (w for low, high, w in spans if agree((low < middle) & (middle < high), drawn))
        width = next(covering, general)
        if width is None:
            lacking = drawn
            width = 0.0 * whole
        widths.append(Width(begin, finish, width))
    return widths or [Width(0.0 * whole, whole, 0.0 * whole if general is None else general)], lacking


def unstated(plan: PiecePlan) -> list[str]:
    """The edges of a piece that have no allowance, are not net and lie on no fold."""
    named = {a.edge for a in plan.allowances} | {cut.fold for cut in plan.cuts}
    return [boundary.name for boundary in plan.boundary if boundary.name not in named]


# --- the cutting line --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Sewing:
    """A piece as it is sewn, which the cutting line goes round."""

    plan: PiecePlan
    outline: Outline
    items: Sequence[Item]
    widths: Sequence[EdgeWidths]


def cutting_lines(pieces: Sequence[Sewing]) -> list[tuple[Path, Flags]]:
    """The cutting line of each piece as one closed path, and the bodies (n,) for which an offset has a cusp.

    The allowances of all pieces are laid together, and so are all their corners.
    """
    with quiet(all="ignore"):
        runs = _smooth_runs(pieces)
        flat = [run for row in runs for run in row]
        offsets = iter(offset_paths([path for path, _, _ in flat], [-width for _, width, _ in flat]))
        laid = [[(run, *next(offsets)) for run in row] for row in runs]
        sides = [[Side(net, cut, width, edge) for (net, width, edge), cut, _ in row] for row in laid]
        asked = [list(_asked_corners(p, row)) for p, row in zip(pieces, sides, strict=True)]
        made = iter(corners([corner for row in asked for corner in row]))
        return [
            (_closed(p, row, list(islice(made, len(row)))), _cusps(p, [worst for _, _, worst in its]))
            for p, row, its in zip(pieces, sides, laid, strict=True)
        ]


def _asked_corners(piece: Sewing, sides: Sequence[Side]) -> Iterator[Asked]:
    names = [edge.name for edge in piece.outline.edges]
    for a, b in zip(sides, [*sides[1:], *sides[:1]], strict=True):
        yield Asked(a, b, *_treatment(piece.plan, names, piece.widths, a, b))


def _cusps(piece: Sewing, worst: Sequence[Array]) -> Flags:
    drawn = piece.outline.drawn
    cusp: Flags = ~drawn & drawn
    for least in worst:
        cusp |= least <= CUSP
    return cusp & drawn


def _closed(piece: Sewing, sides: Sequence[Side], made: Sequence[Corner]) -> Path:
    """The sides and corners round a piece; of one that nobody has, the edges."""
    return chain(list(_joined(sides, made)) if sides else [edge.path for edge in piece.outline.edges])


def _joined(sides: Sequence[Side], corners: Sequence[Corner]) -> Iterator[Path]:
    for i, side in enumerate(sides):
        yield part(side.cut, corners[i - 1].v, corners[i].u)
        yield from corners[i].between


def _treatment(
    plan: PiecePlan, names: Sequence[str], widths: Sequence[EdgeWidths], a: Side, b: Side
) -> tuple[CornerTreatment, Literal["", "first", "second"]]:
    if a.edge == b.edge:
        return ("extended" if a.width is b.width else "stepped"), ""
    pair = {names[a.edge], names[b.edge]}
    asked = next((c.treatment for c in plan.corners if {c.first, c.second} == pair), None)
    first, second = widths[a.edge].turned_back, widths[b.edge].turned_back
    if asked is None:
        asked = "mirrored" if first != second else "extended"
    if asked == "mirrored" and first == second:
        asked = "extended"
    return asked, ("first" if first else "second") if asked == "mirrored" else ""


# A smooth stretch of the stitch line, its allowance (n,), and the edge it is of.
_Run = tuple[Path, Array, int]


def _smooth_runs(pieces: Sequence[Sewing]) -> list[list[_Run]]:
    """The net outline of each piece cut at every corner and every change of allowance."""
    rows = [list(_by_allowance(piece)) if piece.outline.drawn.any() else [] for piece in pieces]
    drawn = [piece.outline.drawn for piece, row in zip(pieces, rows, strict=True) for _ in row]
    parted = iter(_unkinked([path for row in rows for path, _, _ in row], drawn))
    return [[(run, width, edge) for _, width, edge in row for run in next(parted)] for row in rows]


def _by_allowance(piece: Sewing) -> Iterator[_Run]:
    """The net outline in its stretches and caps, cut at every change of allowance."""
    items, widths, drawn = piece.items, piece.widths, piece.outline.drawn
    for i, item in enumerate(items):
        match item:
            case Stretch():
                for path, width in _by_width(item, widths[item.edge].widths, drawn):
                    yield path, width, item.edge
            case Mouth():
                width = _width_before(items[i - 1], widths[item.edge].widths, drawn)
                for half in item.cap:
                    yield half, width, item.edge


def _by_width(stretch: Stretch, widths: Sequence[Width], drawn: Flags) -> Iterator[tuple[Path, Array]]:
    """A stretch cut where its edge's allowance changes."""
    if not agree(stretch.finish - stretch.begin > TINY, drawn):  # cloth that was spread in
        yield stretch.path, _width_before(stretch, widths, drawn)
        return
    for width in widths:
        low, high = np.maximum(width.begin, stretch.begin), np.minimum(width.finish, stretch.finish)
        if not agree(high - low > TINY, drawn):
            continue
        if agree((low <= stretch.begin) & (high >= stretch.finish), drawn):
            yield stretch.path, width.width
        else:
            yield _portion(stretch, low, high), width.width


def _portion(stretch: Stretch, low: Array, high: Array) -> Path:
    """The part of a stretch between two places along its edge."""
    span = np.where(stretch.finish > stretch.begin, stretch.finish - stretch.begin, 1.0)
    whole = length(stretch.path)
    one, two = (at_length(stretch.path, (s - stretch.begin) / span * whole) for s in (low, high))
    return part(stretch.path, one, two)


def _width_before(item: Item, widths: Sequence[Width], drawn: Flags) -> Array:
    """The allowance at a dart's mouth: that of the edge where the stretch before it stops."""
    at = item.finish if isinstance(item, Stretch) else widths[0].begin
    for width in widths[:-1]:
        if agree(at <= width.finish, drawn):
            return width.width
    return widths[-1].width


def _unkinked(paths: Sequence[Path], drawn: Sequence[Flags]) -> Iterator[list[Path]]:
    """Each path, for the bodies `drawn`, without its segments of no length, cut at its kinks.

    For a body that has no kink where another has one the corner made there is no corner. All paths are
    looked at together.
    """
    paths = _marked(_long(paths, drawn), drawn)
    kinked = _kinked(paths)
    before = 0
    for path in paths:
        size = len(path.straight)
        cuts = [0, *(k for k in range(1, size) if kinked[before + k]), size]
        yield [Path(path.ctrl[a:b], path.straight[a:b]) for a, b in pairwise(cuts) if b > a]
        before += size


def _kinked(paths: Sequence[Path]) -> list[bool]:
    """Whether some body has a kink before each segment of all the paths, as if they were one."""
    if not any(len(path.straight) > 1 for path in paths):
        return []
    flags: Flags = np.logical_or.reduce(np.abs(kinks(chain(paths))) > KINK, axis=-1)
    return [False, *flags.tolist()]


def _marked(paths: Sequence[Path], drawn: Sequence[Flags]) -> list[Path]:
    """The paths, of which every segment that runs straight is marked straight: its offset is then one
    straight, whoever else was drafted when the line was cut out of another."""
    bent = [path for path in paths if not all(path.straight)]
    if not bent:
        return list(paths)
    even = iter(even_cubics(chain(bent).ctrl))
    marked = []
    for path, own in zip(paths, drawn, strict=True):
        if all(path.straight):
            marked.append(path)
        else:
            rows = islice(even, len(path.straight))
            flags = [flag or bool(agree(row, own)) for flag, row in zip(path.straight, rows, strict=True)]
            marked.append(Path(path.ctrl, tuple(flags)))
    return marked


def _long(paths: Sequence[Path], drawn: Sequence[Flags]) -> list[Path]:
    """The paths without their segments of no length."""
    if not paths:
        return []
    whole = chain(paths)
    # no segment is shorter than its chord, so that few are left to be measured
    long = norm(whole.ctrl[:, 3] - whole.ctrl[:, 0]) > TINY
    doubtful: list[int] = np.flatnonzero(~np.logical_and.reduce(long, axis=-1)).tolist()
    if not doubtful:
        return list(paths)
    sizes = segment_lengths(Path(whole.ctrl[doubtful], tuple(whole.straight[i] for i in doubtful)))
    measured = dict(zip(doubtful, sizes, strict=True))
    kept, before = [], 0
    for path, own in zip(paths, drawn, strict=True):
        numbers = range(before, before + len(path.straight))
        nothing = [
            i - before
            for i in numbers
            if i in measured
            and not agree(long[i] | (measured[i] > TINY), own & np.isfinite(measured[i]))
        ]
        kept.append(_without(path, nothing) if nothing else path)
        before += len(path.straight)
    return kept


def _without(path: Path, numbers: Sequence[int]) -> Path:
    """A path without some of its segments."""
    kept = [i for i in range(len(path.straight)) if i not in numbers]
    return Path(path.ctrl[kept], tuple(path.straight[i] for i in kept))
