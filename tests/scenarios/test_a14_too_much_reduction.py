"""A14: more reduction is asked than the studio allows; and the same bodice for a wearer under age."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from scye.diagnostics.model import Severity
from scye.driver import Compiler, run_build
from scye.ir.pattern import Pattern
from scye.ir.requests import BuildRequest, ExitCode
from scye.project import open_card, open_project
from workroom import INCH, ROOT, Workroom

BODICE = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
CARD = (ROOT / "examples" / "cards" / "sanderling.yaml").read_text(encoding="utf-8")
HELD = (
    "Reduction 7 in (27 %) is beyond the studio's limit of 15 % or 4 in (on a 26 in waist 15 % = 3.9 in "
    "comes first). The draft is held at waist 22 1/8 until you record who decided, when, and why."
)
DECISION = """
decisions:
  - limit: reduction
    value: 7 in
    by: Saltmarsh Workroom
    date: 2024-04-10
    why: one hour on stage, loosened between the acts
"""


@pytest.fixture
def workroom(tmp_path: Path) -> Workroom:
    return Workroom(tmp_path)


def drafted(folder: Path, card: str, sure: bool = False, recipe: Path = BODICE) -> Pattern:
    """The bodice for a card of this text."""
    path = folder / "card.yaml"
    path.write_text(card, encoding="utf-8")
    project = open_project(recipe)
    body, found = open_card(path, project.catalogue)
    assert body is not None, [d.seen() for d in found]
    compiler = Compiler(project)
    order, _ = compiler.order(body, ())
    compiler.compiled(order.settled)
    (pattern,) = compiler.patterns([order], None, lambda _line: None, sure=sure)
    return pattern


def told(pattern: Pattern, code: str) -> list[str]:
    return [f.text for f in pattern.findings if f.code == code]


def found_at(pattern: Pattern, proof: str) -> float:
    return next(p.found for p in pattern.proofs if p.name == proof) / INCH


def asked(card: str, amount: str) -> str:
    return card.replace("reduction: 7 in", f"reduction: {amount}")


# --- too much ---------------------------------------------------------------------------------


def test_the_draft_is_held_at_the_limit_with_exactly_these_words(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, CARD)
    assert told(pattern, "E1302") == [HELD]
    (finding,) = [f for f in pattern.findings if f.code == "E1302"]
    assert finding.severity is Severity.FAILURE
    reduction = next(v for v in pattern.values if v.name == "reduction")
    assert reduction.value == pytest.approx(0.15 * 26 * INCH)
    assert reduction.working == "chosen: 7 in, held at 3 7/8 in"
    assert found_at(pattern, "laced waist") == pytest.approx(26 - 3.9 - 2, abs=1 / 32)


def test_nothing_else_is_reduced_to_compensate(tmp_path: Path) -> None:
    held, plain = drafted(tmp_path, CARD), drafted(tmp_path, asked(CARD, "0 in"))
    for proof in ("bust", "underbust", "high hip"):
        assert found_at(held, proof) == pytest.approx(found_at(plain, proof), abs=1e-6)
    assert found_at(held, "bust") == pytest.approx(33, abs=1 / 32)


def test_the_caution_and_the_advice_are_shown_once(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, CARD)
    assert [name for name, _ in pattern.cautions] == ["tight_lacing"]
    assert told(pattern, "E1306") == [
        "The card notes a condition. Seek medical advice: this tool gives none."
    ]


def test_a_run_ends_with_findings_and_says_who_decided_nothing(workroom: Workroom) -> None:
    outcome, out = workroom.build(BODICE, "sanderling")
    assert outcome.exit_code is ExitCode.FINDINGS
    (body,) = json.loads(next(out.rglob("pattern.json")).read_text(encoding="utf-8"))["bodies"]
    assert body["decisions"] == []
    assert [f["text"] for f in body["findings"] if f["code"] == "E1302"] == [HELD]


def test_what_she_has_is_printed_nowhere(workroom: Workroom) -> None:
    outcome, out = workroom.build(BODICE, "sanderling")
    written = [path for path in out.rglob("*") if path.suffix in (".html", ".json", ".svg")]
    assert {path.suffix for path in written} >= {".html", ".json", ".svg"}
    for path in written:
        text = path.read_text(encoding="utf-8").replace("with reflux. Not in pregnancy", "")
        assert "reflux" not in text, path.name
    assert not any("reflux" in line for line in outcome.lines)


# --- a decision -------------------------------------------------------------------------------


def test_a_decision_releases_the_limit_and_stands_on_the_sheet(tmp_path: Path) -> None:
    (tmp_path / "sanderling.yaml").write_text(CARD + DECISION, encoding="utf-8")
    request = BuildRequest(BODICE, (tmp_path / "sanderling.yaml",), None, (), (), None, tmp_path / "out")
    outcome = run_build(request, lambda _line: None)
    assert outcome.exit_code is ExitCode.GOOD
    html = next((tmp_path / "out").rglob("*proof.html")).read_text(encoding="utf-8")
    for words in ("Saltmarsh Workroom", "2024-04-10", "one hour on stage, loosened between the acts"):
        assert words in html
    (body,) = json.loads(next((tmp_path / "out").rglob("pattern.json")).read_text(encoding="utf-8"))[
        "bodies"
    ]
    (decision,) = body["decisions"]
    assert decision == {
        "limit": "reduction",
        "value": 177.8,
        "unit": "mm",
        "by": "Saltmarsh Workroom",
        "date": "2024-04-10",
        "why": "one hour on stage, loosened between the acts",
    }
    assert body["values"]["reduction"]["value"] == pytest.approx(177.8)


def test_what_is_released_is_still_said_plainly(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, CARD + DECISION)
    (text,) = told(pattern, "E1304")
    assert text.startswith("Reduction 7 in (27 %) is beyond the studio's limit of 15 % or 4 in")
    assert told(pattern, "E1302") == []
    assert found_at(pattern, "laced waist") == pytest.approx(26 - 7 - 2, abs=1 / 32)


def test_a_decision_goes_as_far_as_it_says(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, CARD + DECISION.replace("7 in", "5 in"))
    (text,) = told(pattern, "E1302")
    assert ", and beyond the 5 in that was decided. The draft is held at waist 21 until" in text
    assert found_at(pattern, "laced waist") == pytest.approx(26 - 5 - 2, abs=1 / 32)


def test_a_decision_about_another_limit_changes_nothing(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, CARD + DECISION.replace("limit: reduction", "limit: top rise"))
    assert told(pattern, "E1302") == [HELD]
    assert pattern.decisions == ()


def test_a_decision_of_another_kind_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "heron.yaml").write_text(CARD + DECISION.replace("7 in", "27%"), encoding="utf-8")
    request = BuildRequest(BODICE, (tmp_path / "heron.yaml",), None, (), (), None, tmp_path / "out")
    outcome = run_build(request, lambda _line: None)
    assert outcome.exit_code is ExitCode.BAD_INPUT
    assert [d.seen() for d in outcome.diagnostics if d.code == "E1308"] == [
        "the decision on reduction is a percentage, and the limit is on a length"
    ]


# --- below the limit --------------------------------------------------------------------------


@pytest.mark.parametrize(("amount", "codes"), [("2 in", []), ("2.6 in", []), ("3 in", ["E1303"])])
def test_nothing_is_refused_below_the_limit(tmp_path: Path, amount: str, codes: list[str]) -> None:
    pattern = drafted(tmp_path, asked(CARD, amount).replace("health: reflux\n", ""))
    limits = [f.code for f in pattern.findings if f.code.startswith("E13")]
    assert limits == codes
    assert bool(pattern.cautions) == bool(codes)
    size = float(amount.split()[0])
    assert found_at(pattern, "laced waist") == pytest.approx(26 - size - 2, abs=1 / 32)


def test_the_caution_names_its_figure(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, asked(CARD, "3 in"))
    assert told(pattern, "E1303") == ["Reduction 3 in (12 %) is over 10 % of the waist"]


def test_the_other_bound_comes_first_on_a_larger_waist(tmp_path: Path) -> None:
    larger = CARD.replace("waist: 26", "waist: 30").replace(
        "waist_front_arc: 13 1/2", "waist_front_arc: 15 1/2"
    )
    pattern = drafted(tmp_path, larger.replace("waist_back_arc: 12 1/2", "waist_back_arc: 14 1/2"))
    (text,) = told(pattern, "E1302")
    assert (
        "15 % or 4 in (on a 30 in waist 15 % = 4.5 in; 4 in comes first). The draft is held at waist 26"
        in text
    )


# --- a minor ----------------------------------------------------------------------------------

MINOR = CARD.replace("health: reflux", "age: 15").replace("choices:\n  reduction: 7 in\n", "")


def test_a_minor_gets_no_reduction_unless_it_is_set_by_hand(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, MINOR)
    assert told(pattern, "E1305") == ["Reduction is 0 in for a wearer under age"]
    assert told(pattern, "E1302") == []
    assert found_at(pattern, "laced waist") == pytest.approx(26 - 2, abs=1 / 32)
    assert [n.name for n in pattern.notices if n.sheet == "card"] == ["minors"]
    assert pattern.cautions == ()


def test_by_hand_alone_is_not_enough_for_a_minor(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, MINOR + "\nchoices:\n  reduction: 2 in\n")
    assert told(pattern, "E1302") == [
        "Reduction 2 in (8 %) is beyond the studio's limit of 0 in for a wearer under age. The draft is "
        "held at waist 26 until you record who decided, when, and why."
    ]


def test_by_hand_and_with_a_decision_it_is_drafted(tmp_path: Path) -> None:
    decided = DECISION.replace("value: 7 in", "value: 2 in")
    pattern = drafted(tmp_path, MINOR + "\nchoices:\n  reduction: 2 in\n" + decided)
    assert told(pattern, "E1302") == []
    assert found_at(pattern, "laced waist") == pytest.approx(26 - 2 - 2, abs=1 / 32)
    assert [d.by for d in pattern.decisions] == ["Saltmarsh Workroom"]


@pytest.mark.parametrize(("born", "minor"), [("2006-04-10", True), ("2006-04-09", False)])
def test_age_is_counted_on_the_date_of_the_card(tmp_path: Path, born: str, minor: bool) -> None:
    pattern = drafted(tmp_path, MINOR.replace("age: 15", f"born: {born}"))
    assert bool(told(pattern, "E1305")) == minor


def test_no_sheet_says_that_a_reduction_is_safe(tmp_path: Path) -> None:
    for card in (CARD, CARD + DECISION, MINOR):
        pattern = drafted(tmp_path, card)
        texts = [f.text + f.attempt for f in pattern.findings] + [text for _, text in pattern.cautions]
        for text in texts + [notice.text for notice in pattern.notices]:
            text = text.replace("No reduction is known to be safe for everybody", "")
            assert "safe" not in text.replace("nickel-safe", "").lower()
