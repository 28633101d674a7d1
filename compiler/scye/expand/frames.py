"""Frames: the names of a recipe, a draft or one drawing of a method, unrolled for one set of choices."""

from __future__ import annotations

from dataclasses import dataclass, field

from scye.ir import syntax as s
from scye.source import Span

Env = tuple[tuple[str, int], ...]
# The place of a statement in the order of writing: for each block round it its place and the round.
Trail = tuple[tuple[int, int], ...]
StructureValue = str | bool | float


class Unknowable(Exception):
    """Something that decides the draft's shape is not known before drawing."""

    def __init__(self, span: Span, what: str) -> None:
        super().__init__(what)
        self.span = span
        self.what = what


class Stop(Exception):
    """One thing can't be made; the reason has been noted."""


class Enough(Stop):
    """The whole recipe is more than can be unrolled: nothing further is made."""


@dataclass(frozen=True, slots=True, eq=False)
class Definition:
    """One thing to be made: its statement, with the counters of the repeats it stands in."""

    key: str
    statement: s.Statement | s.Argument | s.Parameter
    frame: Frame
    env: Env
    # For a statement that makes several things (a `find`, a `needs`): which of them.
    part: s.Unknown | s.Need | None = None
    # Where it stands in the text, with the rounds of the repeats round it.
    trail: Trail = ()


@dataclass(slots=True, eq=False)
class Frame:
    """Names by key (`waist`, `top[2]`), with the frame round it. `draft` is the draft drawn in."""

    prefix: str
    parent: Frame | None
    draft: str
    definitions: dict[str, Definition] = field(default_factory=dict)
    frames: dict[str, Frame] = field(default_factory=dict)
    # Statements that make no name of their own but belong here: pieces, seams, proofs, limits.
    others: list[tuple[s.Statement, Env]] = field(default_factory=list)
    trails: list[Trail] = field(default_factory=list)
    requires: dict[str, list[tuple[s.Keep, Env]]] = field(default_factory=dict)
    limits: dict[str, list[tuple[s.Limit, Env]]] = field(default_factory=dict)
    gives: frozenset[str] | None = None
    families: dict[str, list[int]] = field(default_factory=dict)


def in_written_order(frame: Frame) -> None:
    """Put a frame's things, and those of its drafts, into the order in which they were written."""
    order = sorted(range(len(frame.others)), key=lambda i: frame.trails[i])
    frame.others = [frame.others[i] for i in order]
    frame.trails = [frame.trails[i] for i in order]
    frame.definitions = dict(sorted(frame.definitions.items(), key=lambda item: item[1].trail))
    for inner in frame.frames.values():
        in_written_order(inner)


def key_of(text: str, index: int | None) -> str:
    return text if index is None else f"{text}[{index}]"
