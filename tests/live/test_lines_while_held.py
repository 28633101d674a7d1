"""What is shown of the pieces while a slider is held is, to the bit, of what is drawn when it rests."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from served import CARDS, ROOT

from scye.diagnostics.model import Severity
from scye.ir.pattern import lines_of
from scye.ir.people import Body
from scye.ir.serving import ServeRequest
from scye.live.draft import LiveDraft, with_measures
from scye.project import open_card, standards
from scye.serve.desk import Desk
from scye.serve.seat import Seat
from scye.serve.wishes import Draw
from scye.units.quantity import INCH, Quantity
from workroom import client_for, recipes

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
CATALOGUE = standards()[0]
STEPS = (1, 2, 3, 2, 16)  # sixteenths of an inch from what the card says


def card(code: str) -> Body:
    body, _ = open_card(CARDS / f"{code}.yaml", CATALOGUE)
    assert body is not None
    return body


def moved(body: Body, name: str, steps: int) -> Body:
    inches = Fraction(round(next(r.value for r in body.readings if r.name == name) / 25.4 * 16) + steps, 16)
    return with_measures(body, {name: Quantity(inches, INCH)})


@pytest.mark.parametrize("recipe", recipes(), ids=lambda path: path.stem)
def test_every_recipe_is_shown_in_its_own_lines(recipe: Path):
    """Each of the first few measures is dragged a little; what is remembered of one drag serves the next."""
    body = card(client_for(recipe, "wren"))
    live, apart = LiveDraft(recipe), LiveDraft(recipe)
    shown = 0
    for name in [r.name for r in body.readings if r.value > 0][:3]:
        for steps in STEPS:
            tried = moved(body, name, steps)
            lines, whole = live.lines(tried), apart.draw(tried)
            failed = any(d.severity is Severity.ERROR for d in whole.diagnostics)
            assert (lines is None) == (whole.pattern is None) == failed
            if lines is not None and whole.pattern is not None:
                assert lines == tuple(map(lines_of, whole.pattern.pieces))
                shown += len(lines)
    assert shown


def test_a_body_whose_sides_differ_is_drawn_whole():
    live = LiveDraft(YOKED)
    body = card("whinchat")
    drawn = live.draw(body)
    assert drawn.pattern is not None
    two = any(piece.name.startswith("left_") for piece in drawn.pattern.pieces)
    assert two
    assert live.lines(body) is None


def asked(number: int, waist: str, held: bool) -> Draw:
    return Draw(number, "wren", (("waist", waist),), (), (), "in", held)


def answer(seat: Seat, wish: Draw) -> dict[str, Any]:
    (message,) = [m for m in seat.answer(wish) if m["is"] in ("lines", "drawing", "amiss")]
    return dict(message)


def test_a_page_is_sent_lines_while_held_and_the_rest_when_it_rests():
    seat = Seat(Desk(ServeRequest(YOKED, (CARDS / "wren.yaml",), None, (), (), None)))
    (first,) = [m for m in seat.arrive() if m["is"] == "drawing"]
    held = answer(seat, asked(1, "29 in", True))
    assert held["is"] == "lines"
    moved_pieces = set(held["pieces"])
    assert moved_pieces == {"front_centre", "front_side", "back_panel"}
    rest = answer(seat, asked(2, "29 in", False))
    assert rest["is"] == "drawing"
    assert set(rest["pieces"]) == moved_pieces
    for name, piece in rest["pieces"].items():
        lines = held["pieces"][name]
        assert lines["cut"] == piece["cut"]
        assert lines["edges"] == [edge["d"] for edge in piece["edges"]]
        assert lines["darts"] == [[dart["d"], dart["fold"]] for dart in piece["darts"]]
    # Slid back while held: the page shows lines that the last drawing has not, so it is sent them again.
    back = answer(seat, asked(3, "28 in", True))
    assert back["pieces"]["front_side"]["cut"] == first["pieces"]["front_side"]["cut"]
    assert set(answer(seat, asked(4, "29 in", False))["pieces"]) == moved_pieces


def test_a_mistake_while_held_is_said():
    seat = Seat(Desk(ServeRequest(YOKED, (CARDS / "wren.yaml",), None, (), (), None)))
    list(seat.arrive())
    said = answer(seat, asked(1, "wide", True))
    assert said["is"] == "amiss"
    assert said["findings"]
