"""Where each name is used: what rename, definition and hover go by."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

from scye.editor.things import (
    CAUTIONS,
    FILES,
    METHODS,
    RECIPE,
    Thing,
    Things,
    draft_scope,
    gather,
    method_scope,
)
from scye.ir import syntax as s
from scye.source import Span

Local = dict[str, Thing]


@dataclass(frozen=True, slots=True)
class Use:
    """A name where it is written. `makes` says that the thing is made there."""

    thing: Thing
    span: Span
    makes: bool = False


@dataclass(slots=True)
class Index:
    """Every name of some texts, in order within each text; texts are told apart by their shown names."""

    things: Things
    by_source: dict[str, list[Use]] = field(default_factory=dict)

    def at(self, source: str, offset: int) -> Use | None:
        """The name at an offset of a text, its end included, since an editor's cursor stands between."""
        uses = self.by_source.get(source, [])
        at = bisect_right(uses, offset, key=lambda use: use.span.start) - 1
        return uses[at] if at >= 0 and offset <= uses[at].span.end else None

    def of(self, thing: Thing) -> list[Use]:
        return [use for uses in self.by_source.values() for use in uses if use.thing == thing]


def index_of(files: Iterable[s.File]) -> Index:
    """The index of a recipe with its parents and methods; each file once."""
    files = list({id(file): file for file in files}.values())
    index = Index(gather(files))
    for file in files:
        walk = _Walk(index.things)
        walk.head(file.head)
        walk.body(file.body, RECIPE, {})
        uses = dict.fromkeys(walk.uses)  # of an edge that several pieces have, one for each line
        index.by_source[file.source.name] = sorted(uses, key=lambda use: (use.span.start, use.span.end))
    return index


