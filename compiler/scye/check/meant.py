"""The bodies that a recipe says it is meant for."""

from __future__ import annotations

from collections.abc import Iterator

from scye.diagnostics.kinds import MeantForTrouble
from scye.diagnostics.model import Diagnostic, Label
from scye.diagnostics.names import UnknownMeasure
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.ir.program import Program
from scye.units.quantity import Kind

AGE = "age"  # in whole years, as a card has it; no measure of the catalogue


def check_meant_for(program: Program) -> Iterator[Diagnostic]:
    """Every range must be of a measure or the age, in its kind of unit, from less to more, and said once."""
    said: dict[str, s.MeantFor] = {}
    for meant in program.meant_for:
        name = meant.name.text
        if name in said:
            label = Label(said[name].span, "said here first")
            yield MeantForTrouble(span=meant.span, said=f"`{name}` is said twice", labels=(label,))
        said[name] = meant
        kind = Kind.NUMBER if name == AGE else program.measures.get(name)
        if kind is None:
            near = nearest(name, [*program.measures, AGE])
            yield UnknownMeasure(span=meant.name.span, name=name, near=near)
        else:
            yield from _range(meant, kind)


def _range(meant: s.MeantFor, kind: Kind) -> Iterator[Diagnostic]:
    for end in (meant.low, meant.high):
        if end.quantity.kind is not kind:
            wanted = "whole years, without a unit" if kind is Kind.NUMBER else f"a {kind.value} with its unit"
            said = f"{end.span.text} is no {kind.value}"
            hint = f"write {wanted}"
            yield MeantForTrouble(span=end.span, said=said, hint=hint)
            return
    if meant.low.quantity.inside > meant.high.quantity.inside:
        said = f"{meant.low.span.text} is more than {meant.high.span.text}"
        yield MeantForTrouble(span=meant.span, said=said, hint="write the smaller end first")
