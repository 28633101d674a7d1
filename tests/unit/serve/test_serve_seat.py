"""One page at the desk: what it is answered, without a server."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest

from scye.ir.serving import ServeRequest
from scye.library import library_at
from scye.serve import wishes as w
from scye.serve.desk import Desk
from scye.serve.seat import Seat
from scye.serve.site import worked_out

ROOT = Path(__file__).resolve().parents[3]
YOKED = ROOT / "recipes" / "yoked-bodice" / "yoked-bodice.scye"
CARDS = ROOT / "examples" / "cards"
MISSES = ROOT / "stdlib" / "charts" / "us-misses.yaml"
SKIRT = """\
recipe "Skirt"
  edition 1

needs waist, hip
choose skirt_length = 24 in from 15 in to 40 in "waist to hem"
choose lined = yes

draft skirt
  begin at waist_cf
  plumb centre_front through waist_cf
  level waist_line through waist_cf
  level hem_line from waist_line down skirt_length
  plumb side from centre_front right hip / 4
  mark dart_place from waist_cf right 4 in
  dart waist_dart on waist_line at dart_place
    to dart_place down 4 in
    intake hip / 4 - waist / 4
    pressed toward waist_cf

piece front "Front"
  bounded by centre_front, waist_line, side, hem_line
  cut 1 of self on fold at centre_front
  grain down
  allow 1/2 in on side, waist_line
  allow 2 in on hem_line turned back
"""
CARD = "client: {}\ndate: 2026-03-02\nunit: in\nmeasures:\n  waist: {}\n  hip: {}\n"


@pytest.fixture
def skirt(tmp_path: Path) -> Path:
    folder = tmp_path / "skirt"
    folder.mkdir()
    (folder / "skirt.scye").write_text(SKIRT, encoding="utf-8")
    for code, waist, hip in (("dunlin", "27", "37"), ("wren", "28", "38")):
        (folder / f"{code}.yaml").write_text(CARD.format(code, waist, hip), encoding="utf-8")
    return folder / "skirt.scye"


def desk_for(recipe: Path, **asked: Any) -> Desk:
    usual = {"cards": (), "chart": None, "sizes": (), "settings": (), "units": None}
    return Desk(ServeRequest(recipe, **{**usual, **asked}))


def sat(recipe: Path, **asked: Any) -> tuple[Seat, dict[str, Any]]:
    """A seat, and the last message of each kind that it began with."""
    seat = Seat(desk_for(recipe, **asked))
    return seat, by_kind(seat.arrive())


def by_kind(messages: Any) -> dict[str, Any]:
    return {m["is"]: json.loads(json.dumps(m)) for m in messages}


def drawn(
    seat: Seat,
    body: str,
    measures: Mapping[str, str] = MappingProxyType({}),
    choices: Mapping[str, str] = MappingProxyType({}),
    under: tuple[str, ...] = (),
) -> dict[str, Any]:
    wish = w.Draw(1, body, tuple(measures.items()), tuple(choices.items()), under, "in")
    return by_kind(seat.answer(wish))


# --- beginning ----------------------------------------------------------------------------------


def test_cards_beside_the_recipe_are_taken_when_none_is_named(skirt):
    _, said = sat(skirt)
    assert [code for code, _ in said["controls"]["bodies"]] == ["dunlin", "wren"]
    assert said["controls"]["body"] == "dunlin"
    assert list(said["drawing"]["pieces"]) == ["front"]


@pytest.mark.parametrize("recipe", sorted((ROOT / "recipes").glob("*/*.scye")), ids=lambda p: p.stem)
def test_every_published_recipe_is_drawn_at_once_without_a_card(recipe):
    _, said = sat(recipe)
    assert said["drawing"]["missing"] == []
    assert {f["severity"] for f in said["drawing"]["findings"]} <= {"note"}


@pytest.mark.parametrize(("name", "sample"), [("yoked-bodice", "wren"), ("mens-shirt-body", "heron")])
def test_a_sample_that_suits_the_recipe_is_taken(name, sample):
    seat, _ = sat(ROOT / "recipes" / name / f"{name}.scye")
    assert seat.draft.pattern.body == sample


def test_a_body_whose_sides_differ_has_right_and_left_pieces():
    """Each is told as its recipe's piece is, and has nothing laid over it, since it may lie mirrored."""
    seat, said = sat(YOKED, cards=(CARDS / "dunlin-2026.yaml", CARDS / "wren.yaml"))
    assert said["drawing"]["missing"] == []
    assert {"right_front_side", "left_front_side"} <= set(said["drawing"]["order"])
    (told,) = seat.answer(w.Ask("left_front_side", "armhole"))
    assert told["statement"].startswith("curve armhole from sp to underarm")
    drawn(seat, "dunlin", under=("wren",))
    (along,) = seat.answer(w.Along("right_front_side", "armhole", "start", "end"))
    assert along["along"].endswith(" in")


