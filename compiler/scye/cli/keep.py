"""`scye keep`: put an envelope into your own library."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.parser import CommandParser, add_library, add_quiet
from scye.cli.screen import Screen
from scye.ir.envelope import KeepRequest
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument("envelope", metavar="FILE.envelope", help="the envelope to keep")
    add_library(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet

    from scye.sharing.keep import run_keep

    return screen.finish(run_keep(KeepRequest(Path(given.envelope))))
