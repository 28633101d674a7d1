"""`scye compare` as it is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.cli.main import main
from workroom import ROOT

WREN = str(ROOT / "examples" / "cards" / "wren.yaml")
BODICE = str(ROOT / "recipes" / "saltmarsh-bodice")
SCOOPED = str(ROOT / "recipes" / "saltmarsh-bodice-scooped")


def test_two_recipes_for_a_card(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    assert main(["compare", BODICE, SCOOPED, "--body", WREN, "--out", str(tmp_path / "out")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "Saltmarsh bodice, edition 1 -> Saltmarsh bodice, scooped back, edition 1"
    assert lines[5].startswith("  Centre back: up to −2 1/2 in at top edge; double notch moved down 3")
    assert "  Choice top rise: 2 in (was 3 in)." in lines
    assert "  Choice back scoop: new, 1 1/2 in from 1/2 in to 2 in." in lines
    assert '  Proof "bust": left out.' in lines
    assert lines[-5:] == [
        f"written into {(tmp_path / 'out').as_posix()}:",
        "  changes.html",
        "  changed-wren-sheet.pdf",
        "  changed-wren-tiles-a4.pdf",
        "  changed-wren-tiles-letter.pdf",
    ]


def test_two_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    for name, choice in (("old", "top_rise=3 in"), ("new", "top_rise=2 in")):
        run = ["build", BODICE, "--body", WREN, "--set", choice, "--out", str(tmp_path / name), "--quiet"]
        assert main(run) == 0
    old, new = (str(tmp_path / name / "pattern.json") for name in ("old", "new"))
    assert main(["compare", old, new]) == 0
    told = capsys.readouterr().out
    assert "Top rise: 2 in (was 3 in)." in told
    assert "Side back: up to" in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([BODICE, SCOOPED], "the command doesn't say which bodies to draft for"),
        ([BODICE, "old/pattern.json"], "one of the two is a recipe, the other a pattern"),
        (
            ["old/pattern.json", "new/pattern.json", "--body", WREN],
            "patterns are compared for the bodies that they hold",
        ),
        (["old/pattern.json", "new/pattern.json"], "there is no file `old/pattern.json`"),
        ([BODICE, "no-such-recipe", "--body", WREN], "no-such-recipe"),
    ],
)
def test_what_cannot_be_compared(words: list[str], said: str, capsys: pytest.CaptureFixture[str]):
    assert main(["compare", *words]) == 2
    assert said in " ".join(capsys.readouterr().err.split())


def test_a_file_that_is_no_pattern(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "pattern.json"
    path.write_text("{}", encoding="utf-8")
    assert main(["compare", str(path), str(path)]) == 2
    assert "it does not say that it is one" in " ".join(capsys.readouterr().err.split())
