"""What becomes of many bodies: outlines looked at all at once, and a table of how they came out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np
import shapely

from scye.driver import Compiled, Compiler, Order
from scye.ir.pattern import Pattern, Stroke
from scye.ir.people import Body
from scye.project import open_project

ROOT = Path(__file__).resolve().parents[2]
PARTS = 16  # chords a curved segment: a cap's sharpest bend is still true to half a millimetre
GRID = 0.001  # mm: last bits make no crossing
FARTHEST = 2.01  # times the widest allowance of a piece: what a corner may reach from the stitch line


def recipe_file(name: str) -> Path:
    return ROOT / "recipes" / name / f"{name}.scye"


def compiler_for(recipe: Path) -> Compiler:
    """A compiler for a recipe that must have no mistakes."""
    project = open_project(recipe)
    assert project.sound, [d.seen() for d in project.diagnostics]
    return Compiler(project)


def orders_for(
    compiler: Compiler, bodies: Iterable[Body], settings: tuple[tuple[str, str], ...] = ()
) -> list[Order]:
    """Every body with its choices settled; all of one structure, which must compile."""
    orders = []
    for body in bodies:
        order, mistakes = compiler.order(body, settings)
        assert not mistakes, [d.seen() for d in mistakes]
        orders.append(order)
    compiled = compiler.compiled(orders[0].settled)
    assert isinstance(compiled, Compiled), [d.seen() for d in compiled]
    return orders


def patterns_of(compiler: Compiler, orders: Sequence[Order]) -> Iterator[Pattern]:
    return compiler.patterns(orders, None, lambda _line: None)


# --- outlines -------------------------------------------------------------------------------------


class Outlines:
    """The outlines of many pieces, to be looked at together."""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.nets: list[Stroke] = []
        self.cuts: list[Stroke] = []
        self.widest: list[float] = []

    def add(self, pattern: Pattern) -> None:
        for piece in pattern.pieces:
            self.names.append(f"{pattern.body}: {piece.title}")
            self.nets.append(piece.net)
            self.cuts.append(piece.cutting)
            self.widest.append(max(run.width for edge in piece.edges for run in edge.allowances))

    def wrong(self) -> Iterator[str]:
        """Lines that cross themselves, and cutting lines that leave their stitch line."""
        nets, cuts = _polygons(self.nets), _polygons(self.cuts)
        for what, shapes in (("stitch line", nets), ("cutting line", cuts)):
            sound = shapely.is_valid(shapes) & (shapely.area(shapes) > 1.0)
            yield from (f"{self.names[i]}, {what} crosses itself" for i in np.flatnonzero(~sound))
        away = shapely.hausdorff_distance(shapely.boundary(nets), shapely.boundary(cuts))
        far = away > np.maximum(FARTHEST * np.array(self.widest), 1.0)
        yield from (f"{self.names[i]}, cutting line {away[i]:.0f} mm away" for i in np.flatnonzero(far))


def _polygons(strokes: Sequence[Stroke]) -> np.ndarray:
    """Closed strokes as polygons; those with the same kinds of segments are flattened together."""
    alike: dict[tuple[int, ...], list[int]] = {}
    for number, stroke in enumerate(strokes):
        alike.setdefault(tuple(map(len, stroke.segments)), []).append(number)
    shapes = np.empty(len(strokes), dtype=object)
    for kinds, numbers in alike.items():
        flat = [_coordinates(strokes[number]) for number in numbers]
        rings = np.round(_flattened(kinds, np.array(flat)) / GRID) * GRID
        shapes[numbers] = shapely.polygons(rings)
    for number in np.flatnonzero(~shapely.is_valid(shapes)):
        shapes[number] = shapely.polygons(_apart(shapely.get_coordinates(shapes[number])))
    return shapes


def _apart(ring: np.ndarray) -> np.ndarray:
    """A ring without the points that lie on the one before, nor at its end on its first."""
    kept = [ring[0]]
    for point in ring[1:]:
        if np.abs(point - kept[-1]).sum() > 0.02:
            kept.append(point)
    while len(kept) > 1 and np.abs(kept[-1] - kept[0]).sum() <= 0.02:
        kept.pop()
    return np.array(kept if len(kept) > 3 else list(ring))


def _coordinates(stroke: Stroke) -> list[tuple[float, float]]:
    return [stroke.start, *(point for segment in stroke.segments for point in segment)]


def _flattened(kinds: Sequence[int], points: np.ndarray) -> np.ndarray:
    """Points (m, K, 2) of outlines with segments of these kinds (1 straight, 3 cubic) as rings (m, L, 2)."""
    rows = [points[:, :1]]
    at = 0
    for kind in kinds:
        if kind == 1:
            rows.append(points[:, at + 1 : at + 2])
        else:
            rows.append(_cubic(points[:, at : at + 4]))
        at += kind
    return np.concatenate(rows, axis=1)


def _cubic(ctrl: np.ndarray) -> np.ndarray:
    t = (np.arange(1, PARTS + 1) / PARTS)[None, :, None]
    a, b, c, d = (ctrl[:, i : i + 1] for i in range(4))
    return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t**3 * d


# --- the table ------------------------------------------------------------------------------------


class Table:
    """Counts over bodies, and what must not happen."""

    def __init__(self) -> None:
        self.bodies = 0
        self.whole = 0  # bodies with every piece drawn
        self.pieces: Counter[str] = Counter()
        self.seams: Counter[str] = Counter()
        self.proofs: Counter[str] = Counter()
        self.findings: Counter[tuple[str, str, str]] = Counter()
        self.wrong: list[str] = []

    def add(self, pattern: Pattern) -> None:
        self.bodies += 1
        told = {f.where for f in pattern.findings}
        for finding in pattern.findings:
            self.findings[finding.code, finding.severity.word, finding.where] += 1
            self.wrong += _not_in_words(pattern.body, finding.text, finding.attempt)
        total = max((p.of for p in pattern.pieces), default=0)
        self.whole += len(pattern.pieces) == total > 0
        self.pieces.update(piece.title for piece in pattern.pieces)
        failed = any(f.severity.word == "failure" for f in pattern.findings)
        if len(pattern.pieces) < total or not pattern.pieces:
            self.demand(failed, f"{pattern.body}: a piece is not drawn and nothing says why")
        for seam in pattern.seams:
            self.seams[seam.verdict] += 1
            said = f"seam {seam.letter}" in told or (seam.verdict == "not drawn" and failed)
            self.demand(seam.verdict == "walks true" or said, f"{pattern.body}: seam {seam.letter} unsaid")
        for proof in pattern.proofs:
            self.proofs[proof.verdict] += 1
            said = proof.name in told or (proof.verdict == "not drawn" and failed)
            self.demand(proof.verdict == "walks true" or said, f"{pattern.body}: {proof.name} unsaid")

    def demand(self, holds: bool, otherwise: str) -> None:
        if not holds:
            self.wrong.append(otherwise)

    def lines(self) -> Iterator[str]:
        """The table as it is printed."""
        yield f"{self.bodies} bodies, {self.whole} with every piece drawn"
        yield "pieces drawn: " + ", ".join(f"{title} {n}" for title, n in self.pieces.items())
        yield "seams: " + ", ".join(f"{verdict} {n}" for verdict, n in self.seams.most_common())
        yield "proofs: " + ", ".join(f"{verdict} {n}" for verdict, n in self.proofs.most_common())
        for (code, word, where), n in self.findings.most_common():
            yield f"  {n:6d}  {word:8s} {code}  {where}"


def _not_in_words(body: str, *texts: str) -> Iterator[str]:
    """Texts that are empty, or have something in them that no maker would write."""
    for number, text in enumerate(texts):
        spoken = text.replace("(", " ").replace(",", " ").split()
        if (number == 0 and not text.strip()) or {"nan", "inf", "-inf", "None"} & set(spoken):
            yield f"{body}: said badly: {text!r}"
