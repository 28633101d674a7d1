"""The PDFs: page boxes exact, true scale on every page, type searchable, the same bytes each time."""

import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2
import pytest
import saltmarsh

from scye.ir.pattern import Stroke
from scye.place.paper import A4, LETTER
from scye.place.roll import lay_roll
from scye.place.tiles import tile
from scye.render.pdf import path_operators, sheet_pdf, tiles_pdf

DPI = 600
POINTS = 72 / 25.4


@pytest.fixture(scope="module")
def roll():
    return lay_roll(saltmarsh.pattern())


@pytest.fixture(scope="module", params=[A4, LETTER], ids=lambda p: p.name)
def tiled(request, roll):
    plan = tile(roll, request.param)
    return plan, tiles_pdf(plan)


def opened(data):
    return pikepdf.open(BytesIO(data))


def test_home_pages_have_exact_boxes(tiled):
    plan, data = tiled
    sides = {"A4": (595.276, 841.89), "Letter": (612, 792)}[plan.paper.name]
    pdf = opened(data)
    assert len(pdf.pages) == len(plan.tiles) + 1
    assert {tuple(map(float, page.MediaBox)) for page in pdf.pages} == {(0, 0, *sides)}


def test_the_roll_page_has_its_own_size(roll):
    pdf = opened(sheet_pdf(roll))
    box = [float(x) for x in pdf.pages[0].MediaBox]
    assert box[2] == pytest.approx(914 * POINTS, abs=0.001)
    assert box[3] == pytest.approx(roll.pages[0].height * POINTS, abs=0.001)


def test_the_printer_is_told_not_to_scale(roll, tiled):
    for data in (sheet_pdf(roll), tiled[1]):
        assert opened(data).Root.ViewerPreferences.PrintScaling == "/None"


def test_pages_are_labelled_by_row_and_column(tiled):
    plan, data = tiled
    with pypdfium2.PdfDocument(data) as pdf:
        assert [pdf.get_page_label(k) for k in range(len(pdf))] == ["map", *(t.name for t in plan.tiles)]


def test_the_bar_is_100_mm_to_a_pixel_on_every_page(tiled):
    plan, data = tiled
    bars = [(plan.margin + 2, plan.paper.height - plan.margin - 5, False)]
    for t in plan.tiles:
        x, y = t.legend.bar
        bars.append((x - t.window.left + plan.margin, y - t.window.top + plan.margin, t.legend.upright))
    assert {upright for *_, upright in bars} == {True, False}
    with pypdfium2.PdfDocument(data) as pdf:
        for page, bar in zip(pdf, bars, strict=True):
            assert bar_pixels(page, *bar, plan.paper) == pytest.approx(100 / 25.4 * DPI, abs=1)


def test_the_bar_of_the_roll_is_100_mm(roll):
    page = roll.pages[0]
    with pypdfium2.PdfDocument(sheet_pdf(roll)) as pdf:
        pixels = bar_pixels(pdf[0], page.title.left + 222, page.title.top + 63, False, page)
    assert pixels == pytest.approx(100 / 25.4 * DPI, abs=1)


def bar_pixels(page, x, y, upright, paper):
    """Pixels from the first to the last long tick of the bar that starts at (x, y) mm on the page."""
    if upright:
        left, top, right, bottom = x - 3, y - 101, x + 1, y + 1
    else:
        left, top, right, bottom = x - 1, y - 3, x + 101, y + 1
    edges = (left, paper.height - bottom, paper.width - right, top)
    image = page.render(scale=DPI / 72, crop=tuple(e * POINTS for e in edges), grayscale=True).to_numpy()
    # 2 mm off the bar itself, where only the long ticks reach.
    line = (image.T if upright else image)[round(1.0 / 25.4 * DPI)]
    dark = np.flatnonzero(line < 128)
    ends = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    assert len(ends) == 3, "the long ticks are at 0, 50 and 100 mm"
    return ends[-1].mean() - ends[0].mean()


