"""What a name stands for over all texts, and that a new one is given everywhere or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from editor_client import ROOT

from scye.editor.desk import Desk, absolute
from scye.editor.index import index_of
from scye.editor.renaming import Refused, renamed
from scye.ir import syntax as s
from scye.project import open_project
from scye.resolve.makers import names_used

RECIPE = """recipe "Two halves"
  edition 1

use necks

needs bust, waist

choose ease = 2 in from 1 in to 4 in
choose yoke = yes
widths = 3 in, 4 in

draft front
  begin at top
  plumb middle through top
  level hem from top down 20 in
  repeat i from 1 to 2
    mark point[i] from top right sum of first i of widths
  mark corner where middle meets hem right bust / 4 + ease
  mark shoulder_point from top right 6 in
  line shoulder from top to shoulder_point
  line side from shoulder_point to corner
  dart bust_dart on side at 4 in along side
    to point[1]
    intake 1 in
  draw neck by round_neck
    from_point = shoulder_point
    how_deep = 3 in

draft back
  begin at top
  plumb middle through top
  level hem from top down 20 in
  mark corner where middle meets hem right waist / 4
  mark shoulder_point from top right 6 in
  line shoulder from top to shoulder_point
  line side from shoulder_point to corner
  when yoke
    mark yoke_point from top down 4 in

piece front_piece "Front"
  bounded by front.middle, front.shoulder, front.side, front.hem
  cut 1 of self on fold at middle
  grain along front.middle
  allow 1/2 in on shoulder, side, hem
  move bust_dart to shoulder at 2 in along front.shoulder called shoulder_dart
  move 50% of shoulder_dart to hem at 3 in along front.hem

piece back_piece "Back"
  bounded by back.middle, back.shoulder, back.side, back.hem
  cut 1 of self on fold at middle
  grain along back.middle
  allow 1/2 in on seams
  allow 1 in on hem

sew front_piece.side to back_piece.side
  match 3 in from start called upper
  match 6 in from start called lower
  easing 1/4 in between upper and lower
sew front_piece.shoulder to back_piece.shoulder
prove "hem" girth at front.hem + girth at back.hem = 30 in
"""
METHODS = """method round_neck
  given from_point point "where it begins"
  given how_deep length
  gives edge line
  mark low from from_point down how_deep
  line edge from from_point to low
"""
VARIANT = """recipe "One half longer"
  edition 1
  based on "halves" edition 1

draft front
  redraw level hem from top down 24 in
  redraw line side from shoulder_point to corner
