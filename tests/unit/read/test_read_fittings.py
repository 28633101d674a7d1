"""The `fittings` of a card: what is read, and what is said of every slip with its place."""

from __future__ import annotations

import pytest

from scye.ir.people import Catalogue
from scye.read.cards import read_card
from scye.source import Source
from scye.units.quantity import INCH

HEAD = "client: wren\ndate: 2024-03-05\nunit: in\nmeasures: {waist: 28}\n"
FITTING = (
    HEAD + "fittings:\n  - date: 2025-03-03\n    by: Studio\n    over: toile\n    corrections:\n      - "
)


def read(text: str, catalogue: Catalogue) -> tuple[object, list[tuple[str, str, int]]]:
    body, found = read_card(Source("wren.yaml", text), catalogue)
    return body, [(d.code, d.seen(), d.span.line if d.span else 0) for d in found]


def test_a_correction_is_read_as_it_is_written(catalogue: Catalogue) -> None:
    row = "{take_in: 3/8, seam: C, at: waist, nothing_at: [underarm, hip], side: right, why: loose}"
    body, found = read_card(Source("wren.yaml", FITTING + row + "\n"), catalogue)
    assert body is not None
    assert found == []
    (fitting,) = body.fittings
    (c,) = fitting.corrections
    assert (fitting.date, fitting.by, fitting.over) == ("2025-03-03", "Studio", "toile")
    assert (c.verb, c.seam, c.at, c.nothing_at, c.side, c.why) == (
        "take in", "C", "waist", ("underarm", "hip"), "right", "loose",
    )  # fmt: skip
    assert c.amount == pytest.approx(9.525)
    assert c.written.unit is INCH


@pytest.mark.parametrize(
    ("row", "code", "seen"),
    [
        ("{seam: C, at: waist}", "E1201", "this correction says nothing to do"),
        ("{take_in: 1/4, drop: 1/4, seam: C, at: waist}", "E1201", "says `take_in` and `drop`"),
        ("{take_in: 0, seam: C, at: waist}", "E1202", "`0` is nothing to move"),
        ("{take_in: -1/4, seam: C, at: waist}", "E1202", "`-1/4` is nothing to move"),
        ("{take_in: 5 deg, seam: C, at: waist}", "E1202", "`5 deg` is no length"),
        ("{take_in: 12, seam: C, at: waist}", "E1202", "`12` is more than a fitting corrects"),
        ("{take_in: 2, seam: C, at: waist}", "E1206", "2 in is much for one seam"),
        ("{take_in: some, seam: C, at: waist}", "E817", "some"),
        ("{take_in: 1/4, seam: C, at: waist, side: front}", "E1203", "`front` is no side"),
        ("{take_in: 1/4, at: waist}", "E1204", "this correction names no seam and no edge"),
        ("{take_in: 1/4, seam: C, edge: side, at: waist}", "E1204", "names both a seam and an edge"),
        ("{take_in: 1/4, seam: C}", "E812", "the correction doesn't say `at`"),
        ("{take_in: 1/4, seam: C, at: waist, nothing_at: [a, b, c]}", "E1205", "names more than two"),
        ("{take_in: 1/4, seam: C, at: all along, nothing_at: hip}", "E1205", "means nothing where"),
        ("{takein: 1/4, seam: C, at: waist}", "E811", "`takein`"),
    ],
)  # fmt: skip
def test_every_slip_is_said_with_its_place(catalogue: Catalogue, row: str, code: str, seen: str) -> None:
    _, found = read(FITTING + row + "\n", catalogue)
    (text, line) = next((text, line) for told, text, line in found if told == code)
    assert seen in text
    assert line == 10


@pytest.mark.parametrize("date", ["3 March", "2025-02-30", "'2025'"])
def test_a_fitting_has_a_day(catalogue: Catalogue, date: str) -> None:
    text = FITTING.replace("2025-03-03", date) + "{take_in: 1/4, seam: C, at: waist}\n"
    body, found = read(text, catalogue)
    assert body is None
    assert [line for _, _, line in found] == [6]


def test_a_draft_is_half_or_full(catalogue: Catalogue) -> None:
    for word, full in (("half", False), ("full", True)):
        body, _ = read_card(Source("x", HEAD + f"draft: {word}\n"), catalogue)
        assert body is not None
        assert body.full is full
    _, found = read(HEAD + "draft: whole\n", catalogue)
    assert [(code, seen) for code, seen, _ in found] == [("E1207", "`whole` is no kind of draft")]
