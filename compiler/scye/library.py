"""Finding and reading texts: recipes, methods files, cards, charts and stdlib.

Every mistake with a file comes back as a diagnostic in place of what was asked for.
"""

from __future__ import annotations

import os
import re
import stat
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace
from pathlib import Path

from scye.diagnostics.command import (
    CannotRead,
    FileTooLarge,
    FolderNotFile,
    LeadsOutside,
    MethodsNameRefused,
    MissingFile,
    MissingMethods,
    MissingRecipe,
    NotARecipe,
    NotPlainText,
)
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import EditionNotKept, EnvelopeIsClosed, TwoMethods, TwoRecipes
from scye.diagnostics.suggest import nearest
from scye.diagnostics.variants import ParentMissing, ParentNameRefused
from scye.source import Source, Span

RECIPE_ENDING = ".scye"
ENVELOPE_ENDING = ".envelope"
LIBRARY_SETTING = "SCYE_LIBRARY"
# In bytes. The longest recipes run to some 50 kB; a card or chart of every size there is to less.
SIZE_LIMIT = 1_000_000

_PACKAGE = Path(__file__).resolve().parent
_PARENT_NAME = re.compile(r"[^\W_][\w-]{0,99}")
_PLAIN_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,63}")


def find_stdlib() -> Path:
    """The folder of standard methods and measures: inside the installed package, else the checkout's own.

    Two steps, because a wheel carries stdlib within the package but a checkout that is installed to be
    edited does not.
    """
    within = _PACKAGE / "stdlib"
    return within if within.is_dir() else _PACKAGE.parent.parent / "stdlib"


def find_guide() -> Path:
    """The guide to the language: inside the installed package, or beside it in a checkout."""
    within = _PACKAGE / "LANGUAGE.md"
    return within if within.is_file() else _PACKAGE.parent / "LANGUAGE.md"


def find_samples() -> list[Path]:
    """The cards of invented bodies that a recipe is shown for when no card is given: inside the installed
    package, else among the checkout's examples. The one with most measures comes first."""
    within = _PACKAGE / "stdlib" / "samples"
    folder = within if within.is_dir() else _PACKAGE.parent.parent / "examples" / "cards"
    first = folder / "wren.yaml"
    return [first, *(folder / name for name in _names(folder, ".yaml") if name != first.name)]


# --- reading ------------------------------------------------------------------------------------


def read_source(path: Path, *, limit: int = SIZE_LIMIT) -> Source | Diagnostic:
    """The text of a file, named as the maker would name it; line breaks of every kind become `\\n`."""
    data = read_bytes(path, limit)
    if isinstance(data, Diagnostic):
        return data
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        return NotPlainText(name=shown_name(path), line=_line_of(data, trouble.start))
    if "\0" in text:
        return NotPlainText(name=shown_name(path), line=_line_of(data, data.index(0)))
    return Source(shown_name(path), text.replace("\r\n", "\n").replace("\r", "\n"))


def read_bytes(path: Path, limit: int) -> bytes | Diagnostic:
    """The bytes of a file of at most `limit` bytes."""
    name = shown_name(path)
    try:
        # What is not an ordinary file is not opened at all: opening a pipe would wait for ever.
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            return FolderNotFile(name=name, wanted="a file", near=_files_within(path))
        if not stat.S_ISREG(mode):
            return CannotRead(name=name, why="it is not an ordinary file")
        with path.open("rb") as file:
            data = file.read(limit + 1)
    except (FileNotFoundError, NotADirectoryError):
        return _missing(path)
    except (OSError, ValueError) as trouble:
        return CannotRead(name=name, why=reason(trouble))
    return FileTooLarge(name=name, limit=limit) if len(data) > limit else data


def reason(trouble: OSError | ValueError) -> str:
    """Why the machine refused, in plain words."""
    match trouble:
        case PermissionError():
            return "you are not allowed to"
        case OSError(strerror=str(words)):
            return words[:1].lower() + words[1:]
        case _:
            return "its name can't be that of a file"


