"""Variants laid over their parents: what stands where, and what is said of what cannot."""

from __future__ import annotations

from pathlib import Path

import pytest
from merged import PARENT, Room, stated, told

from scye.driver import run_check
from scye.expand.choices import choices_of
from scye.ir import syntax as s
from scye.ir.requests import CheckRequest
from scye.project import open_project


@pytest.fixture
def room(tmp_path: Path) -> Room:
    room = Room(tmp_path)
    room.write("parent", PARENT)
    return room


# --- choices ------------------------------------------------------------------------------------


def test_a_choice_keeps_its_range_and_sentence(room: Room):
    project = room.variant("choose ease = 2 in\nchoose closing = zipped\nchoose yoke = no\n")
    assert told(project) == []
    assert project.program is not None
    ease, closing, yoke = choices_of(project.program.recipe.body)
    assert isinstance(ease.default, s.Amount)
    assert isinstance(ease.high, s.Amount)
    assert (ease.default.span.text, ease.high.span.text) == ("2 in", "3 in")
    assert ease.sentence is not None
    assert ease.sentence.value == "round the bust"
    assert (closing.default, [w.text for w in closing.words]) == ("zipped", ["laced", "zipped"])
    assert yoke.default == "no"


def test_a_choice_written_whole_is_the_variants_own(room: Room):
    project = room.variant('choose ease = 5 in from 4 in to 6 in "loose"\n')
    assert project.program is not None
    ease = next(choices_of(project.program.recipe.body))
    assert isinstance(ease.low, s.Amount)
    assert ease.sentence is not None
    assert (ease.low.span.text, ease.sentence.value) == ("4 in", "loose")


@pytest.mark.parametrize(
    ("line", "code", "words"),
    [
        ("choose ease = zipped", "E1119", "in the parent, `ease` is a choice from 0 in to 3 in"),
        ("choose ease = 2", "E1119", "in the parent, `ease` is a choice from 0 in to 3 in"),
        ("choose closing = 2 in", "E1119", "in the parent, `closing` is a choice of laced, zipped"),
        ("choose yoke = 3 in", "E1119", "in the parent, `yoke` is a choice of yes or no"),
        ("choose closing = zippd", "E305", "`zippd` is not one of the words of `closing`: laced, zipped"),
        ("choose ease = 9 in", "E305", "9 in lies outside 0 in to 3 in"),
    ],
)
def test_a_default_must_fit_the_choice(room: Room, line: str, code: str, words: str):
    assert told(room.variant(line + "\n")) == [(code, "variant:4", words)]


def test_a_choice_may_become_a_fixed_amount(room: Room):
    project = room.variant("redraw ease = 2 in\n")
    assert told(project) == []
    assert stated(project, "ease") == ["ease = 2 in"]


# --- redrawing ----------------------------------------------------------------------------------


def test_what_is_redrawn_stands_where_it_stood(room: Room):
    project = room.variant("draft front\n  redraw curve side from side_top to side_waist leaving down\n")
    assert told(project) == []
    assert stated(project, "side") == ["front: curve side from side_top to side_waist leaving down"]
    assert project.program is not None
    front = next(d for d in project.program.recipe.body if isinstance(d, s.Draft))
    names = [getattr(statement, "name", None) for statement in front.body]
    assert [n.text for n in names if isinstance(n, s.Ident)][4:7] == ["side_top", "side_waist", "side"]


def test_redrawn_outright_it_stands_whatever_the_choice(room: Room):
    project = room.variant("draft front\n  redraw mark low from cf down 3 in\n")
    assert told(project) == []
    assert stated(project, "low") == ["front: mark low from cf down 3 in"]


def test_redrawn_in_one_arm_the_other_stays(room: Room):
    project = room.variant("draft front\n  when yoke\n    redraw mark low from cf down 3 in\n")
    assert told(project) == []
    assert stated(project, "low") == [
        "front: when yoke: mark low from cf down 3 in",
        "front: not when yoke: mark low from cf down 2 in",
    ]


def test_redrawn_under_a_condition_of_its_own_the_parents_stays_otherwise(room: Room):
    lines = (
        "draft front\n"
        "  when closing is laced\n"
        "    redraw mark side_top from cf right 9 in\n"
        "  otherwise\n"
        "    redraw mark side_top from cf right 8 in\n"
        "  when yoke\n"
        "    redraw mark side_waist from cf down 8 in right half_waist\n"
    )
    project = room.variant(lines)
    assert told(project) == []
    assert stated(project, "side_waist") == [
        "front: when yoke: mark side_waist from cf down 8 in right half_waist",
        "front: not when yoke: mark side_waist where centre meets waist_line right half_waist",
    ]
    assert stated(project, "side_top")[0] == (
        "front: when closing is laced: when closing is laced: mark side_top from cf right 9 in"
    )


