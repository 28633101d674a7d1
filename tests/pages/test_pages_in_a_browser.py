"""Every page of HTML that leaves the studio, looked at in a headless Chromium."""

from __future__ import annotations

import itertools
from collections import Counter
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from browser import DESKTOP, PHONE, looking, printed
from scye.cli.main import main
from workroom import ROOT

BODICE = str(ROOT / "recipes" / "saltmarsh-bodice")
SCOOPED = str(ROOT / "recipes" / "saltmarsh-bodice-scooped")
CARDS = ROOT / "examples" / "cards"
WREN = str(CARDS / "wren.yaml")
# Fitted, with a right and a left side; and a draft with failures and decisions.
DUNLIN, SANDERLING = str(CARDS / "dunlin-2026.yaml"), str(CARDS / "sanderling.yaml")

# What makes each page, and the page.
PAGES = {
    "proof": (["build", BODICE, "--body", WREN], "proof.html"),
    "lists": (["build", BODICE, "--body", WREN], "lists.html"),
    "proof-of-a-fitted-body": (
        ["build", str(ROOT / "recipes" / "yoked-bodice"), "--body", DUNLIN],
        "proof.html",
    ),
    "proof-of-a-held-draft": (["build", BODICE, "--body", SANDERLING], "proof.html"),
    "grade": (
        ["build", BODICE, "--chart", str(ROOT / "stdlib/charts/us-misses.yaml"), "--sizes", "10,12,14"],
        "grade.html",
    ),
    "lay": (["lay", BODICE, "--body", WREN, "--width", "44in"], "lay.html"),
    "lay-on-the-fold": (
        ["lay", str(ROOT / "recipes" / "yoked-bodice"), "--body", WREN, "--width", "58in", "--fold"],
        "lay.html",
    ),
    "lesson": (["lesson", BODICE, "--body", WREN], "lesson.html"),
    "changes": (["compare", BODICE, SCOOPED, "--body", WREN], "changes.html"),
}


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every page, made once; runs of the same command share a folder."""
    made: dict[str, Path] = {}
    for command, group in itertools.groupby(PAGES.items(), key=lambda item: item[1][0]):
        folder = tmp_path_factory.mktemp("pages") / "out"
        assert main([*command, "--out", str(folder), "--quiet"]) == (1 if SANDERLING in command else 0)
        made |= {name: folder / file for name, (_, file) in group}
    return made


# Layout hangs on the width alone and colours on light or dark alone, so each is looked at once.
@pytest.mark.parametrize(("size", "dark"), [(PHONE, True), (DESKTOP, False)], ids=["phone", "desktop"])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_can_be_read(
    chromium: Any, pages: dict[str, Path], name: str, size: tuple[int, int], dark: bool
) -> None:
    with looking(chromium, size, dark) as look:
        look.page.goto(pages[name].as_uri())
        assert look.sideways() == 0
        assert look.cut_off() == []
        assert look.faults() == []
        assert look.complaints == []
        assert look.elsewhere(pages[name].as_uri()) == []


# All words of the page but those of its drawings.
SHOWN = """() => {
  const drawings = [...document.querySelectorAll('svg')];
  drawings.forEach(svg => svg.style.visibility = 'hidden');
  const words = document.body.innerText;
  drawings.forEach(svg => svg.style.visibility = '');
  return words;
}"""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_prints_whole(
    chromium: Any, pages: dict[str, Path], tmp_path: Path, name: str, paper: str
) -> None:
    """Every word of the page is on the paper, within its margins, and no heading stands last on a sheet."""
    with looking(chromium) as look:
        look.page.goto(pages[name].as_uri())
        look.page.emulate_media(media="print")
        drawn = look.page.evaluate("[...document.querySelectorAll('svg text')].map(t => t.textContent)")
        shown = look.page.evaluate(SHOWN)
        headings = look.page.evaluate(
            "[...document.querySelectorAll('h2, h3, caption')].map(h => h.innerText)"
        )
        path = printed(look, tmp_path / "printed.pdf", paper)
    sheets = list(pypdfium2.PdfDocument(path))
    words = [word for sheet in sheets for word in sheet.get_textpage().get_text_range().split()]
    assert Counter(shown.split()) - Counter(words) == Counter()
    # Words that are turned come back letter by letter.
    together = "".join(words)
    assert [text for text in drawn if "".join(text.split()) not in together] == []
    assert [_last(sheet) for sheet in sheets if _last(sheet) in headings] == []
    assert [box for sheet in sheets for box in _beyond(sheet)] == []


def _boxes(sheet: Any) -> list[tuple[float, float, float, float]]:
    """Left, bottom, right and top of each run of text, points."""
    text = sheet.get_textpage()
    return [text.get_rect(i) for i in range(text.count_rects())]


def _last(sheet: Any) -> str:
    """The lowest line of text."""
    _, bottom, _, top = min(_boxes(sheet), key=lambda box: box[1])
    return str(sheet.get_textpage().get_text_bounded(bottom=bottom, top=top)).strip()


def _beyond(sheet: Any) -> list[tuple[float, ...]]:
    """The runs of text that lie within 10 mm of an edge of the paper."""
    (width, height), edge = sheet.get_size(), 10 * 72 / 25.4
    return [b for b in _boxes(sheet) if min(b[0], b[1], width - b[2], height - b[3]) < edge]
