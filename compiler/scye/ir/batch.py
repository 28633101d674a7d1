"""A batch: a table of people drafted by one recipe, and how each of them came out."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from scye.ir.people import DisplayUnit
from scye.ir.requests import Setting


@dataclass(frozen=True, slots=True)
class BatchRequest:
    """Draft a recipe for every body of a table. With `sheets` each gets its sheets as well as its data."""

    recipe: Path
    people: Path
    settings: tuple[Setting, ...]
    units: DisplayUnit | None
    sheets: bool
    out: Path


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the table and what became of it. Counts are of what holds, then of all there are.

    `why` says with its place why a body wasn't drafted; it then has no file. `pieces_of` is how many pieces
    the recipe has.
    """

    code: str
    line: int
    file: str = ""
    pieces: int = 0
    pieces_of: int = 0
    seams_true: int = 0
    seams: int = 0
    proofs_true: int = 0
    proofs: int = 0
    notes: int = 0
    cautions: int = 0
    failures: int = 0
    why: str = ""

    @property
    def drafted(self) -> bool:
        return bool(self.file)


@dataclass(frozen=True, slots=True)
class Written:
    """A file in the folder of bodies, and the SHA-256 of what it holds."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Chunk:
    """Some lines of the table that are done with, and all the files that came of them."""

    number: int
    entries: tuple[Entry, ...]
    files: tuple[Written, ...]
