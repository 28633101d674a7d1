"""`scye chart`: look at a size chart by itself. It changes nothing."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.ir.requests import ChartRequest, ExitCode


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument("chart", metavar="CHART.yaml", help="the size chart to look at")


def run(given: Namespace, screen: Screen) -> ExitCode:
    from scye import sizes

    return screen.finish(sizes.run_chart(ChartRequest(Path(given.chart))))
