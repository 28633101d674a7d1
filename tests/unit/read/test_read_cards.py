"""Measure cards: what a good card becomes. What is said of bad ones is in tests/errors/cards."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from scye.diagnostics.cards import BadCode, BadDate
from scye.ir.people import Body, Catalogue, ChoiceText
from scye.read.cards import cross_check, read_card
from scye.source import Source

CARDS = sorted((Path(__file__).parents[3] / "examples" / "cards").glob("*.yaml"))


def card(catalogue: Catalogue, measures: str, *, head: str = "") -> Body:
    text = f"client: wren\ndate: 2024-03-05\nunit: in\n{head}measures: {{{measures}}}\n"
    body, found = read_card(Source("wren.yaml", text), catalogue)
    assert body is not None, found
    return body


def values(body: Body) -> dict[str, float]:
    return {f"{r.name}.{r.side}" if r.side else r.name: r.value for r in body.readings}


def test_a_figure_takes_the_unit_of_the_card_or_names_its_own(catalogue: Catalogue) -> None:
    body = card(catalogue, "bust: 36 1/2, waist: 71 cm, hip: 965 mm, shoulder_slope: 20 deg")
    read = values(body)
    assert read["bust"] == 927.1
    assert read["waist"] == 710
    assert read["hip"] == 965
    assert read["shoulder_slope"] == pytest.approx(0.349066, abs=1e-6)
    assert body.readings[0].written.value == Fraction(73, 2)
    assert body.readings[0].span.text == "36 1/2"
    assert (body.code, body.date, body.unit) == ("wren", "2024-03-05", "in")


def test_another_name_of_a_measure_is_read_as_the_measure(catalogue: Catalogue) -> None:
    assert list(values(card(catalogue, "high_bust: 34"))) == ["upper_bust"]


def test_how_often_is_said_for_the_card_or_for_a_measure(catalogue: Catalogue) -> None:
    body = card(catalogue, "bust: 36, waist: {value: 28, times: 1}", head="times: 3\n")
    assert [r.times for r in body.readings] == [3, 1]
    assert card(catalogue, "bust: 36").readings[0].times is None


def test_halves_of_a_girth_add_to_the_whole(catalogue: Catalogue) -> None:
    body = card(catalogue, "waist: {left: 14 3/4, right: 15 1/4}")
    assert values(body) == {"waist": 762.0, "waist.left": 374.65, "waist.right": 387.35}
    assert body.readings[0].written.value == 30


def test_halves_in_different_units_add_in_millimetres(catalogue: Catalogue) -> None:
    body = card(catalogue, "waist: {left: 15, right: 38 cm}")
    assert values(body)["waist"] == pytest.approx(761.0)
    assert body.readings[0].written.value == 761


def test_a_pair_that_differs_has_no_common_value_unless_given(catalogue: Catalogue) -> None:
    assert list(values(card(catalogue, "wrist: {left: 6, right: 6 1/4}"))) == ["wrist.left", "wrist.right"]
    assert values(card(catalogue, "wrist: {left: 6, right: 6}"))["wrist"] == pytest.approx(152.4)
    given = values(card(catalogue, "wrist: {value: 6 1/8, left: 6, right: 6 1/4}"))
    assert given["wrist"] == pytest.approx(155.575)


def test_choices_stay_text_and_notes_are_sentences(catalogue: Catalogue) -> None:
    text = (
        "client: wren\nunit: in\nmeasured_by: the studio\nover: own bra\nnotes: [one, two\n  lines]\n"
        "measures: {bust: 36}\nchoices:\n  yoke: No\n  gap: 5 cm\n"
    )
    body, _ = read_card(Source("wren.yaml", text), catalogue)
    assert body is not None
    assert [(c.name, c.text) for c in body.choices] == [("yoke", "No"), ("gap", "5 cm")]
    assert isinstance(body.choices[0], ChoiceText)
    assert body.notes == ("Measured by the studio", "Measured over own bra", "one", "two lines")


@pytest.mark.parametrize("code", ["wren", "Wren-2", "w_3", "7", "a" * 64])
def test_codes_that_may_name_files(catalogue: Catalogue, code: str) -> None:
    body, _ = read_card(Source("x", f"client: {code}\nunit: in\nmeasures: {{bust: 36}}\n"), catalogue)
    assert body is not None
    assert body.code == code


@pytest.mark.parametrize(
    "code", ["../wren", "a/b", "a\\b", ".", "-wren", "_w", "wren.yaml", "a b", "é", "nul", "COM1", "a" * 65]
)
def test_codes_that_may_not(catalogue: Catalogue, code: str) -> None:
    body, found = read_card(Source("x", f"client: {code}\nunit: in\nmeasures: {{bust: 36}}\n"), catalogue)
    assert body is None
    assert [type(d) for d in found if d.code == BadCode.code] == [BadCode]


@pytest.mark.parametrize(
    "day", ["2024-02-30", "5.3.2024", "20240305", "2024-W10-2", "2024-3-5", "٢٠٢٤-03-05"]
)
def test_dates_are_year_month_and_day(catalogue: Catalogue, day: str) -> None:
    text = f"client: wren\ndate: {day}\nunit: in\nmeasures: {{bust: 36}}\n"
    body, found = read_card(Source("x", text), catalogue)
    assert body is None
    assert [d.code for d in found] == [BadDate.code]


# What each example card is meant to show; all others have nothing to say.
REMARKS = {"linnet": ["E831", "E832", "E833"]}


@pytest.mark.parametrize("path", CARDS, ids=lambda p: p.stem)
def test_example_cards_say_what_they_are_meant_to(path: Path, catalogue: Catalogue) -> None:
    body, found = read_card(Source(path.name, path.read_text(encoding="utf-8")), catalogue)
    assert body is not None
    assert found == []
    assert body.code == path.stem
    assert [d.code for d in cross_check(body, catalogue)] == REMARKS.get(path.stem, [])
    assert any("Invented" in note for note in body.notes)


# Enough for a bodice with sleeves, a skirt and trousers.
NEEDED = [
    "bust",
    "upper_bust",
    "underbust",
    "waist",
    "high_hip",
    "hip",
    "bust_to_underbust",
    "bust_to_waist",
    "waist_to_high_hip",
    "waist_to_hip",
    "nape_to_waist",
    "bust_depth",
    "bust_span",
    "side_length",
    "scye_depth",
    "across_chest",
    "across_back",
    "shoulder_length",
    "shoulder_slope",
    "neck_base",
    "biceps",
    "wrist",
    "arm_length",
    "body_rise",
    "inside_leg",
    "outside_leg",
    "waist_to_knee",
    "waist_to_floor",
]


WOMEN = [path for path in CARDS if path.stem not in ("heron", "wagtail")]  # a man, a child: bodies only


@pytest.mark.parametrize("path", WOMEN, ids=lambda p: p.stem)
def test_every_example_card_has_what_a_draft_needs(path: Path, catalogue: Catalogue) -> None:
    body, _ = read_card(Source(path.name, path.read_text(encoding="utf-8")), catalogue)
    assert body is not None
    whole = {r.name for r in body.readings if r.side is None}
    assert set(NEEDED) - whole == set()


def test_there_are_cards_in_inches_and_in_centimetres(catalogue: Catalogue) -> None:
    bodies = [read_card(Source(p.name, p.read_text(encoding="utf-8")), catalogue)[0] for p in CARDS]
    units = [b.unit for b in bodies if b is not None]
    assert len(units) >= 7
    assert set(units) == {"in", "cm"}
