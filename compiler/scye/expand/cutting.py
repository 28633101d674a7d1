"""The cutting plan: pieces, seams, proofs and limits in terms of nodes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from scye.diagnostics.expansion import EdgeNotSeamed, LetterTwice, NotMadeHere
from scye.diagnostics.kinds import EdgeUnknown
from scye.diagnostics.suggest import nearest
from scye.expand.frames import Env, Frame, Stop, Unknowable, key_of
from scye.expand.store import Scene
from scye.expand.things import Things
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.source import Span
from scye.units.quantity import Kind


class Cutting:
    """Makes the plans of one expanded recipe. Pieces are made before seams, which refer to them."""

    def __init__(self, things: Things, root: Frame) -> None:
        self.things = things
        self.root = root
        self.found = things.found
        self.pieces: dict[str, p.PiecePlan] = {}
        self._clauses: list[tuple[str, tuple[s.PieceClause, ...], Scene]] = []

    def plan(self) -> p.CuttingPlan:
        frames = list(self._frames(self.root))
        for frame in frames:
            for statement, env in list(frame.others):
                if isinstance(statement, s.Piece):
                    self._try(lambda f=frame, st=statement, en=env: self._piece(st, Scene(f, en, st)))  # type: ignore[misc]
        seams = self._seams(frames)
        self._allow_on_seams(seams)
        head = self.things.collector.program.recipe.head
        headings = tuple((h.key, h.value) for h in head.headings) if head else ()
        warn, fail = self._tolerances(frames)
        return p.CuttingPlan(
            title=head.title.value if head else "",
            slug=slug(head.title.value if head else "recipe"),
            edition=dict(headings).get("edition", ""),
            headings=headings,
            pieces=tuple(self.pieces.values()),
            darts=tuple(self.things.darts.values()),
            seams=tuple(seams),
            proofs=tuple(self._each(frames, s.Prove, self._prove)),
            keeps=tuple(self._each(frames, s.Keep, self._keep)),
            reports=tuple(self._each(frames, s.Report, self._report)),
            cautions=tuple(self._each(frames, s.Caution, self._caution)),
            seam_warn=warn,
            seam_fail=fail,
        )

    def _frames(self, frame: Frame) -> Iterator[Frame]:
        yield frame
        for inner in frame.frames.values():
            yield from self._frames(inner)
        for definition, drawn in list(self.things.method_frames.items()):
            if definition.frame is frame:
                yield from self._frames(drawn)

    def _try(self, work):  # type: ignore[no-untyped-def]
        """Do one statement's work; where it must stop, its reason has been noted."""
        try:
            return work()
        except Stop:
            return None
        except Unknowable as reason:
            from scye.diagnostics.expansion import NotKnownYet

            self.found.append(NotKnownYet(span=reason.span, what=reason.what))
            return None

    def _each(self, frames, kind, make) -> Iterator:  # type: ignore[no-untyped-def]
        for frame in frames:
            for statement, env in frame.others:
                if isinstance(statement, kind):
                    made = self._try(lambda f=frame, st=statement, en=env: make(st, Scene(f, en, st)))
                    if made is not None:
                        yield made

    # --- pieces -----------------------------------------------------------------------------

    def _piece(self, piece: s.Piece, scene: Scene) -> None:
        name = scene.frame.prefix.removeprefix(f"{scene.frame.draft}.") + self._key(piece.name, scene)
        clauses = tuple(self._chosen(piece.clauses, scene))
        bounded = next((c for c in clauses if isinstance(c, s.Bounded)), None)
        if bounded is None:
            self.found.append(NotMadeHere(span=piece.name.span, name="bounded by", choices=""))
            raise Stop
        boundary, draft = self._boundary(bounded, scene)
        edges = [b.name for b in boundary]
        grain = next((c for c in clauses if isinstance(c, s.Grain)), None)
        way = None
        if grain is not None and grain.direction is not None:
            way = self.things.bare_direction(grain.direction, scene)
        self.pieces[name] = p.PiecePlan(
            name=name,
            title=self._words(piece.title.value, scene),
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
            labels=tuple(self._words(c.text.value, scene) for c in clauses if isinstance(c, s.LabelLine)),
            span=piece.name.span,
        )
        if any(isinstance(c, s.Allow) and c.seams for c in clauses):
            self._clauses.append((name, clauses, scene))

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

    def _words(self, text: str, scene: Scene) -> str:
        """Counters in braces stand for their figure: `Side panel {i}`."""
        counters = dict(scene.env)
        return re.sub(r"\{(\w+)\}", lambda m: str(counters.get(m.group(1), m.group(0))), text)

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
        text = self._edge_name_only(name, scene)
        if text not in edges:
            near = nearest(text, edges)
            self.found.append(
                EdgeUnknown(span=name.span, piece=piece, edge=text, edges=tuple(edges), near=near)
            )
            raise Stop
        return text

    def _edge_name_only(self, name: s.Name, scene: Scene) -> str:
        parts = name.parts
        if len(parts) > 1 and parts[0].index is None and parts[0].text in self.root.frames:
            parts = parts[1:]
        return ".".join(
            key_of(x.text, None if x.index is None else self.things.index(x, scene)) for x in parts
        )

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
        point, line = self._point_or_line(notch.place, scene)
        return p.NotchPlan(edge, point, line, notch.strokes, notch.span)

    def _point_or_line(self, at: s.Place | s.LineExpr, scene: Scene) -> tuple[e.Ref | None, e.Ref | None]:
        """`at bust_line` names a line, `at apex` a point: the kind of what is named decides."""
        match at:
            case s.AtPoint(name=name) | s.AtLine(name=name, extended=False):
                ref = self.things.ref(name, scene)
            case (
                s.AtLine()
                | s.GuideThrough()
                | s.LineThrough()
                | s.RayFrom()
                | s.Sweep()
                | s.Joined()
                | s.Part()
                | s.MirroredLine()
                | s.TurnedLine()
                | s.MovedLine()
                | s.Reversed()
            ):
                return None, self.things.line(at, scene)
            case place:
                return self.things.place(place, scene), None
        return (ref, None) if self.things.store.kinds[ref] is Kind.POINT else (None, ref)

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
        try:
            seen = len(self.found)
            definition, _ = self.things.find(name, scene)
        except Stop:
            del self.found[seen:]
            return name.parts[0].text
        self.things.made(definition, "point")
        return f"{definition.frame.prefix}{definition.key}"

    # --- seams ------------------------------------------------------------------------------

    def _seams(self, frames: list[Frame]) -> list[p.SewPlan]:
        drafts = [(sew, scene) for sew, scene in self._sews(frames)]
        taken: dict[str, Span] = {}
        for sew, _ in drafts:
            if sew.letter is not None:
                if sew.letter in taken:
                    self.found.append(LetterTwice(span=sew.span, letter=sew.letter))
                taken[sew.letter] = sew.span
        letters = letters_in_order(taken)
        seams: list[p.SewPlan] = []
        for sew, scene in drafts:
            made = self._try(lambda sw=sew, sc=scene: self._sew(sw, sc))  # type: ignore[misc]
            if made is not None:
                letter = sew.letter or next(letters)
                seams.append(_lettered(made, letter))
        return seams

    def _sews(self, frames: list[Frame]) -> Iterator[tuple[s.Sew, Scene]]:
        for frame in frames:
            for statement, env in frame.others:
                if isinstance(statement, s.Sew):
                    yield statement, Scene(frame, env, statement)

    def _sew(self, sew: s.Sew, scene: Scene) -> p.SewPlan:
        if sew.second or sew.to_pair:
            first = tuple(self._side(ref, scene) for ref in sew.first)
            second = first if sew.to_pair else tuple(self._side(ref, scene) for ref in sew.second)
        else:
            first, second = self._along(sew.first[0], scene)
        return p.SewPlan(
            letter="",
            first=first,
            second=second,
            to_pair=sew.to_pair,
            easings=tuple(self._easing(x, scene) for x in sew.easings),
            matches=tuple(self._match(x, scene) for x in sew.matches),
            span=sew.span,
        )

    def _side(self, reference: s.EdgeRef, scene: Scene) -> p.SidePlan:
        name = reference.name
        for count in range(len(name.parts) - 1, 0, -1):
            piece = self._piece_named(name.parts[:count], scene)
            if piece is not None:
                edge = ".".join(
                    key_of(x.text, None if x.index is None else self.things.index(x, scene))
                    for x in name.parts[count:]
                )
                edges = [b.name for b in piece.boundary]
                if edge not in edges:
                    near = nearest(edge, edges)
                    self.found.append(
                        EdgeUnknown(
                            span=name.span, piece=piece.name, edge=edge, edges=tuple(edges), near=near
                        )
                    )
                    raise Stop
                return p.SidePlan(piece.name, edge, reference.reversed, reference.span)
        ref = self.things.ref(name, scene)
        sides = self._pieces_along(ref)
        if len(sides) != 1:
            self._not_seamed(name, sides, "one piece lies")
        piece_name, edge = sides[0]
        return p.SidePlan(piece_name, edge, reference.reversed, reference.span)

    def _piece_named(self, parts: tuple[s.NamePart, ...], scene: Scene) -> p.PiecePlan | None:
        text = ".".join(
            key_of(x.text, None if x.index is None else self.things.index(x, scene)) for x in parts
        )
        prefix = scene.frame.prefix.removeprefix(f"{scene.frame.draft}.")
        return self.pieces.get(prefix + text) or self.pieces.get(text)

    def _along(
        self, reference: s.EdgeRef, scene: Scene
    ) -> tuple[tuple[p.SidePlan, ...], tuple[p.SidePlan, ...]]:
        """`sew seam[1]`: the two edges of a panel line, or the two pieces along one line."""
        name = reference.name
        definition, rest = self.things.find(name, scene)
        if isinstance(definition.statement, s.PanelLine) and not rest:
            sides = []
            for side in ("left", "right"):
                along = self._pieces_along(self.things.made(definition, side))
                if len(along) != 1:
                    self._not_seamed(name, along, f"one piece lies along its {side} edge")
                sides.append((p.SidePlan(*along[0], False, name.span),))
            return sides[0], sides[1]
        along = self._pieces_along(self.things.ref(name, scene))
        if len(along) != 2:
            self._not_seamed(name, along, "two pieces lie")
        return (p.SidePlan(*along[0], False, name.span),), (p.SidePlan(*along[1], False, name.span),)

    def _pieces_along(self, ref: e.Ref) -> list[tuple[str, str]]:
        return [
            (piece.name, b.name) for piece in self.pieces.values() for b in piece.boundary if b.line == ref
        ]

    def _not_seamed(self, name: s.Name, along: list[tuple[str, str]], wanted: str) -> None:
        have = "no piece lies there" if not along else "there are " + ", ".join(piece for piece, _ in along)
        said = f"`{name.span.text}` can be sewn alone only where {wanted}: {have}"
        self.found.append(EdgeNotSeamed(span=name.span, said=said))
        raise Stop

    def _easing(self, easing: s.Easing, scene: Scene) -> p.EasingPlan:
        between = None if easing.between is None else (easing.between[0].text, easing.between[1].text)
        return p.EasingPlan(self.things.amount(easing.amount, scene), between, easing.span)

    def _match(self, match: s.Match, scene: Scene) -> p.MatchPlan:
        line, first = None, None
        if match.line is not None:
            first, line = self._point_or_line(match.line, scene)
        if match.first is not None:
            first = self.things.place(match.first, scene)
        second = first if match.second is None else self.things.place(match.second, scene)
        distance = None if match.distance is None else self.things.amount(match.distance, scene)
        named = match.name.text if match.name is not None else ""
        if not named and isinstance(match.line, s.AtLine):
            named = name_words(match.line.name)
        return p.MatchPlan(named, line, first, second, distance, match.origin, match.strokes, match.span)

    def _allow_on_seams(self, seams: list[p.SewPlan]) -> None:
        """`allow ... on seams` means each edge that a seam joins and no other line of the piece speaks of."""
        joined: dict[str, list[str]] = {}
        for seam in seams:
            for side in (*seam.first, *seam.second):
                if side.edge not in joined.setdefault(side.piece, []):
                    joined[side.piece].append(side.edge)
        for name, clauses, scene in self._clauses:
            plan = self.pieces[name]
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
            self.pieces[name] = _with_allowances(plan, (*plan.allowances, *extra))

    # --- proofs and limits ------------------------------------------------------------------

    def _prove(self, prove: s.Prove, scene: Scene) -> p.ProvePlan:
        within = None if prove.within is None else self.things.amount(prove.within, scene)
        return p.ProvePlan(
            self._words(prove.title.value, scene),
            tuple(self._terms(prove.left, 1.0, scene)),
            prove.relation,
            tuple(self._terms(prove.right, 1.0, scene)),
            within,
            prove.left,
            prove.right,
            prove.span,
        )

    def _terms(self, expr: s.Expr, sign: float, scene: Scene) -> Iterator[p.ProveTerm]:
        match expr:
            case s.GirthAt(line=line):
                yield p.ProveTerm(sign, self._measured("girth", line, None, scene))
            case s.WidthAt(piece=piece, line=line):
                plan = self._piece_named(piece.parts, scene)
                if plan is None:
                    self.found.append(
                        EdgeNotSeamed(span=piece.span, said=f"there is no piece `{piece.span.text}`")
                    )
                    raise Stop
                yield p.ProveTerm(sign, self._measured("width", line, plan.name, scene))
            case s.Arithmetic(op="+" | "-" as op, left=left, right=right):
                yield from self._terms(left, sign, scene)
                yield from self._terms(right, sign if op == "+" else -sign, scene)
            case s.Arithmetic(op="/", left=left, right=s.Amount(quantity=q)) if q.unit is None and q.value:
                yield from self._terms(left, sign / float(q.value), scene)
            case s.Arithmetic(op="*", left=left, right=s.Amount(quantity=q)) if q.unit is None:
                yield from self._terms(left, sign * float(q.value), scene)
            case s.Arithmetic(op="*", left=s.Amount(quantity=q), right=right) if q.unit is None:
                yield from self._terms(right, sign * float(q.value), scene)
            case s.Negative(operand=operand):
                yield from self._terms(operand, -sign, scene)
            case _:
                yield p.ProveTerm(sign, self.things.amount(expr, scene))

    def _measured(self, what: str, line: s.LineExpr, piece: str | None, scene: Scene) -> p.MeasuredOnPieces:
        ref = self.things.line(line, scene)
        draft = scene.frame.draft
        if not draft and isinstance(line, s.AtLine):
            draft = self.things.find(line.name, scene)[0].frame.draft
        if what == "girth":
            return p.MeasuredOnPieces("girth", ref, line.span.text, draft, None)
        return p.MeasuredOnPieces("width", ref, line.span.text, draft, piece)

    def _keep(self, keep: s.Keep, scene: Scene) -> p.KeepPlan:
        value = self.things.amount(keep.value, scene)
        node = self.things.store.nodes[value]
        if keep.require and node is not None and isinstance(node.op, e.Held):
            value = self._unheld(value)
        title = keep.title.value if keep.title is not None else words(keep.value.span.text)
        return p.KeepPlan(
            self._words(title, scene),
            value,
            keep.relation,
            self.things.amount(keep.limit, scene),
            keep.limit.span.text,
            self._words(keep.advice.value, scene) if keep.advice is not None else "",
            keep.require,
            keep.span,
        )

    def _unheld(self, ref: e.Ref) -> e.Ref:
        """The value before any `require` held it, so that the message can say what was asked."""
        node = self.things.store.nodes[ref]
        while node is not None and isinstance(node.op, e.Held):
            ref = node.op.a
            node = self.things.store.nodes[ref]
        return ref

    def _report(self, report: s.Report, scene: Scene) -> p.ReportPlan:
        share = None if report.share_of is None else self.things.amount(report.share_of, scene)
        name = "" if report.share_of is None else words(report.share_of.span.text)
        return p.ReportPlan(
            report.title.value, self.things.amount(report.value, scene), share, name, report.span
        )

    def _caution(self, caution: s.Caution, scene: Scene) -> p.CautionPlan:
        condition = None if caution.condition is None else self.things.condition(caution.condition, scene)
        return p.CautionPlan(caution.name.text, condition, caution.span)

    def _tolerances(self, frames: list[Frame]) -> tuple[e.Ref | None, e.Ref | None]:
        for frame in frames:
            for statement, env in frame.others:
                if isinstance(statement, s.SeamTolerance):
                    scene = Scene(frame, env, statement)
                    return self.things.amount(statement.warn, scene), self.things.amount(
                        statement.fail, scene
                    )
        return None, None


def name_words(name: s.Name) -> str:
    return "".join(name.span.text.split())


def words(text: str) -> str:
    """A name as it is spoken: `cap_height` is cap height."""
    return text.replace("_", " ")


def slug(title: str) -> str:
    """A title as a file's name."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-") or "recipe"


def letters_in_order(taken: Iterable[str]) -> Iterator[str]:
    """A, B, ... Z, AA, AB, ... without those taken; no I and O, which look like figures."""
    alphabet = [c for c in "ABCDEFGHJKLMNPQRSTUVWXYZ"]
    used = set(taken)
    for first in ("", *alphabet):
        for letter in alphabet:
            if first + letter not in used:
                yield first + letter


def _lettered(seam: p.SewPlan, letter: str) -> p.SewPlan:
    return p.SewPlan(letter, seam.first, seam.second, seam.to_pair, seam.easings, seam.matches, seam.span)


def _with_allowances(plan: p.PiecePlan, allowances: tuple[p.AllowPlan, ...]) -> p.PiecePlan:
    from dataclasses import replace

    return replace(plan, allowances=allowances)


__all__ = ["Cutting", "Env", "slug", "words"]
