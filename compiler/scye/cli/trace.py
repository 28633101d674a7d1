"""`scye trace`: how one amount or point comes about for a body."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_recipe, add_settings
from scye.cli.screen import Screen
from scye.ir.requests import ExitCode, TraceRequest


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    parser.work.add_argument(
        "name", metavar="NAME", help="an amount or point as the recipe names it: quarter_hip, front.scye"
    )
    parser.work.add_argument(
        "--body", dest="card", metavar="CARD.yaml", required=True, help="the client's card"
    )
    add_settings(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    slips = Slips()
    request = TraceRequest(
        recipe=slips.recipe(given.recipe),
        name=given.name,
        card=Path(given.card),
        settings=slips.settings(given.settings),
        units=given.units,
    )
    if slips.found:
        return screen.refuse(*slips.found)

    from scye import driver

    return screen.finish(driver.run_trace(request))
