"""Resolve: syntax -> program.

Reads a parsed recipe and the parsed files it uses. Adds a table of names for the recipe, each draft and
each method. Never changes the syntax. Guarantees: every method exists once, none leads back to itself,
and no name is made twice without a `when` between.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from scye.diagnostics.model import Diagnostic, Label
from scye.diagnostics.names import (
    MethodInRing,
    MethodTwice,
    NameTwice,
    NotARecipe,
    UnknownMeasure,
    UnknownMethod,
)
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.ir.program import PARAMETER_KINDS, MethodEntry, Program, Role, Scope, Symbol
from scye.units.quantity import Kind

Arms = tuple[tuple[int, bool], ...]


def resolve(
    recipe: s.File, libraries: Iterable[s.File], measures: dict[str, Kind]
) -> tuple[Program, list[Diagnostic]]:
    """The program of a recipe file and the method files it uses; `measures` is the catalogue's kinds."""
    found: list[Diagnostic] = []
    forgiven = frozenset().union(recipe.unread_names, *(f.unread_names for f in libraries))
    if not _is_recipe(recipe):
        found.append(NotARecipe(span=None, about=f"{recipe.source.name} holds no recipe"))
    methods = _methods(recipe, libraries, found)
    root = Scope("")
    _enter_all(recipe.body, root, (), measures, found)
    for entry in methods.values():
        _enter_method(entry, found)
    _check_duplicates(root, found)
    for draft in root.drafts.values():
        _check_duplicates(draft, found)
    for entry in methods.values():
        _check_duplicates(entry.scope, found)
    _check_draws(recipe, methods, found, forgiven)
    return Program(recipe, methods, root, measures, forgiven), found


# --- methods ----------------------------------------------------------------------------------


def _is_recipe(file: s.File) -> bool:
    """Whether a file was meant for a recipe, though its first line may not have been readable."""
    return file.head is not None or any(line.startswith("recipe") for line in file.source.text.splitlines())


def _methods(recipe: s.File, libraries: Iterable[s.File], found: list[Diagnostic]) -> dict[str, MethodEntry]:
    methods: dict[str, MethodEntry] = {}
    for file in (recipe, *libraries):
        for statement in file.body:
            if isinstance(statement, s.Method):
                name = statement.name.text
                if name in methods:
                    first = methods[name].method.name.span
                    found.append(
                        MethodTwice(span=statement.name.span, name=name, labels=(Label(first, "the first"),))
                    )
                else:
                    methods[name] = MethodEntry(statement, Scope(name))
            elif file is not recipe and not isinstance(statement, s.Use):
                about = "a file of methods may hold only `use` and `method`"
                hint = "write it in the recipe, or inside the method that needs it"
                found.append(NotARecipe(span=statement.span, about=about, hint=hint))
    return methods


def _enter_method(entry: MethodEntry, found: list[Diagnostic]) -> None:
    for parameter in entry.method.parameters:
        kind, _ = PARAMETER_KINDS[parameter.kind]
        symbol = Symbol(
            parameter.name.text, kind, "parameter", parameter.name.span, None, many=parameter.many
        )
        entry.scope.symbols.setdefault(symbol.name, []).append(symbol)
    _enter_all(entry.method.body, entry.scope, (), {}, found)


def _check_draws(
    recipe: s.File, methods: dict[str, MethodEntry], found: list[Diagnostic], forgiven: frozenset[str]
) -> None:
    """Every method drawn by is known, and none leads back to itself."""
    uses: dict[str, list[str]] = {}
    bodies: list[tuple[str, tuple[s.Statement, ...]]] = [("", recipe.body)]
    bodies += [(name, entry.method.body) for name, entry in methods.items()]
    for owner, body in bodies:
        for draw in _draws(body):
            name = draw.method.text
            if name in methods:
                uses.setdefault(owner, []).append(name)
            elif name not in forgiven:
                found.append(UnknownMethod(span=draw.method.span, name=name, near=nearest(name, methods)))
    done: set[str] = set()
    for start in methods:
        ring = _ring(start, uses, done)
        if ring:
            found.append(MethodInRing(span=methods[ring[0]].method.name.span, ring=ring))
            done.update(ring)


def _ring(start: str, uses: dict[str, list[str]], done: set[str]) -> tuple[str, ...]:
    """A ring of methods through `start`, or nothing. Iterative, since a stranger's chain may be long."""
    trail: list[tuple[str, Iterator[str]]] = [(start, iter(uses.get(start, ())))]
    visited = {start}
    while trail:
        following = next(trail[-1][1], None)
        if following is None:
            trail.pop()
        elif following == start and start not in done:
            return tuple(name for name, _ in trail)
        elif following not in visited:
            visited.add(following)
            trail.append((following, iter(uses.get(following, ()))))
    return ()


