"""The catalogue and the charts against outside sources, each named where it is used."""

from __future__ import annotations

from pathlib import Path

import pytest

from scye.ir.people import Catalogue, Chart, Measure
from scye.read.cards import read_catalogue, read_chart
from scye.source import Source

STDLIB = Path(__file__).parents[2] / "stdlib"


def read(name: str) -> Source:
    return Source(name, (STDLIB / name).read_text(encoding="utf-8"))


CATALOGUE: Catalogue = read_catalogue(read("measures.yaml"))[0]
MEASURES: dict[str, Measure] = {m.name: m for m in CATALOGUE.measures}


def chart(name: str) -> Chart:
    read_one, found = read_chart(read(f"charts/{name}.yaml"), CATALOGUE)
    assert read_one is not None, found
    return read_one


# ANSUR II (2012), NATICK/TR-15/007: smallest and largest of 1,986 women and of 4,082 men, mm, from the public
# data. Waist is at the navel, biceps and forearm are flexed.
SURVEY = {
    "bust": (695, 1266, 774, 1469),
    "waist": (611, 1334, 648, 1379),
    "hip": (798, 1341, 737, 1305),
    "neck": (275, 424, 311, 514),
    "neck_base": (302, 457, 350, 545),
    "shoulder_length": (107, 175, 113, 185),
    "nape_to_waist": (345, 532, 383, 598),
    "centre_front_length": (289, 432, 293, 494),
    "trunk_loop": (1342, 1828, 1361, 1991),
    "crotch_length": (495, 779, 473, 799),
    "inside_leg": (610, 947, 702, 1031),
    "waist_to_floor": (805, 1142, 876, 1245),
    "knee_to_floor": (346, 540, 397, 612),
    "nape_to_floor": (1184, 1587, 1269, 1738),
    "stature": (1409, 1829, 1491, 1993),
    "arm_length": (410, 662, 488, 709),
    "nape_to_wrist": (636, 930, 732, 1058),
    "arm_to_elbow": (249, 371, 270, 393),
    "biceps": (216, 435, 246, 490),
    "forearm": (200, 342, 233, 402),
    "wrist": (124, 183, 141, 216),
    "hand_girth": (152, 214, 179, 248),
    "thigh": (448, 870, 412, 843),
    "calf": (282, 482, 266, 523),
    "ankle": (170, 275, 156, 293),
    "heel_and_instep": (264, 376, 258, 403),
    "head_girth": (500, 635, 516, 633),
}


@pytest.mark.parametrize("name", SURVEY)
def test_usual_ranges_take_in_every_body_of_the_survey(name: str) -> None:
    low, high = min(SURVEY[name][::2]), max(SURVEY[name][1::2])
    assert MEASURES[name].low < low
    assert MEASURES[name].high > high


@pytest.mark.parametrize("name", SURVEY)
def test_usual_ranges_are_not_so_wide_that_they_say_nothing(name: str) -> None:
    """An inch figure read as centimetres, or the other way round, falls outside at the survey's middle."""
    middle = (min(SURVEY[name][::2]) + max(SURVEY[name][1::2])) / 2
    assert not MEASURES[name].low <= middle / 2.54 <= MEASURES[name].high
    assert not MEASURES[name].low <= middle * 2.54 <= MEASURES[name].high


def test_scye_depth_takes_in_the_distance_from_nape_to_armpit() -> None:
    # ANSUR II, derived: 113 to 212 mm for women, 136 to 255 mm for men.
    assert MEASURES["scye_depth"].low < 113
    assert MEASURES["scye_depth"].high > 255


# ISO 20685, as quoted in a handbook of apparel sizing: allowed difference of scanner and measurer.
@pytest.mark.parametrize(
    ("tolerance", "names"),
    [
        (9, "bust underbust upper_bust waist high_hip hip thigh"),
        (4, "neck biceps wrist calf ankle head_girth stature inside_leg waist_to_floor"),
        (5, "shoulder_length across_back nape_to_waist arm_length body_rise"),
    ],
)
def test_tolerances_are_those_of_the_scanning_standard(tolerance: float, names: str) -> None:
    assert {MEASURES[name].tolerance for name in names.split()} == {tolerance}


# ISO 8559-1:2017 clause numbers in which two independent secondary sources agree.
@pytest.mark.parametrize(
    ("name", "clause"),
    [
        ("neck", "5.3.2"),
        ("bust", "5.3.4"),
        ("waist", "5.3.10"),
        ("hip", "5.3.13"),
        ("biceps", "5.3.16"),
        ("wrist", "5.3.19"),
        ("thigh", "5.3.20"),
        ("nape_to_waist", "5.4.5"),
        ("arm_length", "5.7.8"),
    ],
)
def test_clauses_on_which_sources_agree(name: str, clause: str) -> None:
    assert MEASURES[name].clause == clause


@pytest.mark.parametrize("name", ["underbust", "shoulder_to_shoulder"])
def test_clauses_on_which_sources_conflict_are_not_printed_as_one(name: str) -> None:
    assert MEASURES[name].clause == ""
    assert MEASURES[name].clause_note.count("secondary source") == 1
    assert MEASURES[name].clause_note.count("in another") == 1


def figures(chart_name: str, size: str) -> dict[str, float]:
    body = next(b for b in chart(chart_name).sizes if b.code == size)
    return {r.name: r.value for r in body.readings}


# "Women's and Men's Pattern Sizing", Sewing Scholar, 28 February 2011: bust, waist, hip, back length, inches.
@pytest.mark.parametrize(
    ("name", "size", "published"),
    [
        ("us-misses", "10", (32.5, 25, 34.5, 16)),
        ("us-misses", "14", (36, 28, 38, 16.5)),
        ("us-women", "44", (48, 41.5, 50, 17.625)),
        ("us-women", "50", (54, 49, 56, 18)),
    ],
)
def test_charts_hold_the_published_figures(name: str, size: str, published: tuple[float, ...]) -> None:
    names = ("bust", "waist", "hip", "nape_to_waist")
    expected = {n: pytest.approx(inches * 25.4) for n, inches in zip(names, published, strict=True)}
    assert figures(name, size) == expected


# ANSUR II, regression over 1,986 women: neck base = 22.33 + 0.156 bust (cm); and 12.74 + 0.031 bust from nape
# to armpit. The medians by class come from the same women by another road.
def test_the_survey_chart_agrees_with_the_surveys_own_regressions() -> None:
    for body in chart("women-by-bust").sizes:
        cm = {r.name: r.value / 10 for r in body.readings}
        assert cm["neck_base"] == pytest.approx(22.33 + 0.156 * cm["bust"], abs=0.6)
        assert cm["scye_depth"] == pytest.approx(12.74 + 0.031 * cm["bust"], abs=0.6)
        assert cm["neck"] < cm["neck_base"]
