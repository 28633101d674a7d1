"""What a recipe needs and what it may not do, in the maker's words, before it is used for the first time."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import LicenceUnsaid, WordsOfSharing
from scye.diagnostics.text import WIDTH, plain
from scye.expand.choices import choices_of
from scye.expand.cutting import MOST_PIECES
from scye.expand.store import MOST_NODES
from scye.ir import syntax as s
from scye.ir.envelope import Contents, Enclosed
from scye.library import kept_editions, kept_folder, shown_name
from scye.project import Project
from scye.sharing.laid_out import LaidOut, is_standard
from scye.texts import RecipeText

MAY_NOT = (
    "A recipe is data. It can't read your files, write any, reach a network or run a program. Scye drafts it "
    f"in at most {MOST_NODES:,} steps and {MOST_PIECES} pieces, and says so where that is not enough."
)
# Short names of licences that ask something of what is made from a work: shared alike, not sold, not changed.
_ALIKE = "shared alike"
_WORDS = {"SA": _ALIKE, "GPL": _ALIKE, "AGPL": _ALIKE, "NC": "not sold", "ND": "not changed"}


def lines_of(opened: LaidOut, contents: Contents | None = None) -> Iterator[str]:
    """All of it, line by line; with what is enclosed, if it came in an envelope."""
    *parents, text = opened.texts
    yield from _headed(text, opened.texts)
    for parent in reversed(parents):
        yield f"  based on: {_named(parent)}, licence {licence_of(parent) or 'none said'}"
    if opened.project.program is not None:
        body = opened.project.program.recipe.body
        yield from _measures(opened.project, body)
        yield from _choices(body)
    yield from _methods(opened.texts)
    if contents is not None:
        yield "  enclosed:"
        yield from (f"    {_listed(file)}" for file in contents.enclosed)
        yield from _wrapped("takes from Scye itself", [standard.name for standard in contents.standard])
    yield from textwrap.wrap(MAY_NOT, WIDTH, initial_indent="  may not: ", subsequent_indent="    ")


def _headed(text: RecipeText, texts: Sequence[RecipeText]) -> Iterator[str]:
    yield _named(text)
    if kept_folder(text.path) is not None:
        editions = [str(kept.edition) for kept in kept_editions(text.path.stem)]
        yield from _wrapped("kept in your library, edition", editions)
    studio = next((found for t in reversed(texts) if (found := _heading(t, "studio"))), "none said")
    yield f"  studio: {plain(studio)}"
    own = licence_of(text)
    above = next((found for t in reversed(texts) if (found := licence_of(t))), "")
    yield f"  licence: {own or (f'{above}, as what it is based on' if above else 'none said')}"


def _named(text: RecipeText) -> str:
    head = text.file.head
    title = plain(head.title.value) if head else text.path.stem
    return f'{text.path.stem}: "{title}", edition {text.edition or "unsaid"}'


def _heading(text: RecipeText, key: str) -> str:
    headings = text.file.head.headings if text.file.head else ()
    return next((h.value for h in headings if h.key == key), "")


def licence_of(text: RecipeText) -> str:
    """The licence that a recipe states itself."""
    return plain(_heading(text, "licence"))


def studio_of(texts: Sequence[RecipeText]) -> str:
    """The studio of a recipe, its own or that of what it is based on."""
    return next((plain(found) for text in reversed(texts) if (found := _heading(text, "studio"))), "")


# --- measures, choices, methods -----------------------------------------------------------------


def _measures(project: Project, body: tuple[s.Statement, ...]) -> Iterator[str]:
    needs = [need for statement in body if isinstance(statement, s.Needs) for need in statement.items]
    must = [need.name.text for need in needs if need.otherwise is None]
    may = [need.name.text for need in needs if need.otherwise is not None]
    if must:
        yield from _wrapped("needs of a body", must)
    if may:
        yield from _wrapped("better with, else by a rule", may)
    if not needs:
        yield "  needs of a body: nothing"


def _wrapped(head: str, words: Sequence[str]) -> list[str]:
    return textwrap.wrap(f"{head}: {', '.join(words)}", WIDTH, initial_indent="  ", subsequent_indent="    ")


def _choices(body: tuple[s.Statement, ...]) -> Iterator[str]:
    choices = list(choices_of(body))
    if choices:
        yield "  choices:"
    for choice in choices:
        sentence = f" ({plain(choice.sentence.value)})" if choice.sentence else ""
        yield f"    {choice.name.text}: {_offered(choice)}{sentence}"


def _offered(choice: s.Choose) -> str:
    """`laced, or zipped`, `yes, or no`, `2 in, from 0 in to 4 in`."""
    if choice.words:
        words = [word.text for word in choice.words if word.text != choice.default]
        return f"{choice.default}, or {', '.join(words)}" if words else str(choice.default)
    if isinstance(choice.default, str):
        return f"{choice.default}, or {'no' if choice.default == 'yes' else 'yes'}"
    default = " ".join(choice.default.span.text.split())
    if choice.low is None or choice.high is None:
        return default
    return f"{default}, from {choice.low.span.text} to {choice.high.span.text}"


def _methods(texts: Sequence[RecipeText]) -> Iterator[str]:
    files = {m.path: m for text in texts for m in text.methods}
    if not files:
        return
    yield "  methods:"
    for path, methods in files.items():
        names = [x.name.text for x in methods.file.body if isinstance(x, s.Method)]
        origin = "Scye's own" if is_standard(path) else f"its own, in {shown_name(path)}"
        yield f"    {path.stem}: {', '.join(names)} ({origin})"


def _listed(file: Enclosed) -> str:
    sort = f"{file.sort}, edition {file.edition}" if file.edition is not None else file.sort
    said = "MEASURES OF PEOPLE" if file.sort == "people" else sort
    return f"{file.place}: {said}; {file.size:,} bytes, sha256 {file.hash[:12]}"


# --- licences -----------------------------------------------------------------------------------


def said_of_licences(texts: Sequence[RecipeText]) -> Iterator[Diagnostic]:
    """The licence of each variant beside its parent's, where they differ and the parent's asks something."""
    name = texts[-1].path.stem
    if not any(map(licence_of, texts)):
        yield LicenceUnsaid(name=name)
    held, holder = "", ""
    for text in texts:
        own = licence_of(text)
        if own and held and own != held and asks(held):
            words = " and ".join(f"{short} ({_WORDS[short]})" for short in asks(held))
            what = f'"{holder}" is under {held}, which says {words}; "{text.path.stem}" says {own}'
            yield WordsOfSharing(name=text.path.stem, what=what)
        held, holder = (own, text.path.stem) if own else (held, holder)


def asks(licence: str) -> list[str]:
    """The short words of a licence that ask something of what is made from it."""
    parts = licence.upper().replace("SHAREALIKE", "SA").replace("SHARE ALIKE", "SA")
    parts = parts.replace("SHARE-ALIKE", "SA").replace("-", " ")
    return [word for word in _WORDS if word in parts.split()]
