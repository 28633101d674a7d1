"""Where the sizes of a piece are laid over each other, and the sheets that show it."""

from __future__ import annotations

import json
import re
from io import BytesIO
from pathlib import Path

import jsonschema
import pikepdf
import pytest

from scye.driver import run_build
from scye.ir.requests import BuildRequest, ExitCode, Outcome
from scye.render.nest_pens import COLOURS, PATTERNS, size_pens
from scye.render.pattern_json import pattern_schema
from workroom import INCH

RECIPE = """\
recipe "Slip"
  edition 1
  licence CC-BY-4.0

needs bust, nape_to_waist

draft front
  begin at cf
  plumb centre_front through cf
  level waist_line from cf down nape_to_waist
  mark waist_cf where centre_front meets waist_line
  mark corner from cf right bust / 4
  mark low from waist_cf right bust / 4 + 2 in
  line top from cf to corner
  line side from corner to low

piece front_piece "Front"
  bounded by centre_front, top, side, waist_line
  cut 1 of self on fold at centre_front
  grain down
  allow 1/2 in on top, side, waist_line
{nest}"""
CHART = """\
chart: Three
source: invented
unit: in
base: b
sizes:
  a: {bust: 32, nape_to_waist: 15}
  b: {bust: 36, nape_to_waist: 16}
  c: {bust: 42, nape_to_waist: 16 1/2}
"""


def build(
    folder: Path, nest: str = "", nest_at: str | None = None, sizes: tuple[str, ...] = ()
) -> tuple[Outcome, Path]:
    (folder / "slip.scye").write_text(RECIPE.format(nest=f"  {nest}\n" if nest else ""), encoding="utf-8")
    (folder / "chart.yaml").write_text(CHART, encoding="utf-8")
    out = folder / "out"
    request = BuildRequest(folder / "slip.scye", (), folder / "chart.yaml", sizes, (), None, out, nest_at)
    return run_build(request, lambda _line: None), out


def moves(out: Path, point: str) -> list[tuple[float, float]]:
    points = json.loads((out / "pattern.json").read_text(encoding="utf-8"))["grade"]["points"]
    right, down = points[f"front.{point} right"]["moves"], points[f"front.{point} down"]["moves"]
    return [(round(x / INCH, 4) + 0.0, round(y / INCH, 4) + 0.0) for x, y in zip(right, down, strict=True)]


def test_without_a_word_sizes_share_the_beginning_of_the_draft(tmp_path: Path) -> None:
    _, out = build(tmp_path)
    assert moves(out, "cf") == [(0, 0), (0, 0), (0, 0)]
    assert moves(out, "low") == [(-1, -1), (0, 0), (1.5, 0.5)]
    assert "all sizes laid at the beginning of the draft" in (out / "nest.svg").read_text(encoding="utf-8")


def test_a_clause_names_the_place_they_share(tmp_path: Path) -> None:
    _, out = build(tmp_path, "nest at front.waist_cf")
    assert moves(out, "waist_cf") == [(0, 0), (0, 0), (0, 0)]
    assert moves(out, "cf") == [(0, 1), (0, 0), (0, -0.5)]
    grade = json.loads((out / "pattern.json").read_text(encoding="utf-8"))["grade"]
    assert grade["measured_from"] == {"front": "front.waist_cf"}


def test_a_line_may_be_made_to_run_alike_as_well(tmp_path: Path) -> None:
    """The side slopes 2 in over 15, 16 and 16 1/2; laid along it, its ends stay on the base's line."""
    _, out = build(tmp_path, "nest along front.side at front.corner")
    ends = moves(out, "low")
    for (x, y), length in zip(ends, (15.1327, 16.1245, 16.6208), strict=True):
        grown = length - 16.1245
        assert (x, y) == pytest.approx((grown * 2 / 16.1245, grown * 16 / 16.1245), abs=2e-4)


def test_the_command_line_has_the_last_word(tmp_path: Path) -> None:
    _, out = build(tmp_path, "nest at front.waist_cf", nest_at="corner")
    assert moves(out, "corner") == [(0, 0), (0, 0), (0, 0)]


def test_a_point_that_no_draft_has_is_an_error_and_nothing_is_written(tmp_path: Path) -> None:
    outcome, out = build(tmp_path, nest_at="cornr")
    assert outcome.exit_code is ExitCode.BAD_INPUT
    (said,) = outcome.diagnostics
    assert (said.code, said.attempt()) == ("E1006", "did you mean `corner`?")
    assert not out.exists()


def test_without_the_base_size_moves_are_from_the_first(tmp_path: Path) -> None:
    outcome, out = build(tmp_path, sizes=("c", "a"))
    grade = json.loads((out / "pattern.json").read_text(encoding="utf-8"))["grade"]
    assert (grade["base"], grade["sizes"]) == ("a", ["a", "c"])
    assert "  note: the base size b was not asked for; the grade is measured from a" in outcome.lines


