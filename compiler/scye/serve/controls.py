"""The fields and sliders of the page: the measures that a draft takes, and the recipe's choices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Literal

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.serving import MeasureRefused
from scye.drafting import Compiled
from scye.expand.choices import choices_of
from scye.ir import equations as e
from scye.ir import syntax as s
from scye.ir.choices import Settled
from scye.ir.people import Body, Catalogue, DisplayUnit, Measure, Reading
from scye.ir.program import Program
from scye.units.names import plain_name
from scye.units.quantity import DEGREE, Kind, Quantity
from scye.units.tape import parse_quantity, unit_of

Data = dict[str, object]
TAGS = {Kind.LENGTH: "mm", Kind.ANGLE: "rad", Kind.PERCENT: "share", Kind.NUMBER: ""}

SIDES: Mapping[str, Literal["left", "right"] | None] = {"": None, "left": "left", "right": "right"}

# The longest measure that a body could have (mm), and the widest angle (radians).
LONGEST = {Kind.LENGTH: 5000.0, Kind.ANGLE: 3.2}


# --- measures -----------------------------------------------------------------------------------


def measure_controls(compiled: Compiled, catalogue: Catalogue, body: Body) -> Iterator[Data]:
    """A control for each measure that the draft takes, in the recipe's order; one a side where both were
    taken. Amounts in mm or radians; `value` is the card's, None where it has none."""
    known = {measure.name: measure for measure in catalogue.measures}
    told: set[str] = set()
    for node in compiled.runnable.ordered.equations.nodes:
        if isinstance(node.op, e.Taken) and node.op.measure not in told:
            told.add(node.op.measure)
            measure, taken = known[node.op.measure], [r for r in body.readings if r.name == node.op.measure]
            for reading in taken or (None,):
                yield _measure(measure, node, reading)


def _measure(measure: Measure, node: e.Node, reading: Reading | None) -> Data:
    assert isinstance(node.op, e.Taken)
    ruled = node.op.otherwise is not None
    side = reading.side if reading is not None else None
    return {
        "name": measure.name + (f" {side}" if side else ""),
        "title": measure.title + (f", {side}" if side else ""),
        "sentence": measure.where,
        "tag": TAGS[measure.kind],
        "low": measure.low,
        "high": measure.high,
        "value": reading.value if reading is not None else None,
        "rule": " ".join(node.expr.span.text.split()) if ruled and node.expr is not None else "",
        "ruled": ruled,
        "line": node.span.line,
    }


def dressed(
    body: Body, measures: Mapping[str, str], catalogue: Catalogue, unit: DisplayUnit
) -> Body | Diagnostic:
    """The body with the page's measures over its own; a measure without a text is taken off the card."""
    kinds = {measure.name: measure.kind for measure in catalogue.measures}
    readings = {_key(r): r for r in body.readings}
    for key, text in measures.items():
        name, _, side = key.partition(" ")
        if name not in kinds or side not in SIDES:
            continue
        if not text:
            readings.pop(key, None)
            continue
        written = _with_unit(text, kinds[name], unit)
        if written is None:
            title = next(m.title for m in catalogue.measures if m.name == name)
            return MeasureRefused(span=None, measure=title, text=text, unit=unit)
        old = readings.get(key)
        span, times = (old.span, old.times) if old is not None else (body.span, None)
        readings[key] = Reading(name, written.inside, written, span, times, SIDES[side])
    return replace(body, readings=tuple(readings.values()))


def _key(reading: Reading) -> str:
    return f"{reading.name} {reading.side}" if reading.side else reading.name


def _with_unit(text: str, kind: Kind, unit: DisplayUnit) -> Quantity | None:
    """An amount of a body; what has no unit is in the page's own."""
    amount = parse_quantity(text)
    if amount is not None and amount.unit is None:
        amount = Quantity(amount.value, DEGREE if kind is Kind.ANGLE else unit_of(unit))
    if amount is None or amount.kind is not kind or not 0 < amount.inside <= LONGEST[kind]:
        return None
    return amount


# --- choices ------------------------------------------------------------------------------------


def choice_controls(program: Program, settled: Settled) -> Iterator[Data]:
    """A control for each choice, in the recipe's order, with what it is settled at."""
    values = {**dict(settled.structure), **dict(settled.amounts)}
    for choice in choices_of(program.recipe.body):
        yield _choice(choice, values[choice.name.text])


def _choice(choice: s.Choose, value: str | bool | float) -> Data:
    name = choice.name.text
    control: Data = {
        "name": name,
        "title": plain_name(name).capitalize(),
        "sentence": choice.sentence.value if choice.sentence is not None else "",
        "line": choice.span.line,
        "value": value,
    }
    if choice.words:
        return control | {"tag": "words", "words": [word.text for word in choice.words]}
    if isinstance(choice.default, str):
        return control | {"tag": "yes"}
    return control | {"tag": _tag(choice.default), "low": _bound(choice.low), "high": _bound(choice.high)}


def _bound(expr: s.Expr | None) -> float | None:
    return expr.quantity.inside if isinstance(expr, s.Amount) else None


def _tag(default: s.Expr) -> str:
    if not isinstance(default, s.Amount):
        return ""
    whole = default.quantity.unit is None and default.quantity.value.denominator == 1
    return "count" if whole else TAGS[default.quantity.kind]


def choice_texts(choices: Mapping[str, str], program: Program, unit: DisplayUnit) -> dict[str, str]:
    """The page's choices as they would be on a card: lengths without a unit are in the page's own."""
    offered = {choice.name.text: choice for choice in choices_of(program.recipe.body)}
    said = ((name, text) for name, text in choices.items() if name in offered)
    return {name: _as_set(offered[name], text, unit) for name, text in said}


def _as_set(choice: s.Choose, text: str, unit: DisplayUnit) -> str:
    amount = parse_quantity(text)
    if amount is None or amount.unit is not None or not isinstance(choice.default, s.Amount):
        return text
    suffix = {Kind.LENGTH: unit, Kind.ANGLE: "deg", Kind.PERCENT: "%"}.get(choice.default.quantity.kind, "")
    return f"{text} {suffix}".strip()
