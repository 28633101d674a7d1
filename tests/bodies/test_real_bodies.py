"""Every body of the survey (see `survey.py`) through every recipe: pieces that close, a proof or a finding.

Soldiers and not clients, men in a woman's bodice, and waists larger than busts: nothing here may end in a
traceback, an outline that crosses itself, or a piece left out without a word.
"""

from __future__ import annotations

from collections.abc import Sequence

import drafted
import pytest
import survey

from scye.ir.people import Body

AT_A_TIME = 1024  # bodies whose outlines are looked at together
SOME = 12  # of the choices that change the draft, every so-many-th body is tried

pytestmark = pytest.mark.skipif(bool(survey.absent()), reason=survey.absent() or "the survey is here")


def test_the_survey_is_all_there() -> None:
    bodies = survey.bodies()
    assert len(bodies) == 6068
    assert len({body.code for body in bodies}) == 6068
    figures = {r.name: r.value for r in bodies[0].readings}
    # The first row of the file of women: chest 922, waist 850 (at the navel), seat 1011.
    assert (figures["bust"], figures["waist"], figures["hip"]) == (922.0, 825.0, 1011.0)
    assert all(r.value > 0 for body in bodies for r in body.readings)


@pytest.mark.parametrize(
    ("recipe", "choices"), [("saltmarsh-bodice", {}), ("yoked-bodice", {"sleeves": "yes"})]
)
def test_every_body_is_drawn_or_told_why_not(recipe: str, choices: dict[str, str]) -> None:
    table = tried(recipe, survey.bodies(), tuple(choices.items()))
    assert table.bodies == 6068
    assert not table.wrong, f"{len(table.wrong)} wrong, such as " + "; ".join(table.wrong[:5])


@pytest.mark.parametrize(
    ("recipe", "choices"),
    [
        ("saltmarsh-bodice", {"closing": "zipped", "reduction": "0 in"}),
        ("saltmarsh-bodice", {"reduction": "6 in", "front_point": "3 in"}),
        ("yoked-bodice", {}),
        ("yoked-bodice", {"sleeves": "yes", "scye_from": "tape"}),
        ("yoked-bodice", {"yoke": "no", "ends": "skirt", "side_darts": "3"}),
        ("yoked-bodice", {"side_darts": "0"}),
    ],
    ids=lambda value: value if isinstance(value, str) else ", ".join(f"{k}={v}" for k, v in value.items()),
)
def test_other_choices(recipe: str, choices: dict[str, str]) -> None:
    table = tried(recipe, survey.bodies()[::SOME], tuple(choices.items()))
    assert not table.wrong, f"{len(table.wrong)} wrong, such as " + "; ".join(table.wrong[:5])


def tried(recipe: str, bodies: Sequence[Body], choices: tuple[tuple[str, str], ...] = ()) -> drafted.Table:
    """A recipe drafted for bodies, with all that came out wrong in the table; prints it."""
    compiler = drafted.compiler_for(drafted.recipe_file(recipe))
    orders = drafted.orders_for(compiler, bodies, choices)
    table, outlines = drafted.Table(), drafted.Outlines()
    for pattern in drafted.patterns_of(compiler, orders):
        table.add(pattern)
        outlines.add(pattern)
        if table.bodies % AT_A_TIME == 0 or table.bodies == len(orders):
            table.wrong += outlines.wrong()
            outlines = drafted.Outlines()
    print("", recipe, *(f"{name} = {value}" for name, value in choices), *table.lines(), sep="\n")
    return table
