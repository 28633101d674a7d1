"""The catalogues of stdlib: measures and cautions."""

from __future__ import annotations

from pathlib import Path

from scye.ir.people import Catalogue
from scye.read.cards import read_catalogue, read_cautions
from scye.source import Source
from scye.units.quantity import Kind

STDLIB = Path(__file__).parents[3] / "stdlib"
EXPECTED = [
    "bust",
    "underbust",
    "upper_bust",
    "waist",
    "high_hip",
    "hip",
    "waist_to_high_hip",
    "waist_to_hip",
    "bust_to_waist",
    "bust_to_underbust",
    "underbust_to_waist",
    "nape_to_waist",
    "front_waist_length",
    "back_waist_length_snp",
    "bust_depth",
    "bust_span",
    "shoulder_length",
    "shoulder_slope",
    "shoulder_to_shoulder",
    "across_chest",
    "across_back",
    "scye_depth",
    "armhole_girth",
    "neck_base",
    "neck",
    "biceps",
    "elbow",
    "wrist",
    "arm_length",
    "inside_sleeve",
    "arm_to_elbow",
    "bust_front_arc",
    "bust_back_arc",
    "waist_front_arc",
    "waist_back_arc",
    "hip_front_arc",
    "hip_back_arc",
    "side_length",
    "body_rise",
    "inside_leg",
    "outside_leg",
    "thigh",
    "knee",
    "calf",
    "ankle",
    "crotch_length",
    "waist_to_floor",
    "waist_to_knee",
    "stature",
    "head_girth",
    "waist_to_lap",
    "waist_to_top",
    "chest",
]


def test_the_catalogue_holds_the_measures_of_the_trade(catalogue: Catalogue) -> None:
    names = [m.name for m in catalogue.measures]
    assert set(EXPECTED) - set(names) == set()
    assert len(names) >= 60


def test_every_measure_says_where_the_tape_goes(catalogue: Catalogue) -> None:
    for measure in catalogue.measures:
        assert len(measure.where.split()) >= 5, measure.name
        assert measure.where.endswith("."), measure.name
        assert 0 < measure.low < measure.high, measure.name
        assert 0 < measure.tolerance < measure.low, measure.name


def test_no_name_serves_two_measures(catalogue: Catalogue) -> None:
    names = [n for m in catalogue.measures for n in (m.name, *m.also)]
    assert len(names) == len(set(names))


def test_slopes_are_angles_and_all_else_is_length(catalogue: Catalogue) -> None:
    angles = [m.name for m in catalogue.measures if m.kind is Kind.ANGLE]
    assert angles == ["shoulder_slope"]
    assert {m.kind for m in catalogue.measures} == {Kind.ANGLE, Kind.LENGTH}


def test_checks_of_sums_show_both_figures(catalogue: Catalogue) -> None:
    for check in catalogue.checks:
        shows_both = "{left}" in check.text and "{right}" in check.text
        assert shows_both == (check.relation == "="), check.text


def test_measures_in_halves_bring_their_check(catalogue: Catalogue) -> None:
    wholes = {c.left[0] for c in catalogue.checks if c.right[0].endswith(".left")}
    assert wholes == {"bust", "upper_bust", "underbust", "chest", "waist", "high_hip", "hip"}


def test_an_entry_that_cannot_be_used_is_left_out_and_the_rest_is_read() -> None:
    text = (
        "measures:\n  bust: {title: Bust, where: Round it., range: 60 to 170 cm, tolerance: 9 mm}\n"
        "  hip: {title: Hip, where: Round it., range: 60 cm, tolerance: 9 mm}\n"
    )
    read, found = read_catalogue(Source("x", text))
    assert [m.name for m in read.measures] == ["bust"]
    assert [d.code for d in found] == ["E851"]


def test_cautions_defer_to_local_rules_and_clinicians_and_certify_nothing() -> None:
    source = Source("cautions.yaml", (STDLIB / "cautions.yaml").read_text(encoding="utf-8"))
    cautions, found = read_cautions(source)
    assert found == []
    names = {c.name for c in cautions}
    known = {"tight_lacing", "minors", "sharp_bones", "childrens_cords", "flammability", "metal_allergy"}
    assert known <= names
    for caution in cautions:
        assert "clinician" in caution.text, caution.name
        assert "is safe" not in caution.text.lower(), caution.name
        assert "certified" not in caution.text.lower(), caution.name
    assert {c.sheet for c in cautions} == {"proof", "findings", "card"}
