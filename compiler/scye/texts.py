"""Reading the texts of a recipe: its own, those it is based on, and the methods that they use."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from scye.diagnostics.model import Diagnostic, Label
from scye.diagnostics.names import UseRing
from scye.diagnostics.sharing import ChangedSinceKept, ParentAlsoKept
from scye.diagnostics.variants import (
    EditionNotSaid,
    OtherEdition,
    ParentNotARecipe,
    ParentRing,
    TooManyParents,
)
from scye.envelope.contents import hash_of
from scye.ir import syntax as s
from scye.ir.envelope import CONTENTS_NAME
from scye.library import (
    find_methods,
    find_parent,
    find_stdlib,
    kept_edition,
    kept_folder,
    read_source,
    same_text,
    shown_name,
)
from scye.parse.again import Rereader
from scye.parse.parser import parse_file
from scye.read.contents import read_contents
from scye.source import Source

# How many recipes may stand between a variant and the one that all come from.
MOST_LEVELS = 8

# Where the text of a file comes from: the disk, or an editor that has it open and not yet saved.
ReadText = Callable[[Path], Source | Diagnostic]
Parsed = tuple[s.File, list[Diagnostic]]
ParseText = Callable[[Source], Parsed]


@dataclass(frozen=True, slots=True)
class MethodsText:
    """A file of methods as it is written."""

    path: Path
    file: s.File


@dataclass(frozen=True, slots=True)
class RecipeText:
    """One recipe as it is written, with the files of methods that it uses itself, and their mistakes."""

    path: Path
    file: s.File
    methods: tuple[MethodsText, ...]
    diagnostics: tuple[Diagnostic, ...]

    @property
    def libraries(self) -> tuple[s.File, ...]:
        return tuple(methods.file for methods in self.methods)

    @property
    def edition(self) -> str:
        """The edition under its title; empty where none is said."""
        headings = self.file.head.headings if self.file.head else ()
        return next((h.value for h in headings if h.key == "edition"), "")


def read_recipe(
    path: Path, read: ReadText = read_source, parse: ParseText | None = None
) -> tuple[list[RecipeText], list[Diagnostic]]:
    """A recipe with all that it is based on, from the first of them to itself.

    The diagnostics are of the chain itself: a text that is not found or not of the edition wanted. With any
    of them the chain is broken and what is answered does not begin at its first.
    """
    texts: list[RecipeText] = []
    while True:
        text = read_text(path, read, parse)
        if isinstance(text, Diagnostic):
            return texts, [text]
        below = texts[0] if texts else None
        texts.insert(0, text)
        based = text.file.head.based_on if text.file.head else None
        broken = _of_parent(text, below.file.head.based_on) if below and below.file.head else None
        if isinstance(broken, OtherEdition) and (kept := _kept_instead(texts, broken)) is not None:
            texts, path = texts[1:], kept
            continue
        if broken is not None:
            return texts, [broken]
        _kept_otherwise(texts)
        if based is None:
            return texts, []
        found = _parent(texts, based)
        if isinstance(found, Diagnostic):
            return texts, [found]
        path = found


def _parent(texts: list[RecipeText], based: s.BasedOn) -> Path | Diagnostic:
    """The file of the next parent, unless it leads round in a ring or on for ever."""
    name, edition = based.recipe.value, based.edition
    path = find_parent(name, texts[0].path, edition=edition, span=based.recipe.span)
    if isinstance(path, Diagnostic):
        return path
    ring = [i for i, text in enumerate(texts) if text.path.resolve() == path.resolve()]
    if ring:
        names = tuple(text.path.stem for text in reversed(texts[: ring[0] + 1]))
        return ParentRing(span=based.span, ring=(*names, names[0]))
    if len(texts) > MOST_LEVELS:
        return TooManyParents(span=based.span, most=MOST_LEVELS)
    return path


def _kept_instead(texts: list[RecipeText], other: OtherEdition) -> Path | None:
    """The edition that is wanted of a parent, from the library, where the one near by is another."""
    kept = kept_edition(other.name, other.wanted)
    if kept is None or kept.recipe.resolve() == texts[0].path.resolve():
        return None
    near = f"edition {other.found}" if other.found else "one without a number"
    said = f'edition {other.wanted} of "{other.name}" is taken from your library; near this recipe is {near}'
    _note(texts, said)
    return kept.recipe


def _kept_otherwise(texts: list[RecipeText]) -> None:
    """A note if the parent that was read, near the variant, is in the library as well and reads otherwise."""
    if len(texts) > 1 and texts[0].edition.isdecimal():
        name, edition = texts[0].path.stem, int(texts[0].edition)
        kept = kept_edition(name, edition)
        if kept is not None and not same_text(texts[0].path, kept.recipe):
            there = f'another edition {edition} of "{name}" is in your library'
            _note(texts, f"{there}; the one near this recipe is taken")


def _note(texts: list[RecipeText], what: str) -> None:
    """A note on what the second text says of the first."""
    head = texts[1].file.head
    assert head is not None
    assert head.based_on is not None
    parent = head.based_on.recipe
    note = ParentAlsoKept(span=parent.span, name=parent.value, what=what)
    texts[1] = replace(texts[1], diagnostics=(*texts[1].diagnostics, note))


def _of_parent(parent: RecipeText, based: s.BasedOn | None) -> Diagnostic | None:
    """What speaks against a text as the parent that was asked for."""
    assert based is not None
    name, head = based.recipe.value, parent.file.head
    if head is None:
        return None if parent.diagnostics else ParentNotARecipe(span=based.recipe.span, name=name)
    heading = next((h for h in head.headings if h.key == "edition"), None)
    found = parent.edition
    if based.edition is None:
        return EditionNotSaid(span=based.span, name=name, found=found)
    if found != str(based.edition):
        labels = (Label(heading.span, "the edition that is there"),) if heading else ()
        return OtherEdition(span=based.span, name=name, wanted=based.edition, found=found, labels=labels)
    return None


def read_text(
    path: Path, read: ReadText = read_source, parse: ParseText | None = None
) -> RecipeText | Diagnostic:
    """One recipe or file of methods, with the methods that it uses."""
    parse = parse or _parsed
    source = read(path)
    if isinstance(source, Diagnostic):
        return source
    file, mistakes = parse(source)
    found = list(mistakes)
    methods = _libraries(file, path.parent, found, read, parse)
    found += _changed(Path(os.path.abspath(path)), methods)
    return RecipeText(path, file, tuple(methods), tuple(found))


def _changed(recipe: Path, methods: list[MethodsText]) -> Iterator[Diagnostic]:
    """What is amiss with a recipe that is kept in the library: the edition must be as the list beside it
    says, and must use nothing that the list doesn't have."""
    folder = kept_folder(recipe)
    if folder is None:
        return
    listed = read_source(folder / CONTENTS_NAME)
    contents = read_contents(listed) if isinstance(listed, Source) else listed
    if isinstance(contents, Diagnostic):
        what = f"has no list of contents beside it that can be read: {contents.seen()}"
        yield ChangedSinceKept(name=shown_name(recipe), what=what)
        return
    texts = [file for file in contents.enclosed if file.sort in ("recipe", "methods")]
    for file in texts:
        text = read_source(folder / file.place)
        if not isinstance(text, Source) or hash_of(text.text.encode()) != file.hash:
            what = "is not as it was when it was kept"
            yield ChangedSinceKept(name=shown_name(folder / file.place), what=what)
    known = [folder / file.place for file in texts]
    for path in (recipe, *(m.path for m in methods)):
        if path not in known and not path.is_relative_to(find_stdlib()):
            yield ChangedSinceKept(name=shown_name(path), what="was not there when the recipe was kept")


