"""The `measures` of a card or of one size of a chart, as readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from scye.diagnostics.cards import BadCount, NoSuchMeasure, OneSideOnly, WrittenTwice
from scye.diagnostics.model import Label
from scye.diagnostics.suggest import nearest
from scye.ir.people import Catalogue, DisplayUnit, Measure, Reading
from scye.read.amounts import check_usual, read_amount
from scye.read.fields import Found, as_text, only
from scye.read.yaml_reader import Node, Row, Table, Text, clip
from scye.units.quantity import MM, Quantity

Side = Literal["left", "right"]
_PARTS = ("value", "left", "right", "times")
_MOST_TIMES = 20


@dataclass(frozen=True, slots=True)
class Setting:
    """What holds for every measure of one card or size."""

    catalogue: Catalogue
    unit: DisplayUnit | None
    times: int | None


def index_of(catalogue: Catalogue) -> dict[str, Measure]:
    """Every name a measure goes by, to the measure."""
    names = {m.name: m for m in catalogue.measures}
    return {also: m for m in catalogue.measures for also in m.also} | names


def is_halved(catalogue: Catalogue, name: str) -> bool:
    """Whether left and right of this measure are its two halves, which add to the whole."""
    return any(c.left == (name,) and c.right == (f"{name}.left", f"{name}.right") for c in catalogue.checks)


def read_readings(table: Table, setting: Setting, found: Found) -> tuple[Reading, ...]:
    """Every measure that can be read, in the order of the file; the whole of a measure before its sides."""
    index = index_of(setting.catalogue)
    seen: dict[str, Text] = {}
    readings: list[Reading] = []
    for key, node in table.entries:
        measure = index.get(key.text)
        if measure is None:
            near = nearest(key.text, index)
            found.append(NoSuchMeasure(span=key.span, name=clip(key.text), near=near))
        elif measure.name in seen:
            first = seen[measure.name]
            label = (Label(first.span, "first here"),)
            found.append(WrittenTwice(span=key.span, labels=label, name=key.text, same_as=first.text))
        else:
            seen[measure.name] = key
            readings.extend(_read_measure(node, measure, setting, found))
    return tuple(readings)


def read_times(node: Node | None, found: Found) -> int | None:
    """How often a measure was taken, or None if it isn't said (or can't be read, which is reported)."""
    text = as_text(node, "`times`", found) if node is not None else None
    if text is None:
        return None
    if text.text.isascii() and text.text.isdigit() and len(text.text) <= 2:
        times = int(text.text)
        if 1 <= times <= _MOST_TIMES:
            return times
    found.append(BadCount(span=text.span, written=clip(text.text)))
    return None


def _read_measure(node: Node, measure: Measure, setting: Setting, found: Found) -> list[Reading]:
    match node:
        case Table():
            return _read_parts(node, measure, setting, found)
        case Text() | Row():
            reading = _read_one(node, measure, setting, None, setting.times, found)
            return [reading] if reading else []


def _read_one(
    node: Node, measure: Measure, setting: Setting, side: Side | None, times: int | None, found: Found
) -> Reading | None:
    text = as_text(node, measure.title, found)
    amount = read_amount(text, measure, setting.unit, found) if text else None
    if text is None or amount is None:
        return None
    half = side is not None and is_halved(setting.catalogue, measure.name)
    if setting.unit is not None and not half:
        check_usual(text, measure, amount, setting.unit, found)
    return Reading(measure.name, amount.inside, amount, text.span, times, side)


def _read_parts(table: Table, measure: Measure, setting: Setting, found: Found) -> list[Reading]:
    """A measure written out: `{value: 28, times: 3}` or `{left: 14 3/4, right: 15 1/4}`."""
    only(table, _PARTS, f"under {measure.title.lower()}", found)
    times = read_times(table.get("times"), found) or setting.times
    sides = _sides(table, measure, setting, times, found)
    node = table.get("value")
    if node is not None:
        whole = _read_one(node, measure, setting, None, times, found)
    elif len(sides) == 2:
        whole = _whole_of(sides[0], sides[1], measure, setting, table, found)
    else:
        whole = None
        if table.get("left") is None and table.get("right") is None:
            as_text(Text("", table.span), measure.title, found)
    return [whole, *sides] if whole else sides


def _sides(
    table: Table, measure: Measure, setting: Setting, times: int | None, found: Found
) -> list[Reading]:
    left, right = table.get("left"), table.get("right")
    if left is not None and right is not None:
        pair = (
            _read_one(left, measure, setting, "left", times, found),
            _read_one(right, measure, setting, "right", times, found),
        )
        return [side for side in pair if side]
    if left is not None or right is not None:
        given, other = ("left", "right") if left is not None else ("right", "left")
        found.append(OneSideOnly(span=table.span, name=measure.title, side=given, other=other))
    return []


def _whole_of(
    left: Reading, right: Reading, measure: Measure, setting: Setting, table: Table, found: Found
) -> Reading | None:
    """Halves add to the whole; of a pair there is a common value only if both sides are alike.

    Nothing is averaged: a pair that differs has no whole until the card says `value`.
    """
    if is_halved(setting.catalogue, measure.name):
        written = _sum(left.written, right.written)
        span = left.span.to(right.span)
        if setting.unit is not None:
            check_usual(Text("", span), measure, written, setting.unit, found)
        return Reading(measure.name, written.inside, written, span, left.times)
    if left.value == right.value:
        return Reading(measure.name, left.value, left.written, table.span, left.times)
    return None


def _sum(a: Quantity, b: Quantity) -> Quantity:
    """The sum in the common unit, or in mm where the two are written in different ones."""
    if a.unit == b.unit:
        return Quantity(a.value + b.value, a.unit)
    sizes = [q.unit.exact * q.value for q in (a, b) if q.unit is not None and q.unit.exact is not None]
    return Quantity(sum(sizes, start=a.value * 0), MM)
