"""Making ready for a batch: the recipe compiled, the table's headings read, and what the batch belongs to."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scye import __version__
from scye.assemble.assemble import unsaid
from scye.batch.journal import Head
from scye.diagnostics.command import FileTooLarge
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.people import ColumnLacking, TableTooLarge
from scye.drafting import Compiled
from scye.driver import Compiler
from scye.expand.choices import settle
from scye.ir import equations as e
from scye.ir.batch import BatchRequest
from scye.ir.people import Catalogue
from scye.ir.requests import ExitCode, Outcome
from scye.library import find_stdlib, read_source, shown_name
from scye.project import as_choices, open_project
from scye.read.people import LARGEST, People, read_people
from scye.source import Source
from scye.texts import read_recipe

# Bodies drafted together and put down as done together; the sheets of one take about a second.
CHUNK = 500
CHUNK_WITH_SHEETS = 20


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """A recipe and a table, both sound, ready to be drafted."""

    request: BatchRequest
    people: People
    compiler: Compiler
    compiled: Compiled
    needed: frozenset[str]
    remarks: tuple[Diagnostic, ...]

    @property
    def count(self) -> int:
        return len(self.people.lines)

    @property
    def size(self) -> int:
        return CHUNK_WITH_SHEETS if self.request.sheets else CHUNK

    def places(self, number: int) -> range:
        """The places of a chunk's bodies in the table."""
        return range(number * self.size, min((number + 1) * self.size, self.count))

    @property
    def chunks(self) -> range:
        return range(-(-self.count // self.size))


def ready(request: BatchRequest) -> Batch | Outcome:
    """The recipe compiled and the table's headings read; or what is amiss with either."""
    project = open_project(request.recipe)
    people, found = _people(request.people, project.catalogue)
    found = [*project.diagnostics, *found]
    if people is None or not project.sound:
        return Outcome(tuple(found), ExitCode.BAD_INPUT)
    compiler = Compiler(project)
    settled, mistakes = settle(compiler.program, as_choices(request.settings))
    found += mistakes
    if _grave(found):
        return Outcome(tuple(found), ExitCode.BAD_INPUT)
    compiled = compiler.compiled(settled)
    if isinstance(compiled, list):
        return Outcome((*found, *compiled), ExitCode.BAD_INPUT)
    found += unsaid(compiled.plan)
    needed = _needed(compiled)
    found += [
        ColumnLacking(span=node.span, measure=name)
        for name, node in needed.items()
        if name not in people.headings.measures
    ]
    if _grave(found):
        return Outcome(tuple(found), ExitCode.BAD_INPUT)
    return Batch(request, people, compiler, compiled, frozenset(needed), tuple(found))


def _people(path: Path, catalogue: Catalogue) -> tuple[People | None, list[Diagnostic]]:
    source = read_source(path, limit=LARGEST)
    match source:
        case Source():
            return read_people(source, catalogue)
        case FileTooLarge(name=name):
            return None, [TableTooLarge(span=None, name=name, what="more than 64 MB")]
        case _:
            return None, [source]


def _needed(compiled: Compiled) -> dict[str, e.Node]:
    """The measures that every body must have, each with the place that asks for it."""
    nodes = compiled.runnable.ordered.equations.nodes
    return {
        node.op.measure: node for node in nodes if isinstance(node.op, e.Taken) and node.op.otherwise is None
    }


def _grave(found: Sequence[Diagnostic]) -> bool:
    return any(d.severity is Severity.ERROR for d in found)


def head_of(batch: Batch) -> Head:
    """What a batch belongs to, for its journal. Nothing in it depends on where the files lie."""
    request = batch.request
    return {
        "scye": __version__,
        "recipe": request.recipe.name,
        "recipe_sha256": _digest(_texts(request.recipe)),
        "table": shown_name(request.people),
        "table_sha256": _digest([batch.people.source]),
        "choices": [list(setting) for setting in request.settings],
        "units": request.units or "",
        "sheets": request.sheets,
        "bodies": batch.count,
        "chunk": batch.size,
    }


def _texts(recipe: Path) -> list[Source]:
    """Every text that a draft depends on besides the table."""
    texts, _ = read_recipe(recipe)
    used = [file.source for text in texts for file in (text.file, *text.libraries)]
    standing = [read_source(find_stdlib() / name) for name in ("measures.yaml", "cautions.yaml")]
    return [*used, *(source for source in standing if isinstance(source, Source))]


def _digest(sources: Sequence[Source]) -> str:
    digest = hashlib.sha256()
    for source in sources:
        text = source.text.encode()
        digest.update(f"{len(text)}\n".encode())
        digest.update(text)
    return digest.hexdigest()
