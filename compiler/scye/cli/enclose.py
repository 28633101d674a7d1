"""`scye enclose`: put a recipe, with all it needs, in an envelope for another maker."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_quiet, add_recipe
from scye.cli.screen import Screen
from scye.diagnostics.command import CommandNotUnderstood
from scye.ir.envelope import EncloseRequest
from scye.ir.requests import ExitCode
from scye.library import ENVELOPE_ENDING


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    parser.work.add_argument(
        "--with",
        dest="more",
        metavar="FILE",
        action="append",
        default=[],
        help="a size chart, drawing, picture or page of words to go with it; repeat it for several",
    )
    parser.work.add_argument(
        "--out",
        metavar="FILE.envelope",
        help="the envelope; otherwise one of the recipe's name, here",
    )
    parser.wishes.add_argument(
        "--people-agreed",
        action="store_true",
        help="let measures of people travel: they themselves have agreed to it",
    )
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    recipe = slips.recipe(given.recipe)
    out = Path(given.out or f"{recipe.stem}{ENVELOPE_ENDING}")
    if out.suffix != ENVELOPE_ENDING:
        slips.found.append(_no_envelope(given.out))
    if slips.found:
        return screen.refuse(*slips.found)

    from scye.sharing.enclose import run_enclose

    more = tuple(map(Path, given.more))
    return screen.finish(run_enclose(EncloseRequest(recipe, more, given.people_agreed, out), screen.progress))


def _no_envelope(name: str) -> CommandNotUnderstood:
    wanted = "a name that ends in .envelope"
    return CommandNotUnderstood(what=f"`--out {name}` doesn't name an envelope", wanted=wanted)
