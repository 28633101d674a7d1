"""`scye lay`: lay the pieces of one layer on cloth, and say how much of it they take."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from scye.cli.asked import Slips
from scye.cli.parser import CommandParser, add_library, add_quiet, add_settings
from scye.cli.screen import Screen
from scye.diagnostics.lay import ClothNotUnderstood, WhatToLay
from scye.ir.lay import NO_SHRINKAGE, Cloth, LayRequest, Shrinkage
from scye.ir.requests import ExitCode
from scye.units.quantity import Kind
from scye.units.tape import parse_quantity

# mm; the widest looms make about 5 m
NARROWEST, WIDEST = 50.0, 6000.0
SHRINKS_AT_MOST = 0.25
LONGEST_SEARCH = 3600


def arguments(parser: CommandParser) -> None:
    work, wishes = parser.work, parser.wishes
    work.add_argument(
        "recipe", metavar="RECIPE", nargs="?", help="the recipe, as for `scye build`; or see --pattern"
    )
    work.add_argument("--body", dest="card", metavar="CARD.yaml", help="the client's card")
    work.add_argument("--pattern", metavar="PATTERN.json", help="a pattern built before, instead of a recipe")
    work.add_argument(
        "--of", dest="of_body", metavar="BODY", help="which body of --pattern, if it has several"
    )
    work.add_argument(
        "--width", metavar="44in", required=True, help="usable width of the cloth, no selvedges"
    )
    work.add_argument(
        "--out", metavar="FOLDER", required=True, help="where the files go; made if it isn't there"
    )
    wishes.add_argument("--cloth", metavar="LAYER", default="self", help="which layer: self, lining, ...")
    wishes.add_argument(
        "--nap",
        choices=["one-way", "two-way", "none"],
        default="one-way",
        help="one-way (if not said): all heads one way; two-way: pairs turned alike; none: turned freely",
    )
    wishes.add_argument(
        "--fold", action="store_true", help="the cloth is folded lengthwise, right sides together"
    )
    wishes.add_argument("--repeat", metavar="3in", help="length of the pattern repeat that is to be matched")
    wishes.add_argument(
        "--shrink", metavar="3%x2%", help="build shrinkage into the pieces: along the grain x across it"
    )
    wishes.add_argument("--gap", metavar="1mm", default="1mm", help="least room between pieces (1mm)")
    wishes.add_argument("--ends", metavar="2cm", default="2cm", help="cloth left at each end (2cm)")
    wishes.add_argument(
        "--search", metavar="SECONDS", help="search so long for a shorter lay; not the same each time"
    )
    wishes.add_argument(
        "--rates", metavar="RATES.yaml", help="your hours and prices: writes the lists too, with this cloth"
    )
    add_library(parser)
    add_settings(parser)
    add_quiet(parser)


def run(given: Namespace, screen: Screen) -> ExitCode:
    screen.quiet = given.quiet
    slips = Slips()
    request = _request(given, slips)
    if slips.found:
        return screen.refuse(*slips.found)

    from scye import laying

    outcome = laying.run_lay(request, screen.progress)
    code = screen.finish(outcome)
    if outcome.files:
        screen.tell(f"written into {request.out.as_posix()}:", *(f"  {name}" for name in outcome.files))
    return code


def _request(given: Namespace, slips: Slips) -> LayRequest:
    _see_what(given, slips)
    return LayRequest(
        recipe=slips.recipe(given.recipe) if given.recipe else None,
        card=Path(given.card) if given.card else None,
        pattern=Path(given.pattern) if given.pattern else None,
        body=given.of_body,
        settings=slips.settings(given.settings),
        units=given.units,
        cloth=_cloth(given, slips),
        search=_seconds(given.search, slips),
        out=Path(given.out),
        rates=Path(given.rates) if given.rates else None,
    )


def _see_what(given: Namespace, slips: Slips) -> None:
    """Either a recipe with a card, or a pattern alone."""
    what = ""
    if given.recipe and given.pattern:
        what = "a recipe and a pattern can't both be laid"
    elif not given.recipe and not given.pattern:
        what = "the command doesn't say what to lay"
    elif given.recipe and not given.card:
        what = "a recipe is laid for a card, and none is given"
    elif given.pattern and (given.card or given.settings):
        what = "a pattern is drafted already: a card and `--set` have no say in it"
    elif given.pattern and given.rates:
        what = "a cost sheet is reckoned from the recipe and its card, not from a pattern"
    elif given.of_body and not given.pattern:
        what = "`--of` is given without a pattern"
    if what:
        slips.found.append(WhatToLay(span=None, what=what))


def _cloth(given: Namespace, slips: Slips) -> Cloth:
    return Cloth(
        layer=given.cloth,
        width=_length("--width", given.width, slips, NARROWEST, WIDEST),
        nap=given.nap,
        folded=given.fold,
        repeat=_length("--repeat", given.repeat, slips, 1.0, WIDEST) if given.repeat else 0.0,
        shrinkage=_shrinkage(given.shrink, slips) if given.shrink else NO_SHRINKAGE,
        gap=_length("--gap", given.gap, slips, 0.0, 100.0),
        ends=_length("--ends", given.ends, slips, 0.0, 1000.0),
    )


def _length(option: str, text: str, slips: Slips, least: float, most: float) -> float:
    quantity = parse_quantity(text)
    if quantity is not None and quantity.kind is Kind.LENGTH and least <= quantity.inside <= most:
        return quantity.inside
    if quantity is not None and quantity.unit is None and least == quantity.inside == 0:
        return 0.0
    wanted = f"a length with its unit, {least:g} mm to {most:g} mm: `44in`, `112cm`"
    slips.found.append(ClothNotUnderstood(span=None, option=option, text=text, wanted=wanted))
    return most


def _shrinkage(text: str, slips: Slips) -> Shrinkage:
    shares = [parse_quantity(part) for part in text.replace("×", "x").split("x")]
    good = [
        s.inside
        for s in shares
        if s is not None and s.kind is Kind.PERCENT and 0 <= s.inside < SHRINKS_AT_MOST
    ]
    if len(shares) == len(good) == 2:
        return Shrinkage(good[0], good[1])
    wanted = "along the grain by across it, each less than 25 %: `3%x2%`"
    slips.found.append(ClothNotUnderstood(span=None, option="--shrink", text=text, wanted=wanted))
    return NO_SHRINKAGE


def _seconds(text: str | None, slips: Slips) -> int:
    if text is None:
        return 0
    if text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= LONGEST_SEARCH:
        return int(text)
    wanted = f"whole seconds, 1 to {LONGEST_SEARCH}"
    slips.found.append(ClothNotUnderstood(span=None, option="--search", text=text, wanted=wanted))
    return 0