def shown_name(path: Path) -> str:
    """How the maker is told of a file: from where she stands if it lies below, stdlib and her library by
    their own names."""
    absolute = Path(os.path.abspath(path))
    known = (*_named.get(), (Path.cwd(), ""), (find_stdlib(), "stdlib/"), (library_folder(), "library/"))
    for folder, prefix in known:
        if absolute.is_relative_to(folder):
            return prefix + absolute.relative_to(folder).as_posix()
    return path.as_posix()


# Folders of a passing kind, each with the name that it is told by.
_named: ContextVar[tuple[tuple[Path, str], ...]] = ContextVar("_named", default=())


@contextmanager
def told_as(folder: Path, name: str) -> Iterator[None]:
    """For a while, files below the folder are told as files of `name`."""
    token = _named.set(((Path(os.path.abspath(folder)), f"{name}/"), *_named.get()))
    try:
        yield
    finally:
        _named.reset(token)


def _line_of(data: bytes, offset: int) -> int:
    return data.count(b"\n", 0, offset) + 1


def _missing(path: Path) -> MissingFile:
    parent = path.parent
    if not os.path.isdir(parent):
        return MissingFile(name=shown_name(path), folder_missing=shown_name(parent))
    beside = [parent / name for name in _near(path.name, _names(parent, path.suffix))]
    return MissingFile(name=shown_name(path), near=tuple(map(shown_name, beside)))


def _files_within(folder: Path) -> tuple[str, ...]:
    """The first few texts of a folder, to be offered in its place."""
    names = [*_names(folder, RECIPE_ENDING), *_names(folder, ".yaml")]
    return tuple(shown_name(folder / name) for name in names[:3])


def _names(folder: Path, ending: str) -> list[str]:
    """Names in a folder with an ending, in order; none if the folder can't be looked into."""
    try:
        return sorted(name for name in os.listdir(folder) if name.endswith(ending))
    except OSError:
        return []


def _near(name: str, names: Iterable[str]) -> tuple[str, ...]:
    near = nearest(name, names)
    return (near,) if near else ()


# --- the maker's own library --------------------------------------------------------------------

_chosen: ContextVar[Path | None] = ContextVar("_chosen", default=None)
_EDITION = re.compile(r"edition-(0|[1-9][0-9]{0,8})")
_BY_EDITION = re.compile(r"([A-Za-z0-9][A-Za-z0-9_-]*)@([0-9]{1,9})")


@contextmanager
def library_at(folder: Path | None) -> Iterator[None]:
    """For a while, the maker's library is the folder, where one is given."""
    token = _chosen.set(folder or _chosen.get())
    try:
        yield
    finally:
        _chosen.reset(token)


def library_folder() -> Path:
    """The maker's own library: what the command says, or else SCYE_LIBRARY, or else a folder among her data
    as the system lays them. It need not be there."""
    chosen = _chosen.get() or os.environ.get(LIBRARY_SETTING)
    return Path(os.path.abspath(chosen)) if chosen else _data_folder() / "scye" / "library"


def _data_folder() -> Path:
    home = Path(os.path.expanduser("~"))
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    if sys.platform == "darwin":
        return home / "Library" / "Application Support"
    # The XDG base directory specification: a path that isn't absolute is passed over.
    data = Path(os.environ.get("XDG_DATA_HOME") or "")
    return data if data.is_absolute() else home / ".local" / "share"


@dataclass(frozen=True, slots=True)
class Kept:
    """An edition in the library: a folder with all that came in its envelope."""

    name: str
    edition: int
    folder: Path

    @property
    def recipe(self) -> Path:
        return self.folder / self.name / f"{self.name}{RECIPE_ENDING}"


