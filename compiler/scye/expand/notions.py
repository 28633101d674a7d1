"""The plans of findings: which edges they go along, and by which amounts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NoReturn

from scye.diagnostics.lists import LaceWithoutEyelets, WhereItGoes
from scye.expand.across import see_that_straight
from scye.expand.attempts import noted
from scye.expand.frames import Stop
from scye.expand.pieces import Pieces
from scye.expand.seams import Seams
from scye.expand.store import Scene
from scye.expand.wording import key_text
from scye.ir import notions as n
from scye.ir import syntax as s
from scye.units.names import plain_name

Stated = list[tuple[s.FindingStatement, Scene]]


class Notions:
    """Makes the plan of each finding. The pieces must have been made before."""

    def __init__(self, pieces: Pieces) -> None:
        self.pieces = pieces
        self.seams = Seams(pieces)
        self.things = pieces.things
        self.found = pieces.found
        self._rows: dict[n.EdgeAt, n.FasteningPlan] = {}

    def plans(self, stated: Stated) -> Iterator[n.NotionPlan]:
        """The findings in the order written, a lace after the eyelets that it runs through."""
        for statement, scene in sorted(stated, key=lambda x: isinstance(x[0], s.Lace)):
            with noted(self.things.collector):
                yield self._plan(statement, scene)

    def _plan(self, statement: s.FindingStatement, scene: Scene) -> n.NotionPlan:
        amount, span = self.things.amount, statement.span
        match statement:
            case s.Bone(channel=edge, steel=steel, each=each, short=short):
                words = self._spoken(edge.name, scene)
                channel = self._channel(edge, scene)
                return n.BonePlan(channel, steel, each, amount(short, scene), words, span)
            case s.Busk(edge=edge, short=short):
                words = self._spoken(edge.name, scene)
                return n.BuskPlan(self._one(edge, scene), amount(short, scene), words, span)
            case s.Fastening():
                return self._fastening(statement, scene)
            case s.Lace():
                return self._lace(statement, scene)
            case s.Bind():
                return self._bind(statement, scene)
            case s.Tape():
                return self._tape(statement, scene)
            case s.Zip(edge=edge, loses=loses):
                words, (opening, ends) = self._spoken(edge.name, scene), self._opening(statement, scene)
                return n.ZipPlan(self._one(edge, scene), opening, ends, amount(loses, scene), words, span)

    def _fastening(self, said: s.Fastening, scene: Scene) -> n.FasteningPlan:
        row = n.FasteningPlan(
            said.kind,
            self._one(said.edge, scene),
            self.things.amount(said.every, scene),
            self.things.amount(said.inset, scene),
            None if said.set_in is None else self.things.amount(said.set_in, scene),
            self._spoken(said.edge.name, scene),
            said.span,
        )
        if said.kind == "eyelets":
            self._rows[row.edge] = row
        return row

    def _bind(self, bind: s.Bind, scene: Scene) -> n.BindPlan:
        edges = tuple((self._spoken(edge.name, scene), self._all(edge, scene)) for edge in bind.edges)
        return n.BindPlan(
            edges,
            self.things.amount(bind.cut, scene),
            self._maybe(bind.share, scene),
            self._maybe(bind.joins, scene),
            ", ".join(words for words, _ in edges),
            bind.span,
        )

    def _tape(self, tape: s.Tape, scene: Scene) -> n.TapePlan:
        draft, words = scene.frame.draft, tape.line.span.text
        if isinstance(tape.line, s.AtLine):
            draft = self.things.find(tape.line.name, scene)[0].frame.draft
            words = self._spoken(tape.line.name, scene)
        line = self.things.line(tape.line, scene)
        see_that_straight(line, tape.line, self.things)
        return n.TapePlan(line, draft, self._maybe(tape.extra, scene), words, tape.span)

    def _lace(self, lace: s.Lace, scene: Scene) -> n.LacePlan:
        edge = self._one(lace.edge, scene)
        row = self._rows.get(edge)
        if row is None:
            self.found.append(LaceWithoutEyelets(span=lace.span, edge=lace.edge.span.text))
            raise Stop
        amount = self.things.amount
        return n.LacePlan(
            row,
            amount(lace.opened, scene),
            self._maybe(lace.closed, scene),
            amount(lace.tails, scene),
            self._maybe(lace.bought, scene),
            self._spoken(lace.edge.name, scene),
            lace.span,
        )

    def _opening(self, zipped: s.Zip, scene: Scene) -> tuple[int | None, tuple[int, int] | None]:
        if zipped.start is None or zipped.end is None:
            return None, None
        line = s.AtLine(zipped.edge.span, self._line_name(zipped.edge.name, scene))
        opening = self.things.amount(s.LengthOf(zipped.span, line, zipped.start, zipped.end), scene)
        return opening, (self.things.place(zipped.start, scene), self.things.place(zipped.end, scene))

    def _line_name(self, name: s.Name, scene: Scene) -> s.Name:
        """The line of an edge that is named with its piece: `back.cb` is the line `cb`."""
        named = self.pieces.named(name.parts[:1], scene) if len(name.parts) > 1 else None
        return name if named is None else s.Name(name.span, name.parts[1:])

    def _maybe(self, amount: s.Expr | None, scene: Scene) -> int | None:
        return None if amount is None else self.things.amount(amount, scene)

    def _spoken(self, name: s.Name, scene: Scene) -> str:
        return plain_name(key_text(self.things, name.parts, scene))

    # --- where it goes -----------------------------------------------------------------------

    def _channel(self, reference: s.EdgeRef, scene: Scene) -> tuple[n.EdgeAt, ...]:
        """The edges of a seam, or an edge by itself."""
        edges = self._all(reference, scene)
        if len(edges) > 2:
            self._unclear(reference, edges, "a seam or one edge")
        return edges

    def _one(self, reference: s.EdgeRef, scene: Scene) -> n.EdgeAt:
        edges = self._all(reference, scene)
        if len(edges) != 1:
            self._unclear(reference, edges, "one edge")
        return edges[0]

    def _all(self, reference: s.EdgeRef, scene: Scene) -> tuple[n.EdgeAt, ...]:
        """All edges of pieces that a name stands for: one of a piece, those along a line or a panel line."""
        sides = self.seams.edges_of(reference, scene)
        if not sides:
            self._unclear(reference, (), "an edge of a piece")
        return tuple(n.EdgeAt(side.piece, side.edge) for side in sides)

    def _unclear(self, reference: s.EdgeRef, edges: tuple[n.EdgeAt, ...], wanted: str) -> NoReturn:
        pieces = tuple(edge.piece for edge in edges)
        said = WhereItGoes(span=reference.span, edge=reference.span.text, pieces=pieces, wanted=wanted)
        self.found.append(said)
        raise Stop


def sewing_order(stated: list[tuple[s.SewingOrder, Scene]]) -> tuple[str, ...]:
    """The steps of sewing as they are written, several statements one after another."""
    return tuple(step.value for statement, _ in stated for step in statement.steps)


def notion_plans(pieces: Pieces, stated: Stated) -> tuple[n.NotionPlan, ...]:
    return tuple(Notions(pieces).plans(stated))
