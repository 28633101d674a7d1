"""The plans of seams: which edges are joined, from match to match, and with what ease."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NoReturn

from scye.diagnostics.expansion import EdgeNotSeamed, LetterTwice, TooMany
from scye.diagnostics.model import Label
from scye.expand.attempts import noted
from scye.expand.frames import Stop
from scye.expand.pieces import Pieces, point_or_line
from scye.expand.store import Scene
from scye.expand.wording import key_text, letters_in_order, name_words
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.source import Span

MOST_MATCHES = 100


class Seams:
    """Makes the plan of each seam. The pieces must have been made before."""

    def __init__(self, pieces: Pieces) -> None:
        self.pieces = pieces
        self.things = pieces.things
        self.found = pieces.found

    def plans(self, sews: list[tuple[s.Sew, Scene]]) -> Iterator[p.SewPlan]:
        """The seams in the order written, each with the letter it was given or the next that is free."""
        taken: dict[str, Span] = {}
        for sew, _ in sews:
            if sew.letter in taken:
                label = Label(taken[sew.letter], "this one too")
                self.found.append(LetterTwice(span=sew.span, letter=sew.letter, labels=(label,)))
            elif sew.letter is not None:
                taken[sew.letter] = sew.span
        letters = letters_in_order(taken)
        for sew, scene in sews:
            with noted(self.things.collector):
                made = self._sew(sew, scene)
                yield replace(made, letter=sew.letter or next(letters))

    def _sew(self, sew: s.Sew, scene: Scene) -> p.SewPlan:
        if len(sew.matches) > MOST_MATCHES:
            said, limit = f"this seam has {len(sew.matches):,} matches", f"at most {MOST_MATCHES} matches"
            self.found.append(TooMany(span=sew.matches[MOST_MATCHES].span, said=said, limit=limit))
            raise Stop
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
            piece = self.pieces.named(name.parts[:count], scene)
            if piece is not None:
                edge = key_text(self.things, name.parts[count:], scene)
                edges = [b.name for b in piece.boundary]
                if edge not in edges:
                    self.pieces.no_such_edge(name, piece.name, edge, edges)
                return p.SidePlan(piece.name, edge, reference.reversed, reference.span)
        along = self.pieces.along(self.things.ref(name, scene))
        if len(along) != 1:
            self._not_seamed(name, along, "one piece lies along it")
        piece_name, edge = along[0]
        return p.SidePlan(piece_name, edge, reference.reversed, reference.span)

    def edges_of(self, reference: s.EdgeRef, scene: Scene) -> tuple[p.SidePlan, ...]:
        """Every edge that a name stands for: that of one piece, or those along a line or a panel line."""
        name = reference.name
        for count in range(len(name.parts) - 1, 0, -1):
            if self.pieces.named(name.parts[:count], scene) is not None:
                return (self._side(reference, scene),)
        definition, rest = self.things.find(name, scene)
        if isinstance(definition.statement, s.PanelLine) and not rest:
            first, second = self._along(reference, scene)
            return (*first, *second)
        along = self.pieces.along(self.things.ref(name, scene))
        return tuple(p.SidePlan(*edge, False, name.span) for edge in along)

    def _along(
        self, reference: s.EdgeRef, scene: Scene
    ) -> tuple[tuple[p.SidePlan, ...], tuple[p.SidePlan, ...]]:
        """`sew seam[1]`: the two edges of a panel line, or the two pieces along one line."""
        name = reference.name
        definition, rest = self.things.find(name, scene)
        if isinstance(definition.statement, s.PanelLine) and not rest:
            sides = []
            for side in ("left", "right"):
                along = self.pieces.along(self.things.made(definition, side))
                if len(along) != 1:
                    self._not_seamed(name, along, f"one piece lies along its {side} edge")
                sides.append((p.SidePlan(*along[0], False, name.span),))
            return sides[0], sides[1]
        along = self.pieces.along(self.things.ref(name, scene))
        if len(along) != 2:
            self._not_seamed(name, along, "two pieces lie along it")
        return (p.SidePlan(*along[0], False, name.span),), (p.SidePlan(*along[1], False, name.span),)

    def _not_seamed(self, name: s.Name, along: list[tuple[str, str]], wanted: str) -> NoReturn:
        have = "none does" if not along else "there " + _are([piece for piece, _ in along])
        said = f"`{name.span.text}` can be sewn by that name only where {wanted}: {have}"
        self.found.append(EdgeNotSeamed(span=name.span, said=said))
        raise Stop

    def _easing(self, easing: s.Easing, scene: Scene) -> p.EasingPlan:
        between = None if easing.between is None else (easing.between[0].text, easing.between[1].text)
        amount = self.things.amount(easing.amount, scene)
        return p.EasingPlan(amount, between, easing.span, easing.gathered)

    def _match(self, match: s.Match, scene: Scene) -> p.MatchPlan:
        line, first = None, None
        if match.line is not None:
            first, line = point_or_line(self.things, match.line, scene)
        if match.first is not None:
            first = self.things.place(match.first, scene)
        second = first if match.second is None else self.things.place(match.second, scene)
        distance = None if match.distance is None else self.things.amount(match.distance, scene)
        named = match.name.text if match.name is not None else ""
        if not named and isinstance(match.line, s.AtLine):
            named = name_words(match.line.name)
        return p.MatchPlan(named, line, first, second, distance, match.origin, match.strokes, match.span)


def _are(pieces: list[str]) -> str:
    """`is only front`; `are front, back and side`."""
    if len(pieces) == 1:
        return f"is only `{pieces[0]}`"
    return "are " + ", ".join(f"`{x}`" for x in pieces[:-1]) + f" and `{pieces[-1]}`"
