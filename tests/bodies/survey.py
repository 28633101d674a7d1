"""Real bodies: the ANSUR II survey in the measures of the catalogue, each by a rule that is written out.

The survey is the 2012 anthropometric survey of US Army personnel (NATICK/TR-15/007, approved for public
release): 1,986 women and 4,082 men. It measured soldiers, not dressmakers' clients, and not all that a
dressmaker measures. `RULES` has every measure that is used, how it comes about and why; a measure that is not
there is not made up, so a recipe's own rule stands in for it. Lengths in mm, angles in radians.
"""

from __future__ import annotations

import csv
import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import numpy as np

from scye.ir.people import Body, Reading
from scye.source import Source, Span
from scye.units.quantity import UNITS, Quantity

FILES = {"woman": "ANSUR_II_FEMALE_Public.csv", "man": "ANSUR_II_MALE_Public.csv"}

# What every rule may read: the survey's columns by name, each with one figure a body, and `man` (1 or 0).
Columns = Mapping[str, np.ndarray]


def folder() -> Path:
    """Where the survey should lie: beside the repository, or where SCYE_SHARED says."""
    beside = Path(__file__).resolve().parents[2].parent / "shared"
    return Path(os.environ.get("SCYE_SHARED", beside)) / "checks" / "bodies"


def absent() -> str:
    """Why the survey can't be read, or nothing if it can."""
    lacking = [name for name in FILES.values() if not (folder() / name).is_file()]
    if not lacking:
        return ""
    return f"the survey of real bodies is not here ({', '.join(lacking)} in checks/bodies of ../shared)"


@dataclass(frozen=True, slots=True)
class Rule:
    """How one measure comes from the survey. `why` says where the rule is from, or what it leaves out."""

    measure: str
    why: str
    of: Callable[[Columns], np.ndarray]


def _column(measure: str, column: str, why: str) -> Rule:
    return Rule(measure, why, lambda c: c[column])


# --- levels that several rules use ----------------------------------------------------------------


def waist_level(c: Columns) -> np.ndarray:
    """Height of the natural waist: midway between the lowest rib and the top of the hip bone.

    ISO 8559-1, 5.3.10 (as the catalogue of measures cites it). The survey's own waist is at the navel, some
    45 mm lower in women.
    """
    return (c["tenthribheight"] + c["iliocristaleheight"]) / 2


def above_navel(c: Columns) -> np.ndarray:
    """How far the natural waist lies above the navel, where the survey measured its waist."""
    return waist_level(c) - c["waistheightomphalion"]


def waist_to_hip(c: Columns) -> np.ndarray:
    return waist_level(c) - c["buttockheight"]


def high_hip_girth(c: Columns) -> np.ndarray:
    """Between the girths at the navel and at the seat, by how far down the level of the high hip lies."""
    level = waist_level(c) - waist_to_hip(c) / 2
    share = (c["waistheightomphalion"] - level) / (c["waistheightomphalion"] - c["buttockheight"])
    return c["waistcircumference"] + (c["buttockcircumference"] - c["waistcircumference"]) * share


def bust_depth(c: Columns) -> np.ndarray:
    """Down from the nape's level to the bust, and forward over it by 45 % of the depth of the chest."""
    down = c["cervicaleheight"] - c["chestheight"]
    return np.hypot(down, 0.45 * c["chestdepth"])


def bust_to_waist(c: Columns) -> np.ndarray:
    return c["chestheight"] - waist_level(c)


