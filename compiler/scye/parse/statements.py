"""The head of a recipe, values, choices, drafts and methods, line by line: tree to nodes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.parse.numbers import quantity
from scye.source import Span

if TYPE_CHECKING:
    from scye.parse.builder import Handler, Node


# --- the head of a recipe ---------------------------------------------------------------------


def _recipe(b: Builder, tree: Node) -> s.RecipeHead:
    title = b.text(tree.children[0])
    assert title is not None
    return s.RecipeHead(b.span(tree), title, ())


def _edition(b: Builder, tree: Node) -> s.Heading:
    return s.Heading(b.span(tree), "edition", str(b.whole(tree.children[0])))


def _heading(key: str) -> Handler:
    def handler(b: Builder, tree: Node) -> s.Heading:
        return s.Heading(b.span(tree), key, str(tree.children[0]).strip('"'))

    return handler


def _meant(b: Builder, tree: Node) -> tuple[s.MeantFor, ...]:
    return b.nodes(tree.children)


def _meant_range(b: Builder, tree: Node) -> s.MeantFor:
    name, low, high = tree.children
    ends = (s.Amount(b.span(token), quantity(str(token))) for token in (low, high))
    return s.MeantFor(b.span(tree), b.plain_ident(name), *ends)


def _based(b: Builder, tree: Node) -> s.BasedOn:
    recipe, edition = tree.children
    text = b.text(recipe)
    assert text is not None
    return s.BasedOn(b.span(tree), text, None if edition is None else b.whole(edition))


# --- values and choices -----------------------------------------------------------------------


def _use(b: Builder, tree: Node) -> s.Use:
    return s.Use(b.span(tree), b.idents(tree.children))


def _needs(b: Builder, tree: Node) -> s.Needs:
    return s.Needs(b.span(tree), b.nodes(tree.children))


def _need(b: Builder, tree: Node) -> s.Need:
    name, otherwise = tree.children
    return s.Need(b.span(tree), b.plain_ident(name), b.maybe(otherwise))


def _choose_amount(b: Builder, tree: Node) -> s.Choose:
    name, default, text = tree.children
    return s.Choose(b.span(tree), b.plain_ident(name), b.node(default), None, None, (), b.text(text))


def _choose_range(b: Builder, tree: Node) -> s.Choose:
    name, *amounts, text = tree.children
    default, low, high = b.nodes(amounts)
    return s.Choose(b.span(tree), b.plain_ident(name), default, low, high, (), b.text(text))


def _choose_words(b: Builder, tree: Node) -> s.Choose:
    name, default, *words, text = tree.children
    return s.Choose(
        b.span(tree), b.plain_ident(name), str(default), None, None, b.idents(words), b.text(text)
    )


def _choose_yes(b: Builder, tree: Node) -> s.Choose:
    name, default, text = tree.children
    return s.Choose(b.span(tree), b.plain_ident(name), str(default), None, None, (), b.text(text))


def _let(b: Builder, tree: Node) -> s.Let:
    name, value, text, owner = tree.children
    return s.Let(b.span(tree), b.node(name), b.node(value), b.text(text), _owner(owner))


def _let_owner_first(b: Builder, tree: Node) -> s.Let:
    name, value, owner, text = tree.children
    return s.Let(b.span(tree), b.node(name), b.node(value), b.text(text), _owner(owner))


def _owner(token: Any) -> Literal["tape", "rule", "taste", "sum", "fitting"] | None:
    return None if token is None else str(token)  # type: ignore[return-value]


def _when(b: Builder, tree: Node) -> s.When:
    return s.When(b.span(tree), b.node(tree.children[0]), (), ())


def _otherwise(b: Builder, tree: Node) -> Span:
    """The word alone; its block is put together with that of its `when`."""
    return b.span(tree)


def _repeat(b: Builder, tree: Node) -> s.Repeat:
    variable, first, last = tree.children
    return s.Repeat(b.span(tree), b.plain_ident(variable), b.node(first), b.node(last), ())


def _unknown(b: Builder, tree: Node) -> s.Unknown:
    name, low, high = tree.children
    return s.Unknown(b.span(tree), b.plain_ident(name), b.node(low), b.node(high))


def _find(b: Builder, tree: Node) -> s.Find:
    *unknowns, _, condition, text = tree.children
    conditions = () if condition is None else (b.node(condition),)
    return s.Find(b.span(tree), b.nodes(unknowns), conditions, b.text(text))


def _so_that(b: Builder, tree: Node) -> s.SoThat:
    condition: s.SoThat = b.node(tree.children[1])
    return condition


def _condition(relation: Literal["=", "on", "level with", "plumb with"]) -> Handler:
    def handler(b: Builder, tree: Node) -> s.SoThat:
        left, right = tree.children
        return s.SoThat(b.span(tree), b.node(left), relation, b.node(right))

    return handler


# --- drafts -----------------------------------------------------------------------------------


def _draft(b: Builder, tree: Node) -> s.Draft:
    return s.Draft(b.span(tree), b.plain_ident(tree.children[0]), ())


def _begin(b: Builder, tree: Node) -> s.Begin:
    name, text = tree.children
    return s.Begin(b.span(tree), b.plain_ident(name), b.text(text))


def _guide_through(b: Builder, tree: Node) -> s.Guide:
    way, name, place, text = tree.children
    return s.Guide(b.span(tree), _way(way), b.node(name), b.node(place), None, (), b.text(text))


def _guide_from(b: Builder, tree: Node) -> s.Guide:
    way, name, base, *moves, text = tree.children
    return s.Guide(b.span(tree), _way(way), b.node(name), None, b.node(base), b.nodes(moves), b.text(text))


def _way(token: Any) -> Literal["level", "plumb"]:
    return "level" if token == "level" else "plumb"


def _mark(b: Builder, tree: Node) -> s.Mark:
    name, place, text = tree.children
    return s.Mark(b.span(tree), b.node(name), b.node(place), b.text(text))


def _straight_line(b: Builder, tree: Node) -> s.StraightLine:
    name, *points, text = tree.children
    return s.StraightLine(b.span(tree), b.node(name), b.nodes(points), b.text(text))


def _line_as(b: Builder, tree: Node) -> s.LineAs:
    name, line, text = tree.children
    return s.LineAs(b.span(tree), b.node(name), b.node(line), b.text(text))


def _draw(b: Builder, tree: Node) -> s.Draw:
    name, method, text = tree.children
    return s.Draw(b.span(tree), b.node(name), b.plain_ident(method), (), b.text(text))


def _argument(b: Builder, tree: Node) -> s.Argument:
    name, value = tree.children
    return s.Argument(b.span(tree), b.plain_ident(name), b.node(value))


def _text_argument(b: Builder, tree: Node) -> s.Argument:
    name, text = tree.children
    return s.Argument(b.span(tree), b.plain_ident(name), s.TextValue(b.span(text), str(text)[1:-1]))


def _method(b: Builder, tree: Node) -> s.Method:
    return s.Method(b.span(tree), b.plain_ident(tree.children[0]), None, (), (), ())


def _given(b: Builder, tree: Node) -> s.Parameter:
    name, kind, default, text = tree.children
    many = str(kind).endswith("s")
    return s.Parameter(
        b.span(tree), b.plain_ident(name), str(kind).removesuffix("s"), many, b.maybe(default), b.text(text)
    )


def _gives(b: Builder, tree: Node) -> s.Gives:
    name, kind, text = tree.children
    return s.Gives(b.span(tree), b.plain_ident(name), str(kind), b.text(text))


# --- variants ---------------------------------------------------------------------------------


def _leave_out(b: Builder, tree: Node) -> s.LeaveOut:
    return s.LeaveOut(b.span(tree), b.nodes(tree.children))


def _left_title(b: Builder, tree: Node) -> s.Text | None:
    return b.text(tree.children[0])


def _left_seam(b: Builder, tree: Node) -> s.Sew:
    """A seam said by its sides alone."""
    first, *other = tree.children
    second: Any = other[0] if other else None
    to_pair = second is not None and not hasattr(second, "children")
    sides = b.nodes(second.children) if second is not None and not to_pair else ()
    edges: Any = first
    return s.Sew(b.span(tree), b.nodes(edges.children), sides, to_pair, None, (), ())


HANDLERS: Mapping[str, Handler] = {
    "st_leave": _leave_out,
    "left_title": _left_title,
    "left_seam": _left_seam,
    "st_recipe": _recipe,
    "st_edition": _edition,
    "st_about": _heading("about"),
    "st_licence": _heading("licence"),
    "st_studio": _heading("studio"),
    "st_wearer": _heading("wearer"),
    "st_meant": _meant,
    "meant_range": _meant_range,
    "st_based": _based,
    "st_use": _use,
    "st_needs": _needs,
    "need": _need,
    "choose_amount": _choose_amount,
    "choose_range": _choose_range,
    "choose_words": _choose_words,
    "choose_yes": _choose_yes,
    "st_let": _let,
    "let_owner_first": _let_owner_first,
    "st_when": _when,
    "st_otherwise": _otherwise,
    "st_repeat": _repeat,
    "st_find": _find,
    "unknown": _unknown,
    "st_so_that": _so_that,
    "equal_amounts": _condition("="),
    "lies_on": _condition("on"),
    "level_with": _condition("level with"),
    "plumb_with": _condition("plumb with"),
    "st_draft": _draft,
    "st_begin": _begin,
    "guide_through": _guide_through,
    "guide_from": _guide_from,
    "st_mark": _mark,
    "straight_line": _straight_line,
    "line_as": _line_as,
    "st_draw": _draw,
    "arg_value": _argument,
    "arg_line": _argument,
    "arg_place": _argument,
    "arg_direction": _argument,
    "arg_text": _text_argument,
    "st_method": _method,
    "st_given": _given,
    "st_gives": _gives,
}
