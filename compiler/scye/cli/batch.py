"""`scye batch`: draft a recipe for every body of a table, going on where a run was broken off."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_quiet, add_recipe, add_settings
from scye.cli.screen import Screen
from scye.ir.batch import BatchRequest
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    parser.work.add_argument(
        "--people",
        metavar="TABLE.csv",
        required=True,
        help="a line for each body under headings such as client,date,bust (cm),waist (cm)",
    )
    parser.work.add_argument(
        "--out", metavar="FOLDER", required=True, help="where it all goes; give it again to go on"
    )
    parser.wishes.add_argument(
        "--sheets", action="store_true", help="draw the sheets of every body as well; about a second each"
    )
    add_settings(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = BatchRequest(
        recipe=slips.recipe(given.recipe),
        people=Path(given.people),
        settings=slips.settings(given.settings),
        units=given.units,
        sheets=given.sheets,
        out=Path(given.out),
    )
    if slips.found:
        return screen.refuse(*slips.found)

    from scye.batch.run import run_batch

    outcome = run_batch(request, screen.progress)
    code = screen.finish(outcome)
    if outcome.files:
        screen.tell(f"written into {request.out.as_posix()}:", *(f"  {name}" for name in outcome.files))
    return code
