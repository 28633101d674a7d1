"""What the names of a recipe and its methods stand for, over all of the texts that they are written in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from scye.ir import syntax as s
from scye.ir.program import PARAMETER_KINDS
from scye.source import Span
from scye.units.quantity import Kind

# Kinds of scope that hold names; those of a draft, a method or a piece are followed by its name.
RECIPE, METHODS, FILES, CAUTIONS = "", "methods", "files", "cautions"


def draft_scope(name: str) -> str:
    return f"draft {name}"


def method_scope(name: str) -> str:
    return f"method {name}"


@dataclass(frozen=True, slots=True)
class Thing:
    """Whatever a name stands for: the same thing wherever `scope` and `name` are the same."""

    scope: str
    name: str


@dataclass(frozen=True, slots=True)
class Made:
    """A place that makes a thing: what it says there, and of which kind it is (None: some amount)."""

    thing: Thing
    span: Span
    node: Any
    kind: Kind | None = None
    row: bool = False

    @property
    def sentence(self) -> str:
        """What is said of it in quotes, or an empty text."""
        match self.node:
            case s.Method(about=s.Text() as text) | s.Piece(title=text):
                return text.value
            case node:
                said = getattr(node, "sentence", None)
                return said.value if isinstance(said, s.Text) else ""


@dataclass(slots=True)
class Things:
    """All that is made, by what it is."""

    made: dict[Thing, list[Made]] = field(default_factory=dict)

    def add(self, made: Made) -> None:
        self.made.setdefault(made.thing, []).append(made)

    def node(self, thing: Thing, kind: type) -> Any:
        """What makes a thing, if it is of that kind of statement."""
        return next((m.node for m in self.made.get(thing, ()) if isinstance(m.node, kind)), None)

    def named(self, scope: str, text: str) -> Thing | None:
        thing = Thing(scope, text)
        return thing if thing in self.made else None

    def reached(self, scope: str, text: str) -> Thing | None:
        """What a name by itself means in a scope: a draft sees its recipe, a recipe what one draft has."""
        here = self.named(scope, text)
        if here or scope.startswith("method "):
            return here
        outer = self.named(RECIPE, text)
        if outer or scope != RECIPE:
            return outer
        within = [thing for thing in self.made if thing.name == text and thing.scope.startswith("draft ")]
        return within[0] if len(within) == 1 else None

    def within(self, scope: str) -> list[Made]:
        """What a scope holds, in the order that it is first made."""
        return [made[0] for thing, made in self.made.items() if thing.scope == scope]

    def gives(self, method: str, text: str) -> Thing | None:
        """What a method gives by that name."""
        node = self.node(Thing(METHODS, method), s.Method)
        given = node is not None and any(g.name.text == text for g in node.gives)
        return Thing(method_scope(method), text) if given else None

    def edges(self, piece: str | None, text: str) -> list[Thing]:
        """The lines that a piece (None: any) has an edge of that name on."""
        found: dict[Thing, None] = {}
        wanted = [Thing(RECIPE, piece)] if piece is not None else list(self.made)
        for name in (
            name for thing in wanted for m in self.made.get(thing, ()) for name in boundaries(m.node)
        ):
            line, at = self.line_of(name)
            if line is not None and name.parts[at].text == text:
                found[line] = None
        return list(found)

    def line_of(self, name: s.Name) -> tuple[Thing | None, int]:
        """What a boundary names, and which of its parts says so: the second behind the name of a draft."""
        first = self.reached(RECIPE, name.parts[0].text)
        if first and len(name.parts) > 1 and self.node(first, s.Draft):
            return self.named(draft_scope(first.name), name.parts[1].text), 1
        return first, 0


def boundaries(piece: Any) -> list[s.Name]:
    """The names that a piece is bounded by, under whatever choice."""
    found: list[s.Name] = []
    waiting = list(piece.clauses) if isinstance(piece, s.Piece) else []
    for clause in waiting:
        if isinstance(clause, s.Bounded):
            found += clause.names
        elif isinstance(clause, s.ClauseWhen):
            waiting += [*clause.body, *clause.otherwise]
    return found


# --- gathering ----------------------------------------------------------------------------------


def gather(files: list[s.File]) -> Things:
    """All that a recipe, the recipes it is based on and their methods make."""
    things = Things()
    for file in files:
        _gather(file.body, RECIPE, things)
    return things


_DRAWN: dict[type, Kind] = {
    s.Begin: Kind.POINT,
    s.Mark: Kind.POINT,
    s.Guide: Kind.LINE,
    s.StraightLine: Kind.LINE,
    s.LineAs: Kind.LINE,
    s.Curve: Kind.LINE,
    s.PanelLine: Kind.PANEL_LINE,
    s.Dart: Kind.DART,
    s.Draw: Kind.DRAWN,
    s.Piece: Kind.PIECE,
    s.Draft: Kind.DRAFT,
}


def _gather(body: tuple[s.Statement, ...], scope: str, things: Things) -> None:
    for statement in body:
        _gather_one(statement, scope, things)


def _gather_one(statement: s.Statement, scope: str, things: Things) -> None:
    def add(ident: s.Ident, node: Any, kind: Kind | None, row: bool = False) -> None:
        row = row or ident.index is not None
        things.add(Made(Thing(scope, ident.text), ident.span, node, kind, row))

    match statement:
        case s.Needs(items=items):
            for need in items:
                add(need.name, need, None)
        case s.Choose(name=name):
            add(name, statement, _kind_of_choice(statement))
        case s.Let(name=name, value=value):
            add(name, statement, None, isinstance(value, s.ListOf | s.Share))
        case s.Find(unknowns=unknowns):
            for unknown in unknowns:
                add(unknown.name, unknown, None)
        case s.Method(name=name):
            things.add(Made(Thing(METHODS, name.text), name.span, statement))
            _gather_method(statement, things)
        case s.When(body=body, otherwise=otherwise):
            _gather((*body, *otherwise), scope, things)
        case s.Repeat(body=body):
            _gather(body, scope, things)
        case s.Redraw(statement=inner):
            _gather_one(inner, scope, things)
        case _ if type(statement) in _DRAWN:
            add(statement.name, statement, _DRAWN[type(statement)])  # type: ignore[union-attr]
            if isinstance(statement, s.Draft):
                _gather(statement.body, draft_scope(statement.name.text), things)
        case _:
            pass  # seams, proofs and the like make no names


def _gather_method(method: s.Method, things: Things) -> None:
    scope = method_scope(method.name.text)
    for parameter in method.parameters:
        kind, many = PARAMETER_KINDS[parameter.kind]
        thing = Thing(scope, parameter.name.text)
        things.add(Made(thing, parameter.name.span, parameter, kind, many or parameter.many))
    _gather(method.body, scope, things)


def _kind_of_choice(choice: s.Choose) -> Kind | None:
    if choice.words:
        return Kind.CHOICE
    return Kind.YESNO if isinstance(choice.default, str) else None