def test_a_single_size_has_no_nest(tmp_path: Path) -> None:
    _, out = build(tmp_path, sizes=("b",))
    assert not (out / "nest.svg").exists()
    assert "grade" not in json.loads((out / "pattern.json").read_text(encoding="utf-8"))


def test_the_grade_fits_the_published_schema(tmp_path: Path) -> None:
    _, out = build(tmp_path)
    jsonschema.validate(
        json.loads((out / "pattern.json").read_text(encoding="utf-8")), json.loads(pattern_schema())
    )


def test_the_same_bytes_each_time(tmp_path: Path) -> None:
    _, out = build(tmp_path)
    names = ("nest.svg", "nest.pdf", "grade.html", "pattern.json")
    before = [(out / name).read_bytes() for name in names]
    build(tmp_path)
    assert [(out / name).read_bytes() for name in names] == before


# --- nest.pdf -------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def document(tmp_path_factory: pytest.TempPathFactory) -> pikepdf.Pdf:
    _, out = build(tmp_path_factory.mktemp("nest"))
    return pikepdf.open(BytesIO((out / "nest.pdf").read_bytes()))


def test_each_size_is_a_layer_and_so_is_each_kind_of_line(document: pikepdf.Pdf) -> None:
    groups = document.Root.OCProperties.OCGs
    named = [str(group.Name) for group in groups]
    kinds = ["stitch lines", "cutting lines", "notches and darts"]
    assert named == ["size a", "size b", "size c", *kinds, "frame"]
    assert [str(group.Name) for group in document.Root.OCProperties.D.OFF] == ["cutting lines"]
    assert [str(group.Name) for group in document.Root.OCProperties.D.Order] == named


def test_a_line_is_shown_where_both_its_layers_are(document: pikepdf.Pdf) -> None:
    held = document.pages[0].Resources.Properties
    cutting = held["/S1cutting"]
    assert cutting.P == "/AllOn"
    assert [str(group.Name) for group in cutting.OCGs] == ["size b", "cutting lines"]
    content = document.pages[0].Contents.read_bytes().decode("ascii")
    for size in range(3):
        for kind in ("stitch", "cutting", "marks"):
            assert content.count(f"/OC /S{size}{kind} BDC") == 1
    assert content.count("BDC") == content.count("EMC")


def test_the_page_is_at_full_scale_with_its_typeface(document: pikepdf.Pdf) -> None:
    """The base's side is 16 1/8 in long; its ends stand so far apart in the content, which is in mm."""
    page = document.pages[0]
    content = page.Contents.read_bytes().decode("ascii")
    assert content.splitlines()[0].startswith("1 j 2.834645669 0 0 -2.834645669")
    path = re.search(r"/OC /S1stitch BDC\nq 0 0 0 RG 0\.7 w \[\] 0 d (.*?) S Q", content)
    assert path is not None
    numbers = [float(n) for n in re.findall(r"-?[0-9.]+", path[1])]
    xs, ys = numbers[::2], numbers[1::2]
    assert max(xs) - min(xs) == pytest.approx(11 * INCH, abs=1e-3)
    assert max(ys) - min(ys) == pytest.approx(16 * INCH, abs=1e-3)
    font = page.Resources.Font.F.DescendantFonts[0].FontDescriptor
    assert len(font.FontFile2.read_bytes()) > 10_000


# --- pens -----------------------------------------------------------------------------------------


def test_neighbours_differ_in_pattern_and_in_colour() -> None:
    pens = [pen for i, pen in enumerate(size_pens(30, 11)) if i != 11]
    for k in range(len(pens) - 1):
        assert pens[k].nib.dash != pens[k + 1].nib.dash
        assert pens[k].colour != pens[k + 1].colour
    assert len({(pen.nib.dash, pen.colour) for pen in pens}) == 29


def test_the_base_is_solid_black_and_heavier() -> None:
    pens = size_pens(5, 2)
    assert (pens[2].nib.dash, pens[2].colour) == ((), "#000000")
    assert all(pen.nib.dash and pen.nib.width < pens[2].nib.width for i, pen in enumerate(pens) if i != 2)


@pytest.mark.parametrize("colour", COLOURS)
def test_colours_stand_out_on_white(colour: str) -> None:
    """Contrast of at least 3 to 1 with white, as WCAG 2.2 (1.4.11) asks of drawings."""
    linear = [_linear(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5)]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    assert 1.05 / (luminance + 0.05) >= 3
    assert len(PATTERNS) % len(COLOURS) != 0


def _linear(part: float) -> float:
    return float(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
