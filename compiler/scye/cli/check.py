"""`scye check`: read a recipe and say what is wrong with it."""

from __future__ import annotations

from argparse import Namespace

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_quiet, add_recipe
from scye.cli.screen import Screen
from scye.diagnostics.json import as_json
from scye.ir.requests import CheckRequest, ExitCode
from scye.library import shown_name


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    parser.wishes.add_argument(
        "--json", action="store_true", help="print what is wrong as data (JSON) for another tool"
    )
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = CheckRequest(slips.recipe(given.recipe))
    if slips.found:
        return screen.refuse(*slips.found)

    from scye import driver

    outcome = driver.run_check(request)
    if given.json:
        screen.hand_over(as_json(outcome.diagnostics))
        return outcome.exit_code
    if not outcome.diagnostics:
        screen.tell(f"{shown_name(request.recipe)}: nothing to put right")
    return screen.finish(outcome)
