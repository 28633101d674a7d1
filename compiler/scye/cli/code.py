"""`scye code`: explain the code of a message."""

from __future__ import annotations

import difflib
from argparse import Namespace

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.catalogue import explain, kinds
from scye.diagnostics.command import UnknownCode
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument("code", metavar="CODE", help="the code as the message gives it: E204")


def run(given: Namespace, screen: Screen) -> ExitCode:
    explanation = explain(given.code)
    if explanation is None:
        near = tuple(difflib.get_close_matches(given.code.upper(), kinds(), n=3, cutoff=0.7))
        return screen.refuse(UnknownCode(name=given.code, near=near))
    screen.tell(explanation)
    return ExitCode.GOOD
