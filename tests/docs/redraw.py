"""Draw the pictures of the README and the lessons again, after the pieces or the drawing have changed.

python tests/docs/redraw.py
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from documents import LESSONS, ROOT, shown_commands
from drafting import drafts

from scye.place.picture import lay_picture
from scye.render.svg import pieces_svg

SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"


def pictures() -> dict[Path, bytes]:
    """Every committed picture, drawn anew for wren; a lesson's choices are those of its first command."""
    recipes = {ROOT / "examples" / "pictures" / "saltmarsh-bodice.svg": (SALTMARSH, dict[str, str]())}
    for lesson in LESSONS:
        recipes[lesson / "pieces.svg"] = (lesson / f"{lesson.name}.scye", _choices(lesson))
    return {path: pieces_svg(lay_picture(drafts(recipe, **c))) for path, (recipe, c) in recipes.items()}


def _choices(lesson: Path) -> dict[str, str]:
    words = next(shown_commands(lesson / "README.md")).words
    settings = [after for word, after in pairwise(words) if word == "--set"]
    return dict(setting.split("=", 1) for setting in settings)


if __name__ == "__main__":
    for path, picture in pictures().items():
        path.write_bytes(picture)
        print(path.relative_to(ROOT).as_posix())
