"""An edge redrawn: a fair curve through its stretches, with what is sewn or folded away there closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby, pairwise

import numpy as np

from scye.assemble.darts import Item, measured
from scye.assemble.figures import agree
from scye.assemble.parting import Job, Motion, State, begins, ends
from scye.geometry.fair import fair_curve
from scye.geometry.path import (
    Path,
    at_length,
    end,
    end_tangent,
    length,
    locate,
    nearest,
    part,
    start,
    start_tangent,
)
from scye.geometry.vector import Array, angle_between, norm
from scye.ir.assembly import Mouth, Stretch
from scye.ir.plan import BlendPlan

SHORT = 20.0  # mm, below which a stretch gives the curve its middle alone


def blend(job: Job, plan: BlendPlan, state: State) -> State:
    """The edge as it runs when sewn, redrawn; then its darts and folds are opened again.

    What is gathered or eased stays as it is drawn: the edge is redrawn on either side of it.
    """
    number = job.names().index(plan.edge)
    items = list(state.items)
    own = [i for i, item in enumerate(items) if item.edge == number]
    for gathered, run in groupby(own, lambda i: _gathered(items[i])):
        places = list(run)
        if not gathered and sum(isinstance(items[i], Stretch) for i in places) > 1:
            redrawn = _redrawn(job, [items[i] for i in places])
            for i, item in zip(places, redrawn, strict=True):
                items[i] = item
    return replace(state, items=tuple(items))


def _gathered(item: Item) -> bool:
    return isinstance(item, Mouth) and item.kind in ("gathers", "ease")


def _redrawn(job: Job, run: Sequence[Item]) -> list[Item]:
    closed, motions = _closed(run)
    paths = [item.path for item in closed if isinstance(item, Stretch)]
    fresh = iter(_parted(_curve(job, paths), paths))
    back: list[Item] = []
    for item, done in zip(closed, motions, strict=True):
        if isinstance(item, Stretch):
            item = replace(item, path=next(fresh))
        for motion in reversed(done):
            item = Motion(motion.about, -motion.angle, 0.0 * motion.by).item(_shifted(item, -motion.by))
        back.append(item)
    return _reopened(back)


def _shifted(item: Item, by: Array) -> Item:
    return Motion(by, np.zeros(by.shape[-1]), by).item(item)


def _closed(run: Sequence[Item]) -> tuple[list[Item], list[list[Motion]]]:
    """The run with every mouth closed, and the motions that each of its items went through."""
    items: list[Item] = []
    motions: list[list[Motion]] = []
    done: list[Motion] = []
    for item in run:
        for motion in done:
            item = motion.item(item)
        items.append(item)
        motions.append(list(done))
        if isinstance(item, Mouth):
            done.append(_closing(item))
    return items, motions


def _closing(mouth: Mouth) -> Motion:
    """What brings a mouth's end on to its start: a turn about a dart's pivot, a shift for a fold."""
    if mouth.kind == "pleat" or (mouth.kind == "tuck" and not mouth.angle.any()):
        return Motion(mouth.start, np.zeros(mouth.start.shape[-1]), mouth.start - mouth.end)
    angle = angle_between(mouth.end - mouth.pivot, mouth.start - mouth.pivot)
    return Motion(mouth.pivot, angle, np.zeros_like(mouth.pivot))


def _curve(job: Job, paths: Sequence[Path]) -> Path:
    """A fair curve from the first place to the last, through places of every path, its ends as they run."""
    points = [start(paths[0])]
    for path in paths:
        whole = length(path)
        if not agree(whole > 1.0, job.outline.drawn & np.isfinite(whole)):
            continue
        long = agree(whole > SHORT, job.outline.drawn & np.isfinite(whole))
        for share in (0.25, 0.5, 0.75) if long else (0.5,):
            points.append(locate(path, at_length(path, whole * share)))
    points.append(end(paths[-1]))
    goings: list[Array | None] = [None] * len(points)
    goings[0], goings[-1] = start_tangent(paths[0]), end_tangent(paths[-1])
    return fair_curve(points, goings)


def _parted(curve: Path, paths: Sequence[Path]) -> list[Path]:
    """A curve cut where it passes the joints of the paths that it stands for."""
    whole = np.full(1, float(len(curve.straight)))
    cuts = [np.zeros(1), *(nearest(curve, end(path))[0] for path in paths[:-1]), whole]
    return [part(curve, low, high) for low, high in pairwise(cuts)]


def _reopened(items: list[Item]) -> list[Item]:
    """Each mouth between the ends of the stretches beside it."""
    for i, item in enumerate(items):
        if isinstance(item, Mouth):
            opened = replace(item, start=ends(items[i - 1]), end=begins(items[i + 1]))
            if item.kind == "dart":
                opened = measured(opened, norm(item.point - item.pivot))
            items[i] = opened
    return items
