"""Statements of one line, and the heads of those with lines below: tree to nodes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from scye.diagnostics import reading
from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.parse.faults import Unreadable
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


# --- pieces -----------------------------------------------------------------------------------


def _piece(b: Builder, tree: Node) -> s.Piece:
    name, title = tree.children
    text = b.text(title)
    assert text is not None
    return s.Piece(b.span(tree), b.plain_ident(name), text, ())


def _bounded(b: Builder, tree: Node) -> s.Bounded:
    return s.Bounded(b.span(tree), b.nodes(tree.children))


def _cut(how: Literal["pair", "single"]) -> Handler:
    count = 2 if how == "pair" else 1

    def handler(b: Builder, tree: Node) -> s.Cut:
        return s.Cut(b.span(tree), count, how, None, _layers(b, tree, tree.children[0]))

    return handler


def _cut_plain(b: Builder, tree: Node) -> s.Cut:
    count, layers = tree.children
    return s.Cut(b.span(tree), _count(b, count), "plain", None, _layers(b, tree, layers))


def _cut_fold(b: Builder, tree: Node) -> s.Cut:
    count, layers, fold = tree.children
    return s.Cut(b.span(tree), _count(b, count), "fold", b.node(fold), _layers(b, tree, layers))


def _count(b: Builder, token: Any) -> int:
    count = b.whole(token)
    if not 1 <= count <= 100:
        hint = "Say how many are cut, from 1 to 100."
        raise Unreadable(reading.MalformedNumber(span=b.span(token), number=str(token), hint=hint))
    return count


def _layers(b: Builder, tree: Node, layers: Any) -> tuple[s.Ident, ...]:
    """The cloths named after `of`; self where none is named."""
    return (s.Ident(b.span(tree), "self"),) if layers is None else b.idents(layers.children)


def _grain_direction(b: Builder, tree: Node) -> s.Grain:
    return s.Grain(b.span(tree), b.node(tree.children[0]))


def _grain_bias(b: Builder, tree: Node) -> s.Grain:
    return s.Grain(b.span(tree), None, bias=True)


def _allow(b: Builder, tree: Node) -> s.Allow:
    width, edges, start, end, turned, text = tree.children
    names, seams = _edges(b, edges)
    return s.Allow(
        b.span(tree),
        b.with_unit(width),
        names,
        seams,
        b.maybe(start),
        b.maybe(end),
        turned is not None,
        b.text(text),
    )


def _net(b: Builder, tree: Node) -> s.Allow:
    edges, start, end, text = tree.children
    names, seams = _edges(b, edges)
    return s.Allow(b.span(tree), None, names, seams, b.maybe(start), b.maybe(end), False, b.text(text))


def _edges(b: Builder, tree: Any) -> tuple[tuple[s.Name, ...], bool]:
    if not hasattr(tree.children[0], "data"):
        return (), True
    return b.nodes(tree.children), False


def _corner(b: Builder, tree: Node) -> s.Corner:
    first, second, treatment = tree.children
    word: Any = str(treatment.children[0])  # type: ignore[union-attr]
    return s.Corner(b.span(tree), b.node(first), b.node(second), word)


def _notch(b: Builder, tree: Node) -> s.Notch:
    edge, place, strokes = tree.children
    return s.Notch(b.span(tree), b.node(edge), b.node(place), stroke_count(strokes))


def stroke_count(token: Any) -> int:
    """How many strokes `double` and the like are; one where nothing is said."""
    return {"double": 2, "triple": 3}.get(str(token), 1)


def _drill(b: Builder, tree: Node) -> s.Drill:
    place, text = tree.children
    return s.Drill(b.span(tree), b.node(place), b.text(text))


def _move_all(b: Builder, tree: Node) -> s.MoveDart:
    return _move_dart(b, tree, None, *tree.children)


def _move_share(b: Builder, tree: Node) -> s.MoveDart:
    return _move_dart(b, tree, *tree.children)


def _move_dart(
    b: Builder, tree: Node, share: Any, dart: Any, edge: Any, place: Any, *tail: Any
) -> s.MoveDart:
    said: dict[str, Any] = {}
    for clause in tail:
        key = "called" if clause.data == "called" else "pressed"
        if key in said:
            raise Unreadable(reading.ClauseTwice(span=b.span(clause), clause=key, of="The move"))
        said[key] = b.node(clause)
    return s.MoveDart(
        b.span(tree),
        b.node(dart),
        b.maybe(share),
        b.node(edge),
        b.node(place),
        said.get("called"),
        said.get("pressed"),
    )


def _called(b: Builder, tree: Node) -> s.Ident:
    return b.plain_ident(tree.children[0])


def _move_pressed(b: Builder, tree: Node) -> Any:
    return b.node(tree.children[0])


def _label(b: Builder, tree: Node) -> s.LabelLine:
    text = b.text(tree.children[0])
    assert text is not None
    return s.LabelLine(b.span(tree), text)


# --- proofs and the rest ----------------------------------------------------------------------


def _prove(b: Builder, tree: Node) -> s.Prove:
    title, left, relation, right, within = tree.children
    text = b.text(title)
    assert text is not None
    sign = {"AT_MOST": "<=", "AT_LEAST": ">="}.get(relation.type, str(relation))  # type: ignore[union-attr]
    if sign in "<>":
        raise Unreadable(
            reading.UnexpectedWord(
                span=b.span(relation), word=sign, after="", wanted=("`=`", "`at most`", "`at least`")
            )
        )
    bound = None if within is None else b.with_unit(within)
    return s.Prove(b.span(tree), text, b.node(left), sign, b.node(right), bound)  # type: ignore[arg-type]


def _keep(b: Builder, tree: Node) -> s.Keep:
    word, title, value, relation, limit, advice = tree.children
    return s.Keep(
        b.span(tree),
        b.text(title),
        b.node(value),
        "at most" if relation.type == "AT_MOST" else "at least",  # type: ignore[union-attr]
        b.node(limit),
        b.text(advice),
        require=word == "require",
    )


def _report(b: Builder, tree: Node) -> s.Report:
    title, value, *share = tree.children
    text = b.text(title)
    assert text is not None
    return s.Report(b.span(tree), text, b.node(value), b.maybe(share[-1]))


def _caution(b: Builder, tree: Node) -> s.Caution:
    name, condition = tree.children
    return s.Caution(b.span(tree), b.plain_ident(name), b.maybe(condition))


def _seams(b: Builder, tree: Node) -> s.SeamTolerance:
    _, warn, _, fail = tree.children
    return s.SeamTolerance(b.span(tree), b.with_unit(warn), b.with_unit(fail))


HANDLERS: Mapping[str, Handler] = {
    "st_recipe": _recipe,
    "st_edition": _edition,
    "st_about": _heading("about"),
    "st_licence": _heading("licence"),
    "st_studio": _heading("studio"),
    "st_wearer": _heading("wearer"),
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
    "st_piece": _piece,
    "st_bounded": _bounded,
    "cut_pair": _cut("pair"),
    "cut_single": _cut("single"),
    "cut_plain": _cut_plain,
    "cut_fold": _cut_fold,
    "grain_direction": _grain_direction,
    "grain_bias": _grain_bias,
    "st_allow": _allow,
    "st_net": _net,
    "st_corner": _corner,
    "st_notch": _notch,
    "st_drill": _drill,
    "move_all": _move_all,
    "move_share": _move_share,
    "called": _called,
    "move_pressed": _move_pressed,
    "st_label": _label,
    "st_prove": _prove,
    "st_keep": _keep,
    "st_report": _report,
    "st_caution": _caution,
    "st_seams": _seams,
}
