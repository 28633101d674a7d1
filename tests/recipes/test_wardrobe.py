"""Every recipe on twelve sizes and 200 real bodies: sound outlines, seams, proofs, or a finding in words."""

from __future__ import annotations

from pathlib import Path

import pytest
import wardrobe
from wardrobe import survey

pytestmark = pytest.mark.skipif(bool(survey.absent()), reason=survey.absent() or "the survey is here")


@pytest.mark.parametrize("recipe", wardrobe.RECIPES, ids=lambda path: path.stem)
def test_every_body_comes_out_or_is_told_why_not(recipe: Path) -> None:
    found = wardrobe.trial(recipe)
    assert found.sizes.bodies >= 3
    assert found.real.bodies == (0 if found.wearer == "child" else wardrobe.SPREAD)
    for count in (found.sizes, found.real):
        assert not count.wrong, f"{len(count.wrong)} wrong, such as " + "; ".join(count.wrong[:5])


def test_the_table_of_bodies_is_as_it_is_now() -> None:
    assert wardrobe.TABLE.read_text(encoding="utf-8") == wardrobe.page()
