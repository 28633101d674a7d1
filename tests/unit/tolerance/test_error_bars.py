"""Error bars carried to figures: exact for straight sums, by steps where something is rounded; the words."""

from __future__ import annotations

import json
import math
from pathlib import Path

import jsonschema
import pytest

from scye.driver import Compiler, run_build
from scye.ir.pattern import Pattern
from scye.ir.people import Body
from scye.ir.requests import BuildRequest
from scye.ir.sureness import Doubt
from scye.project import open_card, open_project
from scye.render.pattern_json import pattern_schema
from scye.tolerance.bars import moved
from workroom import ROOT, Workroom

INCH = 25.4
PIECE = """
draft front
  begin at cf
  plumb centre through cf
  level top through cf
  level bottom from cf down long
  mark side_top from cf right wide
  line side from side_top to (side_top) down long
  line across from cf to side_top
  line hem from cf down long to (side_top) down long
  line middle from cf to cf down long

piece panel "Front"
  bounded by middle, across, side, hem
  cut 1 of self
  grain down
  net on middle, across, side, hem
"""


def drafted(folder: Path, recipe: str, card: str) -> Pattern:
    (folder / "recipe.scye").write_text(recipe, encoding="utf-8")
    (folder / "card.yaml").write_text(card, encoding="utf-8")
    project = open_project(folder / "recipe.scye")
    assert project.sound, [d.seen() for d in project.diagnostics]
    body, found = open_card(folder / "card.yaml", project.catalogue)
    assert body is not None, [d.seen() for d in found]
    compiler = Compiler(project)
    order, _ = compiler.order(body, ())
    compiler.compiled(order.settled)
    (pattern,) = compiler.patterns([order], None, lambda _line: None, sure=True)
    return pattern


def card(times: str = "times: 3\n", **measures: str) -> str:
    rows = "".join(f"  {name}: {value}\n" for name, value in measures.items())
    return f"client: heron\ndate: 2024-03-05\nunit: in\n{times}measures:\n{rows}"


def doubt(pattern: Pattern, name: str) -> Doubt:
    assert pattern.sure is not None
    return next(d for d in pattern.sure.doubts if d.name == name)


STRAIGHT = """recipe "Straight"
  edition 1
needs bust, waist
wide = (bust + 2 in) / 4 - waist / 8
long = 10 in
"""


def test_a_straight_sum_has_its_exact_slopes(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, STRAIGHT + PIECE, card(bust="36", waist="28"))
    slopes = {part.measure: part.slope for part in doubt(pattern, "wide").parts}
    assert slopes == {"bust": pytest.approx(0.25, abs=1e-11), "waist": pytest.approx(-0.125, abs=1e-11)}


def test_independent_errors_add_as_squares(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, STRAIGHT + PIECE, card(bust="36", waist="28"))
    assert doubt(pattern, "wide").out == pytest.approx(math.hypot(9 / 4, 9 / 8))


@pytest.mark.parametrize(("times", "factor"), [("times: 3\n", 1.0), ("times: 1\n", 2.0), ("", 2.0)])
def test_a_measure_taken_once_or_nobody_knows_counts_double(
    tmp_path: Path, times: str, factor: float
) -> None:
    pattern = drafted(tmp_path, STRAIGHT + PIECE, card(times, bust="36", waist="28"))
    assert doubt(pattern, "wide").out == pytest.approx(factor * math.hypot(9 / 4, 9 / 8))


@pytest.mark.parametrize(
    ("times", "because"),
    [
        ("times: 1\n", "because the bust was taken once"),
        ("", "because it isn't said how often the bust was taken"),
        ("times: 3\n", "because the bust may be 3/8 in out"),
    ],
)
def test_the_words_say_why(tmp_path: Path, times: str, because: str) -> None:
    recipe = STRAIGHT.replace(" - waist / 8", "") + PIECE
    pattern = drafted(tmp_path, recipe, card(times, bust="36", waist="28"))
    text = doubt(pattern, "wide").text
    out = {"times: 3\n": "1/16 in"}.get(times, "3/16 in")
    assert text == f"wide could be {out} out {because}"


