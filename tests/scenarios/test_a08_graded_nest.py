"""A8: a graded nest with uneven steps (acceptance scenario, figures invented).

In: base bust 36; sizes 32, 34, 36, 38 1/2, 41, 44, with waist, hip and back length similarly uneven. Notches
at apex level and waist; the nest is aligned at centre front and waist.
"""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from scye.driver import run_build
from scye.ir.requests import BuildRequest, ExitCode, Outcome
from workroom import INCH

HERE = Path(__file__).parent
SIZES = ["32", "34", "36", "38-half", "41", "44"]
STEPS = [2, 2, 2.5, 2.5, 3]
FROM_BASE = [-4, -2, 0, 2.5, 5, 8]
QUARTERS = [-1, -0.5, 0, 0.625, 1.25, 2]


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Outcome, Path]:
    return build(tmp_path_factory.mktemp("a08"))


@pytest.fixture(scope="module")
def grade(run: tuple[Outcome, Path]) -> dict[str, Any]:
    return read(run[1])["grade"]  # type: ignore[no-any-return]


def build(out: Path, *settings: tuple[str, str], sizes: tuple[str, ...] = ()) -> tuple[Outcome, Path]:
    recipe, chart = HERE / "uneven-steps.scye", HERE / "uneven-steps.yaml"
    request = BuildRequest(recipe, (), chart, sizes, settings, None, out)
    outcome = run_build(request, lambda _line: None)
    assert outcome.exit_code is ExitCode.GOOD, [d.seen() for d in outcome.diagnostics]
    return outcome, out


