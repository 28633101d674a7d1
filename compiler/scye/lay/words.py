"""A lay in the maker's words."""

from __future__ import annotations

from collections.abc import Iterator

from scye.ir.lay import Lay, Placement, Reckoning, Stretch
from scye.lay.shrink import shrinkage_words
from scye.units.tape import show_length

NAPS = {
    "one-way": "one-way nap: all heads to the left",
    "two-way": "two-way nap: pieces may be turned end to end, pairs alike",
    "none": "no nap: pieces may be turned end to end",
}
WAYS = {
    "fast": "Laid by Scye's own fast way: the same pieces on the same cloth always give this lay.",
    "own search": "Laid by Scye's own search, given more time: another run may come out a little different.",
    "packing library": "Laid by the longer search: another run may come out a little different.",
}


def title(lay: Lay) -> str:
    garment = lay.garment
    edition = f", edition {garment.edition}" if garment.edition else ""
    return f"Lay plan: {garment.recipe}{edition}, for {garment.body}"


def cloth_words(lay: Lay) -> str:
    """The cloth in one line."""
    cloth = lay.cloth
    parts = [f"{cloth.layer}, {show_length(cloth.width, lay.garment.unit)} usable", NAPS[cloth.nap]]
    if cloth.shrinkage.along or cloth.shrinkage.across:
        parts.append(shrinkage_words(cloth.shrinkage))
    return "; ".join(parts)


def stretch_words(stretch: Stretch) -> str:
    if stretch.folded:
        return "folded lengthwise, right sides together: cut through both layers"
    return "opened out, one layer, right side up"


def copy_words(placement: Placement) -> str:
    """Which copy of a piece a cut is, and how its paper lies."""
    parts = [f"{placement.copy} of {placement.of}"] if placement.of > 1 else []
    if placement.on_fold:
        parts.append("on the fold")
    elif placement.double:
        parts.append("both layers")
    if placement.opened:
        parts.append("opened out whole")
    if placement.mirrored and not placement.on_fold:
        parts.append("face down")
    return ", ".join(parts)


def told(lay: Lay, reckoning: Reckoning) -> Iterator[str]:
    """The lay in a few lines, for the screen."""
    yield f"{title(lay)}; {cloth_words(lay)}"
    for figure in (*reckoning.lines, reckoning.buy, *reckoning.check, *reckoning.notes):
        yield f"  {figure.name}: {figure.amount} ({figure.source})"
