"""Which of the cautions go with what is bought."""

from __future__ import annotations

from collections.abc import Iterable

from scye.ir.notions import Notion

# By kind of thing: sharp ends, metal on the skin, what holds the wearer in.
SHARP = ("bone", "spiral bone", "flat bone", "busk")
METAL = (*SHARP, "eyelets", "washers", "hooks and eyes", "zip")


def cautions_for(notions: Iterable[Notion]) -> tuple[str, ...]:
    """The names of cautions, each once."""
    kinds = {line.kind for line in notions}
    asked = (
        ("sharp_bones", kinds.intersection(SHARP)),
        ("metal_allergy", kinds.intersection(METAL)),
        ("quick_release", kinds.intersection(("lace",))),
    )
    return tuple(name for name, found in asked if found)
