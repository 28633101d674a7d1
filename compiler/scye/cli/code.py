"""`scye code`: explain the code of a message."""

from __future__ import annotations

from argparse import Namespace

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.catalogue import explain
from scye.diagnostics.command import UnknownCode
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument("code", metavar="CODE", help="the code as the message gives it: E204")


def run(given: Namespace, screen: Screen) -> ExitCode:
    explanation = explain(given.code)
    if explanation is None:
        return screen.refuse(UnknownCode(name=given.code))
    screen.tell(explanation)
    return ExitCode.GOOD