def _draws(body: tuple[s.Statement, ...]) -> Iterator[s.Draw]:
    for statement in body:
        match statement:
            case s.Draw():
                yield statement
            case s.Draft(body=inner) | s.Repeat(body=inner):
                yield from _draws(inner)
            case s.When(body=inner, otherwise=other):
                yield from _draws(inner)
                yield from _draws(other)
            case _:
                pass


# --- names ------------------------------------------------------------------------------------


def _enter_all(
    body: tuple[s.Statement, ...],
    scope: Scope,
    arms: Arms,
    measures: dict[str, Kind],
    found: list[Diagnostic],
) -> None:
    for statement in body:
        _enter(statement, scope, arms, measures, found)


def _add(
    scope: Scope,
    ident: s.Ident,
    kind: Kind | None,
    role: Role,
    statement: s.Statement,
    arms: Arms,
    **more: object,
) -> None:
    symbol = Symbol(
        ident.text,
        kind,
        role,
        ident.span,
        statement,
        family=ident.index is not None,
        arms=arms,
        **more,  # type: ignore[arg-type]
    )
    scope.symbols.setdefault(ident.text, []).append(symbol)


def _enter(
    statement: s.Statement, scope: Scope, arms: Arms, measures: dict[str, Kind], found: list[Diagnostic]
) -> None:
    match statement:
        case s.Needs(items=items):
            for need in items:
                _enter_need(need, statement, scope, arms, measures, found)
        case s.Choose(name=name):
            _add(scope, name, _choice_kind(statement), "choice", statement, arms)
        case s.Let(name=name, value=value):
            many = isinstance(value, s.ListOf | s.Share)
            _add(scope, name, None, "value", statement, arms, many=many)
        case s.Draft(name=name, body=body):
            inner = scope.drafts.setdefault(name.text, Scope(name.text, scope))
            _add(scope, name, Kind.DRAFT, "draft", statement, arms, inner=inner)
            _enter_all(body, inner, arms, measures, found)
        case s.Begin(name=name) | s.Mark(name=name):
            _add(scope, name, Kind.POINT, "drawn thing", statement, arms)
        case s.Guide(name=name) | s.StraightLine(name=name) | s.LineAs(name=name) | s.Curve(name=name):
            _add(scope, name, Kind.LINE, "drawn thing", statement, arms)
        case s.PanelLine(name=name):
            _add(scope, name, Kind.PANEL_LINE, "drawn thing", statement, arms)
        case s.Dart(name=name):
            _add(scope, name, Kind.DART, "drawn thing", statement, arms)
        case s.Find(unknowns=unknowns):
            for unknown in unknowns:
                _add(scope, unknown.name, None, "unknown", statement, arms)
        case s.Draw(name=name, method=method):
            _add(scope, name, Kind.DRAWN, "drawn thing", statement, arms, method=method.text)
        case s.Piece(name=name):
            _add(scope, name, Kind.PIECE, "piece", statement, arms)
        case s.When(body=body, otherwise=otherwise):
            # Told apart by what it is, not by its place: a variant and its parent are two texts.
            _enter_all(body, scope, (*arms, (id(statement), True)), measures, found)
            _enter_all(otherwise, scope, (*arms, (id(statement), False)), measures, found)
        case s.Repeat(variable=variable, body=body):
            _add(scope, variable, Kind.NUMBER, "counter", statement, arms)
            _enter_all(body, scope, arms, measures, found)
        case _:
            pass  # seams, proofs and the like make no names


def _enter_need(
    need: s.Need,
    statement: s.Statement,
    scope: Scope,
    arms: Arms,
    measures: dict[str, Kind],
    found: list[Diagnostic],
) -> None:
    kind = measures.get(need.name.text)
    if kind is None:
        name = need.name.text
        found.append(UnknownMeasure(span=need.name.span, name=name, near=nearest(name, measures)))
    _add(scope, need.name, kind, "measure", statement, arms)


def _choice_kind(choice: s.Choose) -> Kind | None:
    if choice.words:
        return Kind.CHOICE
    if isinstance(choice.default, str):
        return Kind.YESNO
    match choice.default:
        case s.Amount(quantity=quantity):
            return quantity.kind
        case _:
            return None


def _check_duplicates(scope: Scope, found: list[Diagnostic]) -> None:
    """Two of a name are surely made twice where one is made wherever the other is."""
    for symbols in scope.symbols.values():
        made: dict[Arms, Symbol] = {}  # by the arms it stands in
        within: dict[Arms, Symbol] = {}  # by every arm round it
        for symbol in symbols:
            if symbol.family or symbol.role == "counter":
                continue
            rounds = [symbol.arms[:i] for i in range(len(symbol.arms) + 1)]
            earlier = within.get(symbol.arms) or next((made[a] for a in rounds if a in made), None)
            if earlier is not None:
                label = Label(earlier.span, "made here first")
                found.append(NameTwice(span=symbol.span, name=symbol.name, labels=(label,)))
            made.setdefault(symbol.arms, symbol)
            for arms in rounds:
                within.setdefault(arms, symbol)
