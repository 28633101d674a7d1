"""From the command line to the files: the same bytes, what a pattern.json gives, what is refused."""

from __future__ import annotations

import json
import math
import os
import re
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pikepdf
import pytest

from scye.cli.main import main
from scye.ir.lay import Garment, Shrinkage
from scye.ir.pattern import Pattern
from scye.lay import fast
from scye.lay.garment import garment_of, read_garment
from scye.lay.shrink import grown
from scye.render.pattern_json import Header, pattern_json
from workroom import ROOT, Workroom

RECIPE = str(ROOT / "recipes" / "yoked-bodice")
CARD = str(ROOT / "examples" / "cards" / "wren.yaml")


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(fast, "WORK", 3_000_000)


@pytest.fixture
def pattern(room: Workroom) -> Pattern:
    return room.pattern(ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye", "wren")


@pytest.fixture
def built(pattern: Pattern, tmp_path: Path) -> Path:
    path = tmp_path / "pattern.json"
    path.write_bytes(pattern_json([pattern], Header("1", pattern.recipe, pattern.edition)))
    return path


def lay(*words: str) -> int:
    return main(["lay", *words])


def test_a_pattern_read_back_is_laid_as_it_was_drafted(pattern: Pattern, built: Path):
    drafted, read = garment_of(pattern), read_garment(built.read_text(), "pattern.json", None, None)
    assert isinstance(read, Garment)
    assert [(p.name, p.cuts) for p in read.pieces] == [(p.name, p.cuts) for p in drafted.pieces]
    for one, other in zip(read.pieces, drafted.pieces, strict=True):
        assert one.cutting.start == pytest.approx(other.cutting.start, abs=1e-4)
        assert len(one.cutting.segments) == len(other.cutting.segments)
        assert (one.fold is None) == (other.fold is None)


def test_a_recipe_and_its_pattern_are_laid_alike(built: Path, tmp_path: Path):
    """To the pieces; the last figures, which the file leaves out, may lead the search another way."""
    assert lay(RECIPE, "--body", CARD, "--width", "44in", "--out", str(tmp_path / "a")) == 0
    assert lay("--pattern", str(built), "--width", "44in", "--out", str(tmp_path / "b")) == 0
    one, other = (json.loads((tmp_path / name / "lay.json").read_text()) for name in "ab")
    assert one["area"] == pytest.approx(other["area"], rel=1e-6)
    assert one["cloth"] == other["cloth"]
    assert one["length"] == pytest.approx(other["length"], rel=0.2)


def test_the_same_bytes_whatever_the_hash_seed(built: Path, tmp_path: Path):
    for seed in ("1", "2"):
        code = (
            "from scye.lay import fast; fast.WORK = 3_000_000\n"
            "from scye.cli.main import main\n"
            f"main(['lay', '--pattern', {str(built)!r}, '--width', '44in', '--out', {seed!r}])"
        )
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        subprocess.run(
            [sys.executable, "-c", code], check=True, capture_output=True, env=environment, cwd=tmp_path
        )
    for name in ("lay.json", "lay.svg", "lay.pdf", "lay.html"):
        assert (tmp_path / "1" / name).read_bytes() == (tmp_path / "2" / name).read_bytes()


def test_the_pdf_has_one_page_and_its_typeface(built: Path, tmp_path: Path):
    lay("--pattern", str(built), "--width", "44in", "--out", str(tmp_path / "o"))
    with pikepdf.open(tmp_path / "o" / "lay.pdf") as pdf:
        (page,) = pdf.pages
        assert [float(x) for x in page.MediaBox] == pytest.approx([0, 0, 841.89, 595.276], abs=0.01)
        assert "/FontFile2" in page.Resources.Font.F.DescendantFonts[0].FontDescriptor


def test_shrinkage_is_printed_on_every_piece(pattern: Pattern):
    larger = grown(pattern.pieces[0], Shrinkage(0.03, 0.02))
    assert larger.labels[-1] == "shrinkage built in: 3 % along the grain, 2 % across"
    assert larger.cutting != pattern.pieces[0].cutting


def test_pieces_with_shrinkage_are_written_to_be_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    out = tmp_path / "o"
    assert lay(RECIPE, "--body", CARD, "--width", "58in", "--shrink", "9%x2%", "--out", str(out)) == 0
    assert {path.name for path in out.glob("*shrinkage.pdf")} == {
        "sheet-with-shrinkage.pdf",
        "tiles-a4-with-shrinkage.pdf",
        "tiles-letter-with-shrinkage.pdf",
    }
    assert "caution E1405" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--width", "44"], "E1404"),
        (["--width", "9yards"], "E1404"),
        (["--width", "44in", "--shrink", "3%"], "E1404"),
        (["--width", "44in", "--shrink", "30%x2%"], "E1404"),
        (["--width", "44in", "--gap=-1mm"], "E1404"),
        (["--width", "44in", "--search", "soon"], "E1404"),
        (["--width", "44in", "--of", "wren"], "E1410"),
    ],
)
def test_cloth_that_makes_no_sense_is_refused(
    words: list[str], code: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    assert lay(RECIPE, "--body", CARD, *words, "--out", str(tmp_path / "o")) == 2
    assert code in capsys.readouterr().err
    assert not (tmp_path / "o").exists()


@pytest.mark.parametrize(
    "words",
    [[], [RECIPE], [RECIPE, "--pattern", "p.json"], ["--pattern", "p.json", "--body", CARD]],
    ids=["nothing", "no card", "both", "a card too"],
)
def test_a_lay_is_of_one_thing(words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    assert lay(*words, "--width", "44in", "--out", str(tmp_path / "o")) == 2
    assert "E1410" in capsys.readouterr().err


def test_a_file_of_several_bodies_wants_one_named(pattern: Pattern):
    other = pattern_json([pattern, pattern], Header("1", "r", "1")).decode()
    two = other.replace('"body":"wren"', '"body":"knot"', 1)
    refused = read_garment(two, "p.json", None, None)
    assert not isinstance(refused, Garment)
    assert (refused.code, refused.attempt()) == ("E1408", "name one with `--of`: it has knot, wren")
    named = read_garment(two, "p.json", "knot", "cm")
    assert isinstance(named, Garment)
    assert (named.body, named.unit) == ("knot", "cm")


def damaged(text: str):
    data = json.loads(text)
    body = data["bodies"][0]
    yield "[" * 100_000
    yield "{}"
    yield text[: len(text) // 2]
    yield text.replace("urn:scye:pattern:1", "urn:scye:pattern:9")
    yield text.replace('"grain":{"from":[', '"grain":{"from":[NaN,')
    for change in (
        {"pieces": 3},
        {"pieces": [{**body["pieces"][0], "cutting": "M0,0L1,1Q2,2 3,3Z"}]},
        {"pieces": [{**body["pieces"][0], "cutting": "L0,0"}]},
        {"pieces": [{**body["pieces"][0], "cutting": ""}]},
        {"pieces": [{**body["pieces"][0], "cutting": "M0,0L1,99999999L5,5L0,9Z"}]},
        {
            "pieces": [
                {**body["pieces"][0], "cut": [{"count": 10**9, "how": "pair", "layers": [], "text": ""}]}
            ]
        },
        {"pieces": [{**body["pieces"][0], "grain": {"from": [0, 0], "to": [0, 0], "bias": False}}]},
    ):
        yield json.dumps({**data, "bodies": [{**body, **change}]})


def test_a_damaged_file_is_refused_in_words(built: Path):
    for text in damaged(built.read_text()):
        refused = read_garment(text, "p.json", None, None)
        assert not isinstance(refused, Garment)
        assert refused.code == "E1407"


def test_a_draft_with_failures_is_laid_with_a_warning(
    pattern: Pattern, built: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    data = json.loads(built.read_text())
    data["bodies"][0]["findings"] = [{"severity": "failure"}]
    built.write_text(json.dumps(data))
    assert lay("--pattern", str(built), "--width", "44in", "--out", str(tmp_path / "o")) == 1
    assert "E1411" in capsys.readouterr().err
    assert "Do not buy or cut by this lay" in (tmp_path / "o" / "lay.html").read_text()


def test_the_lists_take_their_cloth_from_the_lay(tmp_path: Path):
    (tmp_path / "rates.yaml").write_text("currency: USD\nprices:\n  self: 16 a yd\n", encoding="utf-8")
    where = ["--out", str(tmp_path / "o"), "--rates", str(tmp_path / "rates.yaml")]
    card = str(ROOT / "examples" / "cards" / "wren.yaml")
    words = ["lay", str(ROOT / "recipes" / "saltmarsh-bodice"), "--body", card, "--width", "44in", "--quiet"]
    assert main([*words, *where]) == 0
    page = (tmp_path / "o" / "lists.html").read_text(encoding="utf-8")
    cloth = page[page.index("Cloth, as the lay takes") : page.index("To buy")]
    (told,) = re.findall(r"the lay: ([0-9/ ]+) in, rounded up to 1/8 yd, on 44 in of usable width", cloth)
    length = sum(map(Fraction, told.split()))
    eighths = math.ceil(length / Fraction(36, 8))
    amount, rate, paid = re.findall(r'figure">([^<]+)</td>', cloth)
    assert (amount, rate) == (f"{Fraction(eighths, 8)} yd", "16.00 a yd")
    assert Decimal(paid) == 2 * eighths


def test_rates_want_a_recipe(built: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    words = ["lay", "--pattern", str(built / "pattern.json"), "--width", "44in", "--out", str(tmp_path / "o")]
    assert main([*words, "--rates", "rates.yaml"]) == 2
    assert "a cost sheet is reckoned from the recipe" in " ".join(capsys.readouterr().err.split())
