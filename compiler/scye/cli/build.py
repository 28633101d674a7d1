"""`scye build`: draft a recipe for bodies and write everything into a folder."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_bodies, add_prints, add_quiet, add_recipe, add_settings
from scye.cli.screen import Screen
from scye.ir.requests import BuildRequest, ExitCode


def arguments(parser: CommandParser) -> None:
    add_recipe(parser)
    add_bodies(parser, "a client's card; repeat it for several")
    parser.work.add_argument(
        "--out", metavar="FOLDER", required=True, help="where the files go; made if it isn't there"
    )
    add_prints(parser)
    parser.wishes.add_argument(
        "--nest-at",
        metavar="POINT",
        help="the point at which sizes are laid over each other, in every draft that has one of that name",
    )
    parser.wishes.add_argument(
        "--rates", metavar="RATES.yaml", help="your hours and prices, for the cost sheet; otherwise blanks"
    )
    add_settings(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = _request(given, slips)
    if slips.found:
        return screen.refuse(*slips.found)

    from scye import driver

    outcome = driver.run_build(request, screen.progress)
    code = screen.finish(outcome)
    screen.tell(*_written(request.out, outcome.files))
    return code


def _request(given: Namespace, slips: Slips) -> BuildRequest:
    slips.bodies(given.cards, given.chart, given.sizes, given.nest_at, wanted=False)
    return BuildRequest(
        recipe=slips.recipe(given.recipe),
        cards=tuple(map(Path, given.cards)),
        chart=Path(given.chart) if given.chart else None,
        sizes=slips.sizes(given.sizes),
        settings=slips.settings(given.settings),
        units=given.units,
        out=Path(given.out),
        nest_at=given.nest_at,
        prints=slips.prints(given.paper, given.joints, given.roll, given.projector, given.dxf),
        rates=Path(given.rates) if given.rates else None,
    )


def _written(out: Path, files: tuple[str, ...]) -> list[str]:
    if not files:
        return []
    return [f"written into {out.as_posix()}:", *(f"  {name}" for name in files)]
