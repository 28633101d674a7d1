"""What is offered in the middle of a line, and what the guide says of each word."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.editor.completing import Offer, offers
from scye.editor.desk import Desk
from scye.editor.guide import use_of
from scye.parse.continuing import opening
from scye.parse.vocabulary import STATEMENTS

RECIPE = """recipe "Two drafts"
use necks

needs bust, waist

choose closing = laced of laced, zipped "how the back closes"
choose yoke = yes
share_of_bust = bust / 4 "a quarter of the bust"

draft front
  begin at top
  plumb middle through top
  mark low from top down 3 in
  line edge from top to low
  panel_line seam[1] on middle
    at edge take 1 in
  draw neck by round_neck
    depth = 3 in

draft back
  begin at nape
  line edge from nape to (nape down 3 in)

piece front_piece "Front"
  bounded by front.edge, middle, seam[1].left
  cut 1 of self

method square_neck
  given corner point
  mark inner from corner down 1 in
"""
METHODS = """method round_neck
  about "A round neckline."
  given depth length "below the side neck point"
  given breadth length = 2 in "half of it"
  gives edge line "the neckline"
"""


def offered(folder: Path, before: str, typed: str) -> list[Offer]:
    """What is offered at the mark `|` in lines that stand behind the line that begins with `before`."""
    lines = RECIPE.split("\n")
    at = next(i for i, line in enumerate(lines) if line.startswith(before)) if before else len(lines) - 2
    text = "\n".join([*lines[: at + 1], typed, *lines[at + 1 :]])
    offset = text.index("|")
    path = folder / "drafts.scye"
    path.with_name("necks.scye").write_text(METHODS, encoding="utf-8")
    desk = Desk(folder)
    desk.put(path, text.replace("|", "", 1))
    source = desk.source(path)
    assert source is not None
    return offers(source, offset, desk.without_line(path, source.position(offset)[0]))


@pytest.mark.parametrize(
    ("before", "typed", "first"),
    [
        ("needs", "needs |", ["bust", "upper_bust"]),
        ("", "use |", ["necks"]),
        ("", "when |", ["closing", "yoke"]),
        ("", "when closing is |", ["laced", "zipped", "not"]),
        ("", "when closing is not |", ["laced", "zipped"]),
        ("", "caution |", ["tight_lacing"]),
        ("", "lim|", ["recipe", "use"]),
        ("", "half = |", ["bust", "waist", "share_of_bust"]),
        # Of two drafts, each thing by the draft's name where both have it.
        ("", "sew |", ["front_piece"]),
        ("", "sew front_piece.|", ["edge", "middle", "seam"]),
        ("", "prove \"x\" length of |", ["middle", "front.edge", "seam", "back.edge"]),
        ("", "prove \"x\" bust = 3 |", ["in", "mm", "cm", "m", "yd", "deg", "%"]),
        ("", "prove \"x\" length |", ["of"]),
        ("", "# when |", []),
        ("", "label \"when |", []),
        ("  begin at top", "  |", ["begin at", "level", "plumb", "mark"]),
        ("  begin at top", "  mark |", []),
        ("  begin at top", "  mark a from |", ["top", "low"]),
        ("  begin at top", "  mark a from top right |", ["bust", "waist", "share_of_bust"]),
        ("  begin at top", "  mark a halfway along |", ["middle", "edge", "seam"]),
        ("  begin at top", "  mark a end of seam[1].|", ["left", "right", "centre"]),
        ("  begin at top", "  line b = neck.|", ["edge"]),
        ("  begin at top", "  draw n by |", ["square_neck", "round_neck"]),
        ("  begin at top", "  draw n by round_neck\n    |", ["depth = ", "breadth = "]),
        ("  begin at top", "  curve c from top to low\n    |", ["leaving", "through", "arriving"]),
        ("  begin at top", "  repeat i from 1 to 2\n    |", ["begin at", "level"]),
        ("  cut 1", "  |", ["bounded by", "cut"]),
        ("  cut 1", "  net on |", ["edge", "middle", "seam[1].left"]),
        ("  cut 1", "  spread edge at top to |", ["edge", "middle", "seam[1].left"]),
        ("  mark inner", "  mark x from |", ["corner", "inner"]),
    ],
)
def test_the_likeliest_first(tmp_path: Path, before: str, typed: str, first: list[str]):
    found = [offer.text for offer in offered(tmp_path, before, typed)]
    assert found[: len(first)] == first
    assert bool(found) == bool(first)


def test_each_with_what_it_is(tmp_path: Path):
    def of(before: str, typed: str) -> dict[str, Offer]:
        return {offer.text: offer for offer in offered(tmp_path, before, typed)}

    measure = of("needs", "needs |")["waist"]
    assert measure.detail == "Waist, 48.0 cm to 160.0 cm"
    assert measure.about.startswith("Round the cord tied at the natural waist")
    choice = of("", "when |")["closing"]
    assert choice.about == "how the back closes\n\nOne of laced, zipped; laced if nothing is said."
    method = of("  begin at top", "  draw n by |")["round_neck"]
    assert (method.detail, method.about) == ("takes depth, breadth", "A round neckline.")
    given = of("  begin at top", "  draw n by round_neck\n    |")
    assert (given["depth = "].detail, given["depth = "].about) == (
        "length, needed",
        "below the side neck point",
    )
    assert given["breadth = "].detail == "length, 2 in if left out"


def test_the_guide_tells_of_every_first_word():
    for context, known in STATEMENTS.items():
        for word, rule in known.items():
            assert use_of(opening(word, rule)), f"{word} {context}"
    assert use_of("left edge takes 60%") == use_of("at waist_line take 1 in")
