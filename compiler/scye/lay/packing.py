"""The longer search, by a packing library. The only module that knows it, and only when it is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.util import find_spec

from scye.ir.pattern import Point
from scye.lay.fast import Laid, pushed
from scye.lay.flat import Ring, highest, lowest, shifted
from scye.lay.shapes import clear, sound
from scye.lay.ways import Choice

# What the library's single-precision figures may be out by over a few metres of cloth, in mm2 of overlap;
# the margin round every piece is wider than that by far.
ROUGH = 1.0
WORKERS = 2


def is_here() -> bool:
    """Whether the library is installed."""
    return find_spec("spyrrow") is not None


def packed(choices: Sequence[Choice], width: float, seconds: int) -> Laid | None:
    """Pieces on cloth `width` mm wide, margins counted in, searched for some seconds.

    None where the library found nothing that holds when it is looked over here, or where it can't be asked:
    it knows nothing of pieces on a fold, and it breaks on outlines that cross themselves.
    """
    rings = [choice.ways[0].wide for choice in choices]
    if any(choice.cut.on_fold for choice in choices) or not all(map(sound, rings)):
        return None
    import spyrrow

    items = [spyrrow.Item(str(i), ring, 1, _angles(choices[i])) for i, ring in enumerate(rings)]
    config = spyrrow.StripPackingConfig(
        early_termination=True, total_computation_time=max(2, seconds), num_workers=WORKERS, seed=1
    )
    found = spyrrow.StripPackingInstance("lay", width, items).solve(config)
    ways: dict[int, int] = {}
    places: dict[int, Point] = {}
    for item in found.placed_items:
        i = int(item.id)
        ways[i] = round(abs(item.rotation) / 180) % 2
        places[i] = _corner(rings[i], bool(ways[i]), item.translation, width)
    order = range(len(rings))
    return _looked_over(choices, [ways[i] for i in order], [places[i] for i in order])


def _angles(choice: Choice) -> list[float]:
    """Degrees a piece may be turned by. Two that must lie alike stay: the library can't pair them."""
    return [0.0] if len(choice.ways) == 1 or choice.partner is not None else [0.0, 180.0]


def _corner(ring: Ring, turned: bool, move: Point, width: float) -> Point:
    """The corner of the box of a ring that was turned half round, if so, and moved; held to the cloth."""
    whole = tuple((-x, -y) for x, y in ring) if turned else ring
    low, high = lowest(whole), highest(whole)
    x, y = low[0] + move[0], low[1] + move[1]
    return max(0.0, x), min(max(0.0, y), width - (high[1] - low[1]))


def _looked_over(choices: Sequence[Choice], ways: Sequence[int], at: Sequence[Point]) -> Laid | None:
    """The library's lay pushed together, if no pieces come to lie on each other."""
    wide = [choice.ways[way].wide for choice, way in zip(choices, ways, strict=True)]
    if not clear([shifted(ring, place) for ring, place in zip(wide, at, strict=True)], ROUGH):
        return None
    return pushed(choices, ways, at)
