"""Paper sizes against the standards: ISO 216 (A series, trimmed sizes in mm) and ANSI/ASME Y14.1 (Letter)."""

from itertools import pairwise

import pytest

from scye.place.paper import A4, A_SERIES, LETTER

# ISO 216:2007, table of the A series: A0 is one square metre with sides as 1 to the root of 2, each next
# size is half the one before, rounded to the mm.
ISO_216 = {
    "A0": (841, 1189),
    "A1": (594, 841),
    "A2": (420, 594),
    "A3": (297, 420),
    "A4": (210, 297),
    "A5": (148, 210),
    "A6": (105, 148),
    "A7": (74, 105),
    "A8": (52, 74),
    "A9": (37, 52),
    "A10": (26, 37),
}


def test_the_a_series_is_that_of_iso_216():
    assert {paper.name: (paper.width, paper.height) for paper in A_SERIES} == ISO_216


def test_each_size_is_the_one_before_folded_in_half():
    for larger, smaller in pairwise(A_SERIES):
        assert smaller.height == larger.width
        assert smaller.width == larger.height // 2


def test_a0_is_a_square_metre():
    assert A_SERIES[0].width * A_SERIES[0].height / 1e6 == pytest.approx(1.0, abs=1e-4)


def test_letter_is_eight_and_a_half_by_eleven_inches():
    assert (LETTER.width, LETTER.height) == pytest.approx((215.9, 279.4), abs=1e-9)


def test_in_points_as_a_pdf_has_them():
    """1 in = 72 pt (ISO 32000-1, 8.3.2.3)."""
    assert (round(A4.width * 72 / 25.4, 3), round(A4.height * 72 / 25.4, 3)) == (595.276, 841.89)
    assert (LETTER.width * 72 / 25.4, LETTER.height * 72 / 25.4) == pytest.approx((612, 792), abs=1e-9)
