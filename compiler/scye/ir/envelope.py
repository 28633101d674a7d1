"""An envelope: a recipe with all it needs, as one file that another maker can open."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from scye.ir.people import DisplayUnit
from scye.ir.requests import Setting
from scye.source import Span

# What a file of an envelope holds. People's measures travel only if whoever encloses them says so.
Sort = Literal["recipe", "methods", "chart", "picture", "words", "people"]

CONTENTS_NAME = "contents.yaml"
# The layout of envelopes that this Scye writes and reads.
LAYOUT = 1


@dataclass(frozen=True, slots=True)
class Enclosed:
    """One file as the contents list it: its place in the envelope, its length in bytes and its SHA-256.

    `edition` is that of a recipe, and None for everything else.
    """

    place: str
    sort: Sort
    edition: int | None
    size: int
    hash: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Standard:
    """A file of Scye's own that the recipe is drafted with, and the SHA-256 of its text."""

    name: str
    hash: str


@dataclass(frozen=True, slots=True)
class Contents:
    """What an envelope lists: its recipe and edition, what is enclosed, and what it takes from Scye."""

    recipe: str
    edition: int
    enclosed: tuple[Enclosed, ...]
    standard: tuple[Standard, ...]


@dataclass(frozen=True, slots=True)
class Envelope:
    """An envelope that was opened: its list, and its files in the order of the list."""

    name: str
    contents: Contents
    files: tuple[tuple[str, bytes], ...]


# --- what is asked -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class EncloseRequest:
    """Put a recipe in an envelope, with further files. `agreed` says that the people whose measures are among
    these have agreed to it."""

    recipe: Path
    more: tuple[Path, ...]
    agreed: bool
    out: Path


@dataclass(frozen=True, slots=True)
class InsideRequest:
    """Say what an envelope, or a recipe, needs and may not do."""

    path: Path


@dataclass(frozen=True, slots=True)
class KeepRequest:
    """Put an envelope into the maker's own library."""

    envelope: Path


@dataclass(frozen=True, slots=True)
class RenewRequest:
    """Say what a newer edition changes for some bodies, as `CompareRequest` has them; `take` it or not."""

    envelope: Path
    cards: tuple[Path, ...]
    chart: Path | None
    sizes: tuple[str, ...]
    settings: tuple[Setting, ...]
    units: DisplayUnit | None
    take: bool
