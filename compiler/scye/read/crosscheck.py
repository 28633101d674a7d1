"""Measures of one body against each other. Reads a body and the catalogue's checks; averages nothing.

How far two ways to one figure may lie apart: a measure's tolerance is what two careful readings of it may
differ by, doubled if it was taken once or its card doesn't say how often. The tolerances of a sum add. A
girth and the sum of its arcs are two readings of one thing, so they may differ by the larger of the two
sides' tolerances: 9 mm (3/8 in) for a bust and its two arcs, each taken with care.
"""

from __future__ import annotations

from dataclasses import dataclass

from scye.diagnostics.cards import MeasuresDisagree, OutOfOrder, SidesDiffer
from scye.diagnostics.model import Diagnostic, Label
from scye.ir.people import Body, Catalogue, CrossCheck, DisplayUnit, Measure, Reading
from scye.read.readings import is_halved
from scye.units.quantity import Kind
from scye.units.tape import show_length, show_value

# Neither the front nor the back arc is commonly more than this share of its girth (common practice: a full
# bust puts 2 in or so more in front than behind). Used only to say which reading to look at first.
FULLEST_ARC = 0.56


@dataclass(frozen=True, slots=True)
class _Side:
    """A sum of readings and its length (mm)."""

    readings: tuple[Reading, ...]
    total: float

    def once(self) -> bool:
        """Whether one of them was taken once only."""
        return any(reading.times is None or reading.times < 2 for reading in self.readings)


@dataclass(frozen=True, slots=True)
class _Wider:
    """Of two sums the one that may be farther out, and how far (mm)."""

    side: _Side
    tolerance: float


def cross_check(body: Body, catalogue: Catalogue) -> list[Diagnostic]:
    """Every pair of measures that disagrees, is in an unusual order, or differs left from right.

    `doubts` of a failure names the measures that must not be drafted with; pieces that don't use them can
    go on. Cautions and notes doubt nothing.
    """
    measures = {m.name: m for m in catalogue.measures}
    by_name = {_key(r): r for r in body.readings}
    found: list[Diagnostic] = []
    for check in catalogue.checks:
        left = _side(check.left, by_name)
        right = _side(check.right, by_name) if left else None
        if left and right and not _holds(check, left, right):
            found.extend(_compare(check, left, right, body.unit, measures, catalogue))
    if not body.full:
        found.extend(_differing_sides(by_name, measures, catalogue, body.unit))
    return found


def _key(reading: Reading) -> str:
    return f"{reading.name}.{reading.side}" if reading.side else reading.name


def _side(names: tuple[str, ...], by_name: dict[str, Reading]) -> _Side | None:
    """The sum of these measures, or None if the body lacks one of them."""
    readings = tuple([by_name[name] for name in names if name in by_name])
    return _Side(readings, sum([r.value for r in readings])) if len(readings) == len(names) else None


def _holds(check: CrossCheck, left: _Side, right: _Side) -> bool:
    """Whether two sums are as they should be to the last figure, so that no tolerance is asked for."""
    return left.total == right.total or (check.relation == "<=" and left.total < right.total)


def _tolerance(reading: Reading, measure: Measure, catalogue: Catalogue) -> float:
    half = reading.side is not None and is_halved(catalogue, measure.name)
    return measure.error_bar(reading.times) * (0.5 if half else 1.0)


def _compare(
    check: CrossCheck,
    left: _Side,
    right: _Side,
    unit: DisplayUnit,
    measures: dict[str, Measure],
    catalogue: Catalogue,
) -> list[Diagnostic]:
    allowed = [sum(_tolerance(r, measures[r.name], catalogue) for r in s.readings) for s in (left, right)]
    wider = _Wider(left, allowed[0]) if allowed[0] >= allowed[1] else _Wider(right, allowed[1])
    over = left.total - right.total
    match check.relation:
        case "=" if abs(over) > wider.tolerance and not _reads_alike(abs(over), wider.tolerance, unit):
            return [_disagree(check, left, right, wider, unit)]
        case "<=" if over > wider.tolerance and not _reads_alike(over, wider.tolerance, unit):
            return [_out_of_order(check, left, right, unit, measures)]
        case _:
            return []


def _reads_alike(over: float, allowed: float, unit: DisplayUnit) -> bool:
    """Nobody is told that 3/8 in is more than 3/8 in."""
    return show_length(over, unit) == show_length(allowed, unit)