def test_a_chart_begins_with_its_base_size_and_offers_the_sizes_asked_for():
    _, said = sat(YOKED, chart=MISSES, sizes=("10", "12", "14"))
    assert [code for code, _ in said["controls"]["bodies"]] == ["10", "12", "14"]
    assert said["controls"]["body"] == "12"


# --- controls -----------------------------------------------------------------------------------


def test_measures_have_their_words_range_and_rule():
    _, said = sat(YOKED, cards=(CARDS / "plover.yaml",))
    controls = {c["name"]: c for c in said["controls"]["measures"]}
    assert controls["bust"]["title"] == "Bust"
    assert controls["bust"]["low"] < controls["bust"]["value"] < controls["bust"]["high"]
    ruled = [c for c in controls.values() if c["value"] is None]
    assert all(c["rule"] for c in ruled)


def test_choices_have_their_sentence_range_and_kind():
    _, said = sat(YOKED, settings=(("ease", "2 in"),))
    controls = {c["name"]: c for c in said["controls"]["choices"]}
    assert controls["ease"]["tag"] == "mm"
    assert controls["ease"]["value"] == pytest.approx(50.8)
    assert (controls["ease"]["low"], controls["ease"]["high"]) == (0, pytest.approx(101.6))
    assert controls["ease"]["sentence"] == "round the bust"
    assert controls["side_darts"]["tag"] == "count"
    assert controls["yoke"]["tag"] == "yes"
    assert controls["ends"]["words"] == ["top", "skirt"]


# --- drawing ------------------------------------------------------------------------------------


def test_only_pieces_that_changed_are_sent():
    seat, _ = sat(YOKED, cards=(CARDS / "wren.yaml",))
    said = drawn(seat, "wren", {"waist": "29 in"})
    assert set(said["drawing"]["pieces"]) == {"front_centre", "front_side", "back_panel"}
    assert drawn(seat, "wren", {"waist": "29 in"})["drawing"]["pieces"] == {}


def test_a_moved_measure_is_said_on_the_sheets_and_not_held_against_the_card():
    seat, _ = sat(YOKED, cards=(CARDS / "wren.yaml",))
    said = drawn(seat, "wren", {"waist": "31 in"})
    assert said["drawing"]["missing"] == []
    assert seat.draft.pattern.body == "wren (tried)"


def test_a_measure_without_a_text_is_left_to_the_rule():
    seat, _ = sat(YOKED, cards=(CARDS / "wren.yaml",))
    drawn(seat, "wren", {"underbust": ""})
    (told,) = seat.answer(w.Tell())
    assert told["ruled"]["underbust"] == pytest.approx(36 * 25.4 * 0.86)


@pytest.mark.parametrize(("text", "code"), [("soft", "E2105"), ("20 deg", "E2105"), ("-3 in", "E2105")])
def test_a_measure_that_is_none_is_said_and_the_drawing_stays(skirt, text, code):
    seat, _ = sat(skirt)
    before = seat.draft
    said = drawn(seat, "wren", {"waist": text})
    assert [f["code"] for f in said["amiss"]["findings"]] == [code]
    assert seat.draft is before


def test_a_choice_out_of_its_range_is_said_in_the_maker_s_words(skirt):
    seat, _ = sat(skirt)
    said = drawn(seat, "wren", choices={"skirt_length": "50"})
    (finding,) = said["amiss"]["findings"]
    assert "from 15 in to 40 in" in finding["expected"]
    assert finding["elsewhere"] == ""


def test_a_body_that_is_not_there_is_said(skirt):
    seat, _ = sat(skirt)
    assert drawn(seat, "heron")["amiss"]["findings"][0]["code"] == "E2106"


