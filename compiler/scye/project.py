"""Reading a project: the recipe with the methods it uses, the catalogue, cards and charts.

All files that a run needs are read here and nowhere else; what can't be read comes back as diagnostics.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

from scye.check.again import Before
from scye.check.check import check, check_again
from scye.diagnostics.expansion import TooTangled
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.names import SizeUnknown, UnknownCaution, UnknownMethod
from scye.diagnostics.suggest import nearest
from scye.expand.choices import COMMAND_LINE
from scye.ir import syntax as s
from scye.ir.notions import Rates
from scye.ir.people import Body, Catalogue, Chart, ChoiceText
from scye.ir.program import Program
from scye.library import find_stdlib, read_source
from scye.parse.parser import parse_file
from scye.read.cards import read_card
from scye.read.catalogue import Caution, read_catalogue, read_cautions
from scye.read.charts import read_chart
from scye.read.rates import read_rates
from scye.resolve.resolve import resolve
from scye.resolve.variant import Merged, alone, merge, still_used
from scye.source import Source, Span
from scye.texts import ReadText, RecipeText, TextsAgain, read_recipe, read_text


@dataclass(frozen=True, slots=True, eq=False)
class Project:
    """A recipe that was read and checked. `program` is None where its errors are too grave to go on.

    `texts` are its own and those it is based on, from the first of them to itself, as they are written.
    """

    program: Program | None
    catalogue: Catalogue
    cautions: dict[str, Caution]
    diagnostics: tuple[Diagnostic, ...]
    texts: tuple[RecipeText, ...] = ()

    @property
    def sound(self) -> bool:
        return self.program is not None and not any(d.severity is Severity.ERROR for d in self.diagnostics)


@dataclass(slots=True)
class Kept:
    """What is kept of a recipe that is worked on, from one opening of it to the next: what was parsed of its
    texts, and what was checked of it and of each recipe that it is based on."""

    texts: TextsAgain = field(default_factory=TextsAgain)
    checks: list[Before] = field(default_factory=list)

    def check(self, program: Program, level: int) -> list[Diagnostic]:
        """As `check`; `level` is how many recipes the program is based on."""
        self.checks += [Before()] * (level + 1 - len(self.checks))
        found, self.checks[level] = check_again(program, self.checks[level])
        return found


# Python calls made in Python need no machine stack (3.11 and later), so a long chain of names is safe.
DEEPEST = 60_000


def open_project(recipe: Path, read: ReadText = read_source, kept: Kept | None = None) -> Project:
    """Read, resolve and check a recipe and all it uses; a variant after the recipes that it is based on.

    Mistakes of a parent are said in its own file, and nothing is said of what is laid over it. `read` gives
    the text of a file. With what was `kept` of the recipe, only what has changed is parsed and checked anew;
    places of an answer before then move to where the same lines are now.
    """
    sys.setrecursionlimit(max(sys.getrecursionlimit(), DEEPEST))
    catalogue, cautions, standing = standards()
    if kept is not None:
        kept.texts.begin()
    texts, broken = read_recipe(recipe, read, kept.texts.parse if kept is not None else None)
    said = [*standing, *(d for text in reversed(texts) for d in text.diagnostics), *broken]
    if not texts or broken:
        return Project(None, catalogue, cautions, tuple(said), tuple(texts))
    merged = alone(texts[0].file)
    libraries = list(texts[0].libraries)
    program, found = _checked(merged, libraries, catalogue, cautions, kept)
    for level, (below, text) in enumerate(pairwise(texts), 1):
        if any(d.severity is Severity.ERROR for d in (*below.diagnostics, *found)):
            return Project(None, catalogue, cautions, (*said, *found), tuple(texts))
        merged = merge(merged.file, text.file)
        libraries += [new for new in text.libraries if not any(_alike(new, known) for known in libraries)]
        program, found = _checked(merged, libraries, catalogue, cautions, kept, level)
    return Project(program, catalogue, cautions, (*said, *found), tuple(texts))


def open_methods(path: Path, read: ReadText = read_source, kept: Kept | None = None) -> Project:
    """Read and check a file of methods by itself, as a recipe that says nothing else would have it. `kept` is
    as in `open_project`."""
    sys.setrecursionlimit(max(sys.getrecursionlimit(), DEEPEST))
    catalogue, cautions, standing = standards()
    if kept is not None:
        kept.texts.begin()
    text = read_text(path, read, kept.texts.parse if kept is not None else None)
    if isinstance(text, Diagnostic):
        return Project(None, catalogue, cautions, (*standing, text))
    bare, _ = parse_file(Source(path.name, 'recipe "methods"\n'))
    program, found = _checked(alone(bare), [text.file, *text.libraries], catalogue, cautions, kept)
    return Project(program, catalogue, cautions, (*standing, *text.diagnostics, *found), (text,))


def _alike(one: s.File, other: s.File) -> bool:
    """Whether two files of methods are one: the very file, or a copy that travelled with another recipe."""
    return one is other or (
        Path(one.source.name).name == Path(other.source.name).name and one.source.text == other.source.text
    )


def _checked(
    merged: Merged,
    libraries: list[s.File],
    catalogue: Catalogue,
    cautions: dict[str, Caution],
    kept: Kept | None = None,
    level: int = 0,
) -> tuple[Program, list[Diagnostic]]:
    """The program of a recipe that was put together, and all that is wrong with it."""
    found = list(merged.diagnostics)
    measures = {m.name: m.kind for m in catalogue.measures}
    program, mistakes = resolve(merged.file, libraries, measures)
    try:
        mistakes += check(program) if kept is None else kept.check(program, level)
    except RecursionError:
        mistakes.append(TooTangled(span=None))
    found += still_used(map(_held_elsewhere, mistakes), merged.left_out)
    return program, found + _unknown_cautions(merged.file.body, cautions)


def _held_elsewhere(mistake: Diagnostic) -> Diagnostic:
    """An unknown method that a standard file holds is told with the name of that file."""
    if isinstance(mistake, UnknownMethod):
        return replace(mistake, held=_standard_methods().get(mistake.name, ""))
    return mistake


@lru_cache(maxsize=1)
def _standard_methods() -> dict[str, str]:
    """The name of every standard method, with that of its file."""
    sources = [(path.stem, read_source(path)) for path in sorted(find_stdlib().glob("*.scye"))]
    return {
        statement.name.text: name
        for name, source in sources
        if isinstance(source, Source)
        for statement in parse_file(source)[0].body
        if isinstance(statement, s.Method)
    }


@lru_cache(maxsize=1)
def standards() -> tuple[Catalogue, dict[str, Caution], list[Diagnostic]]:
    """The catalogue of measures and the cautions of stdlib, read once."""
    found: list[Diagnostic] = []
    catalogue = Catalogue((), ())
    cautions: tuple[Caution, ...] = ()
    measures = read_source(find_stdlib() / "measures.yaml")
    if isinstance(measures, Source):
        catalogue, mistakes = read_catalogue(measures)
        found += mistakes
    else:
        found.append(measures)
    texts = read_source(find_stdlib() / "cautions.yaml")
    if isinstance(texts, Source):
        cautions, mistakes = read_cautions(texts)
        found += mistakes
    else:
        found.append(texts)
    return catalogue, {c.name: c for c in cautions}, found


def _unknown_cautions(body: tuple[s.Statement, ...], cautions: dict[str, Caution]) -> list[Diagnostic]:
    found: list[Diagnostic] = []
    for statement in body:
        match statement:
            case s.Caution(name=name) if name.text not in cautions:
                near = nearest(name.text, sorted(cautions))
                found.append(UnknownCaution(span=name.span, name=name.text, near=near))
            case s.When(body=inner, otherwise=other):
                found += _unknown_cautions((*inner, *other), cautions)
            case s.Repeat(body=inner) | s.Draft(body=inner):
                found += _unknown_cautions(inner, cautions)
            case _:
                pass
    return found


# --- bodies -----------------------------------------------------------------------------------


def open_card(path: Path, catalogue: Catalogue) -> tuple[Body | None, list[Diagnostic]]:
    source = read_source(path)
    if isinstance(source, Diagnostic):
        return None, [source]
    return read_card(source, catalogue)


def open_chart(path: Path, catalogue: Catalogue) -> tuple[Chart | None, list[Diagnostic]]:
    source = read_source(path)
    if isinstance(source, Diagnostic):
        return None, [source]
    return read_chart(source, catalogue)


def open_rates(path: Path | None) -> tuple[Rates, list[Diagnostic]]:
    """A maker's rates; all blank where she gives none."""
    if path is None:
        return Rates(), []
    source = read_source(path)
    if isinstance(source, Diagnostic):
        return Rates(), [source]
    return read_rates(source)


def sizes_of(chart: Chart, wanted: tuple[str, ...]) -> tuple[tuple[Body, ...], list[Diagnostic]]:
    """The sizes asked for, in the chart's order of asking; all of them where none is named."""
    if not wanted:
        return chart.sizes, []
    by_code = {body.code: body for body in chart.sizes}
    found: list[Diagnostic] = [
        SizeUnknown(span=chart.span, size=size, sizes=tuple(by_code))
        for size in wanted
        if size not in by_code
    ]
    return tuple(by_code[size] for size in wanted if size in by_code), found


def as_choices(settings: tuple[tuple[str, str], ...]) -> tuple[ChoiceText, ...]:
    """Choices set on the command line, as if they stood on a card."""
    texts = []
    for name, text in settings:
        line = f"--set {name}={text}"
        source = Source(COMMAND_LINE, line)
        texts.append(ChoiceText(name, text, Span(source, line.index("=") + 1, len(line))))
    return tuple(texts)
