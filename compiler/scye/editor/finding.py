"""Where a name is made: in the recipe, its parents, its methods, the catalogue or the cautions."""

from __future__ import annotations

import re
from pathlib import Path

from scye.diagnostics.model import Diagnostic
from scye.editor.desk import Desk, Looked, absolute
from scye.editor.index import Use
from scye.editor.things import CAUTIONS, FILES
from scye.ir import syntax as s
from scye.library import find_methods, find_parent, find_stdlib
from scye.source import Source, Span


def made_at(desk: Desk, path: Path, looked: Looked, use: Use) -> list[tuple[Path, Span]]:
    """The places that make what a name stands for; of a file its beginning."""
    thing = use.thing
    if thing.scope == FILES:
        return _file(desk, path, use)
    if thing.scope == CAUTIONS:
        return _entry(desk, "cautions.yaml", thing.name)
    makes = [other for other in looked.index.of(thing) if other.makes]
    if use.makes and looked.index.things.node(thing, s.Need) is not None:
        return _entry(desk, "measures.yaml", thing.name)
    return [(looked.paths[other.span.source.name], other.span) for other in makes]


def _file(desk: Desk, path: Path, use: Use) -> list[tuple[Path, Span]]:
    """The file that a `use` or `based on` names."""
    parent = use.span.text.startswith('"')
    name = use.thing.name
    found = find_parent(name, path) if parent else find_methods(name, path.parent)
    source = None if isinstance(found, Diagnostic) else desk.source(found)
    return [] if source is None or isinstance(found, Diagnostic) else [(absolute(found), Span(source, 0, 0))]


def _entry(desk: Desk, file: str, name: str) -> list[tuple[Path, Span]]:
    """The line of stdlib's catalogue that begins an entry."""
    path = absolute(find_stdlib() / file)
    source: Source | None = desk.source(path)
    line = re.search(rf"^ *({re.escape(name)}):", source.text, re.MULTILINE) if source else None
    return [(path, Span(source, line.start(1), line.end(1)))] if source and line else []