def test_a_measure_that_is_lacking_has_a_field_to_fill_in(skirt):
    (skirt.parent / "wren.yaml").write_text(
        "client: wren\ndate: 2026-03-02\nunit: in\nmeasures:\n  waist: 28\n"
    )
    seat, _ = sat(skirt, cards=(skirt.parent / "wren.yaml",))
    said = by_kind(seat.arrive())
    assert said["amiss"]["findings"][0]["code"] == "E610"
    seat, said = sat(skirt, cards=(skirt.parent / "wren.yaml",))
    assert [c["name"] for c in said["controls"]["measures"]] == ["waist", "hip"]
    assert drawn(seat, "wren", {"hip": "38"})["drawing"]["missing"] == []


def test_findings_stand_beside_the_pieces_that_they_are_about():
    seat, _ = sat(YOKED, cards=(CARDS / "wren.yaml",))
    text = YOKED.read_text(encoding="utf-8")
    panel = text.replace("front.princess_take at most 2 in", "front.princess_take at most 1/8 in")
    (finding,) = by_kind(seat.answer(w.Rewrite(panel)))["drawing"]["findings"]
    # The take shapes both edges of the panel line, and nothing else.
    assert finding["pieces"] == ["front_centre", "front_side"]
    assert finding["line"] == 1 + text.splitlines().index(
        next(x for x in text.splitlines() if "princess_take at" in x)
    )
    seam = text.replace("easing top_intake", "easing 1 in")
    found = by_kind(seat.answer(w.Rewrite(seam)))["drawing"]["findings"]
    assert found[0]["pieces"] == ["front_yoke", "front_centre", "front_side"]


# --- laid over each other -----------------------------------------------------------------------


def test_other_bodies_and_the_body_as_it_was_are_laid_over(skirt):
    seat, _ = sat(skirt)
    said = drawn(seat, "wren", {"hip": "40"}, under=("before", "dunlin"))
    bodies = said["under"]["bodies"]
    assert list(bodies) == ["before", "dunlin"]
    assert bodies["before"]["front"]["d"] != bodies["dunlin"]["front"]["d"]
    # Another measure moved leaves them as they were, so nothing is sent of them.
    assert "under" not in drawn(seat, "wren", {"hip": "41"}, under=("before", "dunlin"))
    assert list(drawn(seat, "wren", {"hip": "41"}, under=("dunlin",))["under"]["bodies"]) == ["dunlin"]


def test_a_choice_moves_the_bodies_laid_over_and_not_what_was_before(skirt):
    seat, _ = sat(skirt)
    one = drawn(seat, "wren", under=("before", "dunlin"))["under"]["bodies"]
    two = drawn(seat, "wren", under=("before", "dunlin"), choices={"skirt_length": "30 in"})["under"][
        "bodies"
    ]
    assert one["before"] == two["before"]
    assert one["dunlin"] != two["dunlin"]


# --- telling ------------------------------------------------------------------------------------


def test_an_edge_is_told_with_its_line_statement_and_working(skirt):
    seat, _ = sat(skirt)
    (told,) = seat.answer(w.Ask("front", "hem_line"))
    assert told["statement"] == "level hem_line from waist_line down skirt_length"
    assert told["line"] == 1 + SKIRT.splitlines().index("  level hem_line from waist_line down skirt_length")
    assert any("24 in" in words for _, words, _ in told["lines"])


def test_what_a_method_draws_is_told_with_the_line_that_asks_for_it():
    block = ROOT / "recipes" / "bodice-block" / "bodice-block.scye"
    seat, said = sat(block, cards=(CARDS / "wren.yaml",))
    (edge,) = [
        e["name"] for e in said["drawing"]["pieces"]["front_piece"]["edges"] if "shoulder" in e["name"]
    ]
    (told,) = seat.answer(w.Ask("front_piece", edge))
    assert told["elsewhere"].startswith("stdlib/bodices.scye, line ")
    assert edge in block.read_text(encoding="utf-8").splitlines()[told["line"] - 1]


def test_a_fault_of_ours_is_told_and_the_page_goes_on():
    def broken():
        raise KeyError("hem")
        yield {}

    (message,) = worked_out(broken)
    assert json.loads(message)["is"] == "fault"
    assert "not in your work (KeyError)" in message
    assert worked_out(lambda: [{"is": "told"}]) == ['{"is":"told"}']


def test_points_of_the_outline_are_told(skirt):
    seat, _ = sat(skirt)
    (told,) = seat.answer(w.Tell())
    assert {name for name, *_ in told["points"]["front"]} >= {"waist_cf"}


