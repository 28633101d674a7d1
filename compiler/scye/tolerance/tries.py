"""Which bodies of a batch stand beside which: each body's trials, and where its neighbours are found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scye.ir import equations as e
from scye.ir.people import Body, Catalogue
from scye.tolerance.bars import Trial, trials_of
from scye.tolerance.steps import Inputs, Names, Steps, steps_of


@dataclass(frozen=True, slots=True)
class Tried:
    """A body of a batch: its place, where its neighbours begin (in the order of its trials), and what of it
    goes by steps."""

    at: int
    first: int
    trials: tuple[Trial, ...]
    steps: Steps

    @property
    def count(self) -> int:
        """How many neighbours it has."""
        return sum(len(trial.offsets) for trial in self.trials)


def tries_of(
    bodies: Sequence[Body], taped: Sequence[Names], catalogue: Catalogue, ordered: e.Ordered, inputs: Inputs
) -> tuple[Tried, ...]:
    """What to try for each body; neighbours come behind all the bodies. `taped` has the measures of each that
    are drafted with."""
    used = tuple(node.op.measure for node in ordered.equations.nodes if isinstance(node.op, e.Taken))
    kept: dict[Names, Steps] = {}
    found: list[Tried] = []
    first = len(bodies)
    for at, (body, names) in enumerate(zip(bodies, taped, strict=True)):
        if names not in kept:
            kept[names] = steps_of(ordered, names, inputs)
        steps = kept[names]
        trials = trials_of(body, catalogue, (name for name in used if name in names), steps.all)
        found.append(Tried(at, first, trials, steps))
        first += found[-1].count
    return tuple(found)
