"""Several lines worked at once: those of one make side by side, as if they were more bodies.

A body's result has the same bits this way as line by line; what is saved is calls.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from scye.geometry.memory import one_by_one
from scye.geometry.path import Circle, Guide, Line, Path, at_length, length_between, locate, tangent
from scye.geometry.vector import Array, bodies


def by_make(*rows: Sequence[Line]) -> Iterator[list[int]]:
    """The places in the rows, which are equally long, at which the lines are alike in kind and segments."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, lines in enumerate(zip(*rows, strict=True)):
        alike.setdefault(tuple(map(_make, lines)), []).append(number)
    return iter(alike.values())


def _make(line: Line) -> object:
    return line.straight if isinstance(line, Path) else type(line)


def bodies_of(*lines: Line) -> int:
    """How many bodies the lines are for together."""
    return bodies(*(array for line in lines for array in _arrays(line)))


def _arrays(line: Line) -> tuple[Array, ...]:
    match line:
        case Path():
            return (line.ctrl,)
        case Guide():
            return line.point, line.direction
        case Circle():
            return line.centre, line.radius


def columns(arrays: Sequence[Array], n: int) -> Array:
    """Arrays (..., n or 1) as one (..., k n)."""
    if len(arrays) == 1 and arrays[0].shape[-1] == n:
        return arrays[0]
    full = [a if a.shape[-1] == n else np.broadcast_to(a, (*a.shape[:-1], n)) for a in arrays]
    return np.concatenate(full, axis=-1)


def own(k: int, n: int) -> slice:
    """The columns of the k-th of several lines for n bodies each."""
    return slice(k * n, (k + 1) * n)


def side_by_side(lines: Sequence[Line], n: int) -> Line:
    """Lines of one make for n bodies each as one line for all of them."""
    whole = [columns(rows, n) for rows in zip(*map(_arrays, lines), strict=True)]
    match lines[0]:
        case Path(straight=straight):
            return Path(whole[0], straight)
        case Guide():
            return Guide(whole[0], whole[1])
        case Circle():
            return Circle(whole[0], whole[1])


def paths_abreast(paths: Sequence[Path], n: int) -> Iterator[tuple[list[int], Path]]:
    """The paths, make by make: their places in the row, and all of them side by side."""
    for numbers in by_make(paths):
        whole = columns([paths[number].ctrl for number in numbers], n)
        yield numbers, Path(whole, paths[numbers[0]].straight)


def at_lengths(paths: Sequence[Path], along: Sequence[Array]) -> list[tuple[Array, Array]]:
    """For each path the point `along` (n,) mm from its start and the unit direction there, (2, n) both."""
    return _at_lengths(list(zip(paths, along, strict=True)))


@one_by_one
def _at_lengths(asked: Sequence[tuple[Path, Array]]) -> list[tuple[Array, Array]]:
    paths, along = [path for path, _ in asked], [away for _, away in asked]
    n = bodies(*(path.ctrl for path in paths), *along)
    found: dict[int, tuple[Array, Array]] = {}
    for numbers, path in paths_abreast(paths, n):
        u = at_length(path, columns([along[number] for number in numbers], n))
        point, direction = locate(path, u), tangent(path, u)
        for k, number in enumerate(numbers):
            found[number] = point[:, own(k, n)], direction[:, own(k, n)]
    return [found[number] for number in range(len(paths))]


def lengths_to(paths: Sequence[Path], u: Sequence[Array]) -> list[Array]:
    """For each path its length (n,) from the start to its u (n,)."""
    return _lengths_to(list(zip(paths, u, strict=True)))


@one_by_one
def _lengths_to(asked: Sequence[tuple[Path, Array]]) -> list[Array]:
    paths, u = [path for path, _ in asked], [place for _, place in asked]
    n = bodies(*(path.ctrl for path in paths), *u)
    found: dict[int, Array] = {}
    for numbers, path in paths_abreast(paths, n):
        whole = length_between(path, 0.0, columns([u[number] for number in numbers], n))
        for k, number in enumerate(numbers):
            found[number] = whole[own(k, n)]
    return [found[number] for number in range(len(paths))]
