"""The list of contents of an envelope: its text to `Contents`. Whatever is not as `scye enclose` writes it
is told in its place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import get_args

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import ContentsRefused, LaterLayout
from scye.ir.envelope import LAYOUT, Contents, Enclosed, Sort, Standard
from scye.read.yaml_reader import Limits, Node, Row, Table, Text, clip, read_tree
from scye.source import Source

LISTS = Limits(characters=50_000, entries=2_000, depth=4)
_COUNT = re.compile(r"0|[1-9][0-9]{0,8}")
_HASH = re.compile(r"[0-9a-f]{64}")
_SORTS: dict[str, Sort] = {sort: sort for sort in get_args(Sort)}


class _Amiss(Exception):
    """The list can't be followed at a node."""

    def __init__(self, node: Node, what: str) -> None:
        super().__init__(what)
        self.node, self.what = node, what


def read_contents(source: Source) -> Contents | Diagnostic:
    """The list of a text, or the first thing wrong with it."""
    tree, found = read_tree(source, LISTS)
    if tree is None or found:
        return found[0]
    try:
        return _contents(_table(tree))
    except _Amiss as amiss:
        if amiss.what == "":
            return LaterLayout(span=amiss.node.span, name=source.name, what="was written by a later Scye")
        return ContentsRefused(span=amiss.node.span, name=source.name, what=amiss.what)


def _contents(table: Table) -> Contents:
    layout = _text(table, "envelope", _COUNT)
    if int(layout.text) != LAYOUT:
        raise _Amiss(layout, "" if int(layout.text) > LAYOUT else "names a layout that there is not")
    return Contents(
        _text(table, "recipe").text,
        int(_text(table, "edition", _COUNT).text),
        tuple(map(_enclosed, _rows(table, "enclosed"))),
        tuple(map(_standard, _rows(table, "standard"))),
    )


def _enclosed(table: Table) -> Enclosed:
    place, sort = _text(table, "file"), _text(table, "holds")
    if sort.text not in _SORTS:
        raise _Amiss(sort, f"lists a kind of file that there is not: `{clip(sort.text)}`")
    edition = int(_text(table, "edition", _COUNT).text) if table.get("edition") is not None else None
    size = int(_text(table, "bytes", _COUNT).text)
    return Enclosed(
        place.text, _SORTS[sort.text], edition, size, _text(table, "sha256", _HASH).text, place.span
    )


def _standard(table: Table) -> Standard:
    return Standard(_text(table, "file").text, _text(table, "sha256", _HASH).text)


def _rows(table: Table, name: str) -> Iterator[Table]:
    node = table.get(name)
    if not isinstance(node, Row):
        raise _Amiss(node or table, f"has no list `{name}`")
    return map(_table, node.items)


def _table(node: Node) -> Table:
    if not isinstance(node, Table):
        raise _Amiss(node, "has something else here than names and values")
    return node


def _text(table: Table, name: str, shape: re.Pattern[str] | None = None) -> Text:
    node = table.get(name)
    if not isinstance(node, Text) or not node.text:
        raise _Amiss(node or table, f"doesn't say `{name}`")
    if shape is not None and not shape.fullmatch(node.text):
        raise _Amiss(node, f"has `{clip(node.text)}` for `{name}`")
    return node
