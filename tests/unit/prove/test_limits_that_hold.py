"""Limits of other things than reduction, in other units, and what can't be limited."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.ir.pattern import Pattern
from workroom import Workroom

RECIPE = """recipe "Panel"
  edition 1
{head}
needs waist
choose drop = 2 in from 0 in to 9 in
{lines}

draft front
  begin at top
  plumb middle through top
  level upper through top
  mark corner from top right waist / 4
  mark foot from top down drop + 1 in
  line across from top to corner
  line centre from top to foot
  line slant from corner to foot

piece panel "Panel"
  bounded by centre, across, slant
  cut 1 of self
  grain down
  net on centre, across, slant
"""


def recipe(*lines: str, head: str = "") -> str:
    return RECIPE.format(head=head, lines="\n".join(lines))


@pytest.fixture
def workroom(tmp_path: Path) -> Workroom:
    return Workroom(tmp_path)


def told(pattern: Pattern) -> list[tuple[str, str]]:
    return [(f.code, f.text) for f in pattern.findings if f.code.startswith("E13")]


def value(pattern: Pattern, name: str) -> float:
    return next(v.value for v in pattern.values if v.name == name)


def test_a_limit_from_below(workroom: Workroom) -> None:
    text = recipe('limit "neck depth" drop at least 3 in caution under 4 in')
    held = workroom.pattern(text, {"waist": "28"})
    assert told(held) == [
        (
            "E1302",
            "Neck depth 2 in is beyond the studio's limit of 3 in. The draft is held at 3 in until you "
            "record who decided, when, and why.",
        )
    ]
    assert value(held, "drop") == pytest.approx(76.2)
    near = workroom.pattern(text, {"waist": "28"}, drop="3.5 in")
    assert told(near) == [("E1303", "Neck depth 3 1/2 in is under 4 in")]


def test_a_named_amount_is_held_as_well(workroom: Workroom) -> None:
    text = recipe("depth = drop * 2", "limit depth at most 5 in", "low = depth + 1 in")
    pattern = workroom.pattern(text, {"waist": "28"}, drop="3 in")
    assert [code for code, _ in told(pattern)] == ["E1302"]
    assert value(pattern, "low") == pytest.approx(6 * 25.4)


def test_centimetres(workroom: Workroom) -> None:
    text = recipe("limit drop at most 15% of waist or 10 cm", '  leaves "waist" waist - drop')
    pattern = workroom.pattern(text, {"waist": "60"}, unit="cm", drop="12 cm")
    ((_, said),) = told(pattern)
    assert said == (
        "Drop 12.0 cm (20 %) is beyond the studio's limit of 15 % or 10.0 cm (on a 60.0 cm waist 15 % = "
        "9.0 cm comes first). The draft is held at waist 51.0 until you record who decided, when, and why."
    )


def test_at_the_limit_nothing_is_said(workroom: Workroom) -> None:
    assert told(workroom.pattern(recipe("limit drop at most 2 in"), {"waist": "28"})) == []


# --- children ---------------------------------------------------------------------------------


def test_a_recipe_for_children_has_its_cautions_once_on_their_sheets(workroom: Workroom) -> None:
    pattern = workroom.pattern(recipe(head="  wearer child"), {"waist": "22"})
    assert [name for name, _ in pattern.cautions] == ["childrens_cords", "flammability"]
    assert [(n.name, n.sheet) for n in pattern.notices] == [("small_parts", "findings")]


def test_a_recipe_for_children_that_shows_one_of_them_itself_shows_it_once(workroom: Workroom) -> None:
    pattern = workroom.pattern(recipe("caution flammability", head="  wearer child"), {"waist": "22"})
    assert sorted(name for name, _ in pattern.cautions) == ["childrens_cords", "flammability"]


def test_a_limit_for_minors_holds_in_a_recipe_for_children(workroom: Workroom) -> None:
    text = recipe("limit drop at most 5 in", "  for minors 1 in", head="  wearer child")
    pattern = workroom.pattern(text, {"waist": "22"})
    assert told(pattern) == [("E1305", "Drop is 1 in for a wearer under age")]
    assert value(pattern, "drop") == pytest.approx(25.4)


def test_a_grown_wearer_has_no_such_cautions(workroom: Workroom) -> None:
    pattern = workroom.pattern(recipe(), {"waist": "28"})
    assert (pattern.cautions, pattern.notices) == ((), ())


# --- what can't be limited ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "seen"),
    [
        (("limit waist at most 30 in",), "`waist` is no choice and no named amount of this recipe"),
        (("limit drop at most 3 in", "limit drop at most 4 in"), "there are two limits called drop"),
        (
            ("limit drop at most 3 in", "when drop > 3 in", "  low = 1 in", "otherwise", "  low = 2 in"),
            "`drop` decides how the draft is made, so it can't be held for one body",
        ),
    ],
)
def test_what_can_not_be_limited(workroom: Workroom, lines: tuple[str, ...], seen: str) -> None:
    found = workroom.check(recipe(*lines))
    assert [(d.code, d.seen()) for d in found] == [("E1301", seen)]


def test_bounds_are_of_the_kind_of_what_is_limited(workroom: Workroom) -> None:
    assert [d.code for d in workroom.check(recipe("limit drop at most 20 deg"))] != []
    assert [d.code for d in workroom.check(recipe("limit drop at most 3 in of waist"))] != []
