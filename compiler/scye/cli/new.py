"""`scye new`: begin a recipe that drafts at once."""

from __future__ import annotations

import os
import re
from argparse import Namespace
from pathlib import Path

from scye.cli.parser import CommandParser
from scye.cli.screen import Screen
from scye.diagnostics.command import AlreadyThere, NewNameRefused
from scye.diagnostics.model import Diagnostic
from scye.ir.requests import ExitCode
from scye.library import RECIPE_ENDING, shown_name
from scye.outputs import OutputFolder

_NAME = re.compile(r"[a-z][a-z0-9_]{0,63}")

STARTER = """\
recipe "{title}"
  edition 1
  about "A quarter of a straight skirt, to be changed into what you like."
  licence CC-BY-4.0

# What the recipe needs from a card or chart. `scye measures` lists what there is.
needs waist, hip, waist_to_hip

# What the wearer may choose, and how far.
choose ease = 1 in from 1/2 in to 3 in "wearing ease round the hip"
choose skirt_length = 24 in from 15 in to 40 in "waist to hem"

quarter_hip = (hip + ease) / 4 "a quarter of the hip with its ease"
quarter_waist = waist / 4
dart_intake = 1 in

draft front
  begin at waist_cf
  plumb centre_front through waist_cf
  level waist_line through waist_cf
  level hip_line from waist_line down waist_to_hip
  level hem_line from waist_line down skirt_length
  mark hip_side where centre_front meets hip_line right quarter_hip
  mark hem_side where centre_front meets hem_line right quarter_hip
  mark waist_side from waist_cf right quarter_waist + dart_intake up 3/8 in
  curve waist_seam from waist_cf to waist_side leaving right
  curve side from waist_side to hip_side arriving down
  line side_below from hip_side to hem_side
  line side_seam = side then side_below
  mark dart_place halfway along waist_seam
  dart waist_dart on waist_seam at dart_place
    to dart_place down 4 in
    intake dart_intake
    pressed toward waist_cf

piece skirt_front "Skirt front"
  bounded by centre_front, waist_seam, side_seam, hem_line
  cut 1 of self on fold at centre_front
  grain along centre_front
  allow 1/2 in on side_seam
  allow 3/8 in on waist_seam
  allow 2 in on hem_line turned back

# A proof is worked out again on the finished pieces of every body.
prove "quarter hip" width of skirt_front at hip_line = quarter_hip
"""

CARD = """\
# A card to try the recipe with. Give each client a card of her own, under a code and not her name.
client: wren
date: 2026-03-02
unit: in
measures:
  waist: 28
  hip: 38
  waist_to_hip: 8
"""


def arguments(parser: CommandParser) -> None:
    parser.work.add_argument(
        "name",
        metavar="NAME",
        help="the name of the recipe and of its folder: small letters, digits and underscores",
    )


def run(given: Namespace, screen: Screen) -> ExitCode:
    folder = Path(given.name)
    written = _begin(folder)
    if isinstance(written, Diagnostic):
        return screen.refuse(written)
    shown = shown_name(folder)
    screen.tell(
        *(f"{shown}/{name}" for name in written),
        "",
        f"To draft it: scye build {shown} --body {shown}/wren.yaml --out {shown}/out",
    )
    return ExitCode.GOOD


def _begin(folder: Path) -> tuple[str, ...] | Diagnostic:
    """Write the folder, unless its name won't do or something is there already."""
    name = folder.name
    if not _NAME.fullmatch(name):
        return NewNameRefused(name=name, near=_nearest_name(name))
    if os.path.lexists(folder):
        return AlreadyThere(name=shown_name(folder))
    recipe = STARTER.format(title=name.replace("_", " ").capitalize())
    files = ((name + RECIPE_ENDING, recipe), ("wren.yaml", CARD))
    return OutputFolder(folder).write((name, text.encode()) for name, text in files)


def _nearest_name(name: str) -> tuple[str, ...]:
    """The name with what can't be in one made into underscores, if that is one."""
    near = re.sub(r"[^a-z0-9]+", "_", name.removesuffix(RECIPE_ENDING).lower()).strip("_")
    return (near,) if _NAME.fullmatch(near) else ()
