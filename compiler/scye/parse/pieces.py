"""Pieces and their clauses, proofs, limits and reports: tree to nodes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from scye.diagnostics import reading
from scye.ir import syntax as s
from scye.parse.builder import Builder
from scye.parse.faults import Unreadable

if TYPE_CHECKING:
    from scye.parse.builder import Handler, Node


def _piece(b: Builder, tree: Node) -> s.Piece:
    name, title = tree.children
    text = b.text(title)
    assert text is not None
    return s.Piece(b.span(tree), b.plain_ident(name), text, ())


def _every(b: Builder, tree: Node) -> s.EveryPiece:
    return s.EveryPiece(b.span(tree), ())


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
    direction, one_way = tree.children
    return s.Grain(b.span(tree), b.node(direction), one_way=one_way is not None)


def _grain_bias(b: Builder, tree: Node) -> s.Grain:
    _, one_way = tree.children
    return s.Grain(b.span(tree), None, bias=True, one_way=one_way is not None)


def _allow(b: Builder, tree: Node) -> s.Allow:
    width, edges, start, end, turned, text = tree.children
    names, which = _edges(b, edges)
    return s.Allow(
        b.span(tree),
        b.with_unit(width),
        names,
        which,
        b.maybe(start),
        b.maybe(end),
        turned is not None,
        b.text(text),
    )


def _net(b: Builder, tree: Node) -> s.Allow:
    edges, start, end, text = tree.children
    names, which = _edges(b, edges)
    return s.Allow(b.span(tree), None, names, which, b.maybe(start), b.maybe(end), False, b.text(text))


def _edges(b: Builder, tree: Any) -> tuple[tuple[s.Name, ...], Literal["named", "seams", "others"]]:
    if not hasattr(tree.children[0], "data"):
        return (), str(tree.children[0])  # type: ignore[return-value]
    return b.nodes(tree.children), "named"


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


def _close(b: Builder, tree: Node) -> s.CloseDart:
    return s.CloseDart(b.span(tree), b.node(tree.children[0]))


def _release(b: Builder, tree: Node) -> s.ReleaseDart:
    name, kind = tree.children
    return s.ReleaseDart(b.span(tree), b.node(name), str(kind))  # type: ignore[arg-type]


def _slash_at(b: Builder, tree: Node) -> s.Slash:
    kind, edge, place, far_edge, far_place, *tail = tree.children
    return _slash(b, tree, (kind, edge, far_edge), (b.node(place), b.node(far_place)), None, tail)


def _slash_places(b: Builder, tree: Node) -> s.Slash:
    kind, edge, far_edge, count, *tail = tree.children
    return _slash(b, tree, (kind, edge, far_edge), None, b.node(count), tail)


def _slash(
    b: Builder, tree: Node, edges: Any, places: tuple[s.Place, s.Place] | None, count: Any, tail: Any
) -> s.Slash:
    amount, far, pressed = tail
    kind: Any = " ".join(str(edges[0]).split())
    both = far is not None and getattr(far, "data", "") == "both_ends"
    spreads = kind in ("spread", "overlap")
    out_of_place = pressed if spreads else far
    if out_of_place is not None:
        said = ("`pressed` is said of a pleat or a tuck", "leave it out")
        if not spreads:
            said = (f"a {kind} is as deep at both ends", "say its depth once")
        raise Unreadable(reading.SlashUnclear(span=b.span(out_of_place), said=said[0], hint=said[1]))
    return s.Slash(
        b.span(tree), kind, b.node(edges[1]), b.node(edges[2]), places, count, b.with_unit(amount),
        None if both else b.maybe(far), both, b.maybe(pressed),
    )  # fmt: skip


def _blend(b: Builder, tree: Node) -> s.Blend:
    return s.Blend(b.span(tree), b.node(tree.children[0]))


def _nest_at(b: Builder, tree: Node) -> s.Nest:
    return s.Nest(b.span(tree), b.node(tree.children[0]), None)


def _nest_along(b: Builder, tree: Node) -> s.Nest:
    line, place = tree.children
    return s.Nest(b.span(tree), b.node(place), b.node(line))


def _show(b: Builder, tree: Node) -> s.Show:
    line, text = tree.children
    return s.Show(b.span(tree), b.node(line), b.text(text))


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
    "st_piece": _piece,
    "st_every": _every,
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
    "st_close": _close,
    "st_release": _release,
    "slash_at": _slash_at,
    "slash_places": _slash_places,
    "st_blend": _blend,
    "nest_at": _nest_at,
    "nest_along": _nest_along,
    "st_show": _show,
    "st_label": _label,
    "st_prove": _prove,
    "st_keep": _keep,
    "st_report": _report,
    "st_caution": _caution,
    "st_seams": _seams,
}
