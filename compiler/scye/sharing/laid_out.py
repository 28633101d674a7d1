"""An envelope laid out in a folder of its own, where its recipe is read, and found sound and complete."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from scye.diagnostics.command import MissingMethods
from scye.diagnostics.model import Diagnostic, Severity
from scye.diagnostics.sharing import NotAsListed, NotSelfContained, StandardOtherwise
from scye.diagnostics.variants import ParentMissing
from scye.driver import checked
from scye.envelope.contents import contents_text, hash_of
from scye.ir.envelope import CONTENTS_NAME, Envelope, Standard
from scye.library import RECIPE_ENDING, find_stdlib, read_source, told_as
from scye.project import Project, open_project
from scye.source import Source
from scye.texts import RecipeText


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A recipe that is ready to be looked at: its file, the texts of it and of all that it is based on (from
    the first of them to itself), the project, and all that is to be told of it."""

    recipe: Path
    texts: Sequence[RecipeText]
    project: Project
    found: tuple[Diagnostic, ...]

    @property
    def sound(self) -> bool:
        return not any(d.severity is Severity.ERROR for d in self.found)


@contextmanager
def laid_out(envelope: Envelope, within: Path | None = None) -> Iterator[tuple[Path, LaidOut]]:
    """The envelope in a passing folder (in `within`, if given), and its recipe as it reads there."""
    with tempfile.TemporaryDirectory(prefix=".scye-", dir=within) as passing:
        folder = Path(os.path.realpath(passing)) / "edition"
        _set_down(envelope, folder)
        with told_as(folder, envelope.name):
            name = envelope.contents.recipe
            opened = look_at(folder / name / f"{name}{RECIPE_ENDING}")
            yield folder, _complete(envelope, folder, opened)


def look_at(recipe: Path) -> LaidOut:
    """A recipe where it lies, with everything that can be said of it without a body."""
    project = open_project(recipe)
    return LaidOut(recipe, project.texts, project, checked(project))


def _set_down(envelope: Envelope, folder: Path) -> None:
    """The files of an envelope, whose places have been found harmless, as new files."""
    listed = (CONTENTS_NAME, contents_text(envelope.contents).encode())
    for place, data in (listed, *envelope.files):
        path = folder / place
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(data)


# --- whether it is complete ---------------------------------------------------------------------


def _complete(envelope: Envelope, folder: Path, opened: LaidOut) -> LaidOut:
    missing = [*_lacking(envelope, opened.found), *_reaching_out(envelope, folder, opened.texts)]
    amiss = missing or [*_unlike(envelope, folder, opened.texts)] if opened.texts else []
    # What is said of a recipe that lacks something would only follow from that.
    found = (*amiss, *(() if missing else opened.found), *_standard_otherwise(envelope, opened.texts))
    return LaidOut(opened.recipe, opened.texts, opened.project, tuple(dict.fromkeys(found)))


def _lacking(envelope: Envelope, found: Sequence[Diagnostic]) -> Iterator[Diagnostic]:
    """What the recipe asks for and nobody has."""
    for diagnostic in found:
        if isinstance(diagnostic, ParentMissing | MissingMethods):
            what = f"holds a recipe that needs `{diagnostic.name[:80]}`, which is not enclosed"
            yield NotSelfContained(span=diagnostic.span, name=envelope.name, what=what)


def _reaching_out(envelope: Envelope, folder: Path, texts: Sequence[RecipeText]) -> Iterator[Diagnostic]:
    """What the recipe takes from elsewhere than its envelope and Scye's own files."""
    for text in texts:
        if not text.path.is_relative_to(folder):
            what = f"holds a recipe based on `{text.path.stem}`, which is not enclosed"
            yield NotSelfContained(name=envelope.name, what=what)
        for methods in text.methods:
            if not (methods.path.is_relative_to(folder) or is_standard(methods.path)):
                what = f"uses the methods of `{methods.path.stem}`, which are not enclosed"
                yield NotSelfContained(name=envelope.name, what=what)


def is_standard(path: Path) -> bool:
    return path.resolve().is_relative_to(find_stdlib().resolve())


def _unlike(envelope: Envelope, folder: Path, texts: Sequence[RecipeText]) -> Iterator[Diagnostic]:
    """Where the list, and what the recipe is and uses, differ."""
    editions = {text.path.relative_to(folder).as_posix(): text.edition for text in texts}
    own = [m.path for text in texts for m in text.methods if not is_standard(m.path)]
    used = {**editions, **{path.relative_to(folder).as_posix(): None for path in own}}
    for file in envelope.contents.enclosed:
        if file.sort not in ("recipe", "methods"):
            continue
        if file.place not in used or (file.sort == "recipe") != (file.place in editions):
            what = f"holds `{file.place}`, which its recipe doesn't use as {file.sort}"
            yield NotSelfContained(span=file.span, name=envelope.name, what=what)
        elif file.sort == "recipe" and editions[file.place] != str(file.edition):
            said = editions[file.place] or "none"
            what = f"lists `{file.place}` as edition {file.edition}, and the recipe says {said}"
            yield NotAsListed(span=file.span, name=envelope.name, what=what)
    listed = {standard.name for standard in envelope.contents.standard}
    if listed != {standard.name for standard in standard_files(texts)}:
        what = "lists other files of Scye's own than its recipe uses"
        yield NotAsListed(name=envelope.name, what=what)


# --- what it takes from Scye --------------------------------------------------------------------


def standard_files(texts: Sequence[RecipeText]) -> tuple[Standard, ...]:
    """The files of Scye's own that a recipe is drafted with, by name, with the hashes that they have here."""
    methods = {m.path.name for text in texts for m in text.methods if is_standard(m.path)}
    names = sorted({"measures.yaml", "cautions.yaml"} | methods)
    sources = {name: read_source(find_stdlib() / name) for name in names}
    return tuple(
        Standard(name, hash_of(source.text.encode()))
        for name, source in sources.items()
        if isinstance(source, Source)
    )


def _standard_otherwise(envelope: Envelope, texts: Sequence[RecipeText]) -> Iterator[Diagnostic]:
    here = {standard.name: standard.hash for standard in standard_files(texts)}
    other = [s.name for s in envelope.contents.standard if here.get(s.name, s.hash) != s.hash]
    if other:
        yield StandardOtherwise(name=envelope.name, what=" and ".join(f"`{name}`" for name in other))
