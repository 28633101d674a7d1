"""`scye renew`: say which pieces a newer edition moves, and take it if that is wanted."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_bodies, add_library, add_quiet, add_settings
from scye.cli.screen import Screen
from scye.ir.envelope import RenewRequest
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument("envelope", metavar="FILE.envelope", help="the envelope with the newer edition")
    add_bodies(parser, "a client's card to draft both editions for; repeat it for several")
    parser.wishes.add_argument(
        "--take", action="store_true", help="take it into the library; the older edition stays beside it"
    )
    add_library(parser)
    add_settings(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    slips.bodies(given.cards, given.chart, given.sizes)
    request = RenewRequest(
        envelope=Path(given.envelope),
        cards=tuple(map(Path, given.cards)),
        chart=Path(given.chart) if given.chart else None,
        sizes=slips.sizes(given.sizes),
        settings=slips.settings(given.settings),
        units=given.units,
        take=given.take,
    )
    if slips.found:
        return screen.refuse(*slips.found)

    from scye.sharing.keep import run_renew

    return screen.finish(run_renew(request, screen.progress))
