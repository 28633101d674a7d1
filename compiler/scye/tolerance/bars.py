"""Error bars of one body's measures, and the neighbouring bodies by which they are carried to the pattern.

A neighbour is the same body with one measure a little more or a little less. They are drafted in one batch
with the body itself, so that a slope is that of the whole compiler and costs little.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from scye.ir.people import Body, Catalogue, Measure, Reading
from scye.ir.sureness import ErrorBar
from scye.units.quantity import Kind

# Half the width of a central difference (mm, radians): so narrow that the bend of a figure over it is nothing
# to speak of, so wide that what is left open when an unknown is found (1e-12 of it) is nothing either.
STEP = {Kind.LENGTH: 0.1, Kind.ANGLE: 0.0005}
UNIT = {Kind.LENGTH: "mm", Kind.ANGLE: "rad"}


@dataclass(frozen=True, slots=True)
class Trial:
    """One measure with the offsets (mm or radians) at which it is tried: two for a slope, and the ends of its
    bar where a rounding or a comparison hangs on it."""

    bar: ErrorBar
    step: float
    offsets: tuple[float, ...]


def trials_of(
    body: Body, catalogue: Catalogue, used: Iterable[str], stepping: frozenset[str]
) -> tuple[Trial, ...]:
    """What to try for the measures that a recipe uses and the body has, in the order they are used."""
    measures = {m.name: m for m in catalogue.measures}
    taken = {r.name: r for r in body.readings if r.side is None}
    return tuple(
        _trial(taken[name], measures[name], name in stepping)
        for name in used
        if name in taken and name in measures
    )


def _trial(reading: Reading, measure: Measure, stepping: bool) -> Trial:
    step = STEP[measure.kind]
    bar = ErrorBar(
        measure.name, measure.title, UNIT[measure.kind], measure.error_bar(reading.times), reading.times
    )
    return Trial(bar, step, (step, -step, bar.bar, -bar.bar) if stepping else (step, -step))


def neighbours(body: Body, trials: Iterable[Trial]) -> Iterator[Body]:
    """The body once for every offset of every trial, in order. Both sides of a measure go with its whole."""
    for trial in trials:
        for offset in trial.offsets:
            yield moved(body, trial.bar.measure, offset)


def moved(body: Body, measure: str, offset: float) -> Body:
    readings = tuple(replace(r, value=r.value + offset) if r.name == measure else r for r in body.readings)
    return replace(body, readings=readings)
