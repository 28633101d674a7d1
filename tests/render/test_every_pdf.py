"""Every PDF that leaves the studio, whatever its kind: two readers open it, its type is embedded, its pages
are of the paper's size, and its bar measures 100 mm."""

from __future__ import annotations

import shutil
import subprocess
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pypdfium2
import pytest

from scye.cli.main import main
from workroom import ROOT

BODICE = str(ROOT / "recipes" / "saltmarsh-bodice")
SCOOPED = str(ROOT / "recipes" / "saltmarsh-bodice-scooped")
WREN = str(ROOT / "examples" / "cards" / "wren.yaml")
MISSES = str(ROOT / "stdlib" / "charts" / "us-misses.yaml")
PAPERS = ["--paper", "a4,letter,a3"]

# What makes them.
RUNS = {
    "body": ["build", BODICE, "--body", WREN, *PAPERS, "--projector"],
    "butt": ["build", BODICE, "--body", WREN, *PAPERS, "--joints", "butt", "--roll", "24in"],
    "sizes": ["build", BODICE, "--chart", MISSES, "--sizes", "10,12", *PAPERS],
    "lay": ["lay", BODICE, "--body", WREN, "--width", "44in"],
    "changes": ["compare", BODICE, SCOOPED, "--body", WREN],
}
# Each with the sides of its pages in mm: ISO 216, and 8 1/2 by 11 in. Of a roll the width alone is fixed, and
# of the rest what they hold decides.
A4, LETTER, A3 = (210.0, 297.0), (215.9, 279.4), (297.0, 420.0)
EVERY: dict[tuple[str, str], tuple[float, float] | float | None] = {
    ("body", "sheet.pdf"): 914.0,
    ("body", "tiles-a4.pdf"): A4,
    ("body", "tiles-letter.pdf"): LETTER,
    ("body", "tiles-a3.pdf"): A3,
    ("body", "projector.pdf"): None,
    ("butt", "sheet.pdf"): 609.6,
    ("butt", "tiles-a4.pdf"): A4,
    ("butt", "tiles-letter.pdf"): LETTER,
    ("butt", "tiles-a3.pdf"): A3,
    ("sizes", "nest.pdf"): 914.0,
    ("sizes", "nest-tiles-a4.pdf"): A4,
    ("sizes", "nest-tiles-letter.pdf"): LETTER,
    ("sizes", "nest-tiles-a3.pdf"): A3,
    ("sizes", "10-sheet.pdf"): 914.0,
    ("sizes", "12-tiles-a4.pdf"): A4,
    ("sizes", "12-tiles-letter.pdf"): LETTER,
    ("lay", "lay.pdf"): (297.0, 210.0),
    ("changes", "changed-wren-sheet.pdf"): 914.0,
    ("changes", "changed-wren-tiles-a4.pdf"): A4,
    ("changes", "changed-wren-tiles-letter.pdf"): LETTER,
}
POINT = 25.4 / 72
DPI = 600
BAR = "100 mm when printed at 100 %"
# The letters of the bar's words hang so far under their line: 0.236 of 2.6 mm, as the typeface has it.
HANGING = 0.6


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    made = {}
    for name, command in RUNS.items():
        made[name] = tmp_path_factory.mktemp("pdf") / "out"
        assert main([*command, "--out", str(made[name]), "--quiet"]) == 0
    return made


@pytest.fixture(scope="module", params=EVERY, ids="/".join)
def kind(request: pytest.FixtureRequest) -> tuple[str, str]:
    return request.param


@pytest.fixture(scope="module")
def file(kind: tuple[str, str], folders: dict[str, Path]) -> Path:
    return folders[kind[0]] / kind[1]


def test_all_kinds_are_looked_at(folders: dict[str, Path]) -> None:
    """No run writes a PDF of a kind that isn't in the list; sizes are alike."""
    found = {(run, path.name) for run, folder in folders.items() for path in folder.glob("*.pdf")}
    others = {(run, name.replace("10-", "12-")) for run, name in found} - EVERY.keys()
    assert others <= {("butt", "sheet.pdf"), ("sizes", "12-sheet.pdf"), ("sizes", "12-tiles-a3.pdf")}


def test_pages_are_of_the_paper(kind: tuple[str, str], file: Path) -> None:
    wanted = EVERY[kind]
    with pikepdf.open(file) as pdf:
        for page in pdf.pages:
            left, top, width, height = (float(side) for side in page.MediaBox)
            assert (left, top) == (0, 0)
            assert not {"/CropBox", "/Rotate", "/UserUnit"} & set(page.keys())
            assert max(width, height) <= 14400, "200 in, the most that a page may be"
            sides = (width * POINT, height * POINT)
            if isinstance(wanted, float):
                assert sides[0] == pytest.approx(wanted, abs=0.001)
            elif wanted is not None:
                assert sides == pytest.approx(wanted, abs=0.001)
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"