class _Walk:
    """Walks one file. `local` are names that only hold within a block: counters, matches, moved darts."""

    def __init__(self, things: Things) -> None:
        self.things = things
        self.uses: list[Use] = []

    def use(self, thing: Thing | None, span: Span, makes: bool = False) -> None:
        if thing is not None:
            self.uses.append(Use(thing, span, makes))

    def make(self, ident: s.Ident, scope: str, local: Local) -> None:
        """A name where the thing is made, and what stands in its square brackets."""
        self.use(Thing(scope, ident.text), Span(ident.span.source, ident.span.start, _end(ident)), True)
        self.node(ident.index, scope, local)

    # --- statements -----------------------------------------------------------------------------

    def head(self, head: s.RecipeHead | None) -> None:
        if head is None:
            return
        for meant in head.meant_for:
            self.use(self.things.named(RECIPE, meant.name.text), meant.name.span)
        if head.based_on is not None:
            recipe = head.based_on.recipe
            self.use(Thing(FILES, recipe.value), recipe.span)

    def body(self, body: tuple[s.Statement, ...], scope: str, local: Local) -> None:
        for statement in body:
            self.statement(statement, scope, local)

    def statement(self, statement: s.Statement, scope: str, local: Local) -> None:
        match statement:
            case s.Use(names=names):
                for ident in names:
                    self.use(Thing(FILES, ident.text), ident.span)
            case s.Needs(items=made) | s.Find(unknowns=made):
                for item in made:
                    self.make(item.name, scope, local)
                self.rest(statement, scope, local)
            case s.Draft(name=name, body=body):
                self.make(name, scope, local)
                self.body(body, draft_scope(name.text), local)
            case s.When(condition=condition, body=body, otherwise=otherwise):
                self.node(condition, scope, local)
                self.body((*body, *otherwise), scope, local)
            case s.Repeat():
                self.repeat(statement, scope, local)
            case s.Draw():
                self.draw(statement, scope, local)
            case s.Method():
                self.method(statement)
            case s.Piece(name=name):
                self.make(name, scope, local)
                self.piece(statement, local)
            case s.EveryPiece(clauses=clauses):
                for clause in clauses:
                    self.clause(None, clause, local)
            case s.Sew():
                self.sew(statement, scope, local)
            case s.Caution(name=name):
                self.use(Thing(CAUTIONS, name.text), name.span)
                self.rest(statement, scope, local)
            case s.Redraw(statement=inner):
                self.statement(inner, scope, local)
            case s.LeaveOut(items=left_out):
                for each in left_out:
                    self.left_out(each, scope, local)
            case _:
                self.named(getattr(statement, "name", None), scope, local)
                self.rest(statement, scope, local)

    def named(self, name: Any, scope: str, local: Local) -> None:
        if isinstance(name, s.Ident):
            self.make(name, scope, local)

    def left_out(self, item: s.Name | s.Text | s.Sew, scope: str, local: Local) -> None:
        if isinstance(item, s.Sew):
            self.sew(item, scope, local)
        else:
            self.node(item, scope, local)

    def repeat(self, repeat: s.Repeat, scope: str, local: Local) -> None:
        self.node((repeat.first, repeat.last), scope, local)
        counter = _only_here("counter", repeat.variable)
        self.use(counter, repeat.variable.span, True)
        self.body(repeat.body, scope, {**local, repeat.variable.text: counter})

    def draw(self, draw: s.Draw, scope: str, local: Local) -> None:
        self.make(draw.name, scope, local)
        method = draw.method.text
        self.use(Thing(METHODS, method), draw.method.span)
        for argument in draw.arguments:
            given = self.things.named(method_scope(method), argument.name.text)
            self.use(given, argument.name.span)
            self.node(argument.value, scope, local)

    def method(self, method: s.Method) -> None:
        scope = method_scope(method.name.text)
        self.use(Thing(METHODS, method.name.text), method.name.span, True)
        for parameter in method.parameters:
            self.make(parameter.name, scope, {})
            self.node(parameter.default, scope, {})
        for gives in method.gives:
            self.use(Thing(scope, gives.name.text), gives.name.span)
        self.body(method.body, scope, {})

    # --- pieces and seams -----------------------------------------------------------------------

    def piece(self, piece: s.Piece, local: Local) -> None:
        moved = {m.name.text: _only_here("dart", m.name) for m in _moves(piece.clauses) if m.name is not None}
        for clause in piece.clauses:
            self.clause(piece.name.text, clause, {**local, **moved})

    def clause(self, piece: str | None, clause: s.PieceClause, local: Local) -> None:
        """A clause of a piece; of `every piece` where none is named."""
        if isinstance(clause, s.ClauseWhen):
            self.node(clause.condition, RECIPE, local)
            for inner in (*clause.body, *clause.otherwise):
                self.clause(piece, inner, local)
            return
        edges = _edges(clause)
        for name in edges:
            self.edge(piece, name.parts, local)
        if isinstance(clause, s.MoveDart) and clause.name is not None:
            self.use(_only_here("dart", clause.name), clause.name.span, True)
        for value in _values(clause):
            if not any(value is name for name in edges) and value is not getattr(clause, "edges", None):
                self.node(value, RECIPE, local)

    def edge(self, piece: str | None, parts: tuple[s.NamePart, ...], local: Local) -> None:
        """An edge as a piece has it, or every piece that has it, by the name of the line that it lies on."""
        first = parts[0]
        for part in parts:
            self.node(part.index, RECIPE, local)
        alone = self.things.reached(RECIPE, first.text)
        for thing in self.things.edges(piece, first.text) or ([alone] if alone else []):
            self.use(thing, _word(first))
            self.parts(thing, parts[1:], RECIPE, local)

    def sew(self, sew: s.Sew, scope: str, local: Local) -> None:
        matches = {m.name.text: _only_here("match", m.name) for m in sew.matches if m.name is not None}
        self.node((sew.first, sew.second), scope, local)
        for match in sew.matches:
            if match.name is not None:
                self.use(matches[match.name.text], match.name.span, True)
            self.rest(match, scope, local)
        for easing in sew.easings:
            self.node(easing.amount, scope, local)
            for ident in easing.between or ():
                self.use(matches.get(ident.text), ident.span)

    # --- names ----------------------------------------------------------------------------------

    def rest(self, statement: Any, scope: str, local: Local) -> None:
        """Whatever a node is made of."""
        for value in _values(statement):
            self.node(value, scope, local)

    def node(self, node: Any, scope: str, local: Local) -> None:
        match node:
            case s.Name():
                self.name(node, scope, local)
            case s.EdgeRef(name=name):
                first = self.things.reached(RECIPE, name.parts[0].text)
                if first is not None and len(name.parts) > 1 and self.things.node(first, s.Piece):
                    self.use(first, _word(name.parts[0]))
                    self.edge(first.name, name.parts[1:], local)
                elif first is None and not scope.startswith("method "):
                    self.edge(None, name.parts, local)
                else:
                    self.name(name, scope, local)
            case s.Ident(index=index):
                self.node(index, scope, local)
            case tuple():
                for item in node:
                    self.node(item, scope, local)
            case _ if is_dataclass(node) and not isinstance(node, Span):
                self.rest(node, scope, local)

    def name(self, name: s.Name, scope: str, local: Local) -> None:
        first = name.parts[0]
        thing = local.get(first.text) or self.things.reached(scope, first.text)
        self.use(thing, _word(first))
        self.node(first.index, scope, local)
        if thing is not None:
            self.parts(thing, name.parts[1:], scope, local)

    def parts(self, thing: Thing, parts: tuple[s.NamePart, ...], scope: str, local: Local) -> None:
        """What stands behind a point: a draft's own thing, an edge of a piece, what a method gives."""
        if not parts:
            return
        part, things = parts[0], self.things
        draw = things.node(thing, s.Draw)
        if things.node(thing, s.Piece):
            self.edge(thing.name, parts, local)
            return
        self.node(part.index, scope, local)
        inner = things.gives(draw.method.text, part.text) if draw else None
        if things.node(thing, s.Draft):
            inner = things.named(draft_scope(thing.name), part.text)
        self.use(inner, _word(part))
        if inner is not None:
            self.parts(inner, parts[1:], scope, local)


