"""Finding the parents of a variant: names, editions, levels, rings; and what it takes over from them."""

from __future__ import annotations

from pathlib import Path

import pytest
from merged import PARENT, Room, stated, told

from scye.diagnostics.model import Severity
from scye.project import open_project

BASED = 'recipe "V"\n  edition 1\n  based on "{}" edition {}\n'


@pytest.fixture
def room(tmp_path: Path) -> Room:
    room = Room(tmp_path)
    room.write("parent", PARENT)
    return room


def test_headings_are_its_own_but_those_of_the_work(room: Room):
    project = room.variant("")
    assert project.program is not None
    head = project.program.recipe.head
    assert head is not None
    assert head.title.value == "Variant"
    assert [(h.key, h.value) for h in head.headings] == [
        ("edition", "2"),
        ("based on", "Parent, edition 1"),
        ("licence", "CC-BY-4.0"),
        ("studio", "Saltmarsh Workroom"),
        ("wearer", "child"),
    ]


@pytest.mark.parametrize("where", ["variant", "deep/variant", "deep/variant/variant"])
def test_a_parent_stands_beside_the_recipe_or_its_folder(room: Room, where: str):
    room.write("deep/parent/parent", PARENT)
    assert told(room.variant("", name=where)) == []


def test_a_parent_stands_in_the_folder_of_recipes(room: Room, monkeypatch: pytest.MonkeyPatch):
    room.write("here/recipes/shelved/shelved", PARENT)
    monkeypatch.chdir(room.folder / "here")
    path = room.write("elsewhere/far/v", BASED.format("shelved", 1))
    assert told(open_project(path)) == []


def test_a_missing_parent_is_said_with_a_near_name(room: Room):
    project = room.variant("", of="paremt")
    (diagnostic,) = project.diagnostics
    assert told(project) == [("E1101", "variant:3", 'there is no recipe "paremt" to base this one on')]
    assert diagnostic.attempt() == 'did you mean "parent"?'


@pytest.mark.parametrize("name", ["../parent", "/etc/parent", "parent.scye", ""])
def test_a_path_is_no_name(room: Room, name: str):
    assert [code for code, _, _ in told(room.variant("", of=name))] == ["E1102"]


def test_a_link_that_leads_out_is_refused(room: Room):
    (room.folder / "inner").mkdir()
    (room.folder / "inner" / "sly.scye").symlink_to(room.folder / "parent.scye")
    project = room.variant("", name="inner/variant", of="sly")
    assert [d.severity for d in project.diagnostics] == [Severity.ERROR]
    assert project.program is None


def test_another_edition_is_not_taken(room: Room):
    project = room.variant("", edition=3)
    (diagnostic,) = project.diagnostics
    assert diagnostic.seen() == 'this recipe is based on edition 3 of "parent"; what is there is edition 1'
    assert diagnostic.attempt() == (
        "see what moved with `scye compare`, then write `edition 1`; or put edition 3 back"
    )
    assert [(label.span.text, label.text) for label in diagnostic.labels] == [
        ("edition 1", "the edition that is there")
    ]


def test_the_edition_must_be_said(room: Room):
    path = room.write("v", 'recipe "V"\n  edition 1\n  based on "parent"\n')
    (diagnostic,) = open_project(path).diagnostics
    assert diagnostic.code == "E1103"
    assert diagnostic.attempt() == 'what is there is edition 1: write `based on "parent" edition 1`'


def test_a_file_of_methods_is_no_parent(room: Room):
    room.write("tools", "method m\n  given a length\n  gives b length\n  b = a\n")
    assert [code for code, _, _ in told(room.variant("", of="tools"))] == ["E1107"]


def test_a_ring_is_said(room: Room):
    room.write("one", BASED.format("two", 1))
    path = room.write("two", BASED.format("one", 1))
    assert told(open_project(path)) == [
        ("E1105", "one:3", 'these recipes are based on each other: "two" on "one" on "two"')
    ]
    itself = room.write("itself", BASED.format("itself", 1))
    assert told(open_project(itself)) == [("E1105", "itself:3", '"itself" is based on itself')]


def _levels(room: Room, count: int) -> Path:
    above = "parent"
    for level in range(1, count + 1):
        text = BASED.format(above, 1) + f"draft front\n  mark level{level} from cf down {level} in\n"
        path = room.write(f"v{level}", text)
        above = f"v{level}"
    return path


def test_variants_of_variants_go_eight_levels(room: Room):
    project = open_project(_levels(room, 8))
    assert told(project) == []
    assert [stated(project, f"level{n}") for n in (1, 8)] == [
        ["front: mark level1 from cf down 1 in"],
        ["front: mark level8 from cf down 8 in"],
    ]


def test_the_ninth_level_is_too_deep(room: Room):
    assert [code for code, _, _ in told(open_project(_levels(room, 9)))] == ["E1106"]


def test_a_variant_redraws_what_its_parent_redrew(room: Room):
    room.write("middle", BASED.format("parent", 1) + "redraw half = bust / 2\n")
    project = room.variant("redraw half = bust / 3\n", of="middle")
    assert told(project) == []
    assert stated(project, "half") == ["half = bust / 3"]


def test_mistakes_of_a_parent_are_said_in_its_own_file(room: Room):
    room.write("bad", PARENT.replace("half = (bust + ease) / 2", "half = (bust + eese) / 2"))
    project = room.variant(
        "redraw half = bust\ndraft front\n  redraw mark nothing from cf down 1 in\n", of="bad"
    )
    assert [place for _, place, _ in told(project)] == ["bad:12"]
    assert project.program is None


def test_lines_of_a_parent_that_cannot_be_read_are_said_with_the_variants_own(room: Room):
    room.write("bad", PARENT.replace("  mark side_top where", "  mark side_top wher"))
    project = room.variant("draft front\n  redraw mark side_top from\n", of="bad")
    assert sorted(place for _, place, _ in told(project)) == ["bad:21", "variant:5"]


def test_methods_are_looked_for_beside_each_recipe(room: Room):
    method = "method {0}\n  given a length\n  gives b length\n  b = a\n"
    room.write("above/tools", method.format("from_above"))
    room.write("below/more", method.format("from_below"))
    room.write("above/above", PARENT.replace("needs bust", "use tools\nneeds bust"))
    text = (
        BASED.format("above", 1)
        + "use more\ndraft front\n"
        + "  draw x by from_above\n    a = 1 in\n  draw y by from_below\n    a = 1 in\n"
    )
    assert told(open_project(room.write("below/below", text))) == []
