"""`scye lesson`: the draft of a recipe as a sheet of numbered steps for a class."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_quiet, add_recipe
from scye.cli.screen import Screen
from scye.ir.lesson import LessonRequest
from scye.ir.requests import ExitCode


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    parser.work.add_argument(
        "--body",
        dest="card",
        metavar="CARD.yaml",
        required=True,
        help="the card whose figures are the sample",
    )
    parser.work.add_argument(
        "--student",
        metavar="CARD.yaml",
        help="a student's card: fills the column that is otherwise left blank",
    )
    parser.work.add_argument(
        "--out", metavar="FOLDER", required=True, help="where the files go; made if it isn't there"
    )
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
        choices=["in", "in8", "in16", "cm", "mm"],
        help="inches to 1/8 (in, in8) or 1/16 (in16), centimetres or mm; otherwise as the card has them",
    )
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = LessonRequest(
        recipe=slips.recipe(given.recipe),
        sample=Path(given.card),
        student=Path(given.student) if given.student else None,
        settings=slips.settings(given.settings),
        units=given.units,
        out=Path(given.out),
    )
    if slips.found:
        return screen.refuse(*slips.found)

    from scye import teaching

    outcome = teaching.run_lesson(request, screen.progress)
    code = screen.finish(outcome)
    if outcome.files:
        screen.tell(f"written into {request.out.as_posix()}:", *(f"  {name}" for name in outcome.files))
    return code
