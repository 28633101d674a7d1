"""The bodies that a recipe is meant for: the words of it, and what is said to a body outside."""

from __future__ import annotations

from collections.abc import Iterator

from scye.diagnostics.drawing import NotMeantFor
from scye.ir.people import Body, DisplayUnit
from scye.ir.program import Program
from scye.ir.syntax import MeantFor
from scye.units.quantity import Quantity
from scye.units.tape import show_length, show_quantity

HAIR = 1e-6  # mm or radians by which a figure may pass an end of its range unnoticed


def meant_words(program: Program) -> str:
    """`bust 28 in to 50 in, age 4 to 10`; empty where the recipe says nothing of it."""
    return ", ".join(f"{_spoken(meant)} {_range(meant)}" for meant in program.meant_for)


def not_meant_for(program: Program, body: Body) -> Iterator[NotMeantFor]:
    """A caution for each measure of a body that lies outside the range; none for one that was not taken.

    Of one taken left and right it is the whole that is asked, and each side only where there is no whole.
    """
    for meant in program.meant_for:
        low, high = meant.low.quantity.inside, meant.high.quantity.inside
        for value, shown in _taken(body, meant.name.text):
            if not low - HAIR <= value <= high + HAIR:
                over = value > high
                yield NotMeantFor(
                    span=None, measure=_spoken(meant), value=shown, over=over, meant=_range(meant)
                )


def _taken(body: Body, name: str) -> Iterator[tuple[float, str]]:
    """What a card says of a measure or of the age, with its words."""
    if name == "age":
        if body.age is not None:
            yield float(body.age), str(body.age)
        return
    readings = [reading for reading in body.readings if reading.name == name]
    for reading in [whole for whole in readings if whole.side is None] or readings:
        yield reading.value, _shown(reading.written, reading.value, body.unit)


def _shown(written: Quantity, value: float, unit: DisplayUnit) -> str:
    return show_length(value, unit) if written.unit is None else show_quantity(written)


def _spoken(meant: MeantFor) -> str:
    return meant.name.text.replace("_", " ")


def _range(meant: MeantFor) -> str:
    return " to ".join(" ".join(end.span.text.split()) for end in (meant.low, meant.high))
