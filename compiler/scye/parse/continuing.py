"""What may be written next at a place of a text: for an editor, which asks in the middle of a line."""

from __future__ import annotations

import re
from dataclasses import dataclass

from scye.parse.engine import following, written
from scye.parse.layout import Row, lay_out
from scye.parse.reader import first_word, rules_of
from scye.parse.scanning import tokens
from scye.parse.vocabulary import BLOCKS, STATEMENTS, context_below
from scye.source import Source, Span

_WORD = re.compile(r"[^\W\d]\w*$")
_REDRAW = re.compile(r"redraw[ \t]+")
# The longest phrase of the language has three words: up to two may stand there already.
_MOST_BEGUN = 2


@dataclass(frozen=True, slots=True)
class Continuation:
    """What a place of a text stands in, and what may follow there.

    `owners` are the lines in whose blocks it stands, the outermost first; `begun` is the line up to the word
    that is being typed. `words` are words and phrases of the language, `terminals` the grammar's kinds of
    token that may come next.
    """

    context: str
    owners: tuple[Row, ...]
    begun: str
    typed: str
    words: tuple[str, ...]
    terminals: frozenset[str]

    @property
    def after_number(self) -> bool:
        """Whether a number stands just before that has no unit yet."""
        last = next(reversed(list(tokens(self.begun))), None)
        return last is not None and last.kind == "amount" and last.text[-1].isnumeric()


def continuation(source: Source, offset: int) -> Continuation | None:
    """What may follow at an offset; None within quotes and remarks, and where no statement may stand."""
    line = source.position(offset)[0]
    before = source.text[source.line_starts()[line - 1] : offset]
    code = before.lstrip(" \t")
    if "#" in code or code.count('"') % 2:
        return None
    owners = _owners(source, line, len(before) - len(code))
    context = _context(owners)
    if context is None:
        return None
    word = _WORD.search(code)
    typed = word.group() if word else ""
    begun = code[: len(code) - len(typed)]
    words, terminals = _next(context, begun)
    return Continuation(context, owners, begun, typed, words, frozenset(terminals))


def _owners(source: Source, line: int, indent: int) -> tuple[Row, ...]:
    """The lines above that the line's block stands in."""
    found: list[Row] = []
    for row in lay_out(source).rows[: line - 1]:
        if row.code:
            while found and found[-1].indent >= row.indent:
                found.pop()
            found.append(row)
    return tuple(row for row in found if row.indent < indent)


def _context(owners: tuple[Row, ...]) -> str | None:
    context = "file"
    for row in owners:
        word = first_word(row)
        if word == "redraw":
            word = _REDRAW.sub("", row.code).split(maxsplit=1)[0]
        if word not in BLOCKS:
            return None
        context = context_below(word, context)
    return context


def _next(context: str, begun: str) -> tuple[tuple[str, ...], set[str]]:
    code = _REDRAW.sub("", begun)
    if not code:
        return tuple(_openings(context)), {"NAME"} if context == "draw" else set()
    rules = rules_of(context, code)
    terminals = following(rules, code) if rules else set()
    words = _phrases(terminals, "")
    for count in range(1, _MOST_BEGUN + 1):
        head, tail = _parted(code, count)
        if tail:
            words += [w for w in _phrases(following(rules, head), tail) if w not in words]
    return tuple(words), terminals


def _parted(code: str, count: int) -> tuple[str, str]:
    """The line without its last words, and those words."""
    found = re.search(rf"(?:(?<=\s)|^)((?:[a-z]+\s+){{{count}}})$", code)
    return (code[: found.start()], " ".join(found.group().split()) + " ") if found else (code, "")


def _phrases(terminals: set[str], begun: str) -> list[str]:
    """The words of kinds of token, in order; of those that begin with `begun` only the rest."""
    known = written()
    phrases = sorted({phrase for kind in terminals for phrase in known.get(kind, ())})
    return [phrase[len(begun) :] for phrase in phrases if phrase.startswith(begun)]


def _openings(context: str) -> list[str]:
    """The first words of a context's statements, each with the words that must follow it."""
    return [opening(word, rule) for word, rule in STATEMENTS[context].items()]


def opening(word: str, rule: str) -> str:
    """A statement's first word with those that must follow it: `begin at`, `leave out`, `so that`."""
    if rule == "redraw":
        return word  # what follows is a statement
    start = (f"st_{rule}",)
    phrase = next((p for p in _phrases(following(start, ""), "") if p.startswith(f"{word} ")), None)
    if phrase is not None:
        return phrase
    after = following(start, word)
    words = _phrases(after, "")
    return f"{word} {words[0]}" if len(words) == 1 and len(after) == 1 else word


def words_at(source: Source, offset: int) -> tuple[str, str, Span]:
    """The first word of a line if the offset is in it, what follows it, and its place; else nothing."""
    line = source.position(offset)[0]
    start = source.line_starts()[line - 1]
    code = source.line_text(line)
    first = re.match(r"[ \t]*(?:redraw[ \t]+)?([^\W\d]\w*)", code)
    if first is None or not start + first.start(1) <= offset <= start + first.end(1):
        return "", "", Span(source, offset, offset)
    return first[1], code[first.end() :], Span(source, start + first.start(1), start + first.end(1))
