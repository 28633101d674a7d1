"""What a recipe says of its pieces, found whatever conditions it stands under."""

from __future__ import annotations

from collections.abc import Iterator

from scye.ir import syntax as s


def all_clauses(clauses: tuple[s.PieceClause, ...]) -> Iterator[s.PieceClause]:
    """The clauses of a piece, those of every arm of a `when` among them."""
    for clause in clauses:
        if isinstance(clause, s.ClauseWhen):
            yield from all_clauses((*clause.body, *clause.otherwise))
        else:
            yield clause


def of_every_piece(body: tuple[s.Statement, ...]) -> Iterator[s.PieceClause]:
    """The clauses of the statements `every piece` of a recipe, those inside a `when` among them."""
    return (c for x in left_edge(body) if isinstance(x, s.EveryPiece) for c in all_clauses(x.clauses))


def left_edge(body: tuple[s.Statement, ...]) -> Iterator[s.Statement]:
    """Each statement at the left edge, be it inside a `when` or a `repeat`."""
    for statement in body:
        match statement:
            case s.When(body=inner, otherwise=other):
                yield from left_edge((*inner, *other))
            case s.Repeat(body=inner):
                yield from left_edge(inner)
            case _:
                yield statement
