"""The files that the page hands out: made as the commands make them, of what is on the page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from scye import __version__
from scye.diagnostics.lay import ClothNotUnderstood
from scye.diagnostics.model import Diagnostic, Severity
from scye.driver import Compiler, compile_all
from scye.ir.lay import NO_SHRINKAGE, Cloth
from scye.ir.pattern import Pattern
from scye.ir.people import Body, DisplayUnit
from scye.ir.requests import PrintWishes
from scye.lay.garment import garment_of
from scye.laying import laid_on, lay_files
from scye.live.draft import trusted
from scye.papers import files_of
from scye.project import Project
from scye.teaching import lesson_files, taught
from scye.units.quantity import Kind
from scye.units.tape import parse_quantity

EVERYTHING = PrintWishes(projector=True, dxf=True)
# What the page offers, with its words and in its order: from `scye build`, then from `lay` and `lesson`.
PRINTED = {
    "tiles-a4.pdf": "A4 pages to join",
    "tiles-letter.pdf": "Letter pages to join",
    "sheet.pdf": "Roll, for a copy shop",
    "projector.pdf": "For a projector",
}
TOLD = {"proof.html": "Proof sheet", "lists.html": "Cutting ticket, sewing order and costs"}
CUT = {"pieces.dxf": "Pieces for a cutting room (DXF)", "pieces.svg": "All pieces in one picture (SVG)"}
LAID = {"lay.pdf": "The lay, drawn (PDF)", "lay.html": "The lay, with how much to buy"}
TAUGHT = {"lesson.html": "The draft in numbered steps"}
OFFERED = [
    [title, list(files.items())]
    for title, files in (
        ("Print", PRINTED),
        ("Sheets", TOLD),
        ("Cut", CUT),
        ("Cloth", LAID),
        ("Teach", TAUGHT),
    )
]
NAMES = frozenset({*PRINTED, *TOLD, *CUT, *LAID, *TAUGHT})

# mm: narrower is tape, and no loom is wider
NARROWEST, WIDEST = 50.0, 6000.0


@dataclass(frozen=True, slots=True, eq=False)
class Bundle:
    """All that the files of one page are made of: `tried` are the measures that the page has moved."""

    project: Project
    body: Body
    tried: frozenset[str]
    unit: DisplayUnit


@dataclass(frozen=True, slots=True)
class LayWish:
    """The cloth to lay on: which layer, how wide (as it was written), and whether it is folded."""

    layer: str
    width: str
    folded: bool


@dataclass(frozen=True, slots=True)
class NotMade:
    """Why a file was not made."""

    why: tuple[Diagnostic, ...]


def file_of(name: str, bundle: Bundle, lay: LayWish) -> bytes | NotMade:
    """One of the files by its name, as the command that it comes from would make it."""
    compiler = Compiler(bundle.project)
    if name in TAUGHT:
        lesson = taught(compiler, [bundle.body], (), bundle.unit)
        if isinstance(lesson, list):
            return NotMade(tuple(lesson))
        return _picked(name, lesson_files(lesson[0], _quiet))
    pattern = _pattern(compiler, bundle)
    if isinstance(pattern, NotMade):
        return pattern
    if name in LAID:
        return _laid(name, pattern, lay)
    return _picked(name, files_of([pattern], __version__, _quiet, [], None, EVERYTHING))


def _pattern(compiler: Compiler, bundle: Bundle) -> Pattern | NotMade:
    """The pattern as `scye build` would have it, with its error bars."""
    order, found = compiler.order(bundle.body, ())
    compile_all(compiler, [order], found)
    if any(d.severity is Severity.ERROR for d in found):
        return NotMade(tuple(found))
    (pattern,) = compiler.patterns([trusted(order, bundle.tried)], bundle.unit, _quiet, sure=True)
    return pattern


def _laid(name: str, pattern: Pattern, lay: LayWish) -> bytes | NotMade:
    width = parse_quantity(lay.width)
    if width is None or width.kind is not Kind.LENGTH or not NARROWEST <= width.inside <= WIDEST:
        wanted = f"a length with its unit, {NARROWEST:g} mm to {WIDEST:g} mm: `44in`, `112cm`"
        return NotMade((ClothNotUnderstood(span=None, option="cloth", text=lay.width, wanted=wanted),))
    cloth = Cloth(lay.layer, width.inside, "one-way", lay.folded, 0.0, NO_SHRINKAGE, 1.0, 20.0)
    sheet = laid_on(garment_of(pattern), cloth, 0)
    return NotMade(sheet) if isinstance(sheet, tuple) else _picked(name, lay_files(sheet, None, _quiet))


def _picked(name: str, files: Iterator[tuple[str, bytes]]) -> bytes:
    """The file of that name; those that come after it are not made."""
    return next(data for found, data in files if found == name)


def _quiet(_line: str) -> None:
    """A download says nothing of its progress."""
