"""What the names of a fitting sheet mean on a recipe: seams, edges, levels, points and ends."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir.fitting import Correction
from scye.units.names import edge_name
from scye.units.quantity import Kind

# Short forms of the workroom, and words that a name is as good with as without.
_SHORT = {
    "cf": "centre front", "cb": "centre back", "center": "centre", "sp": "shoulder point",
    "snp": "side neck point", "hps": "side neck point",
}  # fmt: skip
_IDLE = {"line", "level", "seam", "edge", "point", "notch", "the", "at"}
_ENDS: dict[str, Literal["upper", "lower"]] = {
    "top": "upper", "upper end": "upper", "underarm": "upper", "bottom": "lower", "lower end": "lower",
    "hem": "lower",
}  # fmt: skip
_HANDED = {"left", "right"}
Step = Literal[-1, 1]
STEPS: tuple[Step, Step] = (-1, 1)


def plainly(text: str) -> str:
    """A name without its idle words: `waist_line`, `the waist` and `Waist` are all `waist`."""
    words = re.sub(r"[^a-z0-9]+", " ", text.lower()).split()
    full = " ".join(_SHORT.get(word, word) for word in words)
    kept = [word for word in full.split() if word not in _IDLE]
    return " ".join(kept) or full


@dataclass(frozen=True, slots=True)
class EdgeOf:
    """An edge of a piece: the piece's plan and the number of its boundary."""

    piece: p.PiecePlan
    number: int

    @property
    def boundary(self) -> p.BoundaryPlan:
        return self.piece.boundary[self.number]

    def beside(self, step: Step) -> p.BoundaryPlan:
        """The neighbour before or after it round the piece."""
        return self.piece.boundary[(self.number + step) % len(self.piece.boundary)]


@dataclass(frozen=True, slots=True)
class Found:
    """The edges that a correction is on; `seam` is the seam that joins them, if they are one's."""

    edges: tuple[EdgeOf, ...]
    seam: p.SewPlan | None


def all_edges(plan: p.CuttingPlan) -> Iterator[EdgeOf]:
    for piece in plan.pieces:
        for number in range(len(piece.boundary)):
            yield EdgeOf(piece, number)


def find_edges(plan: p.CuttingPlan, correction: Correction) -> Found | None:
    """The edges of a correction's seam; None if the recipe has nothing of that name."""
    name = correction.seam
    seam = next((s for s in plan.seams if s.letter == name.removeprefix("seam ").strip()), None)
    if seam is None:
        edges = _named(plan, name)
        seams = [s for s in plan.seams if edges and set(map(_key, edges)) <= _joined(s)]
        seam = seams[0] if len(seams) == 1 else None
    else:
        edges = [edge for edge in all_edges(plan) if _key(edge) in _joined(seam)]
    if correction.piece:
        edges = [edge for edge in edges if is_piece(edge.piece, correction.piece)]
        seam = None
    elif seam is not None:
        edges = [edge for edge in all_edges(plan) if _key(edge) in _joined(seam)]
    return Found(tuple(edges), seam) if edges else None


def is_piece(piece: p.PiecePlan, name: str) -> bool:
    return plainly(name) in (plainly(piece.name), plainly(piece.title))


def _key(edge: EdgeOf) -> tuple[str, str]:
    return edge.piece.name, edge.boundary.name


def _joined(seam: p.SewPlan) -> set[tuple[str, str]]:
    return {(side.piece, side.edge) for side in (*seam.first, *seam.second)}


def _named(plan: p.CuttingPlan, name: str) -> list[EdgeOf]:
    """Edges of that name, or of that name with its piece; `princess` is both edges of a panel line."""
    wanted = plainly(name)
    exact = [x for x in all_edges(plan) if wanted in _names_of(x, keep_hand=True)]
    return exact or [x for x in all_edges(plan) if wanted in _names_of(x, keep_hand=False)]


