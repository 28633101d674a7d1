"""Pieces for a cutting room's software: points and straight lines only, in mm with x right and y UP."""

from __future__ import annotations

from dataclasses import dataclass

from scye.ir.pattern import Point


@dataclass(frozen=True, slots=True)
class Ring:
    """A closed line of points, the first not repeated. `turns` says which are corners and not of a curve."""

    points: tuple[Point, ...]
    turns: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One piece in one size. `texts` say what it is; `notes` are words at places; it is shown at `insert`.

    `cutting` is the line it is cut along, `sewing` the stitch line; `folds` are edges that lie on the fold.
    """

    name: str
    texts: tuple[str, ...]
    notes: tuple[tuple[Point, str], ...]
    cutting: Ring
    sewing: Ring
    notches: tuple[Point, ...]
    folds: tuple[tuple[Point, Point], ...]
    grain: tuple[Point, Point]
    internal: tuple[tuple[Point, ...], ...]
    drills: tuple[Point, ...]
    insert: Point


@dataclass(frozen=True, slots=True)
class BlockFile:
    """All blocks of a file; `style` are the texts of the whole."""

    style: tuple[str, ...]
    blocks: tuple[Block, ...]
