"""The nearest known word to one that is not known: shared by all phases that say "did you mean"."""

from __future__ import annotations

from collections.abc import Iterable

_LONGEST = 60


def nearest(word: str, candidates: Iterable[str]) -> str | None:
    """The candidate that a slip of the pen most likely made into `word`, or None if none is near.

    Near means one slip in a word of up to 4 letters, two up to 8, three beyond; a slip is a letter
    missing, added, wrong or swapped with its neighbour. Capitals do not count. Of equals the first
    in the alphabet is taken, so that the order of `candidates` does not matter.
    """
    if not word or len(word) > _LONGEST:
        return None
    allowed = 1 if len(word) <= 4 else 2 if len(word) <= 8 else 3
    best: tuple[int, str] | None = None
    for candidate in candidates:
        if candidate == word or abs(len(candidate) - len(word)) > allowed:
            continue
        found = (_slips(word.casefold(), candidate.casefold()), candidate)
        if found[0] <= min(allowed, len(candidate) - 1) and (best is None or found < best):
            best = found
    return best[1] if best else None


def nearest_edge(edge: str, edges: Iterable[str], *words: str) -> str | None:
    """As `nearest`, among edges and the `words` that may stand for several; or else the one edge that is
    called so by its last part, as `neck.edge` is by `edge`."""
    edges = list(edges)
    near = nearest(edge, [*edges, *words])
    if near is None:
        called = [name for name in edges if name.rpartition(".")[2] == edge.rpartition(".")[2]]
        near = called[0] if len(called) == 1 else None
    return near


def _slips(a: str, b: str) -> int:
    """Letters added, left out, changed or swapped with a neighbour between `a` and `b`.

    The optimal string alignment distance: Damerau, Communications of the ACM 7 (1964) 171-176.
    """
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        following = [i]
        for j, y in enumerate(b, 1):
            least = min(row[j] + 1, following[j - 1] + 1, row[j - 1] + (x != y))
            if i > 1 and j > 1 and x == b[j - 2] and a[i - 2] == y:
                least = min(least, before[j - 2] + 1)
            following.append(least)
        before, row = row, following
    return row[-1]
