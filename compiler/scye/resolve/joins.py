"""What goes with a piece that a variant leaves out: its seams, proofs and what is bought for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from scye.ir import syntax as s
from scye.resolve.makers import Found, key_of, names_used


def concerned(place: Found, piece: s.Piece, remaining: Sequence[s.Piece]) -> tuple[s.Compare, ...] | None:
    """The rounds of a `repeat` in which a seam joins a piece; none for a seam or proof that does so at all.

    None in place of the rounds where the statement does not concern the piece.
    """
    match place.statement:
        case s.Sew() as sew:
            found = [_joins(sew, e.name, place, piece, remaining) for e in (*sew.first, *sew.second)]
            wholly = any(rounds == () for rounds in found)
            partly = tuple(r for rounds in found for r in rounds or ())
            return () if wholly else partly or None
        case s.Prove(left=left, right=right):
            measured = {name.parts[0].text for side in (left, right) for name in names_used(side)}
            return () if piece.name.text in measured else None
        case s.Bone(channel=e) | s.Busk(edge=e) | s.Fastening(edge=e) | s.Lace(edge=e) | s.Zip(edge=e):
            return () if e.name.parts[0].text == piece.name.text else None
        case _:
            return None


def but_for(statement: s.Statement, rounds: tuple[s.Compare, ...]) -> s.Statement:
    """A seam in every round of its `repeat` but some."""
    for round_ in rounds:
        statement = s.When(round_.span, s.Not(round_.span, round_), (statement,), ())
    return statement


def _joins(
    sew: s.Sew, edge: s.Name, place: Found, piece: s.Piece, remaining: Sequence[s.Piece]
) -> tuple[s.Compare, ...] | None:
    """As `concerned`, for one edge of a seam."""
    if edge.parts[0].text == piece.name.text:
        return ()
    if edge.parts[0].text in {other.name.text for other in remaining}:
        return None
    lines = list(_lines(sew, piece, remaining))
    if any(_alike(edge, line) for line in lines):
        return ()
    rounds = (_round(edge, line, place) for line in lines)
    return tuple(r for r in rounds if r is not None) or None


def _lines(sew: s.Sew, piece: s.Piece, remaining: Sequence[s.Piece]) -> Iterator[s.Name]:
    """The lines of a piece by which a seam may name it: panel lines for one that is named alone."""
    if not sew.second and not sew.to_pair:
        sides = (bound for bound in _bounds(piece) if bound.parts[-1].text in ("left", "right"))
        yield from (s.Name(bound.span, bound.parts[:-1]) for bound in sides)
        return
    others = {_text(bound) for other in remaining for bound in _bounds(other)}
    yield from (bound for bound in _bounds(piece) if _text(bound) not in others)


def _bounds(piece: s.Piece) -> Iterator[s.Name]:
    waiting: list[s.PieceClause] = list(piece.clauses)
    while waiting:
        match waiting.pop(0):
            case s.Bounded(names=names):
                yield from names
            case s.ClauseWhen(body=body, otherwise=other):
                waiting += [*body, *other]
            case _:
                pass


def _text(name: s.Name) -> str:
    return ".".join(_part(part) for part in name.parts)


def _part(part: s.NamePart) -> str:
    return key_of(part).name


def _alike(edge: s.Name, line: s.Name) -> bool:
    """Whether two names are of one line, be it that only one of them says in which draft."""
    a, b = ([_part(p) for p in name.parts] for name in (edge, line))
    longer, shorter = sorted((a, b), key=len, reverse=True)
    return longer[len(longer) - len(shorter) :] == shorter and len(longer) - len(shorter) <= 1


def _round(edge: s.Name, line: s.Name, place: Found) -> s.Compare | None:
    """The round in which an edge such as `seam[i]` is the line `seam[4]`."""
    counter, figure = edge.parts[-1].index, line.parts[-1].index
    if not isinstance(counter, s.Name) or not isinstance(figure, s.Amount):
        return None
    if edge.parts[-1].text != line.parts[-1].text:
        return None
    repeats = [b for b in place.blocks if isinstance(b, s.Repeat)]
    if any(b.variable.text == counter.parts[0].text and _among(figure, b) for b in repeats):
        return s.Compare(figure.span, "=", counter, figure)
    return None


def _among(figure: s.Amount, repeat: s.Repeat) -> bool:
    """Whether a round is one of a `repeat`, as far as its ends are written out."""
    match repeat.first, repeat.last:
        case s.Amount(quantity=first), s.Amount(quantity=last):
            return first.inside <= figure.quantity.inside <= last.inside
        case _:
            return True