def test_a_row_is_redrawn_within_its_repeat(room: Room):
    project = room.variant(
        "draft front\n  repeat i from 1 to 3\n    redraw mark dot[i] from cf right i * 2 in\n"
    )
    assert told(project) == []
    assert stated(project, "dot") == ["front: repeat i from 1 to 3: mark dot[i] from cf right i * 2 in"]


def test_a_row_may_be_of_another_count(room: Room):
    project = room.variant(
        "draft front\n  repeat i from 1 to 5\n    redraw mark dot[i] from cf right i * 2 in\n"
    )
    assert told(project) == []
    assert stated(project, "dot") == ["front: repeat i from 1 to 5: mark dot[i] from cf right i * 2 in"]


def test_a_seam_is_redrawn_by_its_sides(room: Room):
    project = room.variant("redraw sew front_piece.side to other.side\n  match waist_line\n")
    assert told(project) == []
    assert project.program is not None
    seams = [x for x in project.program.recipe.body if isinstance(x, s.Sew)]
    assert [len(seam.matches) for seam in seams] == [1]


def test_what_is_added_comes_last(room: Room):
    project = room.variant("draft front\n  mark extra from cf down 1 in\nquarter = half / 2\n")
    assert told(project) == []
    assert project.program is not None
    last = project.program.recipe.body[-1]
    assert isinstance(last, s.Let)
    assert last.name.text == "quarter"
    assert stated(project, "extra") == ["front: mark extra from cf down 1 in"]


# --- what cannot be -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("states", "said"),
    [
        (
            "half = bust\n",
            ("E1110", "variant:4", "the parent has `half` already"),
        ),
        (
            "needs waist otherwise 3 in\n",
            ("E1110", "variant:4", "the parent has `waist` already"),
        ),
        (
            "draft front\n  mark low from cf down 1 in\n",
            ("E1110", "variant:5", "the parent has `low` already"),
        ),
        (
            "sew front_piece.side to other.side\n",
            ("E1110", "variant:4", "the parent has `sew front_piece.side to other.side` already"),
        ),
        (
            'prove "half" half = half\n',
            ("E1110", "variant:4", 'the parent has "half" already'),
        ),
        (
            "draft front\n  redraw mark sied_top from cf down 1 in\n",
            ("E1109", "variant:5", "the parent has no `sied_top` in its draft `front` to redraw"),
        ),
        (
            "redraw half_bust = bust\n",
            ("E1109", "variant:4", "the parent has no `half_bust` to redraw"),
        ),
        (
            "draft front\n  redraw half = bust\n",
            ("E1109", "variant:5", "the parent has no `half` in its draft `front` to redraw"),
        ),
        (
            "draft back\n  redraw mark low from cf down 1 in\n",
            ("E1109", "variant:5", "the parent has no `low` in its draft `back` to redraw"),
        ),
        (
            "draft front\n  redraw mark side from cf down 1 in\n",
            ("E1111", "variant:5", "`side` is a line in the parent, and would be redrawn as a mark"),
        ),
        (
            "draft front\n  when closing is laced\n    redraw mark low from cf down 1 in\n",
            ("E1112", "variant:6", "the parent draws `low` under other choices than here"),
        ),
        (
            "draft front\n  redraw a = 1 in\n",
            ("E1114", "variant:5", "the parent finds `a` together with `b`"),
        ),
        (
            "draft front\n  leave out b\n",
            ("E1114", "variant:5", "the parent finds `b` together with `a`"),
        ),
        (
            "leave out front.dot[2]\n",
            (
                "E1113",
                "variant:4",
                "the parent makes `dot[2]` with others of its row by a `repeat`; it cannot go alone",
            ),
        ),
        (
            "draft front\n  when yoke\n    leave out low\n",
            ("E1115", "variant:6", "`leave out` stands within a `when` or a `repeat`"),
        ),
        (
            'leave out "haif"\n',
            ("E1109", "variant:4", 'the parent has no "haif" to leave out'),
        ),
        (
            "redraw half = bust\nredraw half = waist\n",
            ("E202", "variant:5", "`half` is made a second time"),
        ),
    ],
)
def test_what_cannot_be_is_said_at_its_place(room: Room, states: str, said: tuple[str, str, str]):
    assert told(room.variant(states))[0] == said


def test_a_near_name_is_offered(room: Room):
    project = room.variant('draft front\n  redraw mark sied_top from cf down 1 in\nleave out "haif"\n')
    assert sorted(d.attempt() for d in project.diagnostics) == [
        'did you mean "half"?',
        "did you mean `side_top`?",
    ]


