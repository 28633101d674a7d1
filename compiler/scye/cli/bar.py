"""`scye bar`: what a measured test bar says of a print."""

from __future__ import annotations

from argparse import Namespace
from fractions import Fraction

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.command import CommandNotUnderstood
from scye.diagnostics.paper import BarNotUnderstood
from scye.ir.requests import ExitCode
from scye.units.quantity import Kind
from scye.units.tape import parse_quantity

# More than any page could be out (mm), and more pages in a row than any garment takes.
MOST_DRIFT, MOST_PAGES = 25, 100


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument(
        "measured",
        metavar="MEASURED",
        nargs="+",
        help="what the bar of 100 mm measures on your page: 97; or another length: 1 15/16 in of 2 in",
    )
    parser.wishes.add_argument(
        "--drift",
        metavar="0.4mm",
        default="0.4mm",
        help="by how much neighbouring pages don't meet; otherwise 0.4mm",
    )
    parser.wishes.add_argument(
        "--pages", metavar="4", type=int, default=4, help="over how many pages it adds up; otherwise 4"
    )
    parser.wishes.add_argument(
        "--units",
        choices=["in", "cm", "mm"],
        default="in",
        help="show the example in inches, centimetres or millimetres; otherwise inches",
    )


def run(given: Namespace, screen: Screen) -> ExitCode:
    from scye.place.scale import Bar, bar_words

    text = " ".join(given.measured)
    measured, _, of = (part.strip() for part in text.partition(" of "))
    one, other, drift = (_mm(part) for part in (measured, of or "100", given.drift))
    if one is None or other is None or other <= 0 or not Fraction(1, 2) <= one / other <= 2:
        return screen.refuse(BarNotUnderstood(span=None, text=text))
    if drift is None or not 0 <= drift <= MOST_DRIFT:
        return screen.refuse(_out_of_bounds("--drift", given.drift, f"from 0 mm to {MOST_DRIFT} mm"))
    if not 1 <= given.pages <= MOST_PAGES:
        return screen.refuse(_out_of_bounds("--pages", str(given.pages), f"from 1 to {MOST_PAGES}"))
    screen.tell(*bar_words(Bar(one, other, drift, given.pages), given.units))
    return ExitCode.GOOD


def _out_of_bounds(option: str, text: str, wanted: str) -> CommandNotUnderstood:
    return CommandNotUnderstood(what=f"`{option}` can't be `{text}`", wanted=wanted)


def _mm(text: str) -> Fraction | None:
    """A length in mm; a plain number is in mm already. None if it is neither."""
    amount = parse_quantity(text)
    if amount is None or amount.kind not in (Kind.LENGTH, Kind.NUMBER):
        return None
    return amount.value if amount.unit is None else amount.value * (amount.unit.exact or Fraction(1))
