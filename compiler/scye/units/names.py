"""Names of a recipe as a maker says them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Literal

# How cloth pieces are cut by a paper: mirrored pairs, on a fold, single with the right or (turned) the wrong
# side up, or plain copies.
How = Literal["pair", "fold", "single", "turned", "plain"]

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


def cut_words(count: int, how: How, layers: Sequence[str]) -> str:
    """A line of the cut list: `cut 2 (a pair) of self, lining`."""
    match how:
        case "pair":
            said = f"{count} (a pair)" if count == 2 else f"{count} ({count // 2} pairs)"
        case "fold":
            said = f"{count} on fold"
        case "single":
            said = f"{count} single, right side up,"
        case "turned":
            said = f"{count} single, wrong side up,"
        case "plain":
            said = f"{count}"
    return f"cut {said} of {', '.join(layers)}"
