"""Ages, conditions and decisions on a card."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.diagnostics.model import Diagnostic
from scye.ir.people import Body
from scye.read.cards import read_card, read_catalogue
from scye.source import Source

STDLIB = Path(__file__).parents[3] / "stdlib"
CATALOGUE, _ = read_catalogue(
    Source("measures.yaml", (STDLIB / "measures.yaml").read_text(encoding="utf-8"))
)
CARD = "client: heron\ndate: 2024-03-05\nunit: in\ntimes: 2\nmeasures:\n  waist: 28\n"
DECISION = """decisions:
  - limit: waist_reduction
    value: 5
    by: Saltmarsh Workroom
    date: 2024-04-10
    why: one hour on stage
"""


def read(text: str) -> tuple[Body | None, list[Diagnostic]]:
    return read_card(Source("heron.yaml", CARD + text), CATALOGUE)


def test_a_decision_is_read_in_the_units_of_the_card() -> None:
    body, found = read(DECISION)
    assert found == []
    assert body is not None
    (decision,) = body.decisions
    assert decision.value.inside == pytest.approx(127.0)
    assert (decision.limit, decision.by, decision.date) == (
        "waist reduction", "Saltmarsh Workroom", "2024-04-10",
    )  # fmt: skip


@pytest.mark.parametrize("part", ["limit", "value", "by", "date", "why"])
def test_a_decision_says_everything_or_is_none(part: str) -> None:
    lines = DECISION.splitlines(keepends=True)
    text = "".join(line.replace(f"{part}: ", f"# {part}: ") for line in lines)
    if part == "limit":
        text = text.replace("  - # limit: waist_reduction\n    value", "  - value")
    body, found = read(text)
    assert body is None
    assert [(d.code, d.seen()) for d in found] == [("E1308", f"a decision says no {part}")]


@pytest.mark.parametrize(
    ("change", "seen"),
    [(("value: 5", "value: lots"), "`lots` is no amount"), (("2024-04-10", "April"), "`April` is no day")],
)
def test_what_can_not_be_read_is_said(change: tuple[str, str], seen: str) -> None:
    body, found = read(DECISION.replace(*change))
    assert body is None
    assert [d.seen() for d in found] == [seen]


@pytest.mark.parametrize(
    ("line", "age"), [("age: 15\n", 15), ("born: 2009-03-05\n", 15), ("born: 2009-03-06\n", 14), ("", None)]
)
def test_age_in_whole_years(line: str, age: int | None) -> None:
    body, found = read(line)
    assert found == []
    assert body is not None
    assert body.age == age


@pytest.mark.parametrize(
    "line",
    ["age: young\n", "age: 150\n", "born: lately\n", "born: 2030-01-01\n", "age: 9\nborn: 2015-01-01\n"],
)
def test_an_age_that_is_none(line: str) -> None:
    body, found = read(line)
    assert body is None
    assert [d.code for d in found] == ["E1309"]


def test_an_age_needs_the_date_of_the_card() -> None:
    text = CARD.replace("date: 2024-03-05\n", "") + "born: 2009-03-05\n"
    _, found = read_card(Source("heron.yaml", text), CATALOGUE)
    assert "E1309" in [d.code for d in found]


def test_a_condition_is_noted_and_not_kept() -> None:
    body, found = read("health: asthma\n")
    assert found == []
    assert body is not None
    assert body.health_noted
    assert "asthma" not in repr((body.notes, body.choices, body.decisions))
