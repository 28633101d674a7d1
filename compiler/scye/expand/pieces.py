"""The plans of pieces, in terms of nodes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NoReturn, assert_never

from scye.diagnostics.expansion import TooMany
from scye.diagnostics.kinds import EdgeUnknown, PieceTrouble
from scye.diagnostics.suggest import nearest_edge
from scye.expand.frames import Frame, Stop, Unknowable, key_of
from scye.expand.store import Scene
from scye.expand.things import Things
from scye.expand.wording import filled, key_text, name_words
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.units.quantity import Kind

MOST_SLASHES = 60


@dataclass(frozen=True, slots=True)
class Said:
    """Clauses that hold under the choices made, and where they stand: a piece's own, or of `every piece`."""

    clauses: tuple[s.PieceClause, ...]
    scene: Scene


@dataclass(frozen=True, slots=True)
class _Grain:
    """The direction of a grain, None where none is said; whether it is on the bias, and one way."""

    way: e.Ref | None
    bias: bool
    one_way: bool


class Pieces:
    """Makes the plan of each piece. `plans` has them by name, in the order in which they were written.

    `every` are the statements `every piece`: of several, the last written goes before.
    """

    def __init__(self, things: Things, root: Frame, every: Sequence[tuple[s.EveryPiece, Scene]]) -> None:
        self.things = things
        self.root = root
        self.found = things.found
        self.plans: dict[str, p.PiecePlan] = {}
        self._said: dict[str, list[Said]] = {}
        self._every = [Said(tuple(self._chosen(x.clauses, scene)), scene) for x, scene in reversed(every)]

    def make(self, piece: s.Piece, scene: Scene) -> None:
        name = scene.frame.prefix.removeprefix(f"{scene.frame.draft}.") + self._key(piece.name, scene)
        clauses = tuple(self._chosen(piece.clauses, scene))
        bounded = self._bounded(piece, clauses)
        boundary, draft = self._boundary(bounded, scene)
        edges = [b.name for b in boundary]
        said = [Said(clauses, scene), *self._every]
        grain = self._grain(said)
        self.plans[name] = p.PiecePlan(
            name=name,
            title=filled(piece.title.value, scene.env),
            draft=draft,
            boundary=boundary,
            cuts=tuple(self._cuts(said, edges, name)),
            grain=grain.way,
            bias=grain.bias,
            one_way=grain.one_way,
            allowances=tuple(
                a for c in clauses if isinstance(c, s.Allow) for a in self._allow(c, scene, edges, name)
            ),
            corners=tuple(self._corners(said, edges, name)),
            notches=tuple(self._notch(c, scene, edges, name) for c in clauses if isinstance(c, s.Notch)),
            drills=tuple(self._drill(c, scene) for c in clauses if isinstance(c, s.Drill)),
            moves=tuple(
                self._operation(c, scene, edges, name) for c in clauses if isinstance(c, s.Operation)
            ),
            labels=tuple(
                filled(c.text.value, x.scene.env)
                for x in said
                for c in x.clauses
                if isinstance(c, s.LabelLine)
            ),
            span=piece.name.span,
            nest=self._nest(clauses, scene),
            shows=tuple(self._show(c, scene) for c in clauses if isinstance(c, s.Show)),
        )
        self._said[name] = said

    def _bounded(self, piece: s.Piece, clauses: tuple[s.PieceClause, ...]) -> s.Bounded:
        """The one clause that says what bounds the piece under the choices made."""
        bounded = [c for c in clauses if isinstance(c, s.Bounded)]
        if len(bounded) != 1:
            name, choices = piece.name.text, self.things.choices()
            under = f" when {choices}" if choices else ""
            said = f"the piece `{name}` says {'twice' if bounded else 'nothing of'} what bounds it{under}"
            hint = "keep one `bounded by`" if bounded else "add `bounded by` for these choices as well"
            self.found.append(PieceTrouble(span=piece.name.span, said=said, hint=hint))
            raise Stop
        return bounded[0]

    def _chosen(self, clauses: tuple[s.PieceClause, ...], scene: Scene) -> Iterator[s.PieceClause]:
        """The clauses that hold under the choices made."""
        for clause in clauses:
            if isinstance(clause, s.ClauseWhen):
                holds = self.things.collector.truth(clause.condition, scene.frame, scene.env)
                yield from self._chosen(clause.body if holds else clause.otherwise, scene)
            else:
                yield clause

    def _key(self, ident: s.Ident, scene: Scene) -> str:
        if ident.index is None:
            return ident.text
        return key_of(ident.text, self.things.collector.count(ident.index, scene.frame, scene.env))

    def _boundary(self, bounded: s.Bounded, scene: Scene) -> tuple[tuple[p.BoundaryPlan, ...], str]:
        """The boundaries in order; a point between two lines says where they meet."""
        plans: list[p.BoundaryPlan] = []
        first_point: e.Ref | None = None
        draft = scene.frame.draft
        for name in bounded.names:
            ref = self.things.ref(name, scene)
            if self.things.store.kinds[ref] is Kind.POINT:
                if plans:
                    last = plans[-1]
                    plans[-1] = p.BoundaryPlan(last.name, last.line, last.span, ref)
                else:
                    first_point = ref
                continue
            edge, drawn_in = self._edge_name(name, scene)
            draft = draft or drawn_in
            plans.append(p.BoundaryPlan(edge, ref, name.span))
        if first_point is not None and plans:
            last = plans[-1]
            plans[-1] = p.BoundaryPlan(last.name, last.line, last.span, last.meets_next_at or first_point)
        return tuple(plans), draft

    def _edge_name(self, name: s.Name, scene: Scene) -> tuple[str, str]:
        """A line's name as an edge's name (without its draft, indexes worked out), and its draft."""
        texts = []
        draft = scene.frame.draft
        for i, part in enumerate(name.parts):
            if i == 0 and part.index is None and part.text in self.root.frames and len(name.parts) > 1:
                draft = part.text
                continue
            index = None if part.index is None else self.things.index(part, scene)
            texts.append(key_of(part.text, index))
        if not draft:
            definition, _ = self.things.find(name, scene)
            draft = definition.frame.draft
        return ".".join(texts), draft

    def _edge(self, name: s.Name, scene: Scene, edges: list[str], piece: str) -> str:
        text = self._edge_text(name, scene)
        if text not in edges:
            self.no_such_edge(name, piece, text, edges)
        return text

    def _edge_text(self, name: s.Name, scene: Scene) -> str:
        """A name as the edge it would be: without its draft."""
        parts = name.parts
        if len(parts) > 1 and parts[0].index is None and parts[0].text in self.root.frames:
            parts = parts[1:]
        return key_text(self.things, parts, scene)

    def _cuts(self, said: list[Said], edges: list[str], piece: str) -> Iterator[p.CutPlan]:
        """What the piece says of cutting, or else what `every piece` does."""
        for own in said:
            cuts = [c for c in own.clauses if isinstance(c, s.Cut)]
            if cuts:
                yield from (self._cut(c, own.scene, edges, piece) for c in cuts)
                return

    def _grain(self, said: list[Said]) -> _Grain:
        """What the piece says of its grain, or else what `every piece` does."""
        for own in said:
            for clause in own.clauses:
                if isinstance(clause, s.Grain):
                    said_way = clause.direction
                    way = None if said_way is None else self.things.bare_direction(said_way, own.scene)
                    return _Grain(way, clause.bias, clause.one_way)
        return _Grain(None, False, False)

    def _corners(self, said: list[Said], edges: list[str], piece: str) -> Iterator[p.CornerPlan]:
        """The piece's own corners first; those of `every piece` where it has both edges."""
        for number, own in enumerate(said):
            for clause in own.clauses:
                if isinstance(clause, s.Corner):
                    pair = (self._edge_text(name, own.scene) for name in (clause.first, clause.second))
                    if number == 0 or all(text in edges for text in pair):
                        yield self._corner(clause, own.scene, edges, piece)

    def _cut(self, cut: s.Cut, scene: Scene, edges: list[str], piece: str) -> p.CutPlan:
        fold = None if cut.fold is None else self._edge(cut.fold, scene, edges, piece)
        return p.CutPlan(cut.count, cut.how, fold, tuple(x.text for x in cut.layers), cut.span)

    def _allow(self, allow: s.Allow, scene: Scene, edges: list[str], piece: str) -> Iterator[p.AllowPlan]:
        return self._allowed(allow, scene, [self._edge(name, scene, edges, piece) for name in allow.edges])

    def _allowed(self, allow: s.Allow, scene: Scene, edges: list[str]) -> Iterator[p.AllowPlan]:
        """An allowance for each of some edges."""
        if not edges:
            return
        width = None if allow.width is None else self.things.amount(allow.width, scene)
        start = None if allow.start is None else self.things.place(allow.start, scene)
        end = None if allow.end is None else self.things.place(allow.end, scene)
        finish = allow.finish.value if allow.finish is not None else ""
        settled = None if allow.width is None else self._settled(allow.width, scene)
        for edge in edges:
            yield p.AllowPlan(
                edge, width, start, end, allow.turned_back, finish, allow.span, allow.width, settled
            )

    def _settled(self, width: s.Expr, scene: Scene) -> float | None:
        """A width (mm) that is the same for every body; nothing where it hangs on one."""
        try:
            return float(self.things.collector.known(width, scene.frame, scene.env))
        except Unknowable:
            return None

    def _corner(self, corner: s.Corner, scene: Scene, edges: list[str], piece: str) -> p.CornerPlan:
        first = self._edge(corner.first, scene, edges, piece)
        return p.CornerPlan(
            first, self._edge(corner.second, scene, edges, piece), corner.treatment, corner.span
        )

    def _notch(self, notch: s.Notch, scene: Scene, edges: list[str], piece: str) -> p.NotchPlan:
        edge = self._edge(notch.edge, scene, edges, piece)
        point, line = point_or_line(self.things, notch.place, scene)
        return p.NotchPlan(edge, point, line, notch.strokes, notch.span)

    def _nest(self, clauses: tuple[s.PieceClause, ...], scene: Scene) -> p.NestAt | None:
        """The last `nest` clause that holds: one in a `when` may replace another."""
        said = [clause for clause in clauses if isinstance(clause, s.Nest)]
        if not said:
            return None
        point = self.things.place(said[-1].place, scene)
        line = said[-1].along
        way = (
            None if line is None else self.things.direction(s.AlongLine(line.span, line, False), point, scene)
        )
        words = " ".join(said[-1].span.text.removeprefix("nest").split()).removeprefix("at ")
        return p.NestAt(point, way, words)

    def _drill(self, drill: s.Drill, scene: Scene) -> p.DrillPlan:
        text = drill.sentence.value if drill.sentence is not None else ""
        return p.DrillPlan(self.things.place(drill.place, scene), text, drill.span)

    def _show(self, show: s.Show, scene: Scene) -> p.ShowPlan:
        text = show.text.value if show.text is not None else ""
        return p.ShowPlan(self.things.line(show.line, scene), text, show.span)

    def _operation(
        self, operation: s.Operation, scene: Scene, edges: list[str], piece: str
    ) -> p.OperationPlan:
        match operation:
            case s.MoveDart():
                return self._move(operation, scene, edges, piece)
            case s.CloseDart(dart=dart, span=span):
                return p.ClosePlan(self._dart_name(dart, scene), span)
            case s.ReleaseDart(dart=dart, kind=kind, span=span):
                return p.ReleasePlan(self._dart_name(dart, scene), kind, span)
            case s.Slash():
                return self._slash(operation, scene, edges, piece)
            case s.Blend(edge=edge, span=span):
                return p.BlendPlan(self._edge(edge, scene, edges, piece), span)
            case _:
                assert_never(operation)

    def _slash(self, slash: s.Slash, scene: Scene, edges: list[str], piece: str) -> p.SlashPlan:
        point, far_point = slash.places or (None, None)
        near = self.things.amount(slash.amount, scene)
        far = near if slash.both else None
        ends = [None if at is None else self.things.place(at, scene) for at in (point, far_point)]
        return p.SlashPlan(
            kind=slash.kind,
            edge=self._edge(slash.edge, scene, edges, piece),
            far_edge=self._edge(slash.far_edge, scene, edges, piece),
            point=ends[0],
            far_point=ends[1],
            count=1 if slash.count is None else self._slashes(slash.count, scene),
            near=near,
            angular=self.things.store.kinds[near] is Kind.ANGLE,
            far=far if slash.far is None else self.things.amount(slash.far, scene),
            pressed=None if slash.pressed is None else self.things.direction(slash.pressed, ends[0], scene),
            span=slash.span,
        )

    def _slashes(self, count: s.Expr, scene: Scene) -> int:
        """In how many places a piece is slashed: known before anything is drawn."""
        try:
            number = self.things.collector.count(count, scene.frame, scene.env)
        except Unknowable as reason:
            self.found.append(self.things.collector.not_known(reason))
            raise Stop from reason
        if not 1 <= number <= MOST_SLASHES:
            said, limit = f"slashed in {number:,} places", f"from 1 to {MOST_SLASHES} places"
            self.found.append(TooMany(span=count.span, said=said, limit=limit))
            raise Stop
        return number

    def _move(self, move: s.MoveDart, scene: Scene, edges: list[str], piece: str) -> p.MovePlan:
        share = None if move.share is None else self.things.amount(move.share, scene)
        point = self.things.place(move.place, scene)
        pressed = None if move.pressed is None else self.things.direction(move.pressed, point, scene)
        dart = self._dart_name(move.dart, scene)
        new = move.name.text if move.name is not None else f"{dart} at {name_words(move.edge)}"
        return p.MovePlan(
            dart, share, self._edge(move.edge, scene, edges, piece), point, new, pressed, move.span
        )

    def _dart_name(self, name: s.Name, scene: Scene) -> str:
        """The dart's full name; one opened by an earlier move has just the name it was given there."""
        seen = len(self.found)
        try:
            definition, _ = self.things.find(name, scene)
        except Stop:
            del self.found[seen:]
            return name.parts[0].text
        self.things.made(definition, "point")
        return f"{definition.frame.prefix}{definition.key}"

    # --- what seams ask for ------------------------------------------------------------------

    def named(self, parts: tuple[s.NamePart, ...], scene: Scene) -> p.PiecePlan | None:
        """The piece of that name, of the same drawing of a method if there is one there."""
        text = key_text(self.things, parts, scene)
        prefix = scene.frame.prefix.removeprefix(f"{scene.frame.draft}.")
        return self.plans.get(prefix + text) or self.plans.get(text)

    def along(self, ref: e.Ref) -> list[tuple[str, str]]:
        """Pieces that a line bounds, each with the edge it is there."""
        return [(plan.name, b.name) for plan in self.plans.values() for b in plan.boundary if b.line == ref]

    def no_such_edge(self, name: s.Name, piece: str, edge: str, edges: list[str]) -> NoReturn:
        near = nearest_edge(edge, edges)
        self.found.append(EdgeUnknown(span=name.span, piece=piece, edge=edge, edges=tuple(edges), near=near))
        raise Stop

    def allow_the_rest(self, seams: tuple[p.SewPlan, ...]) -> None:
        """The allowances that hold for edges of which nothing nearer speaks.

        Those are, in this order: the piece's own `on seams`, which is each edge that a seam joins, and its
        own `on others`; the edges named under `every piece`; and `on seams` and `on others` there.
        """
        joined: dict[str, list[str]] = {}
        for seam in seams:
            for side in (*seam.first, *seam.second):
                if side.edge not in joined.setdefault(side.piece, []):
                    joined[side.piece].append(side.edge)
        for name, plan in self.plans.items():
            allowed = list(plan.allowances)
            for number, own in enumerate(self._said[name]):
                if number > 0:
                    allowed += self._named(own, plan, _spoken_of(allowed))
                folds = {c.fold for c in plan.cuts}
                others = [b.name for b in plan.boundary if b.name not in folds]
                for which, meant in (("seams", joined.get(name, [])), ("others", others)):
                    for clause in own.clauses:
                        if isinstance(clause, s.Allow) and clause.which == which:
                            known = _spoken_of(allowed)
                            open_ = [edge for edge in meant if edge not in known]
                            allowed += self._allowed(clause, own.scene, open_)
            self.plans[name] = replace(plan, allowances=tuple(allowed))

    def _named(self, said: Said, plan: p.PiecePlan, spoken: set[str]) -> Iterator[p.AllowPlan]:
        """What `every piece` says of edges that the piece has and says nothing of itself."""
        edges = {b.name for b in plan.boundary} - spoken
        for clause in said.clauses:
            if isinstance(clause, s.Allow):
                texts = [self._edge_text(name, said.scene) for name in clause.edges]
                yield from self._allowed(clause, said.scene, [text for text in texts if text in edges])


def _spoken_of(allowed: list[p.AllowPlan]) -> set[str]:
    """The edges that an allowance is stated for, be it of a stretch beside which nothing is said."""
    return {a.edge for a in allowed if a.start is None}


def point_or_line(
    things: Things, at: s.Place | s.LineExpr, scene: Scene
) -> tuple[e.Ref | None, e.Ref | None]:
    """`at bust_line` names a line, `at apex` a point: the kind of what is named decides."""
    if isinstance(at, s.AtPoint) or (isinstance(at, s.AtLine) and not at.extended):
        ref = things.ref(at.name, scene)
    elif isinstance(at, s.LineExpr):
        return None, things.line(at, scene)
    else:
        return things.place(at, scene), None
    return (ref, None) if things.store.kinds[ref] is Kind.POINT else (None, ref)
