"""`scye measures`: the catalogue as the maker sees it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from scye import library
from scye.cli.main import main
from scye.cli.measures import described, named, table
from scye.ir.people import Catalogue, Measure
from scye.units.quantity import Kind

BUST = Measure(
    name="bust",
    title="Bust",
    kind=Kind.LENGTH,
    where="Round the fullest part, with the tape level all the way round and the arms hanging; breathe out.",
    low=600.0,
    high=1700.0,
    tolerance=9.0,
    clause="5.3.4",
    clause_note="as secondary sources give it",
    also=("chest", "full bust"),
)
SLOPE = Measure("shoulder_slope", "Shoulder slope", Kind.ANGLE, "Down from level.", math.radians(10),
                math.radians(35), math.radians(2), "", "", ())  # fmt: skip
CATALOGUE = Catalogue((BUST, SLOPE), ())


def test_a_measure_described():
    assert "\n".join(described(BUST)) == (
        "bust: Bust\n"
        "  where         Round the fullest part, with the tape level all the way round and the arms\n"
        "                hanging; breathe out.\n"
        "  usually       60.0 cm (23 5/8 in) to 170.0 cm (66 15/16 in)\n"
        "  agree within  0.9 cm (3/8 in)\n"
        "  also called   chest, full bust\n"
        "  ISO 8559-1    5.3.4: as secondary sources give it"
    )


def test_an_angle_described():
    assert described(SLOPE) == [
        "shoulder_slope: Shoulder slope",
        "  where         Down from level.",
        "  usually       10 deg to 35 deg",
        "  agree within  2 deg",
    ]


def test_the_table():
    assert table(CATALOGUE) == ["bust            Bust", "shoulder_slope  Shoulder slope"]
    assert table(Catalogue((), ())) == []


@pytest.mark.parametrize(
    ("name", "measure"),
    [("bust", BUST), ("Full Bust", BUST), ("chest", BUST), ("Shoulder slope", SLOPE), ("wast", None)],
)
def test_a_measure_is_found_by_any_of_its_names(name: str, measure: Measure | None):
    assert named(name, CATALOGUE) is measure


def test_the_real_catalogue_is_listed_and_searched(capsys: pytest.CaptureFixture[str]):
    assert main(["measures"]) == 0
    names = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert {"bust", "waist", "hip"} <= set(names)
    assert main(["measures", "waist"]) == 0
    assert capsys.readouterr().out.startswith("waist: ")


def test_an_unknown_measure_offers_the_nearest(capsys: pytest.CaptureFixture[str]):
    assert main(["measures", "wast"]) == 2
    assert capsys.readouterr().err == (
        "error E926: there is no measure called `wast`\n  try: did you mean `waist`?\n\n1 error\n"
    )
    assert main(["measures", "elbowroom"]) == 2
    assert "\n  try: `scye measures` lists them all\n" in capsys.readouterr().err


def test_a_lost_catalogue_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.setattr(library, "_PACKAGE", tmp_path / "a" / "b")
    assert main(["measures"]) == 2
    assert "there is no file `stdlib/measures.yaml`" in capsys.readouterr().err
