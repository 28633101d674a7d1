"""The projector sheet as a file: thick lines, true scale, one page."""

from io import BytesIO

import numpy as np
import pikepdf
import pypdfium2
import pytest
import saltmarsh

from scye.place.projector import lay_projector
from scye.render.pens import NIBS, PROJECTED
from scye.render.projector import projector_pdf

POINTS = 72 / 25.4


@pytest.fixture(scope="module")
def plan():
    return lay_projector(saltmarsh.pattern())


@pytest.fixture(scope="module")
def data(plan):
    return projector_pdf(plan)


def test_one_page_of_the_plan_s_size(plan, data):
    with pikepdf.open(BytesIO(data)) as pdf:
        assert len(pdf.pages) == 1
        box = [float(x) for x in pdf.pages[0].MediaBox]
    assert box[2:] == pytest.approx([plan.width * POINTS, plan.height * POINTS], abs=0.001)


def test_no_line_is_thinner_than_a_projector_s_dot():
    """36 in over 1,280 dots."""
    dot = 36 * 25.4 / 1280
    assert set(PROJECTED) == set(NIBS)
    assert min(nib.width for nib in PROJECTED.values()) > dot
    assert PROJECTED["cut"].width > 3 * dot


def test_the_grid_is_4_in_and_100_mm(plan, data):
    x, y = plan.grid
    with pypdfium2.PdfDocument(data) as pdf:
        image = pdf[0].render(scale=150 / 72, grayscale=True).to_numpy()
    # Half way between two of the rulings across, so that only the upright ones are met.
    inches = middles(image[round((y + 2 + 12.7) / 25.4 * 150)], x + 1, x + 105)
    tens = middles(image[round((y + 2 + 5.0) / 25.4 * 150)], x + 114, x + 218)
    assert len(inches) == 5
    assert len(tens) == 11
    assert inches[-1] - inches[0] == pytest.approx(600, abs=1)
    assert tens[-1] - tens[0] == pytest.approx(100 / 25.4 * 150, abs=1)


def middles(row, low, high):
    """The middles of the dark runs of a row of pixels, between two places in mm."""
    dark = np.flatnonzero(row < 128)
    dark = dark[(dark > low / 25.4 * 150) & (dark < high / 25.4 * 150)]
    return [run.mean() for run in np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)]


def test_titles_can_be_read_and_registration_is_numbered(data):
    with pypdfium2.PdfDocument(data) as pdf:
        text = pdf[0].get_textpage().get_text_range()
    assert "Side front" in text
    assert "area 1 of 1" in text
    tall = projector_pdf(lay_projector(saltmarsh.of_pieces(saltmarsh.rectangle_piece(300, 1300))))
    with pypdfium2.PdfDocument(tall) as pdf:
        assert "area 2 of 2" in pdf[0].get_textpage().get_text_range()
