"""A slider moved on a live draft: from the changed measure or choice to pieces that are ready to be drawn."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from time import perf_counter

import live_page
from measuring import ROOT, Result

from scye.expand.choices import choices_of
from scye.ir import syntax as s
from scye.ir.pattern import Pattern
from scye.ir.people import Body
from scye.live.draft import Drawn, LiveDraft, with_measures
from scye.project import open_card, standards
from scye.render.svg import path_data
from scye.units.quantity import UNITS, Quantity
from scye.units.tape import show_quantity

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
MOVES = 12  # of each slider
STEP = Fraction(1, 16)  # in


@dataclass(frozen=True, slots=True)
class Slider:
    """A measure of the body, or a choice of the recipe that is a length, with where it stands."""

    name: str
    at: Quantity
    measure: bool

    def moved(self, live: LiveDraft, body: Body, steps: int) -> Drawn:
        unit = UNITS["in"]
        to = Quantity(self.at.value + steps * STEP, unit)
        if self.measure:
            return live.draw(with_measures(body, {self.name: to}))
        return live.draw(body, {self.name: show_quantity(to)})


def run() -> Iterator[Result]:
    """Every slider that reaches a piece, moved by sixteenths of an inch in a mixed order."""
    body, _ = open_card(ROOT / "examples" / "cards" / "wren.yaml", standards()[0])
    assert body is not None
    live = LiveDraft(YOKED)
    sliders = [slider for slider in _sliders(live, body) if _reaches(slider, live, body)]
    turns = [slider for slider in sliders for _ in range(MOVES)]
    random.Random(11).shuffle(turns)
    taken: list[float] = []
    for number, slider in enumerate([*turns[: len(sliders)], *turns]):
        begin = perf_counter()
        drawn = slider.moved(live, body, 1 + number % 5)
        ready = outlines(drawn.pattern)
        taken.append(perf_counter() - begin)
        assert ready
    taken = sorted(taken[len(sliders) :])
    median, late = taken[len(taken) // 2], taken[int(len(taken) * 0.95)]
    yield Result("a slider moved, median", median * 1000, "ms", None, 16, {"median": median})
    yield Result("a slider moved, 95 of 100", late * 1000, "ms", None, 40, {"95 of 100": late})
    yield from live_page.run()


def outlines(pattern: Pattern | None) -> list[str]:
    """Each piece as a page draws it: its cutting line and its stitch line."""
    assert pattern is not None
    return [path_data(piece.cutting) + path_data(piece.net) for piece in pattern.pieces]


def _sliders(live: LiveDraft, body: Body) -> Iterator[Slider]:
    for reading in body.readings:
        yield Slider(reading.name, reading.written, True)
    assert live.project.program is not None
    for choice in choices_of(live.project.program.recipe.body):
        amount = choice.default
        if isinstance(amount, s.Amount) and amount.quantity.unit is UNITS["in"]:
            yield Slider(choice.name.text, amount.quantity, False)


def _reaches(slider: Slider, live: LiveDraft, body: Body) -> bool:
    live.draw(body)
    return bool(slider.moved(live, body, 1).redrawn)
