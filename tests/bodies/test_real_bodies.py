"""Every body of the survey (see `survey.py`) through every recipe: pieces that close, a proof or a finding.

Soldiers and not clients, men in a woman's bodice, and waists larger than busts: nothing here may end in a
traceback, an outline that crosses itself, or a piece left out without a word.
"""

from __future__ import annotations

import drafted
import pytest
import survey

from scye.ir.pattern import Stroke

RECIPES = ("saltmarsh-bodice",)
AT_A_TIME = 1024  # bodies whose outlines are looked at together

pytestmark = pytest.mark.skipif(bool(survey.absent()), reason=survey.absent() or "the survey is here")


def test_the_survey_is_all_there() -> None:
    bodies = survey.bodies()
    assert len(bodies) == 6068
    assert len({body.code for body in bodies}) == 6068
    figures = {r.name: r.value for r in bodies[0].readings}
    # The first row of the file of women: chest 922, waist 850, seat 1011, nape to navel's level 430.
    assert (figures["bust"], figures["waist"], figures["hip"]) == (922.0, 825.0, 1011.0)
    assert all(r.value > 0 for body in bodies for r in body.readings)


@pytest.mark.parametrize("recipe", RECIPES)
def test_every_body_is_drawn_or_told_why_not(recipe: str) -> None:
    compiler = drafted.compiler_for(drafted.recipe_file(recipe))
    orders = drafted.orders_for(compiler, survey.bodies())
    table = drafted.Table()
    strokes: list[Stroke] = []
    owners: list[str] = []
    for pattern in drafted.patterns_of(compiler, orders):
        table.add(pattern)
        for piece in pattern.pieces:
            strokes += (piece.net, piece.cutting)
            owners += (
                f"{pattern.body}: {piece.title}, stitch line",
                f"{pattern.body}: {piece.title}, cutting line",
            )
        if len(strokes) >= AT_A_TIME * 10:
            table.wrong += [f"{owners[i]} crosses itself" for i in drafted.unsound(strokes)]
            strokes, owners = [], []
    table.wrong += [f"{owners[i]} crosses itself" for i in drafted.unsound(strokes)]
    print("", recipe, *table.lines(), sep="\n")
    assert table.bodies == 6068
    assert not table.wrong, f"{len(table.wrong)} wrong, such as " + "; ".join(table.wrong[:5])
