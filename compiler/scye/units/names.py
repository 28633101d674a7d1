"""Names of a recipe as a maker says them."""

from __future__ import annotations

import re
from collections.abc import Iterable

_NUMBER = re.compile(r"\[(\d+)\]")
_SIDE = re.compile(r"(.+)\.(left|right)")


def plain_name(name: str) -> str:
    """`waist_line` reads `waist line`, `seam[1].left` reads `seam 1 left`."""
    return _NUMBER.sub(r" \1", name).replace("_", " ").replace(".", " ").strip()


def edge_name(name: str, among: Iterable[str]) -> str:
    """An edge as it is said: `seam[1].left` is `seam 1, left edge` and `neck.edge` the `neck edge`.

    `among` are the names of all edges of its piece: `hem[1]` is just `hem` where the piece has no `hem[2]`.
    """
    side = _SIDE.fullmatch(name)
    if side:
        return f"{plain_name(side[1])}, {side[2]} edge"
    base = _NUMBER.sub("", name)
    alike = [other for other in among if _NUMBER.sub("", other) == base]
    return plain_name(name if len(alike) > 1 else base)
