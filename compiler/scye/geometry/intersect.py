"""Where two lines meet, for all kinds of lines. mm; the last axis is bodies."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from scye.geometry import alone
from scye.geometry.abreast import bodies_of, by_make, own, side_by_side
from scye.geometry.crossings import paths_meet, uneven_paths_meet
from scye.geometry.implicit import Level, Round, path_meets
from scye.geometry.meets import END_REACH, PARALLEL, TOUCHING, Meets, exchanged, in_order
from scye.geometry.memory import again_and_again, one_by_one
from scye.geometry.path import Circle, Guide, Line, Path
from scye.geometry.vector import Array, angle_of, cross, dot, norm, quarter_turn, quiet

FEW = 48  # bodies up to which the calls cost more than the figures

__all__ = ["Meets", "meet", "meet_all"]


def meet(a: Line, b: Line, *, reach: float = END_REACH) -> Meets:
    """Every place where two lines meet, in order along `a`.

    An end of a drawn line that comes within `reach` mm of the other line meets it there. Meetings within
    0.02 mm of each other are one. Lines that lie along each other do not meet there: parallel guides, a
    straight on a guide, or a shared stretch count nothing. Bodies with NaN anywhere in a line have none.
    """
    with quiet(all="ignore"):
        match a, b:
            case Guide(), Guide():
                return _guides(a, b)
            case Guide(), Circle():
                return _guide_and_circle(a, b)
            case Circle(), Guide():
                return exchanged(_guide_and_circle(b, a))
            case Circle(), Circle():
                return _circles(a, b)
            case Path(), Guide():
                return _guided(a, b, reach)
            case Path(), Circle():
                return path_meets(a, Round(b), reach)
            case Guide(), Path():
                return exchanged(_guided(b, a, reach))
            case Circle(), Path():
                return exchanged(path_meets(b, Round(a), reach))
            case Path(), Path():
                return paths_meet(a, b, reach)
    raise AssertionError("every pair of kinds is named above")


@one_by_one
def meet_all(pairs: Sequence[tuple[Line, Line]]) -> list[Meets]:
    """`meet` of each pair. Pairs of one make are worked at once, side by side as if they were more bodies.

    All lines are for the same bodies. `u`, `v` and `point` may have more rows of NaN than `meet` gives.
    """
    found = _of_few_bodies(pairs)
    rest = [number for number in range(len(pairs)) if number not in found]
    for chosen in by_make([pairs[number][0] for number in rest], [pairs[number][1] for number in rest]):
        numbers = [rest[k] for k in chosen]
        n = max(bodies_of(*pairs[number]) for number in numbers)
        one, two = (side_by_side([pairs[number][k] for number in numbers], n) for k in range(2))
        meets = meet(one, two)
        for k, number in enumerate(numbers):
            its = own(k, n)
            found[number] = Meets(meets.count[its], meets.u[:, its], meets.v[:, its], meets.point[:, :, its])
    return [found[number] for number in range(len(pairs))]


def _of_few_bodies(pairs: Sequence[tuple[Line, Line]]) -> dict[int, Meets]:
    """For few bodies: the meetings of all paths with paths, whatever their make, and for one those of paths
    with guides where that is sooner. For many bodies the time goes into the figures and not into the calls,
    and lines that are not alike are better worked apart."""
    n = bodies_of(*(line for pair in pairs for line in pair))
    if n > FEW:
        return {}
    found: dict[int, Meets] = {}
    rows: list[tuple[int, tuple[Path, Path]]] = []
    for number, pair in enumerate(pairs):
        match pair:
            case Path() as one, Path() as two:
                rows.append((number, (one, two)))
            case (Path(), Guide()) | (Guide(), Path()) if n == 1 and again_and_again():
                found[number] = meet(*pair)
    if not rows:
        return found
    with quiet(all="ignore"):
        meets = uneven_paths_meet([pair for _, pair in rows], n, END_REACH)
    for k, (number, _) in enumerate(rows):
        its = own(k, n)
        found[number] = Meets(meets.count[its], meets.u[:, its], meets.v[:, its], meets.point[:, :, its])
    return found


def _guided(path: Path, guide: Guide, reach: float) -> Meets:
    if bodies_of(path, guide) == 1 and again_and_again():
        return alone.guide_meets(path.ctrl, guide.point, guide.direction, reach)
    return path_meets(path, Level(guide), reach)


def _guides(a: Guide, b: Guide) -> Meets:
    lean = cross(a.direction, b.direction)
    gap = b.point - a.point
    apart = np.where(np.abs(lean) > PARALLEL, lean, np.nan)
    u, v = cross(gap, b.direction) / apart, cross(gap, a.direction) / apart
    return in_order(u[None], v[None], (a.point + u * a.direction)[None])


def _guide_and_circle(guide: Guide, circle: Circle) -> Meets:
    to_centre = circle.centre - guide.point
    foot = dot(to_centre, guide.direction)
    half = _half_chord(circle.radius, np.abs(cross(to_centre, guide.direction)))
    u = np.stack((foot - half, foot + half))
    point = guide.point + u[:, None, :] * guide.direction
    return in_order(u, angle_of(point - circle.centre), point)


def _circles(a: Circle, b: Circle) -> Meets:
    between = b.centre - a.centre
    distance = norm(between)
    along = between / distance
    foot = 0.5 * (distance + (a.radius - b.radius) * (a.radius + b.radius) / distance)
    half = _half_chord(a.radius, np.abs(foot))
    offset = np.stack((-half, half))[:, None, :] * quarter_turn(along)
    point = a.centre + foot * along + offset
    return in_order(angle_of(point - a.centre), angle_of(point - b.centre), point)


def _half_chord(radius: Array, away: Array) -> Array:
    """Half the chord at a distance from the centre; 0 where it just touches, NaN where it misses."""
    square = (radius - away) * (radius + away)
    return np.where(away - radius <= TOUCHING, np.sqrt(np.maximum(square, 0.0)), np.nan)
