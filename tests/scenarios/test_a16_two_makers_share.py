"""A16: two makers share a recipe both ways. Saltmarsh Workroom works in inches, Marram Studio in centimetres.

Saltmarsh encloses its tide skirt. Marram keeps it, drafts it for a client measured in centimetres and writes
a variant, which goes back the same way. Then Saltmarsh mends its first edition, which forgot the ease at the
hip; Marram reads what moves before it takes the second, and its variant stays on the first until it says
otherwise.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from scye.cli.main import main

HERE = Path(__file__).parent / "shared"
INCH = 25.4

# One body on two cards: 28, 38 and 8 in are 71.12, 96.52 and 20.32 cm.
IN_INCHES = "client: wren\ndate: 2026-03-02\nunit: in\ntimes: 2\nmeasures:\n  waist: 28\n  hip: 38\n"
IN_CENTIMETRES = (
    "client: wren\ndate: 2026-03-02\nunit: cm\ntimes: 2\nmeasures:\n  waist: 71.12\n  hip: 96.52\n"
)
CHART = """\
chart: Marram sizes
source: invented
unit: cm
sizes:
  s: {waist: 66, hip: 92}
  m: {waist: 70, hip: 96}
  l: {waist: 76, hip: 102}
"""
VARIANT = """\
recipe "Tide skirt, short"
  edition 1
  based on "tide_skirt" edition 1
  about "The tide skirt to the knee, in centimetres."
  licence CC-BY-4.0
  studio "Marram Studio"

choose skirt_length = 50 cm
choose hem_depth = 3 cm from 1 cm to 6 cm "turned up at the hem"

redraw piece skirt_front "Skirt front"
  bounded by centre_front, waist_line, side_seam, hem.edge
  cut 1 of self on fold at centre_front
  grain along centre_front
  allow 1 cm on side_seam, waist_line
  allow hem_depth on hem.edge
"""


class Maker:
    """A maker at her own desk, with her own library."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch, read: Callable[[], tuple[str, str]]) -> None:
        folder.mkdir()
        self.folder, self.patch, self.read = folder, patch, read

    def put(self, name: str, text: str) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def scye(self, words: str) -> str:
        """What a command prints, which ends well."""
        code, out, wrong = self.tries(words)
        assert code == 0, (words, wrong)
        return out

    def tries(self, words: str) -> tuple[int, str, str]:
        self.patch.chdir(self.folder)
        self.patch.setenv("SCYE_LIBRARY", str(self.folder / "library"))
        self.read()
        code = main(words.split())
        return code, *self.read()

    def front(self, words: str) -> tuple[dict[str, Any], list[tuple[float, float]]]:
        """The body of a run, and the corners of the skirt front on its stitch line: mm, right and down."""
        self.scye(f"build {words} --out out --quiet")
        body = json.loads((self.folder / "out" / "pattern.json").read_text(encoding="utf-8"))["bodies"][0]
        piece = next(piece for piece in body["pieces"] if piece["name"] == "skirt_front")
        figures = re.findall(r"(-?[\d.]+),(-?[\d.]+)", piece["net"])
        return body, [(float(x), float(y)) for x, y in figures]

    def sends(self, name: str, other: Maker) -> None:
        shutil.copy(self.folder / name, other.folder / name)

    def kept(self) -> set[str]:
        library = self.folder / "library"
        return {path.relative_to(library).as_posix() for path in library.glob("*/*")}


def widest(corners: list[tuple[float, float]]) -> float:
    return max(x for x, _ in corners) - min(x for x, _ in corners)


def tallest(corners: list[tuple[float, float]]) -> float:
    return max(y for _, y in corners) - min(y for _, y in corners)


def test_a_recipe_goes_there_and_back_and_is_renewed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    makers = [
        Maker(tmp_path / name, monkeypatch, lambda: tuple(capsys.readouterr()))  # type: ignore[arg-type]
        for name in ("saltmarsh", "marram")
    ]
    saltmarsh, marram = makers
    _saltmarsh_encloses(saltmarsh)
    saltmarsh.sends("tide_skirt.envelope", marram)
    _marram_drafts_it_in_centimetres(saltmarsh, marram)
    _marram_sends_a_variant_back(saltmarsh, marram)
    _saltmarsh_mends_its_edition(saltmarsh)
    saltmarsh.sends("tide_skirt.envelope", marram)
    _marram_reads_what_moves_and_takes_it(marram)
    _the_variant_follows_when_it_says_so(marram)


def _saltmarsh_encloses(saltmarsh: Maker) -> None:
    """With its methods, and without its client: her card is refused, and nothing is written."""
    for path in HERE.iterdir():
        saltmarsh.put(f"tide_skirt/{path.name}", path.read_text(encoding="utf-8"))
    saltmarsh.put("wren.yaml", IN_INCHES)
    code, _, wrong = saltmarsh.tries("enclose tide_skirt --with wren.yaml")
    assert code == 2
    assert "E2020" in wrong
    assert "whoever opens the envelope would have it" in " ".join(wrong.split())
    assert not (saltmarsh.folder / "tide_skirt.envelope").exists()
    told = saltmarsh.scye("enclose tide_skirt")
    assert "tide_skirt/tide_hems.scye: methods;" in told
    assert b"wren" not in (saltmarsh.folder / "tide_skirt.envelope").read_bytes()