def test_type_is_embedded(file: Path) -> None:
    with pikepdf.open(file) as pdf:
        fonts = [
            each
            for each in pdf.objects
            if isinstance(each, pikepdf.Dictionary) and each.get("/Subtype") == "/Type0"
        ]
        assert fonts
        simple = [e for e in pdf.objects if isinstance(e, pikepdf.Dictionary) and e.get("/Type") == "/Font"]
        assert {str(font.Subtype) for font in simple} == {"/Type0", "/CIDFontType2"}
        for font in fonts:
            program = font.DescendantFonts[0].FontDescriptor.FontFile2.read_bytes()
            assert program[:4] == b"\0\1\0\0"


def test_poppler_opens_it(file: Path, tmp_path: Path) -> None:
    tool = shutil.which("pdftoppm")
    if tool is None:
        pytest.skip("poppler is not on this machine: install Debian's poppler-utils")
    done = subprocess.run(
        [tool, "-r", "10", "-gray", str(file), str(tmp_path / "page")], capture_output=True, text=True
    )
    assert (done.returncode, done.stderr) == (0, "")
    with pikepdf.open(file) as pdf:
        assert len(list(tmp_path.glob("page*.pgm"))) == len(pdf.pages)


def test_pdfium_opens_it_and_its_bar_is_100_mm(kind: tuple[str, str], file: Path) -> None:
    """The middles of the end ticks, to a pixel at 600 dots an inch, wherever a page has a bar."""
    with pypdfium2.PdfDocument(BytesIO(file.read_bytes())) as pdf:
        found = [
            length for page in pdf for length in (_grid(page) if "projector" in kind[1] else _bars(page))
        ]
        assert len(found) == len(pdf)
    assert found == [pytest.approx(100 / 25.4 * DPI, abs=1)] * len(found)


def _bars(page: Any) -> list[float]:
    """Pixels from end to end of the bars of a page, found by their words."""
    return [_bar(page, box) for box in _words(page, BAR)]


def _words(page: Any, words: str) -> list[tuple[float, float, float, float]]:
    """Left, bottom, right and top, in points from the bottom left corner, of words wherever they stand."""
    text = page.get_textpage()
    search, boxes = text.search(words), []
    while found := search.get_next():
        parts = [text.get_charbox(found[0] + i) for i in range(found[1])]
        low = [min(part[k] for part in parts) for k in (0, 1)]
        high = [max(part[k] for part in parts) for k in (2, 3)]
        boxes.append((*low, *high))
    return boxes


def _bar(page: Any, box: tuple[float, float, float, float]) -> float:
    """The words stand 3.2 mm under a level bar and as far to the right of an upright one."""
    left, bottom, right, top = (side * POINT for side in box)
    upright = top - bottom > right - left
    # 2 mm off the bar itself, where only the long ticks reach.
    if upright:
        across, middle = right - HANGING - 3.2 - 2.0, (bottom + top) / 2
        image = _seen(page, across - 0.2, middle - 52, across + 0.2, middle + 52)[:, 2]
    else:
        across, middle = bottom + HANGING + 3.2 + 2.0, (left + right) / 2
        image = _seen(page, middle - 52, across - 0.2, middle + 52, across + 0.2)[2]
    ticks = _runs(image)
    assert len(ticks) == 3, "the long ticks are at 0, 50 and 100 mm"
    return ticks[-1] - ticks[0]


def _grid(page: Any) -> list[float]:
    """A projector has no paper: its bar is ten squares of 10 mm, over the words."""
    left, bottom, _, top = max(_words(page, "100 mm"), key=lambda box: box[3] - box[1])
    level = (top + bottom) / 2 * POINT + 15
    lines = _runs(_seen(page, left * POINT - 2, level - 0.5, left * POINT + 102, level + 0.5)[5])
    assert len(lines) == 11
    return [lines[-1] - lines[0]]


def _seen(page: Any, left: float, bottom: float, right: float, top: float) -> np.ndarray:
    """A part of a page, mm from its bottom left corner, in greys."""
    width, height = page.get_size()
    crop = (left / POINT, bottom / POINT, width - right / POINT, height - top / POINT)
    image: np.ndarray = page.render(scale=DPI / 72, crop=crop, grayscale=True).to_numpy()
    return image[..., 0] if image.ndim == 3 else image


def _runs(row: np.ndarray) -> list[float]:
    """The middles of the dark runs of a row of pixels."""
    dark = np.flatnonzero(row < 128)
    return [float(run.mean()) for run in np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1) if len(run)]
