"""Every page of HTML that leaves the studio, looked at in a headless Chromium."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import pytest

from browser import DESKTOP, PHONE, looking
from scye.cli.main import main
from workroom import ROOT

BODICE = str(ROOT / "recipes" / "saltmarsh-bodice")
SCOOPED = str(ROOT / "recipes" / "saltmarsh-bodice-scooped")
WREN = str(ROOT / "examples" / "cards" / "wren.yaml")

# What makes each page, and the page.
PAGES = {
    "proof": (["build", BODICE, "--body", WREN], "proof.html"),
    "lists": (["build", BODICE, "--body", WREN], "lists.html"),
    "grade": (
        ["build", BODICE, "--chart", str(ROOT / "stdlib/charts/us-misses.yaml"), "--sizes", "10,12,14"],
        "grade.html",
    ),
    "lay": (["lay", BODICE, "--body", WREN, "--width", "44in"], "lay.html"),
    "lesson": (["lesson", BODICE, "--body", WREN], "lesson.html"),
    "changes": (["compare", BODICE, SCOOPED, "--body", WREN], "changes.html"),
}


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every page, made once; runs of the same command share a folder."""
    made: dict[str, Path] = {}
    for command, group in itertools.groupby(PAGES.items(), key=lambda item: item[1][0]):
        folder = tmp_path_factory.mktemp("pages") / "out"
        assert main([*command, "--out", str(folder), "--quiet"]) == 0
        made |= {name: folder / file for name, (_, file) in group}
    return made


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
@pytest.mark.parametrize("name", PAGES)
def test_a_page_can_be_read(
    chromium: Any, pages: dict[str, Path], name: str, size: tuple[int, int], dark: bool
) -> None:
    with looking(chromium, size, dark) as look:
        look.page.goto(pages[name].as_uri())
        assert look.sideways() == 0
        assert look.cut_off() == []
        assert look.complaints == []
        assert look.elsewhere(pages[name].as_uri()) == []
