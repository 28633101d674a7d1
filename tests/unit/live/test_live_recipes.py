"""Every recipe that is shipped, with its measures moved on a live draft, against runs from nothing."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from scye.drafting import Compiled
from scye.driver import Compiler, lacking
from scye.live.draft import LiveDraft, with_measures
from scye.project import open_card, open_project, standards
from scye.render.pattern_json import Header, pattern_json
from scye.units.quantity import INCH, Quantity

ROOT = Path(__file__).resolve().parents[3]
RECIPES = sorted((ROOT / "recipes").glob("*/*.scye"))
MOVED = ("waist", "hip", "bust")


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda recipe: recipe.stem)
def test_moved_measures_give_what_runs_from_nothing_give(recipe):
    body, _ = open_card(ROOT / "examples" / "cards" / "wren.yaml", standards()[0])
    sizes = {r.name: r.written for r in body.readings}
    bodies = [body] + [
        with_measures(body, {name: Quantity(sizes[name].value + Fraction(3, 8), INCH)}) for name in MOVED
    ]
    compiler = Compiler(open_project(recipe))
    orders = [compiler.order(moved, ())[0] for moved in bodies]
    compiled = compiler.compiled(orders[0].settled)
    assert isinstance(compiled, Compiled)
    if lacking(compiled, orders[0]):
        pytest.skip("Wren's card lacks a measure of this recipe")
    live = LiveDraft(recipe)
    for moved, anew in zip(bodies, compiler.patterns(orders, None, lambda _line: None), strict=True):
        header = Header("", "", "")
        assert pattern_json([live.draw(moved).pattern], header) == pattern_json([anew], header)
