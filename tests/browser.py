"""Pages of HTML looked at in a headless Chromium, as a phone, a desktop and a printer show them.

`browser()` starts one, or skips the test with the reason. The `chromium` fixture keeps it for a module: no
longer, since the driver holds an event loop that other tests may want for themselves.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

# Widths in CSS px, with a height as such a screen has.
PHONE = (390, 844)
DESKTOP = (1280, 900)

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


def executable() -> str:
    """Where the system's Chromium is; skips the test that asks if there is none."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("no chromium on this machine: install Debian's package of that name")
    return found


@contextmanager
def browser() -> Iterator[Any]:
    """A browser of playwright's, closed at the end."""
    api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    where = executable()
    with api.sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=where, args=list(FLAGS))
        try:
            yield started
        finally:
            started.close()


@dataclass
class Look:
    """A page as it is shown, with what it fetched and what it complained of so far."""

    page: Any
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def elsewhere(self, home: str) -> list[str]:
        """What it asked for that does not begin with `home`, the address of the page or its server."""
        inline = ("data:", "blob:", "about:")
        return [url for url in self.requests if not url.startswith((home, *inline))]

    def sideways(self) -> int:
        """How many px the page as a whole scrolls sideways."""
        return int(
            self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        )

    def cut_off(self) -> list[str]:
        """The texts that stand outside what is shown, or can be scrolled to, of the boxes they are in."""
        found: list[str] = self.page.evaluate(CUT_OFF)
        return found

    def faults(self) -> list[str]:
        """What axe-core finds wrong for readers with other eyes, hands or tools, each with its place."""
        axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe is not installed")
        results = axe.Axe().run(self.page).response
        return [
            f"{fault['id']}: {fault['help']}: {node['html'][:160]}"
            for fault in results["violations"]
            for node in fault["nodes"]
        ]


@contextmanager
def looking(chromium: Any, size: tuple[int, int] = DESKTOP, dark: bool = False) -> Iterator[Look]:
    """A fresh page of the width and height, that keeps what it fetches and complains of."""
    context = chromium.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if dark else "light"
    )
    look = Look(context.new_page())
    look.page.on("request", lambda request: look.requests.append(request.url))
    look.page.on("console", lambda message: _complaint(look, message))
    look.page.on("pageerror", lambda error: look.complaints.append(str(error)))
    try:
        yield look
    finally:
        context.close()


def _complaint(look: Look, message: Any) -> None:
    if message.type in ("error", "warning"):
        place = urlsplit(message.location.get("url", "")).path
        look.complaints.append(f"{message.type}: {message.text} ({place})")


def printed(look: Look, path: Path, paper: str = "A4") -> Path:
    """The page printed to a PDF, on the paper and with the margins that its own style asks for, if any."""
    look.page.pdf(path=str(path), format=paper, prefer_css_page_size=True)
    return path


# A text is cut off if part of it lies beyond a box that hides what runs over, or beyond the sides of the
# page with no box about it that scrolls. What is clipped away on purpose, for screen readers, is not asked.
CUT_OFF = """() => {
  const found = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const width = document.documentElement.clientWidth;
  while (walker.nextNode()) {
    const node = walker.currentNode;
    if (!node.data.trim() || node.parentElement.closest('script, style, template, title, desc')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width < 1 || box.height < 1) continue;
      let scrolls = false, hidden = false, aside = false;
      for (let at = node.parentElement; at && at !== document.documentElement; at = at.parentElement) {
        const style = getComputedStyle(at), edge = at.getBoundingClientRect();
        if (style.clipPath !== 'none' || edge.width <= 1) { aside = true; break; }
        if (['auto', 'scroll'].includes(style.overflowX)) { scrolls = true; break; }
        if (['hidden', 'clip'].includes(style.overflowX) && at.localName !== 'svg'
            && (box.right > edge.right + 1 || box.left < edge.left - 1)) hidden = true;
        if (at.localName === 'svg' && style.overflow !== 'visible'
            && (box.right > edge.right + 1 || box.left < edge.left - 1
                || box.bottom > edge.bottom + 1 || box.top < edge.top - 1)) hidden = true;
      }
      if (!aside && (hidden || (!scrolls && (box.left < -1 || box.right > width + 1)))) {
        found.push(node.data.trim().slice(0, 60));
        break;
      }
    }
  }
  return found;
}"""
