"""A recipe that is being worked on: edits and moved measures are answered as a run from nothing would."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from scye.driver import Compiler
from scye.ir.people import Body
from scye.live.draft import LiveDraft, with_measures
from scye.project import open_card, open_project, standards
from scye.render.pattern_json import Header, pattern_json
from scye.solve import kernels
from scye.units.quantity import INCH, Quantity

ROOT = Path(__file__).resolve().parents[3]
YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
HEADER = Header("", "", "")


@pytest.fixture(scope="module")
def wren() -> Body:
    body, _ = open_card(ROOT / "examples" / "cards" / "wren.yaml", standards()[0])
    assert body is not None
    return body


def from_nothing(recipe: Path, body: Body) -> bytes:
    compiler = Compiler(open_project(recipe))
    asked, _ = compiler.order(body, ())
    return pattern_json(list(compiler.patterns([asked], None, lambda _line: None)), HEADER)


def inches(size: str) -> Quantity:
    return Quantity(Fraction(size), INCH)


def test_a_moved_measure_gives_what_a_run_from_nothing_gives(wren):
    live = LiveDraft(YOKED)
    first = live.draw(wren)
    assert first.redrawn == {piece.name for piece in first.pattern.pieces}
    moved = with_measures(wren, {"waist": inches("29.5")})
    drawn = live.draw(moved)
    assert pattern_json([drawn.pattern], HEADER) == from_nothing(YOKED, moved)
    assert drawn.redrawn
    again = live.draw(moved)
    assert again.redrawn == frozenset()
    assert pattern_json([again.pattern], HEADER) == pattern_json([drawn.pattern], HEADER)


def test_an_edit_that_is_not_saved_is_drafted(wren, tmp_path):
    text = YOKED.read_text(encoding="utf-8")
    file = tmp_path / YOKED.name
    file.write_text(text, encoding="utf-8")
    live = LiveDraft(file)
    before = live.draw(wren)
    live.write(file, text.replace("choose ", "chose ", 1))
    broken = live.draw(wren)
    assert broken.pattern is None
    (fault,) = [d for d in broken.diagnostics if d.span is not None and d.span.text.startswith("chose")]
    assert fault.span.line == 1 + text[: text.index("choose ")].count("\n")
    live.write(file, None)
    assert pattern_json([live.draw(wren).pattern], HEADER) == pattern_json([before.pattern], HEADER)


def test_every_thing_of_a_pattern_is_found_in_the_text(wren):
    drawn = LiveDraft(YOKED).draw(wren)
    places, pattern = drawn.places, drawn.pattern
    for piece in pattern.pieces:
        assert places.pieces[piece.name].text == piece.name
        assert all((piece.name, edge.name) in places.edges for edge in piece.edges)
        assert all(dart.name in places.darts for dart in piece.darts)
    assert {seam.letter for seam in pattern.seams} == set(places.seams)
    assert {value.name for value in pattern.values} <= set(places.names)
    assert set(drawn.values) == {value.name for value in pattern.values}
    for proof in pattern.proofs:
        assert "prove" in places.proofs[proof.name].text


def test_a_choice_that_is_refused_is_said_where_it_was_made(wren):
    drawn = LiveDraft(YOKED).draw(replace(wren, choices=()), {"ease_of_bust": "very much"})
    assert drawn.diagnostics
    assert all("command line" not in d.seen() for d in drawn.diagnostics)


def test_a_measure_that_is_only_tried_holds_no_piece_back(wren):
    live = LiveDraft(YOKED)
    moved = with_measures(wren, {"waist": inches("30.5")})
    doubted = live.draw(moved)
    assert "E831" in {finding.code for finding in doubted.pattern.findings}
    tried = live.draw(moved, tried=frozenset({"waist"}))
    assert len(tried.pattern.pieces) == 5 > len(doubted.pattern.pieces)
    assert "E831" not in {finding.code for finding in tried.pattern.findings}
    assert tried.order.taped >= {"waist", "bust"}


def test_a_sound_recipe_is_compiled_though_the_body_lacks_a_measure(wren):
    bare = replace(wren, readings=tuple(r for r in wren.readings if r.name != "bust"))
    drawn = LiveDraft(YOKED).draw(bare)
    assert drawn.pattern is None
    assert drawn.compiled is not None


def test_changed_figures_are_drafted_as_from_nothing_and_only_what_they_reach_is_solved(
    wren, tmp_path, monkeypatch
):
    text = YOKED.read_text(encoding="utf-8")
    file = tmp_path / YOKED.name
    live = LiveDraft(file)
    counted: list[int] = []
    monkeypatch.setattr(kernels, "panel_edge", counting(kernels.panel_edge, counted))
    solved = []
    for share in ("9%", "8.5%", "7%", "6.25%"):
        edited = text.replace(
            "at waist_line take suppression * 8%", f"at waist_line take suppression * {share}"
        )
        counted.clear()
        live.write(file, edited)
        drawn = live.draw(wren)
        solved.append(len(counted))
        file.write_text(edited, encoding="utf-8")
        assert pattern_json([drawn.pattern], HEADER) == from_nothing(file, wren)
    # Each of three panel lines has two edges; a figure of one line reaches no other, but the first time all
    # are drawn, and again when the drafter sees that the same equations have come back.
    assert solved == [6, 6, 2, 2]


def counting(function: Callable[..., object], counted: list[int]) -> Callable[..., object]:
    def counts(*given: object) -> object:
        counted.append(1)
        return function(*given)

    return counts