def kept_editions(name: str) -> list[Kept]:
    """The editions that are kept of a recipe, the oldest first."""
    shelf = library_folder() / name
    if not _PARENT_NAME.fullmatch(name):
        return []
    found = [match for folder in _names(shelf, "") if (match := _EDITION.fullmatch(folder))]
    editions = [Kept(name, int(match[1]), shelf / match[0]) for match in found]
    return sorted((k for k in editions if os.path.isfile(k.recipe)), key=lambda k: k.edition)


def kept_edition(name: str, edition: int | None) -> Kept | None:
    """One edition of a recipe in the library, the newest if none is named."""
    kept = [k for k in kept_editions(name) if edition in (None, k.edition)]
    return kept[-1] if kept else None


def kept_folder(path: Path) -> Path | None:
    """The folder of the kept edition that a file belongs to; None if it isn't kept in the library."""
    absolute, library = Path(os.path.abspath(path)), library_folder()
    if not absolute.is_relative_to(library):
        return None
    parts = absolute.relative_to(library).parts
    return library / parts[0] / parts[1] if len(parts) == 4 and _EDITION.fullmatch(parts[1]) else None


# --- recipes ------------------------------------------------------------------------------------


def find_recipe(argument: str) -> Path | Diagnostic:
    """The recipe that a word of the command line means.

    A file ending in `.scye`; a folder holding one of the folder's name; the name of a recipe in `./recipes`
    (`recipes/NAME/NAME.scye` or `recipes/NAME.scye`), which may not lead out of that folder; or the name of
    one in the maker's library, the newest edition or the one that is named, as `NAME@1`. A plain name that
    means one here and another in the library is a mistake.
    """
    path = Path(argument)
    if os.path.isdir(path):
        return _not_kept_otherwise(argument, _recipe_of_folder(path))
    if path.suffix == RECIPE_ENDING:
        return path if os.path.exists(path) else _missing(path)
    if os.path.exists(path):
        closed = path.suffix == ENVELOPE_ENDING
        return EnvelopeIsClosed(name=shown_name(path)) if closed else NotARecipe(name=shown_name(path))
    if found := _BY_EDITION.fullmatch(argument):
        kept = kept_edition(found[1], int(found[2]))
        editions = tuple(k.edition for k in kept_editions(found[1]))
        return kept.recipe if kept else EditionNotKept(name=argument, kept=editions)
    return _not_kept_otherwise(argument, _recipe_by_name(argument))


def _not_kept_otherwise(name: str, found: Path | Diagnostic) -> Path | Diagnostic:
    """What was found for a name, or the one in the library; a mistake if both are there and differ."""
    kept = kept_edition(name, None) if "/" not in name else None
    if kept is None:
        return found
    if isinstance(found, Diagnostic):
        return kept.recipe if isinstance(found, MissingRecipe) else found
    if same_text(found, kept.recipe):
        return found
    return TwoRecipes(name=name, here=shown_name(found.parent), edition=kept.edition)


def same_text(one: Path, other: Path) -> bool:
    texts = [read_source(path) for path in (one, other)]
    return all(isinstance(t, Source) for t in texts) and len({getattr(t, "text", "") for t in texts}) == 1


def _recipe_of_folder(folder: Path) -> Path | Diagnostic:
    recipe = folder / (folder.resolve().name + RECIPE_ENDING)
    if os.path.exists(recipe):
        return recipe
    return FolderNotFile(
        name=shown_name(folder),
        wanted=f"a recipe, or a folder that holds `{recipe.name}`",
        near=tuple(shown_name(folder / other) for other in _names(folder, RECIPE_ENDING)[:3]),
    )


def _recipe_by_name(name: str) -> Path | Diagnostic:
    shelf = Path("recipes")
    if "/" not in name and "\\" not in name:
        for candidate in (shelf / name / f"{name}{RECIPE_ENDING}", shelf / f"{name}{RECIPE_ENDING}"):
            if os.path.lexists(candidate):
                return _kept_within(candidate, shelf)
    return MissingRecipe(name=name, near=_like_recipe(name, shelf))


