"""Reading the words of a command, with help and mistakes in the maker's words."""

from __future__ import annotations

import argparse
import re
from typing import NoReturn

from scye.diagnostics.command import CommandNotUnderstood
from scye.diagnostics.suggest import nearest

HELP_WIDTH = 92


class Misunderstood(Exception):
    """A command that can't be understood, with the diagnostic that says so."""

    def __init__(self, mistake: CommandNotUnderstood) -> None:
        super().__init__(mistake.what)
        self.mistake = mistake


class CommandParser(argparse.ArgumentParser):
    """The parser of one command: `work` takes what the command works on, `wishes` its options."""

    def __init__(self, name: str, summary: str) -> None:
        super().__init__(
            prog=f"scye {name}",
            description=f"{summary[0].upper()}{summary[1:]}.",
            formatter_class=_help_format,
            add_help=False,
            allow_abbrev=False,
        )
        self.work = self.add_argument_group("what it works on")
        self.wishes = self.add_argument_group("options")
        self.wishes.add_argument("-h", "--help", action="help", help="show this and do nothing else")

    def error(self, message: str) -> NoReturn:
        raise Misunderstood(self._in_plain_words(message))

    def _in_plain_words(self, message: str) -> CommandNotUnderstood:
        """What argparse found, said as the maker would."""
        help_hint = f"`{self.prog} --help` says what it takes"
        if found := re.fullmatch(r"the following arguments are required: (.*)", message):
            missing = found[1].replace(", ", " and ")
            return CommandNotUnderstood(what=f"`{self.prog}` also needs {missing}", hint=help_hint)
        if found := re.fullmatch(r"unrecognized arguments: (.*)", message):
            return self._unknown_word(found[1].split()[0], help_hint)
        if found := re.fullmatch(r"argument (\S+): expected (?:one|at least one) argument", message):
            return CommandNotUnderstood(what=f"`{found[1]}` needs a word after it", hint=help_hint)
        if found := re.fullmatch(r"argument (\S+): invalid choice: (.*) \(choose from (.*)\)", message):
            what = f"`{found[1]}` can't be `{found[2].strip(chr(39))}`"
            return CommandNotUnderstood(what=what, wanted=f"one of {found[3].replace(chr(39), '')}")
        if found := re.fullmatch(r"argument (\S+): invalid int value: '(.*)'", message, re.DOTALL):
            what = f"`{found[1]}` can't be `{found[2]}`"
            return CommandNotUnderstood(what=what, wanted="a whole number", hint=help_hint)
        return CommandNotUnderstood(what=f"`{self.prog}`: {message}", hint=help_hint)

    def _unknown_word(self, word: str, help_hint: str) -> CommandNotUnderstood:
        near = nearest(word, self._option_string_actions)
        what = f"`{self.prog}` has no use for `{word}`"
        return CommandNotUnderstood(what=what, hint=f"did you mean `{near}`?" if near else help_hint)


def _help_format(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, max_help_position=26, width=HELP_WIDTH)


def add_recipe(parser: CommandParser) -> None:
    parser.work.add_argument(
        "recipe",
        metavar="RECIPE",
        help="a file ending in .scye, a folder holding one of its own name, or the name of one in ./recipes "
        "or in your library",
    )
    add_library(parser)


def add_library(parser: CommandParser) -> None:
    parser.wishes.add_argument(
        "--library",
        metavar="FOLDER",
        help="your own library; otherwise what SCYE_LIBRARY says, or a folder among your data",
    )


def add_bodies(parser: CommandParser, cards: str) -> None:
    parser.work.add_argument(
        "--body", dest="cards", metavar="CARD.yaml", action="append", default=[], help=cards
    )
    parser.work.add_argument("--chart", metavar="CHART.yaml", help="a size chart, in place of cards")
    parser.work.add_argument(
        "--sizes", metavar="10,12,14", help="the sizes of the chart to draft; otherwise all of them"
    )


def add_settings(parser: CommandParser) -> None:
    parser.wishes.add_argument(
        "--set",
        dest="settings",
        metavar="CHOICE=VALUE",
        action="append",
        default=[],
        help='set a choice of the recipe, over what a card says: --set "ease=1 1/2 in"; may be repeated',
    )
    parser.wishes.add_argument(
        "--units",
        choices=["in", "cm", "mm"],
        help="print figures in inches, centimetres or millimetres; otherwise as the card or chart has them",
    )


def add_prints(parser: CommandParser) -> None:
    printing = parser.add_argument_group("printing")
    printing.add_argument(
        "--paper",
        metavar="a4,letter,a3",
        default="a4,letter",
        help="the home papers to print pages for joining on; otherwise a4,letter",
    )
    printing.add_argument(
        "--joints",
        choices=["overlap", "butt"],
        default="overlap",
        help="pages that overlap by 10 mm, or that are trimmed and butted; otherwise overlap",
    )
    printing.add_argument(
        "--roll", metavar="36in", default="914mm", help="the width of the copy shop's roll; otherwise 914mm"
    )
    printing.add_argument(
        "--projector", action="store_true", help="a sheet for a projector as well: thick lines, no joins"
    )
    printing.add_argument(
        "--dxf", action="store_true", help="the pieces for a cutting room's software as well, as DXF"
    )


def add_quiet(parser: CommandParser) -> None:
    parser.wishes.add_argument(
        "--quiet", action="store_true", help="say nothing but what is wrong: no progress, no summary"
    )
