"""Error bars carried to every figure of one body's pattern.

Slopes are central differences of the whole compiler, (f(x + h) - f(x - h)) / 2h, whose error falls with the
square of h. Errors of separate measures are taken to be independent, so that what they do to a figure is
combined as the root of the sum of squares (the law of propagation of uncertainty: JCGM 100:2008, 5.1.2). Two
measures read by one slip of one hand are not independent; then the figure may be out by more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from scye.geometry.vector import Array
from scye.ir.people import DisplayUnit
from scye.ir.sureness import Doubt, HowSure, Part, PieceDoubt
from scye.tolerance.bars import Trial
from scye.tolerance.figures import Figures
from scye.tolerance.tries import Tried
from scye.tolerance.words import doubt_words, piece_words

NOTHING = 1e-7  # mm, radians: a figure that moves by less does not move
LEAST_SHARE = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """What each trial (T) does to each figure (K): `slopes` (K, T), `moves` (K, T) and `stepped` (K, T)."""

    slopes: Array
    moves: Array
    stepped: Array


def how_sure(figures: Figures, tried: Tried, unit: DisplayUnit) -> HowSure:
    """How sure the pattern of one body is. `unit` is the maker's."""
    trials = tried.trials
    carried = carry(figures, tried)
    doubts = tuple(_doubts(figures, carried, trials, unit))
    bars = tuple(trial.bar for trial in trials)
    return HowSure(bars, doubts, tuple(_pieces(figures, carried, trials)))


def carry(figures: Figures, tried: Tried) -> Carried:
    trials, first = tried.trials, tried.first
    count = len(figures.rows)
    slopes, moves = np.zeros((count, len(trials))), np.zeros((count, len(trials)))
    stepped = np.zeros((count, len(trials)), dtype=bool)
    stepping = [tried.steps.of(row.made_of) for row in figures.rows]
    here = figures.values[:, tried.at]
    for t, trial in enumerate(trials):
        there = figures.values[:, first : first + len(trial.offsets)]
        first += len(trial.offsets)
        slopes[:, t] = _slope(here, there, trial.step)
        moves[:, t] = np.abs(slopes[:, t]) * trial.bar.bar
        if len(trial.offsets) > 2:
            stepped[:, t] = [trial.bar.measure in names for names in stepping]
            most = np.abs(there[:, 2:] - here[:, None]).max(axis=1)
            moves[:, t] = np.where(stepped[:, t], most, moves[:, t])
    return Carried(slopes, moves, stepped)


def _slope(here: Array, there: Array, step: float) -> Array:
    """The central difference; one-sided where the draft goes no further on the other side."""
    more, less = there[:, 0], there[:, 1]
    one_sided = np.where(np.isfinite(more), more - here, here - less) / step
    return np.where(np.isfinite(more + less), (more - less) / (2.0 * step), one_sided)


def _doubts(
    figures: Figures, carried: Carried, trials: Sequence[Trial], unit: DisplayUnit
) -> Iterator[Doubt]:
    bars = {trial.bar.measure: trial.bar for trial in trials}
    outs = np.sqrt((carried.moves**2).sum(axis=1))
    for k, figure in enumerate(figures.rows):
        parts = tuple(_parts(carried, k, trials))
        if figure.what != "edge" and parts:
            doubt = Doubt(figure.what, figure.name, figure.unit, float(outs[k]), parts)
            yield doubt.saying(doubt_words(doubt, bars, unit))


def _parts(carried: Carried, k: int, trials: Sequence[Trial]) -> Iterator[Part]:
    for t in np.argsort(-carried.moves[k], kind="stable"):
        moves, stepped = float(carried.moves[k, t]), bool(carried.stepped[k, t])
        if moves > NOTHING or stepped:
            yield Part(trials[t].bar.measure, float(carried.slopes[k, t]), moves, stepped)


def _pieces(figures: Figures, carried: Carried, trials: Sequence[Trial]) -> Iterator[PieceDoubt]:
    """The share of each measure in the variance of all the edges of a piece."""
    edges = [(figure.owner, k) for k, figure in enumerate(figures.rows) if figure.what == "edge"]
    for (name, title), group in groupby(edges, key=lambda edge: edge[0]):
        variance = np.nansum(carried.moves[[k for _, k in group]] ** 2, axis=0)
        total = float(variance.sum())
        if total > NOTHING**2:
            order = np.argsort(-variance, kind="stable")
            shares = tuple((trials[t].bar.measure, float(variance[t]) / total) for t in order)
            kept = tuple(s for s in shares if s[1] >= LEAST_SHARE)
            titles = {trial.bar.measure: trial.bar.title for trial in trials}
            yield PieceDoubt(name, title, kept, piece_words(kept, titles))
