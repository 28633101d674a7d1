"""What the command line asks of the compiler, and what it gets back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path
from typing import Literal

from scye.diagnostics.model import Diagnostic
from scye.ir.people import DisplayUnit

# A style choice set on the command line: its name and the text after the equals sign.
Setting = tuple[str, str]

# Told one short line at each stage of long work ("drafting wren, 3 of 10").
Say = Callable[[str], None]


class ExitCode(IntEnum):
    """What a command answers to the shell: all well, findings that fail, or bad input."""

    GOOD = 0
    FINDINGS = 1
    BAD_INPUT = 2


Joints = Literal["overlap", "butt"]


@dataclass(frozen=True, slots=True)
class PrintWishes:
    """What to print on: home `papers` by name, how their pages are joined, the width of the roll in mm; and
    whether a sheet for a projector and a file for the cutting room are wanted as well."""

    papers: tuple[str, ...] = ("a4", "letter")
    joints: Joints = "overlap"
    roll: float = 914.0
    projector: bool = False
    dxf: bool = False


@dataclass(frozen=True, slots=True)
class BuildRequest:
    """Draft a recipe for some bodies: either `cards`, or the `sizes` of a `chart` (none named: every size).

    `units` is the unit of the printed figures; None leaves it to the card or chart. `nest_at` names the
    point at which the sizes of a chart are laid over each other; None leaves it to the recipe. `rates` is the
    maker's file of rates for the cost sheet.
    """

    recipe: Path
    cards: tuple[Path, ...]
    chart: Path | None
    sizes: tuple[str, ...]
    settings: tuple[Setting, ...]
    units: DisplayUnit | None
    out: Path
    nest_at: str | None = None
    prints: PrintWishes = PrintWishes()
    rates: Path | None = None


@dataclass(frozen=True, slots=True)
class ChartRequest:
    """Look at a size chart by itself."""

    chart: Path


@dataclass(frozen=True, slots=True)
class CheckRequest:
    """Read a recipe and say what is wrong with it, without a body."""

    recipe: Path


@dataclass(frozen=True, slots=True)
class TraceRequest:
    """Show how one named amount or point of a recipe comes about for one body."""

    recipe: Path
    name: str
    card: Path
    settings: tuple[Setting, ...]
    units: DisplayUnit | None


@dataclass(frozen=True, slots=True)
class CompareRequest:
    """Say what changed from one edition to another: two recipes for some bodies, or two `pattern.json`.

    For recipes, bodies, `settings` and `units` are as for a build. `out` takes the page and the changed
    pieces; None writes nothing.
    """

    old: Path
    new: Path
    cards: tuple[Path, ...]
    chart: Path | None
    sizes: tuple[str, ...]
    settings: tuple[Setting, ...]
    units: DisplayUnit | None
    out: Path | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command did: `lines` are for the maker to read, `files` the names written into the folder."""

    diagnostics: tuple[Diagnostic, ...]
    exit_code: ExitCode
    lines: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