def _disagree(check: CrossCheck, left: _Side, right: _Side, wider: _Wider, unit: DisplayUnit) -> Diagnostic:
    involved = (*left.readings, *right.readings)
    suspects = _suspects(left, right) if "{part}" in check.attempt else involved
    if check.right[0].endswith(".left"):
        suspects = left.readings
    girth = left.readings[0].name
    parts = _listed([_short(s.name, girth) for s in suspects])
    what = check.text.replace("{left}", show_length(left.total, unit))
    return MeasuresDisagree(
        span=suspects[0].span,
        labels=tuple(Label(r.span, _figure(r, unit)) for r in involved if r.span != suspects[0].span),
        what=what.replace("{right}", show_length(right.total, unit)),
        apart=show_length(abs(left.total - right.total), unit),
        allowed=show_length(wider.tolerance, unit),
        once=wider.side.once(),
        advice=check.attempt.replace("{part}", parts),
        doubts=tuple(dict.fromkeys(s.name for s in suspects)),
        involved=tuple(dict.fromkeys(r.name for r in involved)),
    )


def _suspects(whole: _Side, arcs: _Side) -> tuple[Reading, ...]:
    """The readings of which one, if it alone were wrong, would leave a body such as is commonly met.

    Each is taken to be wrong in turn and put to what the others say. If that explains nothing, or all,
    every reading is in doubt.
    """
    girth = whole.total
    candidates = [
        (whole.readings[0], max(a.value for a in arcs.readings) / arcs.total),
        *((a, _fullest_without(a, girth, arcs)) for a in arcs.readings),
    ]
    likely = tuple(reading for reading, share in candidates if share <= FULLEST_ARC)
    return likely or tuple(reading for reading, _ in candidates)


def _fullest_without(arc: Reading, girth: float, arcs: _Side) -> float:
    """The larger share of the girth if this arc were what the girth leaves for it."""
    others = arcs.total - arc.value
    return max(girth - others, others) / girth


def _listed(names: list[str]) -> str:
    """`back arc`; `bust and the back arc`; `bust, the front arc and the back arc`."""
    return " and the ".join(part for part in (", the ".join(names[:-1]), names[-1]) if part)


def _short(name: str, girth: str) -> str:
    """`bust_back_arc` reads `back arc` beside the bust."""
    return name.removeprefix(f"{girth}_").replace("_", " ")


def _figure(reading: Reading, unit: DisplayUnit) -> str:
    side = f", {reading.side}" if reading.side else ""
    return f"{reading.name.replace('_', ' ')}{side} {show_length(reading.value, unit)}"


def _out_of_order(
    check: CrossCheck, left: _Side, right: _Side, unit: DisplayUnit, measures: dict[str, Measure]
) -> Diagnostic:
    involved = (*left.readings, *right.readings)
    return OutOfOrder(
        span=right.readings[0].span,
        labels=tuple(Label(r.span, _figure(r, unit)) for r in left.readings),
        what=check.text,
        figures=f"{_sum_text(left, unit, measures)}, {_sum_text(right, unit, measures)}",
        advice=check.attempt,
        involved=tuple(dict.fromkeys(r.name for r in involved)),
    )


def _sum_text(side: _Side, unit: DisplayUnit, measures: dict[str, Measure]) -> str:
    names = " + ".join(measures[r.name].title.lower() for r in side.readings)
    return f"{names} {show_length(side.total, unit)}"


def _differing_sides(
    by_name: dict[str, Reading], measures: dict[str, Measure], catalogue: Catalogue, unit: DisplayUnit
) -> list[Diagnostic]:
    found: list[Diagnostic] = []
    for name, measure in measures.items():
        left, right = by_name.get(f"{name}.left"), by_name.get(f"{name}.right")
        if left is None or right is None:
            continue
        apart = abs(left.value - right.value)
        if apart > max(_tolerance(left, measure, catalogue), _tolerance(right, measure, catalogue)):
            found.append(_sides_differ(left, right, measure, unit, whole=name in by_name))
    return found


def _sides_differ(
    left: Reading, right: Reading, measure: Measure, unit: DisplayUnit, *, whole: bool
) -> Diagnostic:
    apart = abs(left.value - right.value)
    return SidesDiffer(
        span=left.span.to(right.span),
        name=measure.title,
        apart=show_value(apart, "rad" if measure.kind is Kind.ANGLE else "mm", unit),
        advice="" if whole else "for a half draft say the `value` to cut both sides with; none is guessed",
    )
