"""A name given anew wherever it is used, or a word on why it can't be.

That a new name is safe is not argued but tried: the texts are changed, read again, and every name in them
must then mean what it meant before.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from scye.diagnostics.model import Diagnostic, Severity
from scye.editor.describing import stands
from scye.editor.desk import Desk, Looked, absolute, look
from scye.editor.index import Index, Use
from scye.editor.things import CAUTIONS, FILES, METHODS, RECIPE, Thing
from scye.ir import syntax as s
from scye.library import find_stdlib, kept_folder, shown_name
from scye.parse.vocabulary import RESERVED
from scye.source import Source, Span

_NAME = re.compile(r"[^\W\d]\w*")
_LOCAL = re.compile(r"(counter|match|dart) .*")


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a name can't be changed, in the maker's words."""

    why: str


def renameable(desk: Desk, path: Path, offset: int) -> Use | Refused:
    """The name at a place, if it is one that the maker may change."""
    looked = desk.looked(path)
    source = desk.source(path)
    use = looked.index.at(source.name, offset) if source else None
    if use is None:
        return Refused("There is no name here that could be changed.")
    thing = use.thing
    if thing.scope in (FILES, CAUTIONS):
        return Refused(f"{thing.name} is the name of a file or a caution, and is changed there.")
    if looked.index.things.node(thing, s.Need) is not None:
        return Refused(f"{thing.name} is a measure of the catalogue, and is called so in every recipe.")
    for made in looked.index.of(thing):
        file = looked.paths.get(made.span.source.name)
        if not made.makes or file is None:
            continue
        where = f"{thing.name} is made in {made.span.source.name}"
        if file.is_relative_to(absolute(find_stdlib())):
            return Refused(f"{where}, which other recipes use too.")
        if kept_folder(file) is not None:
            return Refused(f"{where}, which is kept in your library and stays as it came.")
    return use


def renamed(desk: Desk, path: Path, offset: int, name: str) -> dict[Path, list[Span]] | Refused:
    """The places to change in each file, or why not."""
    use = renameable(desk, path, offset)
    if isinstance(use, Refused):
        return use
    if not _NAME.fullmatch(name) or name in RESERVED:
        return Refused(f"{name} can't be a name: " + _usage(name))
    if name == use.thing.name:
        return {}
    concerned = _concerned(desk, absolute(path), use.thing)
    spans = _spans(concerned.values(), use.thing)
    texts = {file: _with_name(source, places, name) for file, (source, places) in spans.items()}
    for recipe, looked in concerned.items():
        refused = _tried(desk, recipe, looked, use.thing, name, texts)
        if refused is not None:
            return refused
    return {file: places for file, (_, places) in spans.items()}


def _usage(name: str) -> str:
    if name in RESERVED:
        return "it is a word of the language" + (f", as in `{RESERVED[name]}`" if RESERVED[name] else "")
    return "a name begins with a letter and has only letters, figures and _"


def _concerned(desk: Desk, path: Path, thing: Thing) -> dict[Path, Looked]:
    """The recipes and files of methods in which the thing is, with what they come to; the first is `path`."""
    own = desk.looked(path)
    found = {path: own}
    if _LOCAL.fullmatch(thing.scope):
        return found
    homes = {own.paths.get(use.span.source.name) for use in own.index.of(thing) if use.makes}
    for other in desk.recipes():
        if other not in found:
            looked = desk.looked(other)
            if homes.intersection(looked.paths.values()) and looked.index.of(thing):
                found[other] = looked
    return found


def _spans(all_looked: Iterable[Looked], thing: Thing) -> dict[Path, tuple[Source, list[Span]]]:
    """Where a thing is named, by file, each place once."""
    found: dict[Path, tuple[Source, dict[int, Span]]] = {}
    for looked in all_looked:
        for use in looked.index.of(thing):
            file = looked.paths[use.span.source.name]
            _, places = found.setdefault(file, (use.span.source, {}))
            places[use.span.start] = use.span
    return {file: (source, [places[at] for at in sorted(places)]) for file, (source, places) in found.items()}


def _with_name(source: Source, places: list[Span], name: str) -> str:
    text = source.text
    for span in reversed(places):
        text = text[: span.start] + name + text[span.end :]
    return text


# --- trying it ----------------------------------------------------------------------------------


def _tried(
    desk: Desk, recipe: Path, before: Looked, thing: Thing, name: str, texts: dict[Path, str]
) -> Refused | None:
    """What speaks against the new name in one recipe, once the texts are changed."""
    for text in before.project.texts:
        bad = next((d for d in text.diagnostics if d.severity is Severity.ERROR), None)
        if bad is not None:
            place = f"{bad.span.source.name}, line {bad.span.line}" if bad.span else shown_name(text.path)
            return Refused(f"Put {place} right first: what can't be read can't be changed with the rest.")
    things = before.index.things
    clash = things.made.get(Thing(thing.scope, name))
    if clash:
        what = f"{stands(clash[0])}, line {clash[0].span.line}"
        return Refused(f"{name} is the name of something else: {what}.")

    def read(file: Path) -> Source | Diagnostic:
        text = texts.get(absolute(file))
        return desk.read(file) if text is None else Source(shown_name(file), text)

    after = look(recipe, read)
    changed = _first_changed(before.index, after.index, thing, name)
    if changed is not None:
        where = f"{changed.span.source.name}, line {changed.span.line}"
        return Refused(f"With the name {name}, {changed.span.text} in {where} would mean something else.")
    fresh = _mistakes(after) - _mistakes(look(recipe, desk.read))
    if fresh:
        return Refused(f"With the name {name}, {shown_name(recipe)} would have a new mistake: {min(fresh)}.")
    return None


def _mistakes(looked: Looked) -> Counter[str]:
    return Counter(d.code for d in looked.diagnostics if d.severity is Severity.ERROR)


def _first_changed(before: Index, after: Index, thing: Thing, name: str) -> Use | None:
    """The first name that would mean something else, or that would only then mean anything."""
    for source, uses in before.by_source.items():
        now = after.by_source.get(source, [])
        for was, use in zip(uses, now, strict=False):
            if _moved(was.thing, before, thing, name) != _plain(use.thing):
                return was
        if len(uses) != len(now):
            return next(iter(now[len(uses) :]), None) or uses[-1]
    return None


def _moved(was: Thing, index: Index, thing: Thing, name: str) -> Thing:
    """What a thing is called after the change, its scope with it where the scope has that name."""
    if was == thing:
        return _plain(Thing(thing.scope, name))
    for scope in _scopes_of(thing, index):
        if was.scope == f"{scope} {thing.name}":
            return Thing(f"{scope} {name}", was.name)
    return _plain(was)


def _scopes_of(thing: Thing, index: Index) -> Iterator[str]:
    if thing.scope == METHODS:
        yield "method"
    elif thing.scope == RECIPE and index.things.node(thing, s.Draft):
        yield "draft"


def _plain(thing: Thing) -> Thing:
    """A thing of a block without the place of the block, which other changes may have moved."""
    local = _LOCAL.fullmatch(thing.scope)
    return Thing(local[1], thing.name) if local else thing
