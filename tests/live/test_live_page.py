"""The live page in a browser: dragged, read, mended and printed from; with other eyes and hands too."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from served import CARDS, ROOT, Served, serving

from browser import DESKTOP, PHONE, Look, looking

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
MISSES = ROOT / "stdlib" / "charts" / "us-misses.yaml"
WIDE = (1366, 850)

# Notes what the page asks for, and every class that an element of the drawing comes to have.
LISTEN = """() => {
  window.kinds = [];
  window.seen = [];
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (text) { kinds.push(JSON.parse(text)); send.call(this, text); };
  const note = changes => changes.forEach(change => seen.push(change.target.getAttribute('class')));
  const looked = { attributes: true, attributeFilter: ['class'], subtree: true };
  new MutationObserver(note).observe(document.querySelector('#paper'), looked);
}"""


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """The yoked bodice with a panel line that takes too much: a finding to mend."""
    text = YOKED.read_text(encoding="utf-8")
    assert "at most 2 in" in text
    file = tmp_path / "yoked-bodice" / "yoked-bodice.scye"
    file.parent.mkdir()
    file.write_text(text.replace("at most 2 in", "at most 1/8 in"), encoding="utf-8")
    return file


@contextmanager
def opened(chromium: Any, page: Served, size: tuple[int, int] = WIDE, dark: bool = False) -> Iterator[Look]:
    with looking(chromium, size, dark) as look:
        look.page.goto(page.url)
        look.page.locator("#paper .piece .dot").first.wait_for(state="attached")
        yield look
        assert look.complaints == []
        assert look.elsewhere(page.home) == []


def soon(said: Callable[[], Any], seconds: float = 20.0) -> Any:
    """What is said as soon as it is true of anything; the page allows no test to wait inside of it."""
    end = time.monotonic() + seconds
    while not (found := said()) and time.monotonic() < end:
        time.sleep(0.02)
    return found


def outline(look: Look, piece: str) -> str:
    return str(look.page.locator(f"#paper .piece[aria-label^='{piece}'] .cut").get_attribute("d"))


def test_drag_read_mend_and_print(chromium, recipe, tmp_path):
    with (
        serving(recipe, "--body", CARDS / "wren.yaml", where=tmp_path) as served,
        opened(chromium, served) as look,
    ):
        page = look.page
        # Drag a measure with the mouse, and see the piece move.
        before = outline(look, "Centre front")
        slider = page.get_by_role("slider", name="Waist", exact=True)
        box = slider.bounding_box()
        page.mouse.move(box["x"] + box["width"] * 0.35, box["y"] + box["height"] / 2)
        page.mouse.down()
        for share in range(36, 50):
            page.mouse.move(box["x"] + box["width"] * share / 100, box["y"] + box["height"] / 2)
        page.mouse.up()
        assert soon(lambda: outline(look, "Centre front") != before)
        assert slider.get_attribute("aria-valuetext").endswith(" in")
        page.get_by_role("button", name="Waist: back to what it was").click()
        assert soon(lambda: outline(look, "Centre front") == before)

        # Read a finding beside the piece and in the list, and follow it to its line.
        finding = page.locator("#findings-in li.caution")
        assert "the panel line takes" in finding.inner_text()
        lines = recipe.read_text(encoding="utf-8").splitlines()
        line = next(number for number, said in enumerate(lines, 1) if said.startswith('keep "the panel'))
        assert page.locator("#gutter .caution").inner_text().split()[-1] == str(line)
        finding.get_by_role("button", name=f"Go to line {line}").click()
        text = page.get_by_role("textbox", name="yoked-bodice.scye")
        assert page.evaluate("document.activeElement.id") == "text"
        chosen = text.evaluate("e => e.value.slice(e.selectionStart, e.selectionEnd)")
        assert chosen.startswith('keep "the panel line takes"')

        # Mend it where the line is selected; nothing is written until it is saved.
        page.keyboard.insert_text(chosen.replace("1/8 in", "2 in"))
        assert soon(lambda: page.locator("#findings-in").inner_text() == "Nothing to put right.")
        assert "1/8 in" in recipe.read_text(encoding="utf-8")
        page.get_by_role("button", name="Save", exact=True).click()
        assert soon(lambda: "at most 2 in" in recipe.read_text(encoding="utf-8"))
        assert soon(lambda: page.locator("#saved").inner_text().startswith("saved in"))

        # Save the PDF.
        page.locator("#tabs").get_by_role("button", name="Files").click()
        with page.expect_download() as waiting:
            page.get_by_role("button", name="A4 pages to join").click()
        assert waiting.value.suggested_filename == "yoked-bodice-wren-tiles-a4.pdf"
        assert Path(waiting.value.path()).read_bytes().startswith(b"%PDF-")


def test_while_a_slider_is_held_only_lines_are_shown(chromium):
    """The marks of a piece that moves are hidden till it rests, held or let go; then all of it is there."""
    with serving(YOKED, "--body", CARDS / "wren.yaml") as served, opened(chromium, served) as look:
        page = look.page
        page.evaluate(LISTEN)
        before = outline(look, "Centre front")
        slider = page.get_by_role("slider", name="Waist", exact=True)
        box = slider.bounding_box()
        page.mouse.move(box["x"] + box["width"] * 0.35, box["y"] + box["height"] / 2)
        page.mouse.down()
        for share in range(36, 44):
            page.mouse.move(box["x"] + box["width"] * share / 100, box["y"] + box["height"] / 2)
        # It is held still, and not let go: all is drawn again.
        assert soon(lambda: page.evaluate("kinds.filter(k => k.do === 'draw').at(-1).held === false"))
        assert soon(lambda: page.locator("#paper .piece.held").count() == 0)
        assert outline(look, "Centre front") != before
        page.mouse.up()
        asked = page.evaluate("kinds.filter(k => k.do === 'draw').map(k => k.held)")
        assert asked[0] is True
        assert any("held" in (seen or "").split() for seen in page.evaluate("seen"))
        notch = page.locator("#paper .piece[aria-label^='Centre front'] .notch").first
        assert notch.evaluate("e => getComputedStyle(e).visibility") == "visible"


def test_a_file_saved_elsewhere_is_drawn_and_an_error_keeps_the_last_drawing(chromium, recipe):
    with (
        serving(recipe, "--body", CARDS / "wren.yaml") as served,
        opened(chromium, served, DESKTOP) as look,
    ):
        page, text = look.page, recipe.read_text(encoding="utf-8")
        before = outline(look, "Centre front")
        recipe.write_text(text.replace("choose ease = 1 1/2 in", "choose ease = 3 in"), encoding="utf-8")
        assert soon(lambda: outline(look, "Centre front") != before)
        wider = outline(look, "Centre front")
        recipe.write_text(text.replace("draft front", "drafft front"), encoding="utf-8")
        assert soon(lambda: page.evaluate("document.body.className") == "stale")
        assert outline(look, "Centre front") == wider
        error = page.locator("#findings-in li.error").first
        number = text.splitlines().index("draft front") + 1
        assert error.get_by_role("button", name=f"Go to line {number}").is_visible()
        shown = page.locator("#paper .piece").first
        assert soon(lambda: float(shown.evaluate("e => getComputedStyle(e).opacity")) < 0.6)
        # A mistake that has its reason on another line leads there as well.
        made = len(text.splitlines()) + 1
        recipe.write_text(f"{text}depth = 24\ndrop = waist + depth\n", encoding="utf-8")
        assert soon(lambda: "depth what? The pieces" in page.locator("#summary").inner_text())
        error.get_by_role("button", name=f"Line {made}: made here").click()
        chosen = "e => e.value.slice(0, e.selectionStart).split('\\n').length"
        assert page.locator("#text").evaluate(chosen) == made
        recipe.write_text(text, encoding="utf-8")
        assert soon(lambda: page.evaluate("document.body.className") != "stale")
        assert outline(look, "Centre front") == before


def test_everything_can_be_done_from_the_keyboard(chromium, tmp_path):
    with (
        serving(YOKED, "--body", CARDS / "wren.yaml", "--chart", MISSES, "--sizes", "12,14") as served,
        opened(chromium, served) as look,
    ):
        page, press = look.page, look.page.keyboard.press
        page.locator("#darts").focus()
        press("End")
        assert page.locator("#darts").get_attribute("aria-valuetext") == "closed"
        press("Tab")  # to what may be laid over
        press("Enter")
        page.get_by_role("checkbox", name="14").focus()
        press("Space")
        assert soon(lambda: page.locator("#paper .under.u2").count() == 5)
        press("Escape")
        press("Tab")  # the pieces are one stop; the arrow keys go on from there
        label = page.evaluate("document.activeElement.getAttribute('aria-label')")
        assert label.startswith("cf seam, right edge, ")
        assert label.endswith(", Centre front")
        press("ArrowDown")
        press("ArrowRight")
        assert page.evaluate("document.activeElement.getAttribute('aria-label')").endswith(", Side front")
        slip = page.locator("#slip")
        assert soon(lambda: "Go to line" in slip.inner_text())
        assert soon(lambda: "Along it from" in slip.inner_text())
        press("Enter")
        assert soon(lambda: page.evaluate("document.activeElement.id") == "text")
        press("Escape")
        assert page.evaluate("document.activeElement.getAttribute('aria-label')").endswith(", Side front")


def test_a_tape_is_laid_between_two_places_that_are_pointed_at(chromium):
    with (
        serving(YOKED, "--body", CARDS / "wren.yaml") as served,
        opened(chromium, served) as look,
    ):
        page = look.page
        page.get_by_role("button", name="Tape").click()
        edge = page.locator("#paper path.hit[aria-label^='side, '][aria-label$='Back']")
        places = edge.evaluate(
            "e => [0.2, 0.7].map(s => { const p = e.getPointAtLength(e.getTotalLength() * s)"
            ".matrixTransform(e.getScreenCTM()); return [p.x, p.y]; })"
        )
        for x, y in places:
            page.mouse.click(x, y)
        whole = edge.get_attribute("aria-label").split(", ")[1]
        said = soon(lambda: (t := page.locator(".tape-row output").inner_text()).endswith(" in") and t)
        assert abs(inches(said) - inches(whole) / 2) < 1 / 4
        assert page.locator("#paper .tape[d^=M]").count() == 1


def inches(text: str) -> float:
    """`9 7/8 in` as a number."""
    return float(sum(Fraction(part) for part in text.removesuffix(" in").split(" ")))


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, WIDE], ids=["phone", "desktop"])
def test_no_fault_for_other_eyes_and_hands(chromium, recipe, size, dark):
    """With a finding shown, a thing chosen and each part open; then with an error."""
    with (
        serving(recipe, "--body", CARDS / "wren.yaml", "--chart", MISSES, "--sizes", "12") as served,
        opened(chromium, served, size, dark) as look,
    ):
        page = look.page
        page.locator("#paper path.hit").first.focus()
        assert soon(lambda: "Along it from" in page.locator("#slip").inner_text())
        for tab in page.locator("#tabs button:visible").all():
            tab.click()
            assert look.faults() == []
            assert look.sideways() == 0
        page.locator("#under-d summary").click()
        page.locator("#under input").first.check()
        for details in page.locator("#findings details summary").all():
            details.evaluate("e => e.click()")
        assert look.faults() == []
        text = page.locator("#text")
        text.evaluate(
            "e => { e.value = e.value.replace('draft', 'drift'); e.dispatchEvent(new Event('input')); }"
        )
        assert soon(lambda: page.evaluate("document.body.className") == "stale")
        assert look.faults() == []
