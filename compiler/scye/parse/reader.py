"""The walk over a text's blocks: each line by its rule, each block by its context."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from scye.diagnostics import reading
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.parse import amounts, builder, clauses, findings, pieces, shapes, statements
from scye.parse.builder import Builder
from scye.parse.clauses import Clause, Opening, called
from scye.parse.engine import read_line
from scye.parse.faults import Fault, Unreadable
from scye.parse.layout import Row
from scye.parse.scanning import tokens
from scye.parse.vocabulary import (
    BLOCKS,
    LETS,
    NOT_REDRAWN,
    RESERVED,
    STATEMENTS,
    WHERE,
    context_below,
    home_of,
)
from scye.source import Line

if TYPE_CHECKING:
    from scye.parse.builder import Handler

MOST_FAULTS = 100

# The statement that begins on a line, so far on in it: the context it stands in and all its lines, by which
# it is known again, and its node. Only what was read without fault.
Known = dict[tuple[Line, int], tuple[str, tuple[Line, ...], Any]]

_HANDLERS: Mapping[str, Handler] = {
    **builder.HANDLERS,
    **amounts.HANDLERS,
    **shapes.HANDLERS,
    **statements.HANDLERS,
    **pieces.HANDLERS,
    **clauses.HANDLERS,
    **findings.HANDLERS,
}
_WORD = re.compile(r"[^\W\d]\w*")
# The contexts in which an amount is given a name.
_NAMING = ("file", "draft", "method", "method block")
# A name and then what can only be an amount: the sign between them was forgotten.
_NEARLY_LET = re.compile(r"[^\W\d]\w*[ \t]+(?:\(|\d|[^\W\d]\w*[ \t]*[-+*/])")
_LET = re.compile(r"[^\W\d]\w*[ \t]*(?:=|\[)")
_ARGUMENT = ("arg_value", "arg_line", "arg_place", "arg_direction")
_ALL_WORDS = tuple(word for known in STATEMENTS.values() for word in known)
# Which words of a statement are the names that it defines.
_LISTS = {"needs", "find", "use"}
_SECOND = {
    *("choose", "draft", "level", "plumb", "mark", "line", "curve", "panel_line", "dart", "draw", "method"),
    *("given", "gives", "piece", "repeat"),
}
# What a block without lines could have, by its first word.
_FIRST_LINE = {
    "draft": "begin at nape",
    "method": "gives edge line",
    "every": "allow 1/2 in on seams",
}


class Reader:
    """Reads the rows of one source. Gathers what is wrong and the names in lines that could not be read.

    `first_row` is the only one that may be a `recipe`. `known` are statements that were read of these lines
    before; those that are read now are put to them.
    """

    def __init__(self, first_row: Row | None, known: Known | None = None) -> None:
        self.diagnostics: list[Diagnostic] = []
        self.unread: set[str] = set()
        self.unread_rows: list[Row] = []
        self.first_row = first_row
        self._known = {} if known is None else known

    @property
    def given_up(self) -> bool:
        return len(self.unread_rows) >= MOST_FAULTS

    # --- one line -----------------------------------------------------------------------------

    def line(self, row: Row, context: str) -> Any:
        """What a row says (a node, an opening or clauses), or None if it could not be read."""
        if self.given_up:
            return None
        if row.fault:
            return self.fail(row, row.fault)
        rules = self._rules(row, context)
        if isinstance(rules, Diagnostic):
            return self.fail(row, rules)
        tree = read_line(rules, row.code)
        if isinstance(tree, Fault):
            return self.fail(row, tree.at(row.line, row.within))
        try:
            return Builder(row.line, row.within, _HANDLERS).node(tree)
        except Unreadable as unreadable:
            return self.fail(row, unreadable.diagnostic)

    def fail(self, row: Row, diagnostic: Diagnostic) -> None:
        """Note that a row cannot be read, and the names that it would have defined."""
        self.diagnostics.append(diagnostic)
        self.unread_rows.append(row)
        self.unread.update(_names_defined(row))
        if self.given_up:
            self.diagnostics.append(reading.TooManyFaults(span=row.span(), count=MOST_FAULTS))

    def drop(self, row: Row) -> None:
        """Leave out a statement that was read only in part."""
        self.unread.update(_names_defined(row))

    def _rules(self, row: Row, context: str) -> tuple[str, ...] | Diagnostic:
        if context != "draw" and first_word(row) == "recipe" and row is not self.first_row:
            return self._out_of_place(row, context)
        return rules_of(context, row.code) or self._out_of_place(row, context)

    def _out_of_place(self, row: Row, context: str) -> Diagnostic:
        word = first_word(row)
        span = row.span(max(1, len(word)))
        where = WHERE[context]
        if word == "recipe":
            return reading.OutOfPlace(span=span, word=word, where="here", home="first in the file, once")
        if word == "otherwise":
            return reading.OutOfPlace(
                span=span, word=word, where="here", home="straight under the block of a `when`"
            )
        home = "in a draft or a method, or in no block" if _LET.match(row.code) else home_of(word)
        if home:
            return reading.OutOfPlace(span=span, word=word, where=where, home=home)
        known = tuple(STATEMENTS[context])
        near = nearest(word, known) or nearest(word, _ALL_WORDS)
        shown = sorted(known, key=lambda w: w != near)
        return reading.UnknownStatement(
            span=span, word=word, where=where, known=tuple(f"`{w}`" for w in shown[:5]), near=near,
            named=context in _NAMING and _NEARLY_LET.match(row.code) is not None,
        )  # fmt: skip

    # --- blocks -------------------------------------------------------------------------------

    def rows(self, rows: Sequence[Row], context: str) -> tuple[Any, ...]:
        """The statements of a block."""
        found: list[Any] = []
        for index, row in enumerate(rows):
            if self.given_up:
                break
            if first_word(row) == "otherwise" and not _LET.match(row.code):
                if not (index and first_word(rows[index - 1]) == "when"):
                    self.fail(row, self._out_of_place(row, context))
                    self._below_unread(row, context)
                continue
            after = rows[index + 1] if index + 1 < len(rows) else None
            node = self.statement(row, context, after)
            if node is not None:
                found.append(node)
        return tuple(found)

    def statement(self, row: Row, context: str, after: Row | None) -> Any:
        """The node of a row and all below it, or None; the very one of before if its lines are the same."""
        lines = _lines_of(row)
        if after is not None and first_word(row) == "when" and first_word(after) == "otherwise":
            lines += _lines_of(after)
        key = row.line, row.within
        known = self._known.get(key)
        if known is not None and known[:2] == (context, lines):
            return known[2]
        said = len(self.diagnostics)
        node = self._statement(row, context, after)
        if len(self.diagnostics) == said:
            self._known[key] = context, lines, node
        return node

    def _statement(self, row: Row, context: str, after: Row | None) -> Any:
        if first_word(row) == "redraw" in STATEMENTS[context] and not _LET.match(row.code):
            return self._redraw(row, context)
        node = self.line(row, context)
        if node is None:
            self._below_unread(row, context)
            return None
        match node:
            case Opening():
                return self._with_clauses(row, node)
            case s.When():
                return self._when(row, node, context, after)
            case s.Repeat() | s.Draft():
                return replace(node, body=self._body(row, called(node), context))
            case s.Method():
                return self._method(row, node)
            case s.Piece():
                return self._piece(row, node)
            case s.EveryPiece():
                return self._every(row, node)
            case s.Find():
                return self._find(row, node)
            case s.Draw():
                arguments, whole = self._all(row, "draw")
                return self._checked(row, replace(node, arguments=arguments), whole)
        self._takes_nothing(row)
        return node

    def _redraw(self, row: Row, context: str) -> s.Redraw | None:
        """What follows the word is read as if it stood alone; a fault in it is one of the whole line."""
        code = row.code.removeprefix("redraw").lstrip(" \t")
        within = replace(row, code=code, within=row.within + len(row.code) - len(code))
        if not row.fault and (not code or self._not_redrawn(within)):
            word = first_word(within)
            fault = self._cannot_redraw(within, word) if word else _unfinished_redraw(row)
            self.fail(row, fault)
            return None
        node = self.statement(within, context, None)
        self.unread_rows = [row if unread is within else unread for unread in self.unread_rows]
        return None if node is None else s.Redraw(row.span(), node)

    def _not_redrawn(self, row: Row) -> bool:
        return first_word(row) in NOT_REDRAWN and not _LET.match(row.code)

    def _cannot_redraw(self, row: Row, word: str) -> Diagnostic:
        span = row.span(len(word))
        home = "on the lines in it: `redraw` stands before each thing that is drawn anew"
        return reading.OutOfPlace(span=span, word=word, where="after `redraw`", home=home)

    def block(self, row: Row, context: str) -> tuple[Any, ...]:
        """The lines below a row, in the context that its first word opens."""
        return self.rows(row.children, context_below(first_word(row), context))

    def _below_unread(self, row: Row, context: str) -> None:
        """Read what stands under a line that could not be read, for its own mistakes only."""
        for child in row.children:
            self._drop_all(child)
        word = first_word(row)
        opener = word if word in BLOCKS else nearest(word, BLOCKS)
        if opener is None:
            return
        inner = context_below(opener, context)
        if inner in LETS:
            self.rows(row.children, inner)
        else:
            self._all(row, inner)

    def _drop_all(self, row: Row) -> None:
        self.drop(row)
        for child in row.children:
            self._drop_all(child)

    def _body(self, row: Row, of: str, context: str) -> tuple[Any, ...]:
        if not row.children:
            example = _FIRST_LINE.get(first_word(row), "mark low from corner down 1 in")
            self.diagnostics.append(
                reading.ClauseMissing(span=row.span(), of=of, lacks="has no lines below it", example=example)
            )
        return self.block(row, context)

    def _takes_nothing(self, row: Row) -> None:
        if row.children:
            first = row.children[0]
            fault = reading.BlockNotTaken(span=first.span(), owner=first_word(row))
            self.fail(first, fault)
            for child in row.children[1:]:
                self.drop(child)

    def _when(self, row: Row, node: s.When, context: str, after: Row | None) -> s.When:
        body = self._body(row, "The `when`", context)
        if after is None or first_word(after) != "otherwise":
            return replace(node, body=body)
        if self.line(after, context) is None:
            return replace(node, body=body)
        return replace(node, body=body, otherwise=self._body(after, "The `otherwise`", context))

    def _all(self, row: Row, context: str) -> tuple[tuple[Any, ...], bool]:
        """What the lines below a row say, and whether all of them could be read."""
        found, whole = [], True
        for child in row.children:
            node = self.line(child, context)
            self._takes_nothing(child)
            found.append(node)
            whole = whole and node is not None
        return tuple(node for node in found if node is not None), whole

    def _checked(self, row: Row, node: Any, whole: bool) -> Any:
        if whole:
            return node
        self.drop(row)
        return None

    def _with_clauses(self, row: Row, opening: Opening) -> Any:
        groups, whole = self._all(row, BLOCKS[first_word(row)])
        if not whole:
            return self._checked(row, None, whole)
        below: list[Clause] = [clause for group in groups for clause in group]
        node, diagnostics = clauses.assemble(opening, below)
        self.diagnostics.extend(diagnostics)
        return self._checked(row, node, node is not None)

    def _find(self, row: Row, node: s.Find) -> s.Find | None:
        conditions, whole = self._all(row, "find")
        node = replace(node, conditions=(*node.conditions, *conditions))
        if whole and not node.conditions:
            self.diagnostics.append(
                reading.ClauseMissing(
                    span=node.span,
                    of="The `find`",
                    lacks="does not say what must come true",
                    example="so that length of cap = cap_length",
                )
            )
            whole = False
        found: s.Find | None = self._checked(row, node, whole)
        return found

    def _method(self, row: Row, node: s.Method) -> s.Method:
        body = self._body(row, called(node), "method")
        abouts = [n for n in body if isinstance(n, s.Heading)]
        for extra in abouts[1:]:
            self.diagnostics.append(reading.ClauseTwice(span=extra.span, clause="about", of=called(node)))
        about = s.Text(abouts[0].span, abouts[0].value) if abouts else None
        return replace(
            node,
            about=about,
            parameters=tuple(n for n in body if isinstance(n, s.Parameter)),
            gives=tuple(n for n in body if isinstance(n, s.Gives)),
            body=tuple(n for n in body if not isinstance(n, s.Heading | s.Parameter | s.Gives)),
        )

    def _piece(self, row: Row, node: s.Piece) -> s.Piece | None:
        unread = len(self.unread_rows)
        said = _as_clauses(self.rows(row.children, "piece"))
        whole = len(self.unread_rows) == unread
        for kind, word in ((s.Bounded, "bounded by"), (s.Grain, "grain")):
            for extra in [c for c in said if isinstance(c, kind)][1:]:
                fault = reading.ClauseTwice(span=extra.span, clause=word, of=called(node))
                self.diagnostics.append(fault)
        if whole and not any(isinstance(c, s.Bounded) for c in _all_clauses(said)):
            self.diagnostics.append(
                reading.ClauseMissing(
                    span=node.span,
                    of=called(node),
                    lacks="does not say which lines bound it",
                    example="bounded by side, hem, centre",
                )
            )
            whole = False
        found: s.Piece | None = self._checked(row, replace(node, clauses=said), whole)
        return found

    def _every(self, row: Row, node: s.EveryPiece) -> s.EveryPiece:
        clauses = _as_clauses(self._body(row, "`every piece`", "file"))
        for extra in [c for c in clauses if isinstance(c, s.Grain)][1:]:
            self.diagnostics.append(reading.ClauseTwice(span=extra.span, clause="grain", of="`every piece`"))
        return replace(node, clauses=clauses)

    def head(self, row: Row) -> s.RecipeHead | None:
        """The title of a recipe with the lines below it."""
        title: s.RecipeHead | None = self.line(row, "file")
        lines, _ = self._all(row, "head")
        meant = tuple(part for line in lines if isinstance(line, tuple) for part in line)
        said = [line for line in lines if not isinstance(line, tuple)]
        keys: set[str] = set()
        for heading in said:
            key = heading.key if isinstance(heading, s.Heading) else "based on"
            if key in keys:
                fault = reading.ClauseTwice(span=heading.span, clause=key, of="The recipe")
                self.diagnostics.append(fault)
            keys.add(key)
        if title is None:
            return None
        based = next((h for h in said if isinstance(h, s.BasedOn)), None)
        headings = tuple(h for h in said if isinstance(h, s.Heading))
        return replace(title, headings=headings, based_on=based, meant_for=meant)


def _lines_of(row: Row) -> tuple[Line, ...]:
    """The line of a row and those below it."""
    return (row.line, *(line for child in row.children for line in _lines_of(child)))


def _unfinished_redraw(row: Row) -> Diagnostic:
    wanted = ("a statement such as `curve`, `mark` or `piece`", "a name with `=`")
    return reading.UnfinishedLine(span=row.span(), after="redraw", wanted=wanted)


def _as_clauses(nodes: tuple[Any, ...]) -> tuple[s.PieceClause, ...]:
    """A piece's clauses: a `when` among them holds clauses, not statements."""
    return tuple(
        s.ClauseWhen(n.span, n.condition, _as_clauses(n.body), _as_clauses(n.otherwise))
        if isinstance(n, s.When)
        else n
        for n in nodes
    )


