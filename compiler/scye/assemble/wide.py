"""Allowances so wide that nobody cuts them: most often a fraction without its stroke, `38 in` for 3/8 in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from scye.assemble import telling
from scye.assemble.figures import Figures, spoken
from scye.diagnostics.pieces import AllowanceTooWide
from scye.geometry.vector import Flags
from scye.ir import syntax as s
from scye.ir.assembly import BodyFinding
from scye.ir.people import DisplayUnit
from scye.ir.plan import AllowPlan, PiecePlan
from scye.source import Span
from scye.units.quantity import CM, INCH, MM, Quantity
from scye.units.tape import show_length, show_quantity

# mm, for 12 in as for 30 cm: a deep hem, a grown-on facing or the underlay of a pleat at its widest. Seams
# have up to 2 in, hems as a rule up to 3 in (common practice), so that most slips of the pen are beyond it.
WIDEST = 305.0
HEM = 76.2  # mm, up to which a figure is offered in its stead
HALVINGS = ("2", "4", "8", "16")


def settled_too_wide(pieces: Sequence[PiecePlan]) -> Iterator[AllowanceTooWide]:
    """One for each allowance that is too wide whatever the body."""
    told = set[Span]()
    for allow in (allow for piece in pieces for allow in piece.allowances):
        said, mm = allow.said, allow.settled
        if said is None or mm is None or mm <= WIDEST or said.span in told:
            continue
        told.add(said.span)
        if isinstance(said, s.Amount):
            written = show_quantity(said.quantity)
            yield AllowanceTooWide(span=said.span, width=written, instead=_instead(said.quantity))
        else:
            comes_to = f"{show_length(mm, 'in')} ({show_length(mm, 'cm')})"
            yield AllowanceTooWide(span=said.span, width=comes_to)


def too_wide(plan: PiecePlan, drawn: Flags, figures: Figures) -> list[BodyFinding]:
    """Allowances of a piece that are too wide for some bodies, where they hang on the body or its choices."""
    found: dict[Span, BodyFinding] = {}
    for allow in plan.allowances:
        if allow.settled is None and allow.width is not None and allow.span not in found:
            width = figures.amount(allow.width)
            mask = drawn & (width > WIDEST)
            if mask.any():
                found[allow.span] = _told(plan, allow, mask, width.tolist())
    return list(found.values())


def _told(plan: PiecePlan, allow: AllowPlan, mask: Flags, widths: Sequence[float]) -> BodyFinding:
    def diagnostic(body: int, unit: DisplayUnit) -> AllowanceTooWide:
        return AllowanceTooWide(span=allow.span, width=show_length(widths[body], unit))

    def text(body: int, unit: DisplayUnit) -> str:
        return diagnostic(body, unit).seen()

    attempt = AllowanceTooWide(span=allow.span, width="").attempt()
    return telling.tell(AllowanceTooWide, spoken(plan.name), mask, text, attempt, allow.span)


def _instead(written: Quantity) -> tuple[str, ...]:
    """What may be meant by a figure that is far too large: its digits as a fraction of an inch, or the same
    figure in a smaller unit."""
    others = [Quantity(written.value, unit) for unit in (CM, MM) if unit != written.unit]
    if written.unit == INCH and written.value.denominator == 1:
        others = [*(Quantity(value, INCH) for value in _fractions(str(written.value))), *others]
    return tuple(show_quantity(other) for other in others if other.inside <= HEM)


def _fractions(digits: str) -> Iterator[Fraction]:
    """Digits read as a fraction of the tape, after whole inches or none: 38 as 3/8, 112 as 1 1/2."""
    for below in HALVINGS:
        rest = digits.removesuffix(below)
        if rest == digits:
            continue
        for places in (1, 2):
            whole, above = rest[:-places], rest[-places:]
            if len(above) == places and above[0] != "0" and int(above) < int(below) and int(above) % 2:
                yield int(whole or 0) + Fraction(int(above), int(below))
