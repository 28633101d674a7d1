"""The live page: a slider moved, till its answer can be sent; a recipe saved, till the browser shows it."""

from __future__ import annotations

import json
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from measuring import ROOT, Result

from scye.ir.serving import ServeRequest
from scye.serve.desk import Desk
from scye.serve.seat import Seat
from scye.serve.wishes import Draw

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "live")]

YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
WREN = ROOT / "examples" / "cards" / "wren.yaml"
DRAGS = 150
WHOLE = 40
SAVES = 15
REST = 0.3  # s between two saves, as nobody saves faster

# Notes when a frame is shown after the first piece's line was changed, in ms since 1970.
WATCH = """() => {
  window.shown = [];
  const line = document.querySelector('#paper .piece .edge');
  const now = () => performance.timeOrigin + performance.now();
  const note = () => requestAnimationFrame(() => setTimeout(() => shown.push(now())));
  new MutationObserver(note).observe(line, { attributes: true });
}"""


def run() -> Iterator[Result]:
    yield from dragged()
    yield from in_the_browser()


def dragged() -> Iterator[Result]:
    """The waist dragged to and fro by a millimetre, from the wish to the text of its answer."""
    seat = Seat(Desk(ServeRequest(YOKED, (WREN,), None, (), (), None)))
    list(seat.arrive())
    held = sorted([_answered(seat, number, True) for number in range(DRAGS + 10)][10:])
    whole = sorted([_answered(seat, number, False) for number in range(DRAGS, DRAGS + WHOLE + 5)][5:])
    median, late, rest = held[len(held) // 2], held[int(len(held) * 0.95)], whole[len(whole) // 2]
    yield Result("a slider held on the page, median", median * 1000, "ms", None, 16, {"median": median})
    yield Result("a slider held on the page, 95 of 100", late * 1000, "ms", None, 40, {"95 of 100": late})
    yield Result("each drawing of it whole, median", rest * 1000, "ms", None, 40, {"median": rest})


def _answered(seat: Seat, number: int, held: bool) -> float:
    """The time, s, that one place of the slider takes: its lines alone while it is held."""
    waist = 700 + abs(number % 60 - 30)
    begin = time.perf_counter()
    answer = seat.answer(Draw(number, "wren", (("waist", f"{waist}.5 mm"),), (), (), "in", held))
    text = [json.dumps(message, separators=(",", ":")) for message in answer]
    taken = time.perf_counter() - begin
    assert f'"is":"{"lines" if held else "drawing"}"' in text[-1]
    return taken


def in_the_browser() -> Iterator[Result]:
    """A recipe saved in an editor, and a slider moved, till the frame is shown. Nothing without a browser."""
    from _pytest.outcomes import Skipped
    from served import serving

    from browser import browser

    text = YOKED.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        recipe = Path(folder) / YOKED.name
        recipe.write_text(text, encoding="utf-8")
        try:
            with serving(recipe, "--body", WREN) as served, browser() as chromium:
                page = chromium.new_page(viewport={"width": 1366, "height": 850})
                page.goto(served.url)
                page.locator("#paper .dot").first.wait_for(state="attached")
                page.evaluate(WATCH)
                yield from _timed(page, recipe, text)
        except Skipped as why:
            print(f"not measured in a browser: {why}", file=sys.stderr)


def _timed(page: Any, recipe: Path, text: str) -> Iterator[Result]:
    def save(number: int) -> float:
        changed = text.replace("choose ease = 1 1/2 in", f"choose ease = {1 + number % 2} 1/4 in")
        recipe.write_text(changed, encoding="utf-8")
        return time.time() * 1000

    def slide(number: int) -> float:
        return float(
            page.evaluate(
                "n => { const now = performance.timeOrigin + performance.now();"
                " const s = document.querySelectorAll('#measures input[type=range]')[1];"
                " s.value = 40 + n; s.dispatchEvent(new Event('input')); return now; }",
                number,
            )
        )

    saved, slid = (_median(page, change) for change in (save, slide))
    yield Result("saved to picture in the browser", saved * 1000, "ms", None, 150, {"save": saved})
    yield Result("slider to picture in the browser", slid * 1000, "ms", None, 150, {"slide": slid})


def _median(page: Any, change: Callable[[int], float]) -> float:
    """The median time, s, from a change to the frame that shows it."""
    taken = []
    for number in range(SAVES):
        before = page.evaluate("shown.length")
        begin = change(number)
        while page.evaluate("shown.length") == before:
            time.sleep(0.005)
        taken.append(page.evaluate("shown.at(-1)") - begin)
        time.sleep(REST)
    return statistics.median(taken[2:]) / 1000
