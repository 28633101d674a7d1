"""Keeping the words beside a nested piece off the joints of pages: titles and the names of sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from scye.ir.grade import NestPiece, SizeLabel
from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Box, Write
from scye.place.ground import Places, places_along
from scye.place.joints import crosses
from scye.place.outline import moved
from scye.place.tiles import Grid, Layout, joints_over
from scye.place.widths import text_width

# Words are put aside in steps of this, and no further than this (mm).
STEP = 3.0
FARTHEST = 90.0
# Lines are followed this closely to see whether words lie on them.
FOLLOWED = 2.0


def room_of(text: Write) -> Box:
    """The room of words that are not turned, in their own coordinates (mm)."""
    width = text_width(text.words, text.size)
    left = text.at[0] - (width if text.anchor == "end" else 0.0)
    return Box(left, text.at[1] - text.size, left + width, text.at[1] + 1)


def clear_words(pieces: Sequence[NestPiece], grid: Grid, layout: Layout) -> tuple[NestPiece, ...]:
    """The pieces with their words put aside, as little as will do, so that none lies across a joint.

    Words go to pages that are printed, and neither onto a line of any piece nor onto other words; where there
    is no such place they stay.
    """
    lines = [
        places_along(stroke, FOLLOWED) + np.array(piece.move)
        for piece in pieces
        for line in piece.piece.lines
        for stroke in (line.cutting, line.net)
    ]
    words = [
        moved(room_of(text), piece.move)
        for piece in pieces
        for text in (*piece.words, *(label.words for label in piece.labels))
    ]
    sheet = _Sheet(grid, frozenset(layout.needed), np.concatenate(lines), words) if lines else None
    return tuple(_cleared(piece, sheet) for piece in pieces) if sheet else tuple(pieces)


@dataclass(slots=True, eq=False)
class _Sheet:
    """What words have to keep off; `words` are the rooms taken, which change as words are put aside."""

    grid: Grid
    printed: frozenset[tuple[int, int]]
    lines: Places
    words: list[Box]

    def joined(self, room: Box) -> bool:
        """Whether a room lies across a joint, or too near one."""
        near = Box(room.left - 1, room.top - 1, room.right + 1, room.bottom + 1)
        return crosses(near, joints_over(near, self.grid))

    def free(self, room: Box) -> bool:
        cell = (math.floor(room.top / self.grid.down), math.floor(room.left / self.grid.across))
        return cell in self.printed and not (
            self.joined(room) or crosses(room, self.words) or self._on_lines(room)
        )

    def _on_lines(self, room: Box) -> bool:
        low, high = np.array([room.left, room.top]) - FOLLOWED, np.array([room.right, room.bottom]) + FOLLOWED
        return bool(((self.lines > low) & (self.lines < high)).all(axis=1).any())

    def shift(self, rooms: Sequence[Box]) -> Point:
        """How far the rooms go together; the sheet's words go with them."""
        if not any(self.joined(room) for room in rooms):
            return 0.0, 0.0
        self.words = [word for word in self.words if word not in rooms]
        fitting = (way for way in _ways() if all(self.free(moved(room, way)) for room in rooms))
        way = next(fitting, (0.0, 0.0))
        self.words += [moved(room, way) for room in rooms]
        return way


def _cleared(piece: NestPiece, sheet: _Sheet) -> NestPiece:
    """The lines of the title go together, and so do the sizes in their column, if they can."""
    titles = _aside(piece.words, piece.move, sheet)
    way = sheet.shift([moved(room_of(label.words), piece.move) for label in piece.labels])
    labels = tuple(_led(label, _by(label.words, way)) for label in piece.labels)
    labels = tuple(_led(label, _aside((label.words,), piece.move, sheet)[0]) for label in labels)
    return replace(piece, words=titles, labels=labels)


def _aside(words: tuple[Write, ...], move: Point, sheet: _Sheet) -> tuple[Write, ...]:
    way = sheet.shift([moved(room_of(text), move) for text in words])
    return tuple(_by(text, way) for text in words)


def _by(text: Write, way: Point) -> Write:
    return replace(text, at=(text.at[0] + way[0], text.at[1] + way[1]))


def _led(label: SizeLabel, words: Write) -> SizeLabel:
    """The label with its words where they are now, and its leader brought to them."""
    end = label.stroke.segments[-1][-1]
    led = (end[0] + words.at[0] - label.words.at[0], end[1] + words.at[1] - label.words.at[1])
    return replace(label, words=words, stroke=Stroke(label.stroke.start, ((led,),), False))


@cache
def _ways() -> tuple[Point, ...]:
    """Ways to go, the shortest first."""
    steps = [k * STEP for k in range(-round(FARTHEST / STEP), round(FARTHEST / STEP) + 1)]
    return tuple(sorted(((x, y) for x in steps for y in steps), key=lambda way: (math.hypot(*way), way)))
