"""`scye tidy`: lay recipes out the usual way, or say which are not."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.command import NotTidy
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import KeptAsItCame
from scye.ir.requests import ExitCode
from scye.library import find_recipe, kept_folder, read_source, shown_name
from scye.outputs import replace_text
from scye.source import Source


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument(
        "recipes",
        metavar="RECIPE",
        nargs="+",
        help="files of recipes or methods, or recipes as other commands name them",
    )
    parser.wishes.add_argument(
        "--check", action="store_true", help="change nothing; only say which are not tidy"
    )


def run(given: Namespace, screen: Screen) -> ExitCode:
    slips = Slips()
    texts = [text for word in given.recipes if (text := _read(word, slips)) is not None]
    if slips.found:
        return screen.refuse(*slips.found)

    from scye.parse.tidy import tidy

    changes = [(path, tidied) for path, source in texts if (tidied := tidy(source)) != source.text]
    if given.check:
        return _say_which(changes, screen)
    return _lay_out(changes, screen)


def _read(word: str, slips: Slips) -> tuple[Path, Source] | None:
    path = find_recipe(word)
    if isinstance(path, Diagnostic):
        slips.found.append(path)
        return None
    if kept_folder(path) is not None:
        slips.found.append(KeptAsItCame(name=shown_name(path)))
        return None
    source = read_source(path)
    if isinstance(source, Diagnostic):
        slips.found.append(source)
        return None
    return path, source


def _say_which(changes: list[tuple[Path, str]], screen: Screen) -> ExitCode:
    screen.complain(NotTidy(name=shown_name(path)) for path, _ in changes)
    return ExitCode.FINDINGS if changes else ExitCode.GOOD


def _lay_out(changes: list[tuple[Path, str]], screen: Screen) -> ExitCode:
    for path, text in changes:
        mistake = replace_text(path, text)
        if mistake:
            return screen.refuse(mistake)
        screen.tell(f"{shown_name(path)}: laid out")
    return ExitCode.GOOD
