"""A piece parted by a cut from one place of its outline to another, and one of its parts laid elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from scye.assemble.darts import Item
from scye.assemble.figures import Figures, agree
from scye.assemble.outline import Outline
from scye.assemble.shown import Shown, carried
from scye.assemble.strokes import chain, inside, samples
from scye.geometry.path import Path, at_length, end, length, move_path, part, start, turn_path
from scye.geometry.vector import Array, Flags, turn
from scye.ir.assembly import BodyFinding, DartMove, DoubleDart, Mouth, Reshaped, Stretch
from scye.ir.plan import PiecePlan

TINY = 0.02  # mm from an end of a stretch within which a place is that end


@dataclass(frozen=True, slots=True)
class Job:
    """The piece at hand: what was asked, the outline before its darts, and the figures."""

    plan: PiecePlan
    outline: Outline
    figures: Figures

    def names(self) -> list[str]:
        return [edge.name for edge in self.outline.edges]

    def fixed_edge(self) -> int:
        """The edge that stays where it is: the fold, or else the one named first."""
        folds = [cut.fold for cut in self.plan.cuts if cut.fold is not None]
        return self.names().index(folds[0]) if folds else 0


@dataclass(frozen=True, slots=True)
class Within:
    """What lies inside a piece and is carried along when a part of it is turned."""

    doubles: tuple[DoubleDart, ...]
    drills: tuple[Array, ...]
    shown: tuple[Shown, ...]


@dataclass(frozen=True, slots=True)
class State:
    """The outline so far, what lies inside it, and what was done to it."""

    items: tuple[Item, ...]
    within: Within
    moves: tuple[DartMove, ...] = ()
    reshaped: tuple[Reshaped, ...] = ()
    findings: tuple[BodyFinding, ...] = ()

    def noting(self, finding: BodyFinding) -> State:
        return replace(self, findings=(*self.findings, finding))


@dataclass(frozen=True, slots=True)
class Motion:
    """Turned by `angle` (n,) about a point (2, n), clockwise on the paper, and then shifted `by` (2, n)."""

    about: Array
    angle: Array
    by: Array

    def point(self, point: Array) -> Array:
        moved: Array = self.about + turn(point - self.about, self.angle) + self.by
        return moved

    def path(self, path: Path) -> Path:
        return move_path(turn_path(path, self.about, self.angle), self.by)

    def item(self, item: Item) -> Item:
        match item:
            case Stretch():
                return replace(item, path=self.path(item.path))
            case Mouth():
                places = (item.pivot, item.start, item.end, item.point)
                pivot, one, two, point = (self.point(p) for p in places)
                pressed = turn(item.pressed, self.angle)
                return replace(item, pivot=pivot, start=one, end=two, point=point, pressed=pressed)


@dataclass(frozen=True, slots=True)
class Parts:
    """A piece in two: `first` goes on clockwise from the cut's beginning, `second` from its end. `steady`:
    the first of them stays where it is."""

    first: list[Item]
    second: list[Item]
    steady: bool

    def moved(self, first: Motion, second: Motion) -> Parts:
        """The part that does not stay moved by its own motion."""
        if self.steady:
            return replace(self, second=[second.item(item) for item in self.second])
        return replace(self, first=[first.item(item) for item in self.first])

    def moving(self) -> list[Item]:
        return self.second if self.steady else self.first


def split_at(
    job: Job, items: Sequence[Item], number: int, s: Array, *, always: bool = False
) -> tuple[list[Item], Item]:
    """The items with a joint at a place of an edge, s (n,) mm along it as trimmed, and the item that begins
    there. With `always` the edge has a stretch on both sides of it, be it of no length."""
    drawn = job.outline.drawn & np.isfinite(s)
    own = [i for i, item in enumerate(items) if isinstance(item, Stretch) and item.edge == number]
    which = 0 * s.astype(np.int64)
    for k, i in enumerate(own):
        which = np.where(s >= stretch_at(items, i).begin, k, which)
    at = own[agree(which, drawn)]
    stretch = stretch_at(items, at)
    span = np.where(stretch.finish > stretch.begin, stretch.finish - stretch.begin, 1.0)
    whole = length(stretch.path)
    along = np.clip((s - stretch.begin) / span, 0.0, 1.0) * whole
    if not always and agree(along <= TINY, drawn):
        return list(items), stretch
    if not always and agree(along >= whole - TINY, drawn):
        return list(items), items[(at + 1) % len(items)]
    one, two = split(stretch, along)
    return [*items[:at], one, two, *items[at + 1 :]], two


def split(stretch: Stretch, along: Array) -> tuple[Stretch, Stretch]:
    """A stretch in two, `along` (n,) mm of it."""
    u = at_length(stretch.path, along)
    whole = length(stretch.path)
    share = np.where(whole > 0.0, along / np.where(whole > 0.0, whole, 1.0), 0.0)
    middle = stretch.begin + share * (stretch.finish - stretch.begin)
    far = float(len(stretch.path.straight)) + 0.0 * u
    return (
        replace(stretch, path=part(stretch.path, 0.0 * u, u), finish=middle),
        replace(stretch, path=part(stretch.path, u, far), begin=middle),
    )


def stretch_at(items: Sequence[Item], i: int) -> Stretch:
    item = items[i]
    if not isinstance(item, Stretch):
        raise ValueError("a dart's mouth stands where a stretch should")
    return item


def begins(item: Item) -> Array:
    """Where an item begins, (2, n)."""
    return start(item.path) if isinstance(item, Stretch) else item.start


def ends(item: Item) -> Array:
    """Where an item ends, (2, n)."""
    return end(item.path) if isinstance(item, Stretch) else item.end


def round_from(items: Sequence[Item], first: Item) -> list[Item]:
    """The same round, beginning with an item of it."""
    at = next(i for i, item in enumerate(items) if item is first)
    return [*items[at:], *items[:at]]


def parts_of(job: Job, items: Sequence[Item], one: Item, other: Item) -> Parts:
    """The piece cut from where `one` begins to where `other` does."""
    held = job.fixed_edge()
    fixed = next(item for item in items if isinstance(item, Stretch) and item.edge == held)
    row = round_from(items, one)
    at = next(i for i, item in enumerate(row) if item is other)
    return Parts(row[:at], row[at:], any(item is fixed for item in row[:at]))


def from_first(row: Sequence[Item]) -> tuple[Item, ...]:
    """The same round, beginning with the first stretch of the first edge."""
    at = next(i for i, item in enumerate(row) if item.edge == 0 and row[i - 1].edge != 0)
    return (*row[at:], *row[:at])


def paths_of(items: Sequence[Item]) -> list[Path]:
    return [item.path for item in items if isinstance(item, Stretch)]


def region_of(items: Sequence[Item], *beside: Array) -> Array:
    """A part of a piece as a polygon (K, 2, n), closed by way of further points."""
    return np.concatenate((samples(chain(paths_of(items))), *(point[None] for point in beside)))


def carry(within: Within, region: Array, slash: Path, motion: Motion, gone: Array | None = None) -> Within:
    """What lies inside, after the part in `region` was cut off along `slash` and moved; of the lines shown,
    what lies in the polygon `gone` is left out."""

    def belongs(place: Array) -> Flags:
        held: Flags = inside(region, place[None])[0]
        return held

    return Within(
        tuple(_carried_double(dart, belongs, motion) for dart in within.doubles),
        tuple(np.where(belongs(p), motion.point(p), p) for p in within.drills),
        carried(within.shown, slash, belongs, motion.path, gone),
    )


def _carried_double(dart: DoubleDart, belongs: Callable[[Array], Flags], motion: Motion) -> DoubleDart:
    held = belongs((dart.start + dart.end) / 2.0)
    own = Motion(motion.about, np.where(held, motion.angle, 0.0), np.where(held, motion.by, 0.0))
    sides = tuple(own.path(side) for side in dart.sides)
    return replace(dart, start=own.point(dart.start), end=own.point(dart.end), sides=(sides[0], sides[1]))