def test_what_matters_for_a_piece(tmp_path: Path) -> None:
    recipe = STRAIGHT.replace("long = 10 in", "long = waist / 4") + PIECE
    pattern = drafted(tmp_path, recipe, card(bust="36", waist="28"))
    assert pattern.sure is not None
    (piece,) = pattern.sure.pieces
    # Two edges move by a quarter of the bust less an eighth of the waist, two by a quarter of the waist.
    bust, waist = 2 / 16, 2 / 64 + 2 / 16
    shares = dict(piece.shares)
    assert shares["bust"] == pytest.approx(bust / (bust + waist), rel=1e-6)
    assert piece.text == "waist 56 %, bust 44 %"


# --- steps ------------------------------------------------------------------------------------


def rounded(folder: Path, bust: str, times: str = "times: 3\n") -> Pattern:
    recipe = STRAIGHT.replace("(bust + 2 in) / 4 - waist / 8", "bust / 4 rounded to 1/2 in")
    return drafted(folder, recipe + PIECE, card(times, bust=bust, waist="28"))


def test_a_rounding_near_its_edge_is_told_as_a_step(tmp_path: Path) -> None:
    wide = doubt(rounded(tmp_path, "36 7/8"), "wide")  # 9 7/32 in: 1/32 in short of the next half inch
    (part,) = wide.parts
    assert part.stepped
    assert wide.out == pytest.approx(INCH / 2)
    assert wide.text == (
        "wide could be 1/2 in out: it goes by steps, and the bust may reach the next within 3/8 in"
    )


def test_a_rounding_far_from_its_edge_is_no_slope_of_nought(tmp_path: Path) -> None:
    wide = doubt(rounded(tmp_path, "36"), "wide")  # 9 in: an inch of bust away from the next
    (part,) = wide.parts
    assert part.stepped
    assert (part.moves, wide.out) == (0.0, 0.0)
    assert wide.text == "wide goes by steps: the bust reaches no other within 3/8 in"


def test_a_comparison_is_a_step_as_well(tmp_path: Path) -> None:
    recipe = STRAIGHT.replace("(bust + 2 in) / 4 - waist / 8", "9 in if bust > 36 in otherwise 8 in")
    wide = doubt(drafted(tmp_path, recipe + PIECE, card(bust="36 1/8", waist="28")), "wide")
    assert wide.parts[0].stepped
    assert wide.out == pytest.approx(INCH)


def test_a_rule_that_is_not_used_makes_no_steps(tmp_path: Path) -> None:
    recipe = (
        'recipe "Ruled"\n  edition 1\nneeds bust\nneeds scye_depth otherwise bust / 6 rounded to 1/2 in\n'
        "wide = bust / 4\nlong = scye_depth\n"
    )
    taken = drafted(tmp_path, recipe + PIECE, card(bust="36", scye_depth="7 3/4"))
    assert [(p.measure, p.stepped) for p in doubt(taken, "long").parts] == [("scye_depth", False)]
    ruled = drafted(tmp_path, recipe + PIECE, card(bust="36"))
    assert [(p.measure, p.stepped) for p in doubt(ruled, "long").parts] == [("bust", True)]


# --- through unknowns and curves ----------------------------------------------------------------


def test_through_a_find_and_curves() -> None:
    """A sleeve whose cap is found to fit its armhole, by Richardson's extrapolation on fresh drafts."""
    project = open_project(ROOT / "examples" / "07-find" / "07-find.scye")
    body, _ = open_card(ROOT / "examples" / "cards" / "linnet.yaml", project.catalogue)
    assert body is not None
    compiler = Compiler(project)

    def fresh(other: Body, sure: bool = False) -> Pattern:
        order, _ = compiler.order(other, ())
        compiler.compiled(order.settled)
        (pattern,) = compiler.patterns([order], None, lambda _line: None, sure=sure)
        return pattern

    pattern = fresh(body, sure=True)
    for measure, wide in (("bust", 0.8), ("biceps", 0.8), ("scye_depth", 0.8), ("shoulder_slope", 0.004)):
        runs = [fresh(moved(body, measure, o)) for o in (wide, -wide, wide / 2, -wide / 2)]
        up, down, near_up, near_down = (cap_height(run) for run in runs)
        slope = (4.0 * (near_up - near_down) / wide - (up - down) / (2.0 * wide)) / 3.0
        ours = {part.measure: part.slope for part in doubt(pattern, "cap_height").parts}
        assert ours[measure] == pytest.approx(slope, rel=1e-4), measure


def cap_height(pattern: Pattern) -> float:
    return next(v.value for v in pattern.values if v.name == "cap_height")


# --- rules beside the tape ----------------------------------------------------------------------