def _marram_drafts_it_in_centimetres(saltmarsh: Maker, marram: Maker) -> None:
    """With no edit: the same body gives the same piece, and the figures are told in centimetres."""
    told = marram.scye("inside tide_skirt.envelope")
    for line in (
        "studio: Saltmarsh Workroom",
        "licence: CC-BY-SA-4.0",
        "needs of a body: waist, hip",
        "ease: 1 in, from 1/2 in to 3 in (wearing ease round the hip)",
        "tide_hems: level_hem (its own",
        "may not: A recipe is data. It can't read your files",
    ):
        assert line in told
    assert marram.scye("keep tide_skirt.envelope").startswith(told.rstrip("\n"))
    assert marram.kept() == {"tide_skirt/edition-1"}
    marram.put("wren.yaml", IN_CENTIMETRES)
    hers, here = marram.front("tide_skirt --body wren.yaml")
    theirs, there = saltmarsh.front("tide_skirt --body wren.yaml")
    assert len(here) == len(there)
    assert here == [pytest.approx(corner, abs=1e-3) for corner in there]
    assert (hers["display_unit"], theirs["display_unit"]) == ("cm", "in")
    assert hers["values"]["quarter_hip"]["working"] == "hip / 4 = 96.5 cm / 4 = 24.1 cm"
    assert widest(here) == pytest.approx(38 * INCH / 4, abs=0.01)  # the ease is forgotten


def _marram_sends_a_variant_back(saltmarsh: Maker, marram: Maker) -> None:
    """In centimetres, drafted by Saltmarsh in inches; its parent and methods travel with it."""
    marram.put("short_tide_skirt/short_tide_skirt.scye", VARIANT)
    code, _, wrong = marram.tries("enclose short_tide_skirt")
    assert code == 0
    assert "CC-BY-SA-4.0, which says SA (shared alike)" in " ".join(wrong.split())
    assert "read both licences" in wrong
    marram.sends("short_tide_skirt.envelope", saltmarsh)
    told = saltmarsh.scye("keep short_tide_skirt.envelope --quiet")
    assert told == ""
    body, corners = saltmarsh.front("short_tide_skirt --body wren.yaml")
    assert body["display_unit"] == "in"
    assert body["values"]["skirt_length"]["working"] == "chosen: 19 11/16 in"
    assert tallest(corners) == pytest.approx(500, abs=0.01)
    assert widest(corners) == pytest.approx(38 * INCH / 4, abs=0.01)


def _saltmarsh_mends_its_edition(saltmarsh: Maker) -> None:
    recipe = saltmarsh.folder / "tide_skirt" / "tide_skirt.scye"
    text = recipe.read_text(encoding="utf-8")
    mended = text.replace("edition 1", "edition 2").replace("= hip / 4", "= (hip + ease) / 4")
    assert mended.count("edition 2") == 1
    recipe.write_text(mended, encoding="utf-8")
    saltmarsh.scye("enclose tide_skirt --quiet")


def _marram_reads_what_moves_and_takes_it(marram: Maker) -> None:
    """Pieces and sizes, before anything is taken; then the older edition stays beside the newer."""
    marram.put("sizes.yaml", CHART)
    code, _, wrong = marram.tries("keep tide_skirt.envelope")
    assert code == 2
    assert "E2031" in wrong
    told = marram.scye("renew tide_skirt.envelope --chart sizes.yaml")
    moved = told[told.index("Tide skirt, edition 1 -> edition 2") :]
    assert moved == (
        "Tide skirt, edition 1 -> edition 2\n"
        "  Skirt front, all sizes: up to +6.4 mm at side seam.\n"
        "  All other pieces are identical to edition 1: Waistband.\n"
        "  To print again: Skirt front (all sizes).\n"
        "Nothing is taken yet: edition 1 stays. Say --take to take it.\n"
    )
    assert marram.kept() == {"tide_skirt/edition-1"}
    told = marram.scye("renew tide_skirt.envelope --chart sizes.yaml --take")
    assert told.endswith("Edition 1 stays beside it, for the variants that are based on it.\n")
    assert marram.kept() == {"tide_skirt/edition-1", "tide_skirt/edition-2"}
    _, before = marram.front("tide_skirt@1 --body wren.yaml")
    _, after = marram.front("tide_skirt --body wren.yaml")
    assert widest(after) - widest(before) == pytest.approx(INCH / 4, abs=0.01)


def _the_variant_follows_when_it_says_so(marram: Maker) -> None:
    _, before = marram.front("short_tide_skirt --body wren.yaml")
    assert widest(before) == pytest.approx(965.2 / 4, abs=0.01)
    marram.put(
        "short_tide_skirt/short_tide_skirt.scye", VARIANT.replace('skirt" edition 1', 'skirt" edition 2')
    )
    _, after = marram.front("short_tide_skirt --body wren.yaml")
    assert widest(after) == pytest.approx((965.2 + INCH) / 4, abs=0.01)
    assert tallest(after) == tallest(before) == pytest.approx(500, abs=0.01)