leave out sew front_piece.shoulder to back_piece.shoulder
"""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    for name, text in (("halves", RECIPE), ("necks", METHODS), ("longer", VARIANT)):
        (tmp_path / f"{name}.scye").write_text(text, encoding="utf-8")
    return Desk(tmp_path)


def lines(
    desk: Desk, place: str, name: str, text: str = RECIPE, file: str = "halves"
) -> dict[str, list[int]] | str:
    """The lines that change in each file if the name at the mark `|` in `place` is changed."""
    start = text.index(place.replace("|", "")) + place.index("|")
    answer = renamed(desk, desk.folder / f"{file}.scye", start, name)
    if isinstance(answer, Refused):
        return answer.why
    for path, spans in answer.items():
        assert all(span.text == spans[0].text for span in spans), path
    return {path.stem: [span.line for span in spans] for path, spans in answer.items()}


@pytest.mark.parametrize(
    ("place", "name", "changed"),
    [
        ("choose |ease", "wearing_ease", {"halves": [8, 18]}),
        ("|widths = ", "panels", {"halves": [10, 17]}),
        # A counter only in its own block.
        ("repeat |i from", "k", {"halves": [16, 17, 17]}),
        # One of a row, with whatever index.
        ("mark |point[i]", "place", {"halves": [17, 23]}),
        # A line that two drafts have: where the draft is said, at its edges and seams, and in the variant.
        ("line |side from", "edge", {"halves": [21, 22, 22, 41, 44, 55], "longer": [7]}),
        ("draft |back", "rear", {"halves": [29, 49, 49, 49, 49, 51, 60]}),
        ("piece |front_piece", "fore", {"halves": [40, 55, 59], "longer": [8]}),
        # Darts that were moved, and matches, are known where they are named.
        ("called |shoulder_dart", "top_dart", {"halves": [45, 46]}),
        ("called |upper", "above", {"halves": [56, 58]}),
        ("draw |neck by", "opening", {"halves": [25]}),
        ("by |round_neck", "scoop", {"halves": [25], "necks": [1]}),
        ("|how_deep = 3", "depth", {"halves": [27], "necks": [3, 5]}),
    ],
)  # fmt: skip
def test_a_new_name_is_given_everywhere(desk: Desk, place: str, name: str, changed: dict[str, list[int]]):
    assert lines(desk, place, name) == changed


@pytest.mark.parametrize(
    ("place", "name", "why"),
    [
        ("needs |bust", "chest", "bust is a measure of the catalogue, and is called so in every recipe."),
        ("choose |ease", "widths", "widths is the name of something else: named amount, line 10."),
        ("choose |ease", "line", "line can't be a name: it is a word of the language, as in ..."),
        ("choose |ease", "2nd", "2nd can't be a name: a name begins with a letter and has only letters, ..."),
        # In the draft of that name, the amount would be hidden by the line.
        ("choose |ease", "side", "With the name side, ease in halves.scye, line 18 would mean something ..."),
        ("repeat |i from", "widths", "With the name widths, widths in halves.scye, line 17 would mean ..."),
        ("use |necks", "collars", "necks is the name of a file or a caution, and is changed there."),
        ("begin |at top", "x", "There is no name here that could be changed."),
    ],
)  # fmt: skip
def test_a_name_that_would_mean_something_else_is_refused(desk: Desk, place: str, name: str, why: str):
    said = lines(desk, place, name)
    assert isinstance(said, str)
    assert said.replace(f"{desk.folder.as_posix()}/", "").startswith(why.removesuffix("..."))


def test_an_edge_that_every_piece_has_is_not_renamed_for_one_alone(desk: Desk):
    """`every piece` means both sides by one name: that of one draft alone can't be changed under it."""
    desk.put(absolute(desk.folder / "halves.scye"), RECIPE + "every piece\n  net on side\n")
    said = lines(desk, "line |side from", "edge")
    assert isinstance(said, str)
    assert said.endswith("halves.scye, line 62 would mean something else.")


def test_nothing_is_renamed_while_a_line_cannot_be_read(desk: Desk):
    desk.put(absolute(desk.folder / "halves.scye"), RECIPE + "provee\n")
    said = lines(desk, "choose |ease", "wearing_ease")
    assert isinstance(said, str)
    assert said.endswith(
        "/halves.scye, line 61 right first: what can't be read can't be changed with the rest."
    )


def test_what_stdlib_makes_is_not_renamed(desk: Desk):
    desk.put(
        absolute(desk.folder / "halves.scye"),
        'recipe "X"\nuse sleeves\ndraft d\n  begin at o\n  draw s by set_in_sleeve\n',
    )
    answer = renamed(
        desk, desk.folder / "halves.scye", desk.texts[desk.folder / "halves.scye"].index("set_in"), "x"
    )
    assert answer == Refused("set_in_sleeve is made in stdlib/sleeves.scye, which other recipes use too.")


SHIPPED = [
    recipe
    for folder in ("recipes", "examples", "tests/scenarios")
    for recipe in sorted((ROOT / folder).rglob("*.scye"))
]


def words_of_choices(body: tuple[s.Statement, ...]) -> set[s.Expr | str]:
    """What a variant chooses by a word alone, which is read as if it were a name."""
    return {statement.default for statement in body if isinstance(statement, s.Choose)}


@pytest.mark.parametrize("recipe", SHIPPED, ids=lambda path: path.stem)
def test_every_name_of_what_is_shipped_is_known(recipe: Path):
    """Each name in a sound recipe, its parents or its methods is in the index, with its own word."""
    project = open_project(recipe)
    files = [file for text in project.texts for file in (text.file, *text.libraries)]
    index = index_of(files)
    known = {(name, use.span.start): use for name, uses in index.by_source.items() for use in uses}
    for file in files:
        chosen = words_of_choices(file.body)
        for name in names_used(file.body):
            if project.sound and name not in chosen:
                assert (file.source.name, name.span.start) in known, name.span
    for use in known.values():
        assert use.span.text.strip('"') == use.thing.name
    makes = [use for use in known.values() if use.makes]
    assert makes or not any(isinstance(st, s.Draft) for file in files for st in file.body)
