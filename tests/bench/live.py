"""A slider dragged on a live draft: from the changed measure or choice to pieces that are ready to be drawn.

While it is held the lines of the pieces are drawn, as the page shows them; when it rests, the whole of them.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from time import perf_counter

import live_page
from measuring import ROOT, Result

from scye.expand.choices import choices_of
from scye.ir import syntax as s
from scye.ir.pattern import PieceLines, lines_of
from scye.ir.people import Body
from scye.live.draft import LiveDraft, with_measures
from scye.project import open_card, standards
from scye.serve.drawing import screen_path
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

    def asked(self, body: Body, steps: int) -> tuple[Body, dict[str, str]]:
        """The body and the choices with the slider some sixteenths of an inch from where it stood."""
        to = Quantity(self.at.value + steps * STEP, UNITS["in"])
        if self.measure:
            return with_measures(body, {self.name: to}), {}
        return body, {self.name: show_quantity(to)}


def run() -> Iterator[Result]:
    """Every slider that reaches a piece, dragged by sixteenths of an inch one after another, and let go."""
    body, _ = open_card(ROOT / "examples" / "cards" / "wren.yaml", standards()[0])
    assert body is not None
    live = LiveDraft(YOKED)
    sliders = [slider for slider in _sliders(live, body) if _reaches(slider, live, body)]
    random.Random(11).shuffle(sliders)
    held: list[float] = []
    whole: list[float] = []
    for slider in [sliders[0], *sliders]:
        for steps in range(1, MOVES + 1):
            asked = slider.asked(body, steps)
            begin = perf_counter()
            lines = live.lines(*asked, {slider.name})
            assert lines is not None
            outlines(lines)
            held.append(perf_counter() - begin)
        begin = perf_counter()
        drawn = live.draw(*asked, None, {slider.name}).pattern
        assert drawn is not None
        outlines(list(map(lines_of, drawn.pieces)))
        whole.append(perf_counter() - begin)
    held, whole = sorted(held[MOVES:]), sorted(whole[1:])
    median, late, rest = held[len(held) // 2], held[int(len(held) * 0.95)], whole[len(whole) // 2]
    yield Result("a slider held, median", median * 1000, "ms", None, 16, {"median": median})
    yield Result("a slider held, 95 of 100", late * 1000, "ms", None, 40, {"95 of 100": late})
    yield Result("the whole once it rests, median", rest * 1000, "ms", None, 40, {"median": rest})
    yield from live_page.run()


def outlines(pieces: Sequence[PieceLines]) -> list[str]:
    """Each piece as a page draws it: its cutting line and its stitch line."""
    return [screen_path(piece.cutting) + screen_path(piece.net) for piece in pieces]


def _sliders(live: LiveDraft, body: Body) -> Iterator[Slider]:
    for reading in body.readings:
        yield Slider(reading.name, reading.written, True)
    assert live.project.program is not None
    for choice in choices_of(live.project.program.recipe.body):
        amount = choice.default
        if isinstance(amount, s.Amount) and amount.quantity.unit is UNITS["in"]:
            yield Slider(choice.name.text, amount.quantity, False)


def _reaches(slider: Slider, live: LiveDraft, body: Body) -> bool:
    """Whether it moves a line, and may be moved as far as it is going to be."""
    far = live.lines(*slider.asked(body, MOVES), {slider.name})
    return far is not None and far != live.lines(body)