def _names_of(edge: EdgeOf, *, keep_hand: bool) -> set[str]:
    name = plainly(edge.boundary.name)
    if not keep_hand:
        name = " ".join(word for word in name.split() if word not in _HANDED)
    return {name, f"{plainly(edge.piece.name)} {name}", f"{plainly(edge.piece.title)} {name}"}


# --- places -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Corner:
    """The end of an edge where it meets the neighbour before (-1) or after (1) it."""

    step: Step


@dataclass(frozen=True, slots=True)
class Upright:
    """The upper or lower end of an edge as it lies on the paper."""

    which: Literal["upper", "lower"]


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a line crosses the edge, or the place nearest to a point."""

    ref: e.Ref


Place = Corner | Upright | Crossing


def find_place(
    name: str, edge: EdgeOf, seam: p.SewPlan | None, plan: p.CuttingPlan, nodes: Sequence[e.Node]
) -> tuple[Place, str] | None:
    """A place on an edge and what the recipe calls it; None if there is nothing of that name.

    A neighbour's end comes first, then what the draft calls so, then the seam's notches, another seam's
    letter, and last the plain words for an end.
    """
    wanted = plainly(name)
    for step in STEPS:
        if _is_edge(edge.beside(step), wanted):
            return Corner(step), edge_name(edge.beside(step).name, (edge.beside(step).name,))
    ref = _in_draft(wanted, edge.piece.draft, nodes)
    if ref is None:
        ref = _match_of(wanted, edge, seam) or _letter(name, plan)
    if ref is not None:
        return Crossing(ref), _spoken(nodes[ref].name) or name
    if wanted in _ENDS or name.lower().strip() in _ENDS:
        which = _ENDS.get(wanted) or _ENDS[name.lower().strip()]
        return Upright(which), f"{which} end"
    return None


def is_beside(edge: EdgeOf, name: str) -> bool:
    """Whether a name is that of a neighbour of an edge."""
    return any(_is_edge(edge.beside(step), plainly(name)) for step in STEPS)


def _is_edge(boundary: p.BoundaryPlan, wanted: str) -> bool:
    name = plainly(boundary.name)
    return wanted in (name, " ".join(word for word in name.split() if word not in _HANDED))


def _spoken(name: str) -> str:
    return name.rsplit(".", 1)[-1].replace("_", " ")


def _in_draft(wanted: str, draft: str, nodes: Sequence[e.Node]) -> e.Ref | None:
    """A line or point of the draft by its name or what is said of it, else the one level that ends so: `hip`
    is the high hip where there is no other."""
    mine = [
        (ref, node)
        for ref, node in enumerate(nodes)
        if node.kind in (Kind.LINE, Kind.POINT) and node.name.startswith(f"{draft}.")
    ]
    for ref, node in mine:
        if wanted in (plainly(node.name.removeprefix(f"{draft}.")), plainly(node.sentence)):
            return ref
    ends = [
        ref
        for ref, node in mine
        if isinstance(node.op, e.GuideLine) and plainly(node.name).endswith(f" {wanted}")
    ]
    return ends[0] if len(ends) == 1 else None


def _match_of(wanted: str, edge: EdgeOf, seam: p.SewPlan | None) -> e.Ref | None:
    """A notch of the seam: its line, or its point on the side that the edge is of."""
    for match in seam.matches if seam is not None else ():
        if plainly(match.name) == wanted:
            here = seam is not None and _key(edge) in {(s.piece, s.edge) for s in seam.first}
            return match.line if match.line is not None else (match.first if here else match.second)
    return None


def _letter(name: str, plan: p.CuttingPlan) -> e.Ref | None:
    """Another seam, by its letter: where its first edge crosses."""
    for seam in plan.seams:
        if seam.letter == name.removeprefix("seam ").strip():
            side = seam.first[0]
            return next(x.boundary.line for x in all_edges(plan) if _key(x) == (side.piece, side.edge))
    return None
