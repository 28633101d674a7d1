"""The bodies that a recipe is meant for: what is said to one outside, of girths in halves as well."""

from __future__ import annotations

import pytest

from workroom import Workroom

RECIPE = """recipe "Strip"
  edition 1
  meant for waist from 24 in to 40 in, shoulder_length from 4 in to 6 in
needs waist
draft strip
  begin at a
  plumb centre_front through a
  level top through a
  level bottom from top down 2 in
  plumb side_line from centre_front right waist / 4
piece strip_piece "Strip"
  bounded by centre_front, top, side_line, bottom
  cut pair of self
  grain down
  allow 1/2 in on others
"""


@pytest.mark.parametrize(
    ("measures", "said"),
    [
        ("waist: 28", []),
        ("waist: 23", ["the waist is 23 in, less"]),
        # halves add to the whole, and it is the whole that the recipe speaks of
        ("waist: {left: 13 1/2, right: 14 1/2}", []),
        ("waist: {left: 20, right: 21}", ["the waist is 41 in, more"]),
        ("waist: 28\n  shoulder_length: {left: 5, right: 5}", []),
        # a pair that differs has no whole: each side is asked
        ("waist: 28\n  shoulder_length: {left: 5, right: 6 1/2}", ["the shoulder length is 6 1/2 in, more"]),
    ],
)
def test_a_body_outside_is_told_by_its_whole(room: Workroom, measures: str, said: list[str]) -> None:
    card = f"client: heron\nunit: in\ndraft: full\ntimes: 2\nmeasures:\n  {measures}\n"
    (room.folder / "heron.yaml").write_text(card, encoding="utf-8")
    pattern = room.pattern(RECIPE, str(room.folder / "heron"))
    found = [f.text for f in pattern.findings if f.code == "E617"]
    assert [text.split(" than ")[0] for text in found] == said
