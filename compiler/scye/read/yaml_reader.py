"""Plain YAML, read safely: every key and value keeps its place, and scalars stay text.

Reads the text of a card, chart or catalogue; gives a tree of `Text`, `Row` and `Table`, or None with the
reasons. The tree is built here from the parser's events, one at a time and without recursion, so that
nesting, size and number are bounded before anything is built. Anchors, aliases, tags, merge keys and
several documents are refused, and so are keys that stand twice. Never raises on what a file may hold.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from scye.diagnostics.cards import BrokenLayout, FileTooLarge, NotOnACard, NotPlainText, WrittenTwice
from scye.diagnostics.model import Diagnostic, Label
from scye.source import Source, Span

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

# Controls, lone surrogates, line breaks that editors don't show as such, and marks that turn the order
# of what is seen.
_UNFIT = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
_CLIPPED = 40


@dataclass(frozen=True, slots=True)
class Limits:
    """What a file may hold: characters, entries (keys and values), and how deep they lie."""

    characters: int
    entries: int
    depth: int = 8


CARD = Limits(1_000_000, 5_000)
CHART = Limits(4_000_000, 50_000)


@dataclass(frozen=True, slots=True)
class Text:
    """A single value, as it is written."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class Row:
    """A list of values."""

    items: tuple[Node, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Table:
    """Names and their values, in the order of the file; each name once."""

    entries: tuple[tuple[Text, Node], ...]
    span: Span

    def get(self, name: str) -> Node | None:
        return next((value for key, value in self.entries if key.text == name), None)


Node = Text | Row | Table


def clip(text: str) -> str:
    """Text from a file as it may be shown in a sentence: on one line and short."""
    line = " ".join(text.split())
    return line if len(line) <= _CLIPPED else f"{line[:_CLIPPED].rstrip()}…"


def read_source(name: str, data: bytes, limits: Limits = CHART) -> tuple[Source | None, list[Diagnostic]]:
    """The bytes of a file as a source; None and the reason if they are too many or not UTF-8."""
    if len(data) > 4 * limits.characters:
        return None, [FileTooLarge(span=_at(Source(name, ""), 0, 0), what=_too_large(limits))]
    try:
        return Source(name, data.decode("utf-8")), []
    except UnicodeDecodeError as error:
        place = len(data[: error.start].decode("utf-8"))
        source = Source(name, data.decode("utf-8", errors="replace"))
        what = f"byte {data[error.start]:02X} isn't UTF-8 text"
        return None, [NotPlainText(span=_at(source, place, place + 1), what=what)]


def read_tree(source: Source, limits: Limits) -> tuple[Node | None, list[Diagnostic]]:
    """The tree of a file, or None if its layout can't be followed; with all that is wrong with it so far.

    A file with nothing in it is an empty `Text`. Of a key that stands twice the first value is kept.
    """
    unfit = _unfit(source, limits)
    if unfit is not None:
        return None, [unfit]
    builder = _Builder(source, limits)
    try:
        for event in _events(source.text.removeprefix("\ufeff")):
            builder.take(event)
            if builder.stopped:
                return None, builder.found
    except yaml.YAMLError as error:
        return None, [*builder.found, _broken(source, error, limits)]
    refused = any(isinstance(d, NotOnACard) for d in builder.found)
    return None if refused else builder.root or Text("", _at(source, 0, 0)), builder.found


def _events(text: str) -> Iterator[yaml.Event]:
    yield from yaml.parse(text, Loader=_LOADER)


def _unfit(source: Source, limits: Limits) -> Diagnostic | None:
    if len(source.text) > limits.characters:
        return FileTooLarge(span=_at(source, 0, 0), what=_too_large(limits))
    match = _UNFIT.search(source.text)
    if match is None:
        return None
    what = f"there is an unseen character (U+{ord(match[0]):04X}) in the text"
    return NotPlainText(span=_at(source, match.start(), match.end()), what=what)


def _too_large(limits: Limits) -> str:
    kilobytes = limits.characters // 1_000
    size = f"{kilobytes} kB" if kilobytes < 1_000 else f"{kilobytes // 1_000} MB"
    return f"is larger than {size}"


def _at(source: Source, start: int, end: int) -> Span:
    length = len(source.text)
    return Span(source, min(start, length), min(end, length))


def _index(source: Source, mark: Any) -> int:
    """The offset of a parser's mark, which counts from after a byte order mark; no mark is the start."""
    return 0 if mark is None else int(mark.index) + source.text.startswith("\ufeff")


@dataclass(slots=True)
class _Open:
    """A table or row that is still being read."""

    start: int
    is_table: bool
    items: list[Node] = field(default_factory=list)


@dataclass(slots=True)
class _Builder:
    source: Source
    limits: Limits
    root: Node | None = None
    found: list[Diagnostic] = field(default_factory=list)
    stopped: bool = False
    _open: list[_Open] = field(default_factory=list)
    _entries: int = 0
    _documents: int = 0

    def take(self, event: yaml.Event) -> None:
        """Take the next event in; sets `stopped` when a limit is passed."""
        match event:
            case yaml.DocumentStartEvent():
                self._document(event)
            case yaml.AliasEvent():
                self._refuse(event, f"the sign `*{clip(event.anchor or '')}`", "write the value out")
                self._add(Text("", self._span(event)))
            case yaml.ScalarEvent():
                self._check(event)
                self._add(Text(event.value, self._span(event)))
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                self._check(event)
                self._begin(event)
            case yaml.MappingEndEvent() | yaml.SequenceEndEvent():
                self._close()

    def _document(self, event: yaml.Event) -> None:
        self._documents += 1
        if self._documents > 1:
            self._refuse(event, "a second document (`---`)", "put it in a file of its own")
            self.stopped = True

    def _check(self, event: yaml.NodeEvent) -> None:
        if event.anchor is not None:
            self._refuse(
                event, f"the sign `&{clip(event.anchor or '')}`", "strike it out and write values out"
            )
        tag = getattr(event, "tag", None)
        if tag is not None:
            written = "!!" + tag.rpartition(":")[2] if tag.startswith("tag:") else tag
            self._refuse(event, f"the mark `{clip(written)}`", "strike it out")

    def _begin(self, event: yaml.Event) -> None:
        start = self._span(event).start
        self._open.append(_Open(start, isinstance(event, yaml.MappingStartEvent)))
        self._count()
        if len(self._open) > self.limits.depth:
            self._stop(start, f"holds things more than {self.limits.depth} deep")

    def _close(self) -> None:
        done = self._open.pop()
        end = max((item.span.end for item in done.items), default=done.start)
        span = _at(self.source, done.start, end)
        self._put(self._table(done, span) if done.is_table else Row(tuple(done.items), span))

    def _table(self, done: _Open, span: Span) -> Table:
        kept: dict[str, tuple[Text, Node]] = {}
        for key, value in zip(done.items[::2], done.items[1::2], strict=True):
            if not isinstance(key, Text):
                self.found.append(
                    NotOnACard(span=key.span, what="a list as a name", advice="name it by one word")
                )
            elif key.text == "<<":
                self.found.append(
                    NotOnACard(span=key.span, what="the sign `<<`", advice="write the values out")
                )
            elif key.text in kept:
                first = Label(kept[key.text][0].span, "first here")
                self.found.append(WrittenTwice(span=key.span, labels=(first,), name=clip(key.text)))
            else:
                kept[key.text] = (key, value)
        return Table(tuple(kept.values()), span)

    def _add(self, node: Text) -> None:
        self._count()
        if self._entries > self.limits.entries:
            self._stop(node.span.start, f"holds more than {self.limits.entries:,} entries")
        self._put(node)

    def _put(self, node: Node) -> None:
        if self._open:
            self._open[-1].items.append(node)
        else:
            self.root = node

    def _count(self) -> None:
        self._entries += 1

    def _stop(self, start: int, what: str) -> None:
        self.found.append(FileTooLarge(span=_at(self.source, start, start + 1), what=what))
        self.stopped = True

    def _refuse(self, event: yaml.Event, what: str, advice: str) -> None:
        self.found.append(NotOnACard(span=self._span(event), what=what, advice=advice))

    def _span(self, event: yaml.Event) -> Span:
        return _at(self.source, _index(self.source, event.start_mark), _index(self.source, event.end_mark))


# What the parser says (two makes of it, in their own words) and what a maker can do about it.
_LAYOUT: tuple[tuple[str, str, str], ...] = (
    ("tab", "a tab is used to set this line in", "use spaces"),
    (
        "mapping values",
        "this colon comes where none can stand",
        "begin the line as far in as its neighbours, with a colon and a space after each name; "
        "a value with a colon in it goes in double quotes",
    ),
    ("entries are not allowed", "this dash comes where none can stand", "put the list on lines of its own"),
    ("end of stream", "a quote is opened here and not closed", "close it, or leave both quotes out"),
    ("',' or", "this list isn't closed before here", "close it with its bracket"),
    ("cannot start", "a value can't begin with this sign", "put the value in double quotes"),
    ("expected", "this doesn't line up with what stands above", "begin it as far in as its neighbours"),
)


def _broken(source: Source, error: yaml.YAMLError, limits: Limits) -> Diagnostic:
    problem = str(getattr(error, "problem", "") or "")
    mark = getattr(error, "problem_mark", None)
    if "end of stream" in problem:
        mark = getattr(error, "context_mark", None) or mark
    start = _index(source, mark)
    span = _at(source, start, start + 1)
    if "depth" in problem:
        return FileTooLarge(span=span, what=f"holds things more than {limits.depth} deep")
    if span.text == "\t":
        problem = "tab"
    fitting = (entry for entry in _LAYOUT if entry[0] in problem)
    _, what, advice = next(fitting, ("", "the layout can't be followed here", "look here and a line above"))
    return BrokenLayout(span=span, what=what, advice=advice)
