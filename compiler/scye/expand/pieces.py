"""The plans of pieces, in terms of nodes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NoReturn

from scye.diagnostics.kinds import EdgeUnknown, PieceTrouble
from scye.diagnostics.suggest import nearest
from scye.expand.frames import Frame, Stop, key_of
from scye.expand.store import Scene
from scye.expand.things import Things
from scye.expand.wording import filled, key_text, name_words
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.units.quantity import Kind


class Pieces:
    """Makes the plan of each piece. `plans` has them by name, in the order in which they were written."""

    def __init__(self, things: Things, root: Frame) -> None:
        self.things = things
        self.root = root
        self.found = things.found
        self.plans: dict[str, p.PiecePlan] = {}
        self._seamed: list[tuple[str, tuple[s.PieceClause, ...], Scene]] = []

    def make(self, piece: s.Piece, scene: Scene) -> None:
        name = scene.frame.prefix.removeprefix(f"{scene.frame.draft}.") + self._key(piece.name, scene)
        clauses = tuple(self._chosen(piece.clauses, scene))
        bounded = self._bounded(piece, clauses)
        boundary, draft = self._boundary(bounded, scene)
        edges = [b.name for b in boundary]
        grain = next((c for c in clauses if isinstance(c, s.Grain)), None)
        way = None
        if grain is not None and grain.direction is not None:
            way = self.things.bare_direction(grain.direction, scene)
        self.plans[name] = p.PiecePlan(
            name=name,
            title=filled(piece.title.value, scene.env),
            draft=draft,
            boundary=boundary,
            cuts=tuple(self._cut(c, scene, edges, name) for c in clauses if isinstance(c, s.Cut)),
            grain=way,
            bias=grain.bias if grain is not None else False,
            allowances=tuple(
                a for c in clauses if isinstance(c, s.Allow) for a in self._allow(c, scene, edges, name)
            ),
            corners=tuple(self._corner(c, scene, edges, name) for c in clauses if isinstance(c, s.Corner)),
            notches=tuple(self._notch(c, scene, edges, name) for c in clauses if isinstance(c, s.Notch)),
            drills=tuple(self._drill(c, scene) for c in clauses if isinstance(c, s.Drill)),
            moves=tuple(self._move(c, scene, edges, name) for c in clauses if isinstance(c, s.MoveDart)),
            labels=tuple(filled(c.text.value, scene.env) for c in clauses if isinstance(c, s.LabelLine)),
            span=piece.name.span,
            nest=self._nest(clauses, scene),
        )
        if any(isinstance(c, s.Allow) and c.seams for c in clauses):
            self._seamed.append((name, clauses, scene))

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

    def _cut(self, cut: s.Cut, scene: Scene, edges: list[str], piece: str) -> p.CutPlan:
        fold = None if cut.fold is None else self._edge(cut.fold, scene, edges, piece)
        return p.CutPlan(cut.count, cut.how, fold, tuple(x.text for x in cut.layers), cut.span)

    def _allow(self, allow: s.Allow, scene: Scene, edges: list[str], piece: str) -> Iterator[p.AllowPlan]:
        width = None if allow.width is None else self.things.amount(allow.width, scene)
        start = None if allow.start is None else self.things.place(allow.start, scene)
        end = None if allow.end is None else self.things.place(allow.end, scene)
        finish = allow.finish.value if allow.finish is not None else ""
        for name in allow.edges:
            edge = self._edge(name, scene, edges, piece)
            yield p.AllowPlan(edge, width, start, end, allow.turned_back, finish, allow.span)

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
        near = nearest(edge, edges)
        self.found.append(EdgeUnknown(span=name.span, piece=piece, edge=edge, edges=tuple(edges), near=near))
        raise Stop

    def allow_on_seams(self, seams: tuple[p.SewPlan, ...]) -> None:
        """`allow ... on seams` means each edge that a seam joins and no other line of the piece speaks of."""
        joined: dict[str, list[str]] = {}
        for seam in seams:
            for side in (*seam.first, *seam.second):
                if side.edge not in joined.setdefault(side.piece, []):
                    joined[side.piece].append(side.edge)
        for name, clauses, scene in self._seamed:
            plan = self.plans[name]
            spoken = {a.edge for a in plan.allowances if a.start is None}
            extra: list[p.AllowPlan] = []
            for clause in clauses:
                if isinstance(clause, s.Allow) and clause.seams and clause.width is not None:
                    width = self.things.amount(clause.width, scene)
                    finish = clause.finish.value if clause.finish is not None else ""
                    extra += [
                        p.AllowPlan(edge, width, None, None, clause.turned_back, finish, clause.span)
                        for edge in joined.get(name, [])
                        if edge not in spoken
                    ]
            self.plans[name] = replace(plan, allowances=(*plan.allowances, *extra))


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