def find_parent(
    name: str, recipe: Path, *, edition: int | None = None, span: Span | None = None
) -> Path | Diagnostic:
    """The recipe that `based on NAME` means, for the one in the file `recipe`.

    It is looked for in the recipe's folder, beside that folder and in `./recipes`, in each as `NAME.scye`
    or in a folder of its name; then in the maker's library, by its edition. Only plain names are looked for,
    and links that lead out are refused.
    """
    if not _PARENT_NAME.fullmatch(name):
        return ParentNameRefused(name=name, span=span)
    shelves = list(dict.fromkeys((recipe.parent, recipe.resolve().parent.parent, Path("recipes"))))
    for shelf in shelves:
        for candidate in (shelf / f"{name}{RECIPE_ENDING}", shelf / name / f"{name}{RECIPE_ENDING}"):
            if os.path.lexists(candidate):
                found = _kept_within(candidate, shelf)
                return replace(found, span=span) if isinstance(found, Diagnostic) else found
    kept = kept_edition(name, edition) or kept_edition(name, None)
    if kept is not None:
        return kept.recipe
    known = [other.removesuffix(RECIPE_ENDING) for shelf in shelves for other in _recipe_names(shelf)]
    return ParentMissing(name=name, near=_near(name, [k for k in known if k != recipe.stem]), span=span)


def _like_recipe(name: str, shelf: Path) -> tuple[str, ...]:
    """A file of that very name where the maker stands; else the nearest recipe there or on the shelf."""
    if os.path.exists(f"{name}{RECIPE_ENDING}"):
        return (f"{name}{RECIPE_ENDING}",)
    known = [other.removesuffix(RECIPE_ENDING) for other in _recipe_names(shelf)]
    return _near(name, [*known, *_recipe_names(Path()), *filter(kept_editions, _names(library_folder(), ""))])


def _recipe_names(folder: Path) -> list[str]:
    """Files of recipes in a folder, and folders in it that hold a recipe of their own name."""
    folders = [name for name in _names(folder, "") if _holds_its_own(folder / name)]
    return [*folders, *_names(folder, RECIPE_ENDING)]


def _holds_its_own(folder: Path) -> bool:
    return os.path.exists(folder / f"{folder.name}{RECIPE_ENDING}")


def _kept_within(path: Path, folder: Path) -> Path | Diagnostic:
    """The path itself, unless links on the way lead out of the folder."""
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # links in a ring
        inside = False
    return path if inside else LeadsOutside(name=shown_name(path))


# --- methods ------------------------------------------------------------------------------------


def find_methods(name: str, beside: Path, *, span: Span | None = None) -> Path | Diagnostic:
    """The file of methods that `use NAME` means: in the folder `beside` (the recipe's), else in stdlib or in
    the folder `methods` of the maker's library, of which only one may have it.

    Only plain names are looked for, and links that lead out of these folders are refused, so a recipe
    from a stranger reaches nothing else. `span` is the place of the `use`, for the diagnostics.
    """
    if not _PLAIN_NAME.fullmatch(name):
        return MethodsNameRefused(name=name, span=span)
    folders = (beside, find_stdlib(), library_folder() / "methods")
    there = [folder for folder in folders if os.path.lexists(folder / f"{name}{RECIPE_ENDING}")]
    if there == list(folders[1:]):
        return TwoMethods(name=name, what=shown_name(there[1] / f"{name}{RECIPE_ENDING}"), span=span)
    if there:
        found = _kept_within(there[0] / f"{name}{RECIPE_ENDING}", there[0])
        return replace(found, span=span) if isinstance(found, Diagnostic) else found
    known = [other for folder in folders for other in _names(folder, RECIPE_ENDING)]
    near = _near(name, (other.removesuffix(RECIPE_ENDING) for other in known))
    return MissingMethods(name=name, near=near, span=span)
