"""`scye compare`: say what changed from one edition to another."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_bodies, add_library, add_quiet, add_settings
from scye.cli.screen import Screen
from scye.diagnostics.variants import UnlikePair
from scye.ir.requests import CompareRequest, ExitCode

WRITTEN = ".json"


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument("old", metavar="OLD", help="the recipe as it was, or its pattern.json of a run")
    parser.work.add_argument("new", metavar="NEW", help="the recipe as it is, or its pattern.json of a run")
    add_bodies(parser, "a client's card to draft both recipes for; repeat it for several")
    parser.wishes.add_argument(
        "--out", metavar="FOLDER", help="where a page of the changes goes, with the sheets of what changed"
    )
    add_library(parser)
    add_settings(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = _request(given, slips)
    if slips.found:
        return screen.refuse(*slips.found)

    from scye import editions

    outcome = editions.run_compare(request, screen.progress)
    code = screen.finish(outcome)
    if request.out is not None and outcome.files:
        screen.tell(f"written into {request.out.as_posix()}:", *(f"  {name}" for name in outcome.files))
    return code


def _request(given: Namespace, slips: Slips) -> CompareRequest:
    written = [word.endswith(WRITTEN) for word in (given.old, given.new)]
    bodies = bool(given.cards or given.chart)
    if any(written) and not all(written):
        slips.found.append(UnlikePair(span=None, what="one of the two is a recipe, the other a pattern"))
    elif all(written) and bodies:
        slips.found.append(UnlikePair(span=None, what="patterns are compared for the bodies that they hold"))
    elif not any(written):
        slips.bodies(given.cards, given.chart, given.sizes)
    old, new = (Path(word) if any(written) else slips.recipe(word) for word in (given.old, given.new))
    return CompareRequest(
        old=old,
        new=new,
        cards=tuple(map(Path, given.cards)),
        chart=Path(given.chart) if given.chart else None,
        sizes=slips.sizes(given.sizes),
        settings=slips.settings(given.settings),
        units=given.units,
        out=Path(given.out) if given.out else None,
    )
