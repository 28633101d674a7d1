"""The words of a piece and of a sheet, as a maker reads them on paper."""

from __future__ import annotations

import re

from scye.ir.pattern import Edge, Pattern, Piece
from scye.units.names import edge_name
from scye.units.tape import show_length


def plain(name: str) -> str:
    """A recipe's name in plain words: `waist_line` reads `waist line`, `hem[2]` just `hem`."""
    return re.sub(r"\[\d+\]", "", name).replace("_", " ").replace(".", " ")


def edition_words(pattern: Pattern) -> str:
    return f"{pattern.recipe}, edition {pattern.edition}"


def piece_words(pattern: Pattern, piece: Piece) -> tuple[str, ...]:
    """All lines of a piece's label, its title first."""
    words = (
        piece.title,
        f"{piece.number} of {piece.of} · {pattern.body}",
        *(cut.text for cut in piece.cuts),
        *piece.labels,
        *allowance_words(pattern, piece),
        edition_words(pattern),
        pattern.date,
    )
    return tuple(line for line in words if line)


def allowance_words(pattern: Pattern, piece: Piece) -> tuple[str, ...]:
    """`allowances included: 1/2 in, 2 in` with the edges that have none, or that there are none."""
    seams = [edge for edge in piece.edges if not edge.on_fold]
    shown = [show_length(width, pattern.unit) for width in _widths(seams)]
    if not shown:
        return ("net: no allowances",)
    bare = [_bare_words(edge, piece) for edge in seams if not any(run.width for run in edge.allowances)]
    first = "allowances included: " + ", ".join(dict.fromkeys(shown))
    return (first, "net: " + _listed(bare)) if bare else (first,)


def _bare_words(edge: Edge, piece: Piece) -> str:
    name = edge_name(edge.name, [other.name for other in piece.edges])
    return f"{name} ({edge.finish})" if edge.finish else name


def _listed(names: list[str]) -> str:
    return ("; " if any("," in name for name in names) else ", ").join(names)


def _widths(edges: list[Edge]) -> list[float]:
    """The allowances in use, the one on the longest stretch first."""
    stretch: dict[float, float] = {}
    for run in (run for edge in edges for run in edge.allowances):
        if run.width:
            stretch[run.width] = stretch.get(run.width, 0.0) + run.end - run.start
    return sorted(stretch, key=lambda width: (-stretch[width], width))


def sheet_words(pattern: Pattern) -> tuple[str, ...]:
    """The lines of a title block, the title first."""
    units = {"in": "inches", "cm": "centimetres", "mm": "millimetres"}[pattern.unit]
    pieces = "1 piece" if len(pattern.pieces) == 1 else f"{len(pattern.pieces)} pieces"
    return (
        pattern.recipe,
        f"edition {pattern.edition}",
        f"for {pattern.body}" + (f", {pattern.date}" if pattern.date else ""),
        f"{pieces}; amounts in {units}",
        "allowances included as written on each piece",
        "full scale: print at 100 %, then measure the bar and the squares",
    )