def test_type_is_embedded_and_mapped_to_characters(tiled):
    for page in opened(tiled[1]).pages:
        font = page.Resources.Font.F
        assert font.Subtype == "/Type0"
        assert "/ToUnicode" in font
        program = font.DescendantFonts[0].FontDescriptor.FontFile2.read_bytes()
        assert program[:4] == b"\0\1\0\0"


def test_words_can_be_found(roll, tiled):
    _, data = tiled
    for source in (sheet_pdf(roll), data):
        with pypdfium2.PdfDocument(source) as pdf:
            text = "\n".join(page.get_textpage().get_text_range() for page in pdf)
        text = text.replace("\r\n", " ")
        for words in (
            "Saltmarsh bodice & skirt",
            "Skirt front",
            "3 of 4 · Wren",
            "cut 2 (a pair) of self, lining",
        ):
            assert words in text


def test_words_beyond_plain_letters_survive():
    pattern = saltmarsh.of_pieces(saltmarsh.side_front())
    label = "Blåmes – ½ in “étude” ↑"
    piece = pattern.pieces[0]
    named = type(piece)(**{**{f: getattr(piece, f) for f in piece.__slots__}, "title": label})
    with pypdfium2.PdfDocument(sheet_pdf(lay_roll(saltmarsh.of_pieces(named)))) as pdf:
        assert label in pdf[0].get_textpage().get_text_range()


def test_a_piece_is_printed_at_its_true_size():
    """The plain rectangle of 150 by 250 mm: its lines' middles, measured on the page."""
    roll = lay_roll(saltmarsh.of_pieces(saltmarsh.rectangle_piece(150, 250)))
    placed = roll.pages[0].placed[0]
    with pypdfium2.PdfDocument(sheet_pdf(roll)) as pdf:
        image = pdf[0].render(scale=300 / 72, grayscale=True).to_numpy()
    row = image[round((placed.box.top + 5) / 25.4 * 300)] < 128
    column = image[:, round((placed.box.left + 5) / 25.4 * 300)] < 128
    across = np.flatnonzero(row)
    down = np.flatnonzero(column)
    below = down[down > (placed.box.top - 2) / 25.4 * 300]
    pen = 0.5 / 25.4 * 300
    assert across[-1] - across[0] + 1 - pen == pytest.approx(150 / 25.4 * 300, abs=1.5)
    assert below[-1] - below[0] + 1 - pen == pytest.approx(250 / 25.4 * 300, abs=1.5)


def test_segments_of_no_length_are_dropped():
    stroke = Stroke((0, 0), (((0, 0),), ((10, 0),), ((10, 0), (10, 0), (10, 0))), True)
    assert path_operators(stroke) == "0 0 m 10 0 l h"


def test_a_pattern_without_pieces_is_still_a_file():
    empty = lay_roll(saltmarsh.of_pieces())
    assert len(opened(sheet_pdf(empty)).pages) == 1
    assert len(opened(tiles_pdf(tile(empty, A4))).pages) == 1


DIGESTS = """
import hashlib, sys
sys.path[:0] = sys.argv[1:]
import saltmarsh
from scye.place.paper import A4
from scye.place.picture import lay_picture
from scye.place.roll import lay_roll
from scye.place.tiles import tile
from scye.render.pattern_json import Header, pattern_json
from scye.render.pdf import sheet_pdf, tiles_pdf
from scye.render.proof import proof_html
from scye.render.svg import pieces_svg
p = saltmarsh.pattern()
roll = lay_roll(p)
made = [sheet_pdf(roll), tiles_pdf(tile(roll, A4)), pieces_svg(lay_picture(p)), proof_html(p)]
made.append(pattern_json([p], Header("0", "r", "1")))
print([hashlib.sha256(m).hexdigest() for m in made])
"""


def test_the_same_bytes_in_every_run_and_under_every_hash_seed():
    def run(seed):
        samples = str(Path(__file__).parents[2] / "render")
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        command = [sys.executable, "-c", DIGESTS, samples]
        return subprocess.run(command, env=environment, capture_output=True, text=True, check=True).stdout

    first = run("1")
    assert first.count("'") == 10
    assert run("77") == first
