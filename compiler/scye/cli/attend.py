"""`scye attend`: help an editor with recipes while they are written."""

from __future__ import annotations

from argparse import Namespace
from importlib.util import find_spec
from pathlib import Path

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.command import EditorLibraryMissing
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument(
        "folder",
        metavar="FOLDER",
        nargs="?",
        default=".",
        help="where recipes and cards are looked for if the editor names no folder; this one if left out",
    )
    parser.wishes.add_argument(
        "--highlighting",
        action="store_true",
        help="print the grammar by which an editor colours recipes (TextMate, as JSON), and end",
    )


def run(given: Namespace, screen: Screen) -> ExitCode:
    if given.highlighting:
        from scye.editor.highlighting import as_json

        screen.hand_over(as_json())
        return ExitCode.GOOD
    if find_spec("pygls") is None:
        return screen.refuse(EditorLibraryMissing())

    from scye.editor.server import attend

    attend(Path(given.folder))
    return ExitCode.GOOD