RULED = (
    'recipe "Ruled"\n  edition 1\nneeds bust\nneeds scye_depth otherwise bust / 6 + 2 3/8 in\n'
    "wide = bust / 4\nlong = scye_depth\n"
)


def test_the_rule_stands_beside_the_tape(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, RULED + PIECE, card(bust="36", scye_depth="7 3/4"))
    (beside,) = pattern.beside
    assert beside.text == "rule gives scye depth 8 3/8 in, you measured 7 3/4 in, using the tape"
    assert beside.rule - beside.tape == pytest.approx(5 / 8 * INCH)
    # 5/8 in is 15.9 mm, more than three times the 5 mm of a length taken with care.
    assert beside.far
    (note,) = [f for f in pattern.findings if f.code == "E1310"]
    assert note.text == f"{beside.text}; 5/8 in apart"
    assert next(v for v in pattern.values if v.name == "long").value == pytest.approx(7.75 * INCH)


def test_a_rule_near_the_tape_is_shown_without_a_note(tmp_path: Path) -> None:
    pattern = drafted(tmp_path, RULED + PIECE, card(bust="36", scye_depth="8 1/4"))
    assert [beside.far for beside in pattern.beside] == [False]
    assert not [f for f in pattern.findings if f.code == "E1310"]


def test_without_the_tape_there_is_nothing_to_set_beside_it(tmp_path: Path) -> None:
    assert drafted(tmp_path, RULED + PIECE, card(bust="36")).beside == ()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bodice for Wren, as the command line makes it."""
    workroom = Workroom(tmp_path_factory.mktemp("built"))
    _, out = workroom.build(ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye", "wren")
    return out


def test_the_sheet_has_it_all(built: Path) -> None:
    html = next(built.rglob("*proof.html")).read_text(encoding="utf-8")
    assert '<h2 id="sure">How sure</h2>' in html
    assert "taken to be independent" in html
    assert "Rule gives bust to waist 7 1/4 in, you measured 7 1/4 in, using the tape." in html


def test_the_machine_readable_result_has_it_all_by_its_schema(built: Path) -> None:
    whole = json.loads(next(built.rglob("pattern.json")).read_text(encoding="utf-8"))
    jsonschema.validate(whole, json.loads(pattern_schema()))
    (body,) = whole["bodies"]
    laced = next(f for f in body["tolerance"]["figures"] if f["name"] == "laced waist")
    assert laced == {
        "what": "proof",
        "name": "laced waist",
        "unit": "mm",
        "out": pytest.approx(9.0, abs=1e-3),
        "because": [
            {"measure": "waist", "slope": pytest.approx(1.0, abs=1e-3), "moves": pytest.approx(9.0, abs=1e-3)}
        ],
    }
    rules = {row["measure"]: row for row in body["rules_beside_tape"]}
    assert rules["bust_to_waist"]["tape"] == pytest.approx(7.25 * INCH, abs=1e-3)
    assert rules["bust_to_waist"]["rule"] == pytest.approx((36 / 12 + 4.25) * INCH, abs=1e-3)
    assert rules["bust_to_waist"]["far"] is False


def test_a_chart_has_no_error_bars(tmp_path: Path) -> None:
    recipe = tmp_path / "recipe.scye"
    recipe.write_text(STRAIGHT + PIECE, encoding="utf-8")
    chart = ROOT / "stdlib" / "charts" / "us-misses.yaml"
    request = BuildRequest(recipe, (), chart, ("12",), (), None, tmp_path / "out")
    run_build(request, lambda _line: None)
    (body,) = json.loads(next(tmp_path.rglob("pattern.json")).read_text(encoding="utf-8"))["bodies"]
    assert body["tolerance"] is None
    assert body["rules_beside_tape"] == []


def test_a_body_of_two_sides_has_error_bars_too(tmp_path: Path) -> None:
    text = (ROOT / "examples" / "cards" / "wren.yaml").read_text(encoding="utf-8")
    text = text.replace("shoulder_length: 4 7/8", "shoulder_length: {value: 4 7/8, left: 4 3/4, right: 5}")
    recipe = ROOT / "examples" / "07-find" / "07-find.scye"
    pattern = drafted(tmp_path, recipe.read_text(encoding="utf-8"), text)
    assert pattern.sure is not None
    assert "shoulder_length" in {bar.measure for bar in pattern.sure.bars}
    assert all(math.isfinite(d.out) for d in pattern.sure.doubts)