_parse_cache: dict[tuple[str, str], Parsed] = {}


def _parsed(source: Source) -> Parsed:
    """A file parsed; a text that has not changed is not parsed again."""
    key = (source.name, source.text)
    if key not in _parse_cache:
        if len(_parse_cache) > 64:
            _parse_cache.clear()
        _parse_cache[key] = parse_file(source)
    return _parse_cache[key]


class TextsAgain:
    """The texts of one recipe that is worked on. From its first change on a text is parsed line by line: what
    was parsed of it before counts no more then, and its places move to the new text."""

    def __init__(self) -> None:
        self._here: dict[str, Source] = {}  # what was parsed since the beginning, by its name
        self._parsed: dict[str, tuple[Source, Parsed, Rereader | None]] = {}

    def begin(self) -> None:
        """All texts are about to be read anew. Those that were not read the last time are forgotten."""
        self._parsed = {name: self._parsed[name] for name in self._here}
        self._here = {}

    def parse(self, source: Source) -> Parsed:
        """A file parsed, as `parse_file`."""
        here = self._here.setdefault(source.name, source)
        if here.text != source.text:
            return parse_file(source)  # another file of the name, or it was just changed: the first stays
        before, parsed, again = self._parsed.get(source.name, (None, None, None))
        if before is None or parsed is None:
            parsed = _parsed(source)
        elif before.text == source.text:
            return parsed
        else:
            again = again or Rereader()
            parsed = again.parse(source)
        self._parsed[source.name] = source, parsed, again
        return parsed


# --- methods ------------------------------------------------------------------------------------


def _libraries(
    file: s.File, beside: Path, found: list[Diagnostic], read: ReadText, parse: ParseText
) -> list[MethodsText]:
    """The method files that a recipe uses, directly or by way of others, each once."""
    libraries: list[MethodsText] = []
    done: set[str] = set()
    waiting: list[tuple[s.Ident, tuple[str, ...]]] = [(ident, ()) for ident in _uses(file)]
    while waiting:
        ident, trail = waiting.pop(0)
        if ident.text in trail:
            ring = (*trail[trail.index(ident.text) :], ident.text)
            found.append(UseRing(span=ident.span, ring=ring))
            continue
        if ident.text in done:
            continue
        done.add(ident.text)
        library = _library(ident, beside, found, read, parse)
        if library is not None:
            libraries.append(library)
            waiting += [(other, (*trail, ident.text)) for other in _uses(library.file)]
    return libraries


def _library(
    ident: s.Ident,
    beside: Path,
    found: list[Diagnostic],
    read: ReadText,
    parse: ParseText,
) -> MethodsText | None:
    path = find_methods(ident.text, beside, span=ident.span)
    if isinstance(path, Diagnostic):
        found.append(path)
        return None
    source = read(path)
    if isinstance(source, Diagnostic):
        found.append(source)
        return None
    file, mistakes = parse(source)
    found += mistakes
    return MethodsText(path, file)


def _uses(file: s.File) -> list[s.Ident]:
    return [ident for statement in file.body if isinstance(statement, s.Use) for ident in statement.names]