def _all_clauses(clauses: tuple[s.PieceClause, ...]) -> Iterator[s.PieceClause]:
    for clause in clauses:
        if isinstance(clause, s.ClauseWhen):
            yield from _all_clauses((*clause.body, *clause.otherwise))
        else:
            yield clause


def rules_of(context: str, code: str) -> tuple[str, ...]:
    """The grammar's rules that a line may be read by where it stands; none if no statement begins so."""
    if context == "draw":
        return _ARGUMENT
    word = _first_of(code)
    if _LET.match(code) and (context in LETS or word not in STATEMENTS[context]):
        return ("st_let",) if context in LETS else ()
    rule = STATEMENTS[context].get(word)
    return (f"st_{rule}",) if rule is not None else ()


def first_word(row: Row) -> str:
    return _first_of(row.code)


def _first_of(code: str) -> str:
    word = _WORD.match(code)
    return word.group() if word else next((t.text for t in tokens(code)), "")


def _names_defined(row: Row) -> list[str]:
    """The names that a line which was not read was most likely to define."""
    words = [t.text for t in tokens(row.code[:2000]) if t.kind == "word"]
    if not words:
        return []
    known = any(words[0] in words_here for words_here in STATEMENTS.values())
    if _LET.match(row.code):
        found = words[:1]
    elif words[0] in _LISTS:
        found = words[1:]
    elif words[0] in _SECOND:
        found = words[1:2]
    elif words[0] == "begin":
        found = words[2:3]
    else:
        found = [] if known else words[:2]
    found += [after for word, after in pairwise(words) if word == "called"]
    return [word for word in found if word not in RESERVED]