def _only_here(sort: str, ident: s.Ident) -> Thing:
    """A thing that is known only within the block or seam where it is named."""
    return Thing(f"{sort} {ident.span.source.name}:{ident.span.start}", ident.text)


def _word(part: s.NamePart) -> Span:
    """The word of a part of a name, without a point before it and what is in square brackets behind."""
    start = part.span.start + part.span.text.index(part.text)
    return Span(part.span.source, start, start + len(part.text))


def _end(ident: s.Ident) -> int:
    return ident.span.start + len(ident.text)


def _values(node: Any) -> list[Any]:
    return [getattr(node, f.name) for f in fields(node) if f.name != "span"]


def _edges(clause: s.PieceClause) -> tuple[s.Name, ...]:
    """The names in a piece's clause that are edges of the piece."""
    match clause:
        case s.Cut(fold=s.Name() as fold):
            return (fold,)
        case s.Allow(edges=edges):
            return edges
        case s.Corner(first=first, second=second):
            return (first, second)
        case s.Notch(edge=edge) | s.MoveDart(edge=edge) | s.Blend(edge=edge):
            return (edge,)
        case s.Slash(edge=edge, far_edge=far_edge):
            return (edge, far_edge)
        case _:
            return ()


def _moves(clauses: tuple[s.PieceClause, ...]) -> list[s.MoveDart]:
    found, waiting = [], list(clauses)
    for clause in waiting:
        if isinstance(clause, s.MoveDart):
            found.append(clause)
        elif isinstance(clause, s.ClauseWhen):
            waiting += [*clause.body, *clause.otherwise]
    return found
