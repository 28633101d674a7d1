"""Pieces and seams: what every piece must say, and edges that are named as the piece has them."""

from __future__ import annotations

from collections.abc import Iterator

from scye.check.clauses import all_clauses, left_edge, of_every_piece
from scye.check.kinds import Kinds
from scye.diagnostics.kinds import EdgeUnknown, PieceTrouble, SeamUnclear
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest, nearest_edge
from scye.ir import syntax as s
from scye.ir.program import Scope
from scye.units.quantity import Kind


class Pieces:
    """Checks the statements `piece` and `sew`; each mistake is noted once, in `found`."""

    def __init__(self, kinds: Kinds, found: list[Diagnostic]) -> None:
        self.kinds = kinds
        self.found = found
        self._every = list(of_every_piece(kinds.program.recipe.body))

    def piece(self, piece: s.Piece, scope: Scope) -> None:
        said = tuple(all_clauses(piece.clauses))
        bounded = [c for c in said if isinstance(c, s.Bounded)]
        edges: list[str] = []
        for clause in bounded:
            edges += self._boundaries(clause, scope)
        self._counted(piece, said)
        self._conditions(piece.clauses, scope)
        for part in said:
            self._clause(piece, part, edges, scope)

    def _conditions(self, clauses: tuple[s.PieceClause, ...], scope: Scope) -> None:
        for clause in clauses:
            if isinstance(clause, s.ClauseWhen):
                self.kinds.condition(clause.condition, scope)
                self._conditions((*clause.body, *clause.otherwise), scope)

    def _boundaries(self, bounded: s.Bounded, scope: Scope) -> list[str]:
        edges: list[str] = []
        for name in bounded.names:
            before = len(self.found)
            self.kinds.line_name(name, scope, or_point=True)
            if (
                len(self.found) == before and self.kinds.lookup.typed(name, scope).kind is not Kind.POINT
            ) or len(self.found) > before:
                edges.append(self._edge_text(name, scope))
        return edges

    def _edge_text(self, name: s.Name, scope: Scope) -> str:
        """The edge that a boundary's line becomes: its name without its draft."""
        first = self.kinds.lookup.reachable(name.parts[0].text, scope)
        whole = name_text(name)
        if first and first[0].kind is Kind.DRAFT and len(name.parts) > 1:
            return whole.split(".", 1)[1]
        return whole

    def _counted(self, piece: s.Piece, said: tuple[s.PieceClause, ...]) -> None:
        name = piece.name.text
        self.kinds.again.asked("every piece", None, "")
        if not any(isinstance(c, s.Bounded) for c in said):
            self._trouble(piece, f"the piece `{name}` does not say what bounds it", "add `bounded by ...`")
        if not any(isinstance(c, s.Cut) for c in (*said, *self._every)):
            hint = "add `cut pair of self`, `cut 1 of self on fold at ...` or the like"
            self._trouble(piece, f"the piece `{name}` does not say how many to cut", hint)
        if not any(isinstance(c, s.Grain) for c in (*said, *self._every)):
            self._trouble(piece, f"the piece `{name}` has no grain", "add `grain along ...` or `grain down`")

    def _trouble(self, piece: s.Piece, said: str, hint: str) -> None:
        self.found.append(PieceTrouble(span=piece.name.span, said=said, hint=hint))

    def _clause(
        self, piece: s.Piece | s.EveryPiece, clause: s.PieceClause, edges: list[str], scope: Scope
    ) -> None:
        k = self.kinds
        match clause:
            case s.Grain(direction=direction):
                if direction is not None:
                    k.direction(direction, scope)
            case s.Cut(fold=fold):
                if fold is not None:
                    self._edge(piece, fold, edges)
            case s.Allow(width=width, edges=names, start=start, end=end):
                if width is not None:
                    k.length(width, scope)
                for name in names:
                    self._edge(piece, name, edges, "seams", "others")
                for place in (start, end):
                    if place is not None:
                        k.place(place, scope)
            case s.Corner(first=first, second=second):
                self._edge(piece, first, edges)
                self._edge(piece, second, edges)
            case s.Notch(edge=edge, place=place_or_line):
                self._edge(piece, edge, edges)
                self._at(place_or_line, scope)
            case s.Drill(place=place):
                k.place(place, scope)
            case s.MoveDart(dart=dart, share=share, edge=edge, place=place, pressed=pressed):
                self._dart(piece, dart, scope)
                if share is not None:
                    k.want(share, scope, (Kind.PERCENT, Kind.NUMBER), "percentage")
                self._edge(piece, edge, edges)
                k.place(place, scope)
                if pressed is not None:
                    k.direction(pressed, scope)
            case s.CloseDart(dart=dart) | s.ReleaseDart(dart=dart):
                self._dart(piece, dart, scope)
            case s.Slash():
                self._slash(piece, clause, edges, scope)
            case s.Blend(edge=edge):
                self._edge(piece, edge, edges)
            case s.Nest(place=place, along=along):
                k.place(place, scope)
                if along is not None:
                    k.line(along, scope)
            case s.Show(line=line):
                k.line(line, scope)
            case s.Bounded() | s.LabelLine() | s.ClauseWhen():
                pass

    def every(self, every: s.EveryPiece, scope: Scope) -> None:
        """Each edge that `every piece` names must be one of some piece."""
        self._conditions(every.clauses, scope)
        pieces = _pieces(self.kinds.program.recipe.body)
        edges = list(dict.fromkeys(edge for piece in pieces for edge in self._edges(piece, scope)))
        for clause in all_clauses(every.clauses):
            self._clause(every, clause, edges, scope)

    def _edges(self, piece: s.Piece, scope: Scope) -> list[str]:
        bounds = [c for c in all_clauses(piece.clauses) if isinstance(c, s.Bounded)]
        return [self._edge_text(n, scope) for c in bounds for n in c.names]

    def _at(self, at: s.Place | s.LineExpr, scope: Scope) -> None:
        """Where a notch stands: a bare name may be a point of the edge or a line that crosses it."""
        match at:
            case s.AtPoint(name=name) | s.AtLine(name=name, extended=False):
                typed = self.kinds.lookup.typed(name, scope)
                if typed.many or typed.kind not in (None, Kind.POINT, Kind.LINE):
                    self.kinds.wrong(name.span, typed, "point or line")
            case _:
                self.kinds.given(at, scope)

    def _slash(self, piece: s.Piece | s.EveryPiece, slash: s.Slash, edges: list[str], scope: Scope) -> None:
        k = self.kinds
        for name in (slash.edge, slash.far_edge):
            self._edge(piece, name, edges)
        if name_text(slash.edge) == name_text(slash.far_edge):
            said = (
                f"a slash runs from one edge to another, and this one comes back to `{slash.edge.span.text}`"
            )
            hint = "name the edge where it ends"
            self.found.append(PieceTrouble(span=slash.far_edge.span, said=said, hint=hint))
        k.places(scope, *(slash.places or ()))
        if slash.count is not None:
            k.want(slash.count, scope, (Kind.NUMBER,), "number")
        spreads = slash.kind in ("spread", "overlap")
        hinged = spreads and slash.far is None and not slash.both
        kinds = (Kind.LENGTH, Kind.ANGLE) if hinged else (Kind.LENGTH,)
        k.want(slash.amount, scope, kinds, "length or angle" if hinged else "length")
        if slash.far is not None:
            k.length(slash.far, scope)
        if slash.pressed is not None:
            k.direction(slash.pressed, scope)

    def _dart(self, piece: s.Piece | s.EveryPiece, dart: s.Name, scope: Scope) -> None:
        moves = [c for c in all_clauses(piece.clauses) if isinstance(c, s.MoveDart)]
        opened = {move.name.text for move in moves if move.name is not None}
        if name_text(dart) not in opened:
            typed = self.kinds.lookup.typed(dart, scope)
            if typed.kind not in (None, Kind.DART):
                self.kinds.wrong(dart.span, typed, "dart")

    def _edge(self, piece: s.Piece | s.EveryPiece, name: s.Name, edges: list[str], *words: str) -> None:
        """An edge of the piece; `words` are those that may stand there for several."""
        text = name_text(name)
        if isinstance(piece, s.EveryPiece) and name.span.source is not self.kinds.program.recipe.source:
            return  # said by a parent, of an edge that the variant has done away with
        if edges and text not in edges and not self.kinds.lookup.forgiven(name.parts[0].text):
            near = nearest_edge(text, edges, *words)
            of = piece.name.text if isinstance(piece, s.Piece) else ""
            self.found.append(EdgeUnknown(span=name.span, piece=of, edge=text, edges=tuple(edges), near=near))

    def sew(self, sew: s.Sew, scope: Scope) -> None:
        for reference in (*sew.first, *sew.second):
            self.edge_reference(reference, scope)
        known = [m.name.text for m in sew.matches if m.name is not None]
        known += [name_text(m.line.name) for m in sew.matches if isinstance(m.line, s.AtLine)]
        for match in sew.matches:
            self._match(match, scope)
        for easing in sew.easings:
            self.kinds.length(easing.amount, scope)
            for ident in easing.between or ():
                if ident.text not in known:
                    near = nearest(ident.text, known)
                    hint = f"did you mean `{near}`?" if near else "name a notch by `match ... called ...`"
                    said = f"no notch of this seam is called `{ident.text}`"
                    self.found.append(SeamUnclear(span=ident.span, said=said, hint=hint))

    def edge_reference(self, reference: s.EdgeRef, scope: Scope) -> None:
        name = reference.name
        symbols = self.kinds.lookup.reachable(name.parts[0].text, scope)
        if symbols and isinstance(symbols[0].statement, s.Piece):
            piece = symbols[0].statement
            if len(name.parts) == 1:
                said = f"`{name.span.text}` is a whole piece"
                hint = f"say which edge, as `{name.span.text}.side`"
                self.found.append(SeamUnclear(span=name.span, said=said, hint=hint))
                return
            rest = s.Name(name.span, name.parts[1:])
            self._edge(piece, rest, self._edges(piece, scope))
            return
        typed = self.kinds.lookup.typed(name, scope)
        if typed.kind not in (None, Kind.LINE, Kind.PANEL_LINE):
            self.kinds.wrong(name.span, typed, "edge of a piece")

    def _matched(self, line: s.LineExpr, scope: Scope) -> None:
        """A line that crosses both edges; a point can only be matched with one of the other edge."""
        if isinstance(line, s.AtLine):
            typed = self.kinds.lookup.typed(line.name, scope)
            if typed.kind is Kind.POINT:
                hint = f"match it with a point of the other edge: `match {line.name.span.text} with ...`"
                self.kinds.wrong(line.name.span, typed, "line", hint)
                return
        self.kinds.line(line, scope)

    def _match(self, match: s.Match, scope: Scope) -> None:
        if match.line is not None:
            self._matched(match.line, scope)
        for place in (match.first, match.second):
            if place is not None:
                self.kinds.place(place, scope)
        if match.distance is not None:
            self.kinds.length(match.distance, scope)


def _pieces(body: tuple[s.Statement, ...]) -> Iterator[s.Piece]:
    return (x for x in left_edge(body) if isinstance(x, s.Piece))


def name_text(name: s.Name) -> str:
    """A name as it is written, without spaces: the name of the edge that a line becomes."""
    return ".".join("".join(part.span.text.split()) for part in name.parts)