def test_a_tape_across_a_dart_leaves_the_mouth_out(skirt):
    seat, _ = sat(skirt)
    (told,) = seat.answer(w.Along("front", "waist_line", "start", "end"))
    # The whole waist line is a quarter of the hip, less what the dart takes in: a quarter of the waist, with
    # the hair that the mouth's slant adds.
    assert told["along"] == "6 3/4 in"
    assert told["straight"] == ""
    (told,) = seat.answer(w.Along("front", "side", (240.0, 100.0), (240.0, 150.0)))
    assert told["along"] == told["straight"] == "1 15/16 in"
    assert told["stations"][0][1] == "one end"


def test_darts_come_with_the_turn_that_closes_them(skirt):
    _, said = sat(skirt)
    (edge,) = [e for e in said["drawing"]["pieces"]["front"]["edges"] if e["closing"]]
    (closing,) = edge["closing"]
    (dart,) = said["drawing"]["pieces"]["front"]["darts"]
    assert edge["name"] == "waist_line"
    # Legs made equal, 4 in deep with 2 1/2 in between them.
    assert abs(closing["turn"]) == pytest.approx(2 * math.degrees(math.atan(1.25 / 4)), abs=1e-3)
    assert closing["pivot"] == pytest.approx([101.6, 101.6])
    assert dart["inner"] is False


# --- the text -----------------------------------------------------------------------------------


def test_an_edit_is_drafted_without_being_saved(skirt):
    seat, _ = sat(skirt)
    said = by_kind(seat.answer(w.Rewrite(SKIRT.replace("24 in from", "30 in from"))))
    assert list(said["drawing"]["pieces"]) == ["front"]
    assert skirt.read_text(encoding="utf-8") == SKIRT


def test_an_error_is_said_with_its_line_and_the_last_drawing_stays(skirt):
    seat, _ = sat(skirt)
    before = seat.draft
    said = by_kind(seat.answer(w.Rewrite(SKIRT.replace("grain down", "grian down"))))
    (finding,) = said["amiss"]["findings"]
    assert finding["line"] == 1 + SKIRT.splitlines().index("  grain down")
    assert seat.draft is before
    assert by_kind(seat.answer(w.Rewrite(SKIRT)))["drawing"]["pieces"] == {}


def test_saving_writes_the_file_once_asked(skirt):
    seat, _ = sat(skirt)
    text = SKIRT.replace("24 in from", "30 in from")
    (said,) = seat.answer(w.Save(text))
    assert said["is"] == "saved"
    assert skirt.read_text(encoding="utf-8") == text
    assert list(skirt.parent.glob(".scye*")) == []


def test_saving_over_what_another_program_wrote_is_refused(skirt):
    seat, _ = sat(skirt)
    other = SKIRT + "# from elsewhere\n"
    skirt.write_text(other, encoding="utf-8")
    (said,) = seat.answer(w.Save(SKIRT.replace("24 in", "30 in")))
    assert (said["is"], said["code"]) == ("unsaved", "E2104")
    assert skirt.read_text(encoding="utf-8") == other
    assert by_kind(seat.answer(w.TakeFile()))["text"]["text"] == other


def test_a_saved_file_is_followed_but_a_text_of_the_page_s_own_is_kept(skirt):
    seat, _ = sat(skirt)
    other = SKIRT.replace("24 in from", "26 in from")
    skirt.write_text(other, encoding="utf-8")
    assert by_kind(seat.file_changed())["text"]["text"] == other
    own = SKIRT.replace("24 in from", "30 in from")
    list(seat.answer(w.Rewrite(own)))
    skirt.write_text(SKIRT, encoding="utf-8")
    said = by_kind(seat.file_changed())
    assert "text" not in said
    assert "saved by another program" in said["changed"]["text"]


def test_a_recipe_of_the_library_is_not_written_to(skirt, tmp_path):
    kept = tmp_path / "library" / "skirt" / "edition-1" / "skirt" / "skirt.scye"
    kept.parent.mkdir(parents=True)
    kept.write_text(SKIRT, encoding="utf-8")
    with library_at(tmp_path / "library"):
        seat, _ = sat(kept, cards=(skirt.parent / "wren.yaml",))
        (said,) = seat.answer(w.Save(SKIRT + "\n"))
    assert said["code"] == "E2107"
    assert kept.read_text(encoding="utf-8") == SKIRT
