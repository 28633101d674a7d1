"""`scye measures`: the measures there are, and where the tape goes for each."""

from __future__ import annotations

import textwrap
from argparse import Namespace

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.command import MeasureNotFound
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.ir.people import Catalogue, Measure
from scye.ir.requests import ExitCode
from scye.library import find_stdlib, read_source
from scye.units.quantity import Kind
from scye.units.tape import show_length, show_value

_WIDTH = 92
_HANGING = 16


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument(
        "name", metavar="NAME", nargs="?", help="one measure by its name or another it goes by"
    )


def run(given: Namespace, screen: Screen) -> ExitCode:
    catalogue, found = _catalogue()
    if found:
        return screen.refuse(*found)
    if given.name is None:
        screen.tell(*table(catalogue))
        return ExitCode.GOOD
    measure = named(given.name, catalogue)
    if measure is None:
        near = nearest(_folded(given.name), (measure.name for measure in catalogue.measures))
        return screen.refuse(MeasureNotFound(name=given.name, near=near))
    screen.tell(*described(measure))
    return ExitCode.GOOD


def _catalogue() -> tuple[Catalogue, list[Diagnostic]]:
    from scye.read.cards import read_catalogue

    source = read_source(find_stdlib() / "measures.yaml")
    if isinstance(source, Diagnostic):
        return Catalogue((), ()), [source]
    return read_catalogue(source)


def named(name: str, catalogue: Catalogue) -> Measure | None:
    """The measure of that name, or that goes by it as well; capitals and spaces don't count."""
    wanted = _folded(name)
    known = {_folded(other): m for m in catalogue.measures for other in m.also}
    return (known | {_folded(m.name): m for m in catalogue.measures}).get(wanted)


def _folded(name: str) -> str:
    return name.strip().lower().replace(" ", "_")


def table(catalogue: Catalogue) -> list[str]:
    """One line for each measure: its name and its title."""
    width = max((len(measure.name) for measure in catalogue.measures), default=0)
    return [f"{measure.name:<{width}}  {measure.title}" for measure in catalogue.measures]


def described(measure: Measure) -> list[str]:
    """All that the catalogue says of a measure."""
    clause = ": ".join(part for part in (measure.clause, measure.clause_note) if part)
    parts = (
        ("where", measure.where),
        ("usually", f"{_both(measure, measure.low)} to {_both(measure, measure.high)}"),
        ("agree within", _both(measure, measure.tolerance)),
        ("also called", ", ".join(measure.also)),
        ("ISO 8559-1", clause),
    )
    return [f"{measure.name}: {measure.title}", *(_hung(head, text) for head, text in parts if text)]


def _hung(head: str, text: str) -> str:
    filled = textwrap.fill(text, _WIDTH - _HANGING, break_on_hyphens=False)
    return f"  {head:<{_HANGING - 2}}" + filled.replace("\n", "\n" + " " * _HANGING)


def _both(measure: Measure, value: float) -> str:
    """A figure in centimetres and in inches; an angle in degrees."""
    if measure.kind is Kind.ANGLE:
        return show_value(value, "rad", "cm")
    return f"{show_length(value, 'cm')} ({show_length(value, 'in')})"
