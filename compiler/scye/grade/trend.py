"""What moves against the trend of the chart's measures, and what crosses: findings in words."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from scye.diagnostics.grading import (
    LengthAgainstTrend,
    LengthShrinks,
    MeasureTurnsBack,
    NestLinesCross,
    PointTurnsBack,
)
from scye.diagnostics.model import Diagnostic
from scye.ir.grade import Grade, GradeRow
from scye.ir.pattern import Finding
from scye.units.tape import show_difference

# A move of less than 1/32 in (mm) is not to be seen on a tape.
LEAST = 25.4 / 32

WAYS = {"right": ("left", "right"), "down": ("up", "down")}


@dataclass(frozen=True, slots=True)
class Against:
    """A row moves against the trend in all the steps from place `first` to place `last`, by `by` in all."""

    row: GradeRow
    first: int
    last: int
    by: float


def findings_of(grade: Grade, titles: Mapping[str, str]) -> Grade:
    """The grade with all that is to be said of it. `titles` are those of the pieces by their names."""
    return replace(grade, findings=tuple(_as_finding(where, d) for where, d in _told(grade, titles)))


def _as_finding(where: str, said: Diagnostic) -> Finding:
    return Finding(said.code, said.severity, where, said.seen(), said.attempt(), None)


def _told(grade: Grade, titles: Mapping[str, str]) -> Iterator[tuple[str, Diagnostic]]:
    trend = trend_of(grade.measures)
    if any(trend):
        yield from _lengths(grade, trend, titles)
        yield from _points(grade, trend)
        yield from _crossed(grade, titles)
        yield from _measures(grade, trend)


def _crossed(grade: Grade, titles: Mapping[str, str]) -> Iterator[tuple[str, Diagnostic]]:
    for crossing in grade.crossings:
        if not crossing.expected:
            yield (
                crossing.piece,
                NestLinesCross(
                    span=None,
                    what=_piece_words(f"{crossing.piece}.{crossing.edge}", titles),
                    smaller=crossing.smaller,
                    larger=crossing.larger,
                    times=crossing.times,
                    near=spoken(crossing.near),
                ),
            )


def trend_of(measures: Sequence[GradeRow]) -> tuple[int, ...]:
    """Which way the chart goes at each step: 1, -1, or 0 where its first measure stands still."""
    return tuple(_sign(step) for step in measures[0].steps()) if measures else ()


def _sign(move: float) -> int:
    return 0 if not math.isfinite(move) or move == 0.0 else (1 if move > 0 else -1)


def against(row: GradeRow, trend: Sequence[int], way: int) -> Iterator[Against]:
    """Where a row goes the other way than `way` (1 or -1) times the trend, neighbouring steps as one."""
    first: int | None = None
    steps = row.steps()
    for i in range(len(steps) + 1):
        moved = i < len(steps) and steps[i] * trend[i] * way < -LEAST
        if moved and first is None:
            first = i
        elif not moved and first is not None:
            yield Against(row, first, i, abs(row.values[i] - row.values[first]))
            first = None


def _lengths(
    grade: Grade, trend: Sequence[int], titles: Mapping[str, str]
) -> Iterator[tuple[str, Diagnostic]]:
    """Lengths that shrink; those that do so between the same sizes are told as one."""
    groups: dict[tuple[int, int], list[Against]] = {}
    for row in (*grade.seams, *grade.edges, *grade.girths):
        for found in against(row, trend, 1):
            groups.setdefault((found.first, found.last), []).append(found)
    for (first, last), group in groups.items():
        smaller, larger = _ends(grade, trend, first, last)
        kind = LengthShrinks if (first, last) == (0, len(grade.sizes) - 1) else LengthAgainstTrend
        most = max(found.by for found in group)
        yield (
            group[0].row.name,
            kind(
                span=None,
                what=tuple(_each_once(group, titles)),
                smaller=smaller,
                larger=larger,
                most=show_difference(most, grade.unit),
                key=spoken(grade.measures[0].name),
                back=_back(grade, trend, group[0]),
            ),
        )


def _each_once(group: Sequence[Against], titles: Mapping[str, str]) -> Iterator[str]:
    """What shrinks, in words; of a seam only the side named first, since both must walk."""
    letters: set[str] = set()
    for found in group:
        letter, colon, _ = found.row.name.partition(": ")
        if not colon or letter not in letters:
            yield _row_words(found.row, titles)
        letters.add(letter)


def _ends(grade: Grade, trend: Sequence[int], first: int, last: int) -> tuple[str, str]:
    """The sizes at either end of some steps, the smaller first whichever way the chart is written."""
    ends = (grade.sizes[first], grade.sizes[last])
    return ends if trend[first] > 0 else ends[::-1]


def _row_words(row: GradeRow, titles: Mapping[str, str]) -> str:
    """`A: front side` as `seam A (front side)`, `front_piece.neck` as `Front: neck`."""
    letter, colon, side = row.name.partition(": ")
    return f"seam {letter} ({spoken(side)})" if colon else _piece_words(row.name, titles)


def _piece_words(name: str, titles: Mapping[str, str]) -> str:
    piece, dot, edge = name.partition(".")
    return f"{titles.get(piece, spoken(piece))}: {spoken(edge)}" if dot else spoken(piece)


def _points(grade: Grade, trend: Sequence[int]) -> Iterator[tuple[str, Diagnostic]]:
    """Points that turn back, those of one draft that do so together told as one."""
    groups: dict[tuple[str, str, int, int, int], list[Against]] = {}
    for row in grade.points:
        way = _own_way(row, trend)
        for found in against(row, trend, way):
            draft = row.name.partition(".")[0]
            groups.setdefault((draft, row.axis, way, found.first, found.last), []).append(found)
    for (draft, axis, way, first, last), group in groups.items():
        yield draft, _turned(grade, trend, (draft, axis, way), first, last, group)


def _turned(
    grade: Grade, trend: Sequence[int], way: tuple[str, str, int], first: int, last: int, group: list[Against]
) -> Diagnostic:
    draft, axis, sign = way
    names = tuple(spoken(found.row.name.partition(".")[2]) for found in group)
    smaller, larger = _ends(grade, trend, first, last)
    return PointTurnsBack(
        span=None,
        draft=spoken(draft),
        points=names,
        way=WAYS[axis][sign < 0],
        other=WAYS[axis][sign > 0],
        smaller=smaller,
        larger=larger,
        most=show_difference(max(found.by for found in group), grade.unit),
        back=_back(grade, trend, group[0]),
    )


def _own_way(row: GradeRow, trend: Sequence[int]) -> int:
    """Which way a point goes over all the sizes; one that comes back to where it was, as it set out."""
    moves = [step * sign for step, sign in zip(row.steps(), trend, strict=True) if math.isfinite(step)]
    total = math.fsum(moves)
    if abs(total) > LEAST:
        return _sign(total)
    return next((_sign(move) for move in moves if abs(move) > LEAST), 1)


def _back(grade: Grade, trend: Sequence[int], found: Against) -> tuple[str, ...]:
    """The chart's measures that themselves go back somewhere in those steps."""
    return tuple(
        spoken(row.name)
        for row in grade.measures[1:]
        if any(row.steps()[i] * trend[i] < -LEAST for i in range(found.first, found.last))
    )


def _measures(grade: Grade, trend: Sequence[int]) -> Iterator[tuple[str, Diagnostic]]:
    for row in grade.measures[1:]:
        places = tuple(f"{grade.sizes[a.first]} to {grade.sizes[a.last]}" for a in against(row, trend, 1))
        if places:
            name, key = spoken(row.name), spoken(grade.measures[0].name)
            yield row.name, MeasureTurnsBack(span=None, measure=name, places=places, key=key)


def spoken(name: str) -> str:
    """A name as it is said: `seam[1].left` is `seam 1 left`."""
    return re.sub(r"[_.\[]", " ", name).replace("]", "").strip()
