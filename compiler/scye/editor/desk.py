"""The texts that an editor has open, and what the recipes among them come to."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import islice
from pathlib import Path

from scye import project
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import AlteredFromLibrary, OpenedFromLibrary
from scye.driver import checked
from scye.editor.chosen import Chosen, Figures, figures_for
from scye.editor.index import Index, index_of
from scye.ir import syntax as s
from scye.library import RECIPE_ENDING, find_stdlib, kept_folder, read_source, shown_name
from scye.live.draft import LiveDraft
from scye.project import Project
from scye.source import Source
from scye.texts import ReadText

# Of the recipes in a folder and those below it, so many are looked through for uses of a name, in so many
# folders: an editor may have a whole disk open.
MOST_RECIPES = 500
MOST_FOLDERS = 2_000


@dataclass(frozen=True, eq=False)
class Looked:
    """What a recipe or a file of methods came to, with the figures of the body that was chosen.

    `paths` has the file of every text that was read, by its shown name.
    """

    project: Project
    diagnostics: tuple[Diagnostic, ...]
    figures: Figures | None
    paths: dict[str, Path]

    @cached_property
    def index(self) -> Index:
        """Where each name is used; made when it is first asked for, which most edits never do."""
        return index_of(_files(self.project))

    def method_files(self) -> list[str]:
        """The files of methods that `use` may name: those beside the recipe, and those of stdlib."""
        beside = self.project.texts[-1].path.parent if self.project.texts else Path()
        return [path.stem for folder in (beside, find_stdlib()) for path in methods_in(folder)]


class Kept:
    """A recipe or a file of methods between one look at it and the next: what was drafted or checked, and
    the files that were read for it."""

    def __init__(self, path: Path, read: ReadText) -> None:
        self.paths: dict[str, Path] = {}
        self.methods = project.Kept()
        self.live = LiveDraft(path, self.read)
        self._read = read

    def begin(self) -> None:
        """Texts may have changed since."""
        self.paths = {}
        self.live.look_again()

    def read(self, file: Path) -> Source | Diagnostic:
        source = self._read(file)
        if isinstance(source, Source):
            self.paths[source.name] = absolute(file)
        return source


@dataclass(slots=True)
class Desk:
    """Texts by their files' paths. What a recipe came to counts until a text that it hangs on changes."""

    folder: Path
    chosen: Chosen | None = None
    texts: dict[Path, str] = field(default_factory=dict)
    _looked: dict[Path, Looked] = field(default_factory=dict)
    _kept: dict[Path, Kept] = field(default_factory=dict)

    # --- texts ----------------------------------------------------------------------------------

    def put(self, path: Path, text: str) -> None:
        """A text was opened or changed; its line breaks are all `\\n`."""
        before = self.source(path)
        self.texts[path] = text
        if before is None:
            self.forget()
        elif before.text != text:
            self._forget(path)

    def take(self, path: Path) -> None:
        """A text was closed: what is on the disk counts again."""
        if self.texts.pop(path, None) is not None:
            self._kept.pop(path, None)
            self._forget(path)

    def _forget(self, path: Path) -> None:
        """Keep only what does not hang on a text."""
        hanging = [own for own, looked in self._looked.items() if path in looked.paths.values()]
        for own in hanging:
            del self._looked[own]

    def forget(self) -> None:
        """Something has changed on the disk, or another body was chosen."""
        self._looked.clear()

    def read(self, path: Path) -> Source | Diagnostic:
        text = self.texts.get(absolute(path))
        return read_source(path) if text is None else Source(shown_name(path), text)

    def source(self, path: Path) -> Source | None:
        source = self.read(path)
        return source if isinstance(source, Source) else None

    # --- what they come to ----------------------------------------------------------------------

    def looked(self, path: Path) -> Looked:
        """What a recipe or file of methods comes to, as all texts are now."""
        path = absolute(path)
        if path not in self._looked:
            kept = self._kept.setdefault(path, Kept(path, self.read)) if path in self.texts else None
            self._looked[path] = look(path, self.read, self.chosen, kept)
        return self._looked[path]

    def without_line(self, path: Path, line: int) -> Looked:
        """What a recipe comes to; without a line (counted from 1) that can't be read, since a piece or curve
        that holds such a line is not known at all."""
        looked, source = self.looked(path), self.source(path)
        spans = [d.span for text in looked.project.texts for d in text.diagnostics if d.span]
        if source is None or not any(x.source.name == source.name and x.line == line for x in spans):
            return looked
        lines = source.text.split("\n")
        lines[line - 1] = ""
        rest = Source(source.name, "\n".join(lines))
        own = absolute(path)
        without = look(path, lambda file: rest if absolute(file) == own else self.read(file))
        return replace(without, figures=looked.figures)

    def recipes(self) -> Iterator[Path]:
        """The recipes and methods that are open or below the folder, in order."""
        found = set(self.texts)
        for top, folders, names in islice(os.walk(self.folder), MOST_FOLDERS):
            folders[:] = sorted(name for name in folders if not name.startswith("."))
            found.update(absolute(Path(top, name)) for name in names if name.endswith(RECIPE_ENDING))
            if len(found) > MOST_RECIPES:
                break
        yield from sorted(path for path in found if path.suffix == RECIPE_ENDING)


def look(path: Path, read: ReadText, chosen: Chosen | None = None, kept: Kept | None = None) -> Looked:
    """Everything that can be said of a recipe or a file of methods, drafted for a body if one is chosen.

    `kept` is what an earlier look at the same recipe, with the same `read`, has left to go on from.
    """
    kept = kept or Kept(path, read)
    kept.begin()
    own = kept.read(path)
    of_library = tuple(_of_library(path, own))

    def looked(of: Project, found: Iterable[Diagnostic], figures: Figures | None = None) -> Looked:
        return Looked(of, tuple(dict.fromkeys((*of_library, *found))), figures, kept.paths)

    if _holds_methods(own):
        methods = project.open_methods(path, kept.read, kept.methods)
        return looked(methods, methods.diagnostics)
    recipe = kept.live.project
    answer = figures_for(kept.live, chosen, kept.read) if chosen is not None and recipe.sound else []
    if isinstance(answer, Figures):
        return looked(recipe, answer.remarks, answer)
    return looked(recipe, (*checked(recipe), *answer))


def _of_library(path: Path, text: Source | Diagnostic) -> Iterator[Diagnostic]:
    """A word on a file that is kept in the maker's library: it stays as it came."""
    if kept_folder(path) is None or not isinstance(text, Source):
        return
    on_disk = read_source(path)
    altered = isinstance(on_disk, Source) and on_disk.text != text.text
    yield AlteredFromLibrary(name=text.name) if altered else OpenedFromLibrary(name=text.name)


def _files(project: Project) -> list[s.File]:
    return [file for text in project.texts for file in (text.file, *text.libraries)]


def _holds_methods(source: Source | Diagnostic) -> bool:
    """Whether a text is a file of methods: it has a method at the left edge and no `recipe`."""
    if not isinstance(source, Source):
        return False
    words = [line.split(maxsplit=1)[0] for line in source.text.splitlines() if line[:1].isalpha()]
    return "recipe" not in words and "method" in words


def methods_in(folder: Path) -> Iterator[Path]:
    """The files of methods in a folder, in order."""
    for path in sorted(folder.glob(f"*{RECIPE_ENDING}")):
        if _holds_methods(read_source(path)):
            yield path


def absolute(path: Path) -> Path:
    return Path(os.path.abspath(path))
