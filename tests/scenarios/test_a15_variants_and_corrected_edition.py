"""A15: one recipe with three yokes, laced or zipped, in six sizes; and its corrected second edition.

In edition 1 the back notch of the armhole is 1/2 in low in sizes 41 and 44, and the lining of the curved yoke
has no ease.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from scye.compare.compare import compare
from scye.compare.documents import Document, read_document
from scye.compare.shapes import shifted
from scye.driver import Drafted, draft, run_build
from scye.editions import run_compare
from scye.ir.comparison import Comparison
from scye.ir.pattern import Pattern
from scye.ir.requests import BuildRequest, CompareRequest, ExitCode
from scye.render.pattern_json import Header, pattern_json

HERE = Path(__file__).parent / "corrected"
OLD, NEW, CHART = HERE / "edition-1.scye", HERE / "edition-2.scye", HERE / "sizes.yaml"
SIZES = ("32", "34", "36", "38-half", "41", "44")
WRONG = ("41", "44")
INCH = 25.4


def quiet(_line: str) -> None:
    pass


def drafted(recipe: Path, **choices: str) -> list[Pattern]:
    request = BuildRequest(recipe, (), CHART, (), tuple(choices.items()), None, Path())
    found = draft(request, quiet)
    assert isinstance(found, Drafted), found
    return found.patterns


def document(patterns: list[Pattern]) -> Document:
    found = read_document(
        pattern_json(patterns, Header("", patterns[0].recipe, patterns[0].edition)).decode()
    )
    assert isinstance(found, Document)
    return found


def compared(**choices: str) -> Comparison:
    found = compare(document(drafted(OLD, **choices)), document(drafted(NEW, **choices)))
    assert found is not None
    return found


@pytest.fixture(scope="module")
def curved() -> tuple[list[Pattern], list[Pattern]]:
    return drafted(OLD), drafted(NEW)


# --- the list of changes ------------------------------------------------------------------------


def test_the_list_says_which_pieces_and_sizes_moved_where_and_by_how_much(tmp_path: Path):
    request = CompareRequest(OLD, NEW, (), CHART, (), (), None, tmp_path / "out")
    outcome = run_compare(request, quiet)
    assert outcome.exit_code is ExitCode.GOOD
    assert outcome.lines == (
        "Saltmarsh, yoked, edition 1 -> edition 2",
        "  Side back and Sleeve, sizes 41 and 44: double notch moved up 1/2 in.",
        "  Curved yoke lining, all sizes: +1/8 in at lining side.",
        "  Lining ease, all sizes: 1/8 in (was 0 in).",
        "  All other pieces are identical to edition 1: Front, Centre back and Yoke.",
        "  To print again: Side back and Sleeve (sizes 41 and 44); Curved yoke lining (all sizes).",
    )


def test_who_bought_the_straight_yoke_prints_no_lining():
    found = compared(yoke="straight")
    assert [line.text for line in found.pieces] == [
        "Side back and Sleeve, sizes 41 and 44: double notch moved up 1/2 in."
    ]
    assert [line.alone for line in found.to_print] == ["Side back and Sleeve (sizes 41 and 44)"]


def test_who_bought_it_without_a_yoke_prints_nothing():
    found = compared(yoke="none", closing="zipped")
    assert found.pieces == ()
    assert found.to_print == ()
    assert found.kept == "All pieces are identical to edition 1."


# --- and they are -------------------------------------------------------------------------------


def test_all_other_pieces_are_identical_to_the_byte(curved: tuple[list[Pattern], list[Pattern]]):
    old, new = (
        {body["body"]: {p["name"]: p for p in body["pieces"]} for body in bodies}
        for bodies in (
            json.loads(pattern_json(patterns, Header("", "", "")))["bodies"] for patterns in curved
        )
    )
    changed = {
        (size, name)
        for size in SIZES
        for name in new[size]
        if json.dumps(old[size][name]) != json.dumps(new[size][name])
    }
    lining = {(size, "yoke_lining") for size in SIZES}
    notches = {(size, name) for size in WRONG for name in ("side_back", "sleeve_piece")}
    assert changed == lining | notches
    for size, name in notches:  # only the notch moved, not the line
        assert old[size][name]["net"] == new[size][name]["net"]
        assert old[size][name]["cutting"] == new[size][name]["cutting"]


def test_the_sleeves_notch_moves_with_the_bodys(curved: tuple[list[Pattern], list[Pattern]]):
    for before, after in zip(*curved, strict=True):
        for piece in ("side_back", "sleeve_piece"):
            was, now = (
                next(n.along for p in pattern.pieces if p.name == piece for n in p.notches if n.strokes == 2)
                for pattern in (before, after)
            )
            moved = INCH / 2 if before.body in WRONG else 0.0
            assert abs(now - was) == pytest.approx(moved, abs=0.01)


def test_every_seam_walks_in_both_editions(curved: tuple[list[Pattern], list[Pattern]]):
    for patterns in curved:
        assert [p.body for p in patterns] == list(SIZES)
        assert {seam.verdict for p in patterns for seam in p.seams} == {"walks true"}


def test_the_lining_is_let_out_by_its_ease(curved: tuple[list[Pattern], list[Pattern]]):
    """All along the armhole, which lies a little off plumb."""
    old, new = map(document, curved)
    for size in SIZES:
        was, now = (d.bodies[size].pieces["yoke_lining"] for d in (old, new))
        side = next(edge.path.points for edge in now.edges if edge.name == "lining_side")
        shift = shifted(was, "lining_side", side)
        assert shift is not None
        assert shift.least == pytest.approx(INCH / 8, abs=0.15)
        assert shift.most == pytest.approx(INCH / 8, abs=0.02)


# --- choices change everything together ---------------------------------------------------------


@pytest.mark.parametrize(
    ("yoke", "pieces"),
    [
        ("none", ["Front", "Centre back", "Side back"]),
        ("straight", ["Front", "Centre back", "Side back", "Yoke", "Sleeve", "Straight yoke lining"]),
        ("curved", ["Front", "Centre back", "Side back", "Yoke", "Sleeve", "Curved yoke lining"]),
    ],
)
def test_pieces_and_joins_follow_the_yoke(yoke: str, pieces: list[str]):
    (pattern, *_) = drafted(NEW, yoke=yoke)
    assert [p.title for p in pattern.pieces] == pieces
    assert len(pattern.seams) == (2 if yoke == "none" else 6)


def test_what_is_zipped_lists_no_eyelets():
    for closing, words, width in (("laced", "Eyelets", 1.0), ("zipped", "Zip", 0.75)):
        (pattern, *_) = drafted(NEW, closing=closing)
        back = next(p for p in pattern.pieces if p.name == "centre_back")
        (label,) = back.labels
        assert label.startswith(words)
        edge = next(e for e in back.edges if e.name == "centre_back")
        assert [run.width for run in edge.allowances] == pytest.approx([width * INCH])


# --- on paper -----------------------------------------------------------------------------------


def test_the_edition_stands_on_every_sheet(tmp_path: Path):
    import pypdfium2

    for recipe, edition in ((OLD, "edition 1"), (NEW, "edition 2")):
        out = tmp_path / edition
        request = BuildRequest(recipe, (), CHART, ("41",), (), None, out)
        assert run_build(request, quiet).exit_code is ExitCode.GOOD
        svg = (out / "pieces.svg").read_text(encoding="utf-8")
        assert svg.count(edition) >= 6
        for name in ("sheet.pdf", "tiles-a4.pdf", "tiles-letter.pdf"):
            with pypdfium2.PdfDocument(out / name) as pages:
                texts = [page.get_textpage().get_text_range() for page in pages]
            assert [i for i, text in enumerate(texts) if edition not in text] == []


def test_buyers_get_only_the_pages_that_changed(tmp_path: Path):
    out = tmp_path / "out"
    request = CompareRequest(OLD, NEW, (), CHART, ("38-half", "41"), (("yoke", "straight"),), None, out)
    outcome = run_compare(request, quiet)
    assert outcome.files == (
        "changes.html",
        "changed-41-sheet.pdf",
        "changed-41-tiles-a4.pdf",
        "changed-41-tiles-letter.pdf",
    )
    page = (out / "changes.html").read_text(encoding="utf-8")
    assert "Side back and Sleeve</span>, size 41: double notch moved up 1/2 in." in page
    assert page.count("<figure>") == 2