def read(out: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((out / "pattern.json").read_text(encoding="utf-8"))
    return found


def inches(figures: list[float]) -> list[float]:
    return [figure / INCH for figure in figures]


def test_steps_are_those_of_the_chart_and_moves_are_from_the_base(grade: dict[str, Any]) -> None:
    assert (grade["base"], grade["sizes"]) == ("36", SIZES)
    bust = grade["measures"]["bust"]
    assert inches(bust["steps"]) == pytest.approx(STEPS, abs=1e-5)
    assert inches(bust["moves"]) == pytest.approx(FROM_BASE, abs=1e-5)


def test_a_quarter_takes_a_quarter_of_each_move(grade: dict[str, Any]) -> None:
    """Refused: a flat 2 in, which would be out by 1/2, 1 and 2 in."""
    assert inches(grade["amounts"]["quarter"]["moves"]) == pytest.approx(QUARTERS, abs=1e-5)
    for draft in ("front", "back"):
        scye = grade["points"][f"{draft}.scye right"]
        assert inches(scye["moves"]) == pytest.approx(QUARTERS, abs=1e-5)
        assert inches(scye["steps"]) == pytest.approx([s / 4 for s in STEPS], abs=1e-5)


def test_the_grade_table_is_printed_in_the_makers_fractions(run: tuple[Outcome, Path]) -> None:
    page = (run[1] / "grade.html").read_text(encoding="utf-8")
    row = re.search(r'<th scope="row">quarter</th>(.*?)</tr>', page)
    assert row is not None
    cells = re.findall(r"<td[^>]*>([^<]*)</td>", row[1])
    moves = ["-1", "-1/2", "0", "+5/8", "+1 1/4", "+2"]
    assert cells == ["9", *moves, "+1/2", "+1/2", "+5/8", "+5/8", "+3/4"]


def test_a_size_is_the_same_in_any_company(tmp_path: Path, run: tuple[Outcome, Path]) -> None:
    """Nothing is stepped from size to size: 44 with the base alone is 44 of the whole run, to the byte."""
    _, out = build(tmp_path / "two", sizes=("36", "44"))
    whole, two = read(run[1]), read(out)
    assert two["bodies"][1] == whole["bodies"][5]
    assert (out / "44-sheet.pdf").read_bytes() == (run[1] / "44-sheet.pdf").read_bytes()
    ends = [figures[0] for figures in (two["grade"]["amounts"]["quarter"]["steps"],)]
    assert inches(ends) == pytest.approx([2])


def test_every_size_is_proved_on_a_sheet_of_its_own(run: tuple[Outcome, Path]) -> None:
    """Refused: only the base size walked."""
    bodies = read(run[1])["bodies"]
    assert [body["body"] for body in bodies] == SIZES
    page = (run[1] / "grade.html").read_text(encoding="utf-8")
    for body in bodies:
        assert {x["verdict"] for x in (*body["seams"], *body["proofs"])} == {"walks true"}
        sheet = f"{body['body']}-proof.html"
        assert (run[1] / sheet).is_file()
        assert f'<a href="{sheet}">' in page
    assert page.count('<td class="figure">2 of 2</td>') == 3 * len(SIZES)


def test_notches_at_apex_level_and_waist_are_in_every_size(run: tuple[Outcome, Path]) -> None:
    for body in read(run[1])["bodies"]:
        for piece in body["pieces"]:
            assert [(n["name"], n["strokes"]) for n in piece["notches"]] == [
                ("apex line", 2),
                ("waist line", 1),
            ]


def test_the_nest_is_aligned_at_centre_front_and_waist(
    run: tuple[Outcome, Path], grade: dict[str, Any]
) -> None:
    for point in ("front.waist_cf right", "front.waist_cf down", "back.waist_cb right", "back.waist_cb down"):
        assert grade["points"][point]["moves"] == [0] * 6
    up = inches(grade["points"]["front.neck down"]["moves"])
    assert up == pytest.approx([0.25, 0.125, 0, -0.125, -0.25, -0.5], abs=1e-5)
    nest = (run[1] / "nest.svg").read_text(encoding="utf-8")
    assert "all sizes laid at where front centre front meets front waist line" in nest


def test_sizes_are_told_apart_by_line_as_well_as_by_colour(run: tuple[Outcome, Path]) -> None:
    nest = (run[1] / "nest.svg").read_text(encoding="utf-8")
    looks = {}
    for size in SIZES:
        group = nest[nest.index(f'id="size-{size}"') :]
        line = re.search(r'<g class="stitch"><path d="[^"]*" ([^/]*)/>', group)
        assert line is not None
        looks[size] = dict(re.findall(r'([a-z-]+)="([^"]*)"', line[1]))
    assert len({look.get("stroke-dasharray") for look in looks.values()}) == len(SIZES)
    assert len({look["stroke"] for look in looks.values()}) == len(SIZES)
    assert looks["36"] == {"stroke": "#000000", "stroke-width": "0.7"}
    assert all(float(looks[size]["stroke-width"]) < 0.7 for size in SIZES if size != "36")
    # Each has its name once in the key and once beside each piece.
    names = [text.removesuffix(" (base)") for text in re.findall(r"<text [^>]*>([^<]*)</text>", nest)]
    assert [names.count(size) for size in SIZES] == [3] * len(SIZES)


def test_a_clean_run_has_nothing_that_turns_back(grade: dict[str, Any]) -> None:
    """All that is told is that the side seam shortens from size to size: by the rule, and no fault."""
    assert [(f["code"], f["severity"]) for f in grade["findings"]] == [("E1008", "note")]
    assert "shrinks between 32 and 44" in grade["findings"][0]["text"]


def test_a_point_or_length_against_the_trend_is_told(tmp_path: Path) -> None:
    outcome, out = build(tmp_path, ("stout_rule", "yes"))
    found = {f["text"] for f in read(out)["grade"]["findings"]}
    assert (
        "Front: armhole and Back: armhole shrink between 41 and 44 (most: 7/32 in) while the bust grows"
        in found
    )
    assert "front: scye moves up between 41 and 44 (1/2 in), over all the sizes down" in found
    assert any("armhole" in line and line.startswith("  caution: ") for line in outcome.lines)


def test_lines_cross_only_where_their_ends_do(run: tuple[Outcome, Path]) -> None:
    """The neck goes wider and, from the waist, higher, so its lines cross once: said, and no fault."""
    page = (run[1] / "grade.html").read_text(encoding="utf-8")
    crossed = re.findall(r"<li>([^<]*)</li>", page)
    assert len(crossed) == len(set(crossed)) > 0
    for smaller, larger in pairwise(SIZES):
        words = f"Front: neckline: {smaller} and {larger} cross once"
        assert any(
            line.startswith(words) and "its ends move to opposite sides of it" in line for line in crossed
        )
    assert not any("see the findings" in line for line in crossed)
