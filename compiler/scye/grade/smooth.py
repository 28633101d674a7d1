"""How smoothly the measures of a chart go from size to size. It tells; it changes nothing.

The figure that a size's neighbours suggest is that of a local quadratic: the parabola that lies closest
(least squares) to the two sizes on either side, or near an end of the chart to the four nearest. The sizes
are spaced by the chart's first measure, so that uneven steps of the bust are no fault of the other measures;
the first measure itself is spaced evenly. The figure looked at has no say in it, so it can't draw the
parabola to itself. Where several figures are out of line, the one is blamed that leaves the rest most in line
when it is made smooth, and the others are judged again with the smooth figure in its place: so one slip
doesn't put the sizes beside it out of line as well.

A figure may differ from its neighbours' by the measure's tolerance. A parabola run on past the sizes it was
laid through is less sure of itself, so near an end more is allowed, in proportion to the standard error
of the difference (least squares, errors of one size): about twice as much at the very end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scye.diagnostics.grading import MeasureOutOfLine
from scye.grade.trend import spoken
from scye.ir.people import Catalogue, Chart, DisplayUnit, Measure
from scye.units.quantity import Kind
from scye.units.tape import show_difference, show_value

# A parabola and a figure to judge it by want this many sizes.
FEWEST = 5
NEIGHBOURS = 4
# The sum of squared weights of the two neighbours on either side: (1 + 16 + 16 + 1) / 36.
MIDDLE = 34 / 36
# A hair's breadth over what is allowed, so that the last bit never decides.
LEAST_OVER = 1.0 + 1e-9
# Of many figures out of line only the worst are tried, so that a long chart takes no long time.
MOST_TRIED = 8

Figures = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Smoothness:
    """One measure over the sizes that have it, in their order: mm or radians by `tag`.

    `suggested` is what each size's neighbours suggest (NaN where there are too few); `out` are the places
    out of line by more than is allowed.
    """

    measure: Measure
    sizes: tuple[str, ...]
    values: tuple[float, ...]
    suggested: tuple[float, ...]
    out: tuple[int, ...]

    @property
    def tag(self) -> str:
        return "rad" if self.measure.kind is Kind.ANGLE else "mm"

    @property
    def steps(self) -> tuple[float, ...]:
        return tuple(np.diff(self.values).tolist())

    @property
    def second(self) -> tuple[float, ...]:
        """By how much each step differs from the one before."""
        return tuple(np.diff(self.values, 2).tolist())


def smoothness(chart: Chart, catalogue: Catalogue) -> list[Smoothness]:
    """Every measure of a chart, in the order it first comes."""
    known = {measure.name: measure for measure in catalogue.measures}
    rows = [{r.name: r.value for r in body.readings if r.side is None} for body in chart.sizes]
    names = list(dict.fromkeys(name for row in rows for name in row))
    key = next((name for name in names if all(name in row for row in rows)), None)
    found = []
    for name in names:
        held = [i for i, row in enumerate(rows) if name in row]
        at = _spacing([rows[i][name if key is None else key] for i in held], even=key in (None, name))
        values = np.array([rows[i][name] for i in held])
        found.append(_judged(known[name], tuple(chart.sizes[i].code for i in held), values, at))
    return found


def _spacing(figures: Sequence[float], even: bool) -> Figures:
    """Sizes by these figures, if they go one way throughout; else evenly."""
    at = np.array(figures, dtype=float)
    one_way = (np.diff(at) > 0).all() or (np.diff(at) < 0).all()
    return np.arange(len(at), dtype=float) if even or not one_way else at


def _judged(measure: Measure, sizes: tuple[str, ...], values: Figures, at: Figures) -> Smoothness:
    if len(values) < FEWEST:
        return Smoothness(measure, sizes, tuple(values.tolist()), (math.nan,) * len(values), ())
    fit = fitted(at)
    allowed = measure.tolerance * allowances(fit)
    kept = values.copy()
    out: list[int] = []
    while (worst := _to_blame(fit, kept, values, allowed, out)) is not None:
        out.append(worst)
        kept[worst] = fit.suggestions(kept)[worst]
    suggested = fit.suggestions(kept)
    return Smoothness(measure, sizes, tuple(values.tolist()), tuple(suggested.tolist()), tuple(sorted(out)))


def _to_blame(fit: Fit, kept: Figures, values: Figures, allowed: Figures, out: Sequence[int]) -> int | None:
    """The figure, of those out of line, that leaves the rest most in line when it is made smooth."""
    away = np.abs(values - fit.suggestions(kept)) / allowed
    away[out] = 0.0
    candidates = [int(i) for i in np.argsort(-away, kind="stable")[:MOST_TRIED] if away[i] > LEAST_OVER]
    return min(candidates, key=lambda i: _left_over(fit, kept, allowed, i), default=None)


def _left_over(fit: Fit, kept: Figures, allowed: Figures, i: int) -> float:
    """How far all figures are out of line (squares) once figure `i` is made smooth."""
    tried = kept.copy()
    tried[i] = fit.suggestions(kept)[i]
    return float((((tried - fit.suggestions(tried)) / allowed) ** 2).sum())


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """For each size its neighbours and what each of them has to say in the figure suggested, both (n, 4)."""

    neighbours: NDArray[np.int_]
    weights: Figures

    def suggestions(self, values: Figures) -> Figures:
        suggested: Figures = (self.weights * values[self.neighbours]).sum(axis=1)
        return suggested


def fitted(at: Figures) -> Fit:
    """The parabolas through sizes that lie at these places."""
    neighbours = np.array([_neighbours(len(at), i) for i in range(len(at))])
    weights = np.empty(neighbours.shape)
    for i, others in enumerate(neighbours):
        x = (at[others] - at[i]) / np.ptp(at[others])
        weights[i] = np.linalg.pinv(np.stack([np.ones(len(x)), x, x * x], axis=1))[0]
    return Fit(neighbours, weights)


def allowances(fit: Fit) -> Figures:
    """By how much the tolerance is widened for each size: 1 in the middle of evenly spaced sizes."""
    widened: Figures = np.maximum(1.0, np.sqrt((1.0 + (fit.weights**2).sum(axis=1)) / (1.0 + MIDDLE)))
    return widened


def _neighbours(count: int, i: int) -> list[int]:
    """Two to either side; near an end the missing ones from the other side."""
    first = min(max(i - NEIGHBOURS // 2, 0), count - NEIGHBOURS - 1)
    return [k for k in range(first, first + NEIGHBOURS + 1) if k != i]


def remarks(row: Smoothness, unit: DisplayUnit) -> list[MeasureOutOfLine]:
    """A remark for each figure that is out of line."""
    name = spoken(row.measure.name)
    return [
        MeasureOutOfLine(
            span=None, size=row.sizes[i], measure=name, value=show_value(row.values[i], row.tag, unit),
            by=_difference(abs(row.values[i] - row.suggested[i]), row, unit),
            over=row.values[i] > row.suggested[i], smooth=show_value(row.suggested[i], row.tag, unit),
        )
        for i in row.out
    ]  # fmt: skip


def _difference(amount: float, row: Smoothness, unit: DisplayUnit) -> str:
    return show_difference(amount, unit) if row.tag == "mm" else show_value(amount, row.tag, unit)


# --- in print --------------------------------------------------------------------------------------

# Sizes to a block of lines, so that a line stays short enough to read.
ACROSS = 10
CELL = 9
HEAD = 16


def lines_of(row: Smoothness, unit: DisplayUnit) -> list[str]:
    """One measure: its figures, the steps between them, how these change, and what would be smooth."""
    tolerance = _difference(row.measure.tolerance, row, unit)
    lines = [f"{spoken(row.measure.name)} (readings agree within {tolerance})"]
    for first in range(0, len(row.sizes), ACROSS):
        lines += _block(row, unit, slice(first, first + ACROSS))
    return lines


def _block(row: Smoothness, unit: DisplayUnit, part: slice) -> list[str]:
    def shown(values: Sequence[float], signed: bool) -> list[str]:
        return [_cell(value, row, unit, signed) for value in values]

    smooth = [
        f"{cell}{'!' if i in row.out else ''}" for i, cell in enumerate(shown(row.suggested, signed=False))
    ]
    table = [
        ("size", list(row.sizes)),
        ("figure", shown(row.values, signed=False)),
        ("step", ["", *shown(row.steps, signed=True)]),
        ("change of step", ["", "", *shown(row.second, signed=True)]),
        ("neighbours say", smooth),
    ]
    return [f"  {head:<{HEAD}}" + "".join(f"{cell:>{CELL}}" for cell in cells[part]) for head, cells in table]


def _cell(value: float, row: Smoothness, unit: DisplayUnit, signed: bool) -> str:
    text = show_value(value, row.tag, unit).removesuffix(f" {unit}")
    plus = signed and value > 0 and text.strip("0.") != ""
    return f"+{text}" if plus else text