def test_where_the_parent_has_it_is_said(room: Room):
    project = room.variant("redraw mark low from cf down 1 in\n")
    assert told(project)[0][0] == "E114"
    project = room.variant("draft front\n  redraw half = bust\n")
    assert project.diagnostics[0].attempt() == "the parent has it at the left edge: write this there"


def test_a_measure_may_be_named_by_both(room: Room):
    assert told(room.variant("needs bust, biceps\n")) == []


# --- leaving out --------------------------------------------------------------------------------


def test_a_piece_takes_its_seams_and_proofs_with_it(room: Room):
    project = room.variant("leave out other\n")
    assert told(project) == [
        (
            "E1117",
            "variant:4",
            'with the piece `other` are left out: `sew front_piece.side to other.side`, "half"',
        )
    ]
    assert project.sound
    assert project.program is not None
    kinds = {type(x).__name__ for x in project.program.recipe.body}
    assert "Sew" not in kinds
    assert "Prove" not in kinds
    assert "Report" in kinds


def test_what_is_still_used_names_both_places(room: Room):
    project = room.variant("draft front\n  leave out side_top\n")
    (diagnostic,) = project.diagnostics
    assert told(project) == [("E1116", "parent:23", "`side_top` is left out, and this still uses it")]
    (label,) = diagnostic.labels
    assert (Path(label.span.source.name).stem, label.span.line) == ("variant", 5)


def test_left_out_and_drawn_anew_by_another_statement(room: Room):
    lines = "draft front\n  leave out low, dot\n  line low from cf to side_top\n"
    project = room.variant(lines)
    assert told(project) == []
    assert stated(project, "low") == ["front: line low from cf to side_top"]
    assert stated(project, "dot") == []


def test_a_title_and_a_seam_are_left_out(room: Room):
    project = room.variant('leave out "half", sew front_piece.side to other.side\n')
    assert told(project) == []
    assert project.program is not None
    assert not any(isinstance(x, s.Sew | s.Prove) for x in project.program.recipe.body)


def test_a_measure_needed_no_more_is_not_asked_for(room: Room):
    project = room.variant('leave out "half hip", half_hip\n')
    assert told(project) == [("E1118", "variant:3", "nothing uses any more what the parent needs: `hip`")]
    assert project.program is not None
    assert sorted(project.program.root.symbols) == [
        *("bust", "closing", "ease", "front", "front_piece", "half", "half_waist", "other", "waist", "yoke"),
    ]


ROW = """recipe "Row"
  edition 1
needs bust
draft body
  begin at cf
  plumb centre through cf
  level top through cf
  level low from cf down 9 in
  repeat i from 1 to 3
    plumb place[i] from centre right i * 3 in
    panel_line seam[i] on place[i]
      at top take 0 in
      at low take 1/2 in
piece a "A"
  bounded by centre, top, seam[1].left, low
  cut pair of self
  grain down
  allow 1/2 in on centre, seam[1].left
  net on top, low
piece b "B"
  bounded by seam[1].right, top, seam[2].left, low
  cut pair of self
  grain down
  allow 1/2 in on seam[1].right, seam[2].left
  net on top, low
piece c "C"
  bounded by seam[2].right, top, seam[3].left, low
  cut pair of self
  grain down
  allow 1/2 in on seam[2].right, seam[3].left
  net on top, low
repeat i from 1 to 2
  sew seam[i]
    match low
"""


def test_seams_of_a_row_go_with_the_piece_that_they_join(room: Room):
    room.write("row", ROW)
    project = room.variant("leave out c\n", of="row")
    assert told(project) == [("E1117", "variant:4", "with the piece `c` are left out: `sew seam[i]` for 2")]
    checked = run_check(CheckRequest(room.folder / "variant.scye"))
    assert [d.code for d in checked.diagnostics] == ["E1117"]
    project = room.variant("leave out b\n", of="row")
    assert told(project)[0][2] == "with the piece `b` are left out: `sew seam[i]` for 1, 2"


# --- words of a variant where there is no parent ------------------------------------------------


def test_the_words_of_a_variant_need_a_parent(room: Room):
    text = PARENT + "redraw half = bust\nleave out other\n"
    path = room.write("alone", text.replace("half = (bust + ease) / 2\n", ""))
    assert [(d.code, d.seen()) for d in open_project(path).diagnostics][:2] == [
        ("E1108", "`redraw` stands in a recipe that is based on no other"),
        ("E1108", "`leave out` stands in a recipe that is based on no other"),
    ]
