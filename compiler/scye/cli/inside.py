"""`scye inside`: say what an envelope or a recipe needs, and what it may not do."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_library
from scye.cli.screen import Screen
from scye.ir.envelope import InsideRequest
from scye.ir.requests import ExitCode
from scye.library import ENVELOPE_ENDING


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument(
        "envelope", metavar="FILE.envelope", help="the envelope to look into; or a recipe, as others take it"
    )
    add_library(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    slips = Slips()
    path = Path(given.envelope)
    if path.suffix != ENVELOPE_ENDING:
        path = slips.recipe(given.envelope)
    if slips.found:
        return screen.refuse(*slips.found)

    from scye.sharing.keep import run_inside

    return screen.finish(run_inside(InsideRequest(path)))