RULES = (
    # Girths
    _column("bust", "chestcircumference", "level, at the most: the same measure"),
    _column("chest", "chestcircumference", "level, at the most: what a man's recipe calls the same measure"),
    Rule(
        "underbust",
        "not in the survey; women 86 % of the bust, as on the cards of the acceptance scenarios (31 of "
        "36 in, 88 of 102 cm); men 95 %, common practice",
        lambda c: c["chestcircumference"] * np.where(c["man"] > 0, 0.95, 0.86),
    ),
    Rule(
        "waist",
        "the survey's is at the navel; women's natural waist 25 mm less, the median by which the medians of "
        "600 Spanish women (natural waist, busts 84 to 100 cm) lie under the survey's; men's the same",
        lambda c: c["waistcircumference"] - np.where(c["man"] > 0, 0.0, 25.0),
    ),
    Rule(
        "high_hip",
        "not in the survey; between the girths at the navel and the seat, by level",
        high_hip_girth,
    ),
    _column("hip", "buttockcircumference", "level, at the most of the seat: the same measure"),
    _column("neck", "neckcircumference", "under the larynx: the same measure"),
    _column("neck_base", "neckcircumferencebase", "round the base: the same measure"),
    _column(
        "trunk_loop", "verticaltrunkcircumferenceusa", "from the middle of the shoulder: the same measure"
    ),
    # Levels
    Rule("bust_to_waist", "difference of heights, to the natural waist", bust_to_waist),
    Rule("waist_to_hip", "difference of heights, from the natural waist", waist_to_hip),
    Rule(
        "waist_to_high_hip",
        "midway between waist and hip, as the catalogue cites ISO 8559-1, 5.3.12",
        lambda c: waist_to_hip(c) / 2,
    ),
    Rule(
        "waist_to_knee",
        "difference of heights, from the natural waist",
        lambda c: waist_level(c) - c["kneeheightmidpatella"],
    ),
    Rule("waist_to_floor", "the height of the natural waist", waist_level),
    _column("knee_to_floor", "kneeheightmidpatella", "the same measure"),
    _column("nape_to_floor", "cervicaleheight", "the height of the bone at the nape"),
    _column("stature", "stature", "the same measure"),
    # Bodice
    Rule(
        "nape_to_waist",
        "the survey's runs to the navel's level; less what the natural waist lies above it",
        lambda c: c["waistbacklength"] - above_navel(c),
    ),
    Rule(
        "centre_front_length",
        "the survey's is taken sitting, to the navel; less what the natural waist lies above it",
        lambda c: c["waistfrontlengthsitting"] - above_navel(c),
    ),
    Rule("bust_depth", "not in the survey; by heights and the depth of the chest, a proposal", bust_depth),
    Rule(
        "front_waist_length",
        "not in the survey; the depth of the bust and from there straight down to the waist",
        lambda c: bust_depth(c) + bust_to_waist(c),
    ),
    Rule(
        "back_waist_length_snp",
        "not in the survey; an inch over nape to waist, common practice",
        lambda c: c["waistbacklength"] - above_navel(c) + 25.4,
    ),
    Rule(
        "bust_span",
        "not in the survey; a fifth of the bust, common practice",
        lambda c: c["chestcircumference"] / 5,
    ),
    Rule(
        "scye_depth",
        "difference of heights from the nape to the fold of the arm",
        lambda c: c["cervicaleheight"] - c["axillaheight"],
    ),
    Rule(
        "side_length",
        "difference of heights from the fold of the arm to the natural waist",
        lambda c: c["axillaheight"] - waist_level(c),
    ),
    _column(
        "across_back", "interscyei", "of the survey's two the narrower, as its levels are not known for sure"
    ),
    Rule(
        "across_chest",
        "not in the survey; an inch less than across the back, as on the card of the first scenario",
        lambda c: c["interscyei"] - 25.4,
    ),
    # Shoulder and arm
    _column("shoulder_length", "shoulderlength", "side neck to shoulder bone: the same measure"),
    Rule(
        "shoulder_slope",
        "not in the survey; 20 degrees, common practice",
        lambda c: np.radians(20 + 0 * c["man"]),
    ),
    Rule(
        "shoulder_to_shoulder",
        "the survey's is straight from bone to bone; an inch more over the nape, common practice",
        lambda c: c["biacromialbreadth"] + 25.4,
    ),
    Rule(
        "armhole_girth",
        "not in the survey; 44 % of the bust, as on the card of the first scenario (16 of 36 in)",
        lambda c: c["chestcircumference"] * 0.44,
    ),
    _column("biceps", "bicepscircumferenceflexed", "the survey's is taken flexed, so it is the larger"),
    _column("elbow", "forearmcircumferenceflexed", "not in the survey; the forearm, flexed, stands for it"),
    _column("wrist", "wristcircumference", "the same measure"),
    _column("hand_girth", "handcircumference", "across the knuckles, without the thumb"),
    _column("arm_length", "sleeveoutseam", "shoulder bone to wrist: the same measure"),
    _column("arm_to_elbow", "acromionradialelength", "straight from bone to bone"),
    Rule(
        "inside_sleeve",
        "not in the survey; arm length less the height of the shoulder bone over the fold of the arm",
        lambda c: c["sleeveoutseam"] - (c["acromialheight"] - c["axillaheight"]),
    ),
    _column("nape_to_wrist", "sleevelengthspinewrist", "the same measure"),
    # Leg and seat
    Rule(
        "body_rise",
        "what the natural waist lies above the seat of the chair, from heights standing and sitting",
        lambda c: waist_level(c) - (c["stature"] - c["sittingheight"]),
    ),
    _column("inside_leg", "crotchheight", "height of the crotch: the same measure"),
    Rule("outside_leg", "the height of the natural waist, without the curve over the hip", waist_level),
    _column("thigh", "thighcircumference", "the same measure"),
    _column("knee", "lowerthighcircumference", "just above the knee, so it is the larger"),
    _column("calf", "calfcircumference", "the same measure"),
    _column("ankle", "anklecircumference", "above the bone"),
    _column("heel_and_instep", "heelanklecircumference", "the same measure"),
)


# --- reading --------------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def bodies() -> tuple[Body, ...]:
    """All 6,068 bodies in the order of the files, the women first."""
    return tuple(body for kind in FILES for body in _read(kind))


def _read(kind: str) -> Iterator[Body]:
    with (folder() / FILES[kind]).open(encoding="latin-1", newline="") as file:
        rows = list(csv.DictReader(file))
    columns = {name: _numbers(rows, name) for name in rows[0] if _measured(rows[0][name])}
    columns["man"] = np.full(len(rows), 1.0 if kind == "man" else 0.0)
    figures = {rule.measure: rule.of(columns).tolist() for rule in RULES}
    key = next(iter(rows[0]))
    for i, row in enumerate(rows):
        yield body_of(f"{kind}-{row[key]}", {name: values[i] for name, values in figures.items()})


def _measured(text: str) -> bool:
    return text.isdigit()


def _numbers(rows: list[dict[str, str]], name: str) -> np.ndarray:
    return np.array([float(row[name]) if _measured(row[name]) else np.nan for row in rows])


def body_of(code: str, figures: Mapping[str, float]) -> Body:
    """A body with these measures (mm, radians), each taken with care."""
    span = Span(Source(code, ""), 0, 0)
    readings = tuple(
        Reading(name, value, _written(name, value), span, times=3) for name, value in figures.items()
    )
    return Body(code, "", "cm", readings, (), span)


def _written(name: str, value: float) -> Quantity:
    if name == "shoulder_slope":
        return Quantity(Fraction(np.degrees(value)), UNITS["deg"])
    return Quantity(Fraction(value), UNITS["mm"])
