"""Draw the pictures of the README, the lessons and the recipes again, after pieces or drawing have changed.

python tests/docs/redraw.py
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from documents import LESSONS, RECIPES, ROOT, shown_commands
from drafting import drafts

from scye.place.picture import lay_picture
from scye.render.svg import pieces_svg

SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"


def pictures() -> dict[Path, bytes]:
    """Every committed picture, drawn anew for wren, or as its page's first command says."""
    recipes = {ROOT / "examples" / "pictures" / "saltmarsh-bodice.svg": (SALTMARSH, "wren", dict[str, str]())}
    for folder in (*LESSONS, *filter(_shows_its_own, RECIPES)):
        recipes[folder / "pieces.svg"] = (folder / f"{folder.name}.scye", *asked(folder))
    return {path: pieces_svg(lay_picture(drafts(r, code, **c))) for path, (r, code, c) in recipes.items()}


def _shows_its_own(recipe: Path) -> bool:
    return '<img src="pieces.svg"' in (recipe / "README.md").read_text(encoding="utf-8")


def asked(folder: Path) -> tuple[str, dict[str, str]]:
    """The card and the choices of the first command that the page of a recipe or lesson shows."""
    words = next(shown_commands(folder / "README.md")).words
    settings = [after for word, after in pairwise(words) if word == "--set"]
    code = next((Path(after).stem for word, after in pairwise(words) if word == "--body"), "wren")
    return code, dict(setting.split("=", 1) for setting in settings)


if __name__ == "__main__":
    for path, picture in pictures().items():
        path.write_bytes(picture)
        print(path.relative_to(ROOT).as_posix())
