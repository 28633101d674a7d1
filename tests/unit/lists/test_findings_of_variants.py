"""A variant redraws a finding and leaves a step of sewing out."""

from __future__ import annotations

from pathlib import Path

from scye.project import open_project
from workroom import ROOT, Workroom

SALTMARSH = ROOT / "recipes" / "saltmarsh-bodice" / "saltmarsh-bodice.scye"
HEAD = 'recipe "Variant"\n  edition 1\n  based on "saltmarsh-bodice" edition 1\n'


def variant(folder: Path, said: str) -> Path:
    (folder / "saltmarsh-bodice.scye").write_text(SALTMARSH.read_text("utf-8"), "utf-8")
    path = folder / "variant.scye"
    path.write_text(HEAD + said, "utf-8")
    return path


def test_a_finding_is_redrawn_where_it_stands(tmp_path: Path) -> None:
    said = "when closing is laced\n  redraw eyelets along back.left every 1/2 in from 1/2 in of each end\n"
    room = Workroom(tmp_path)
    wider, closer = room.pattern(SALTMARSH, "wren"), room.pattern(variant(tmp_path, said), "wren")
    counts = [next(n.count for n in p.notions if n.kind == "eyelets") for p in (wider, closer)]
    assert counts == [26, 50]


def test_a_step_is_left_out_and_another_added(tmp_path: Path) -> None:
    said = 'leave out "set the zip"\nsewing order "press it"\n'
    room = Workroom(tmp_path)
    pattern = room.pattern(variant(tmp_path, said), "wren", closing="zipped")
    assert "set the zip" not in pattern.sewing
    assert pattern.sewing[-1] == "press it"


def test_what_is_there_already_is_not_said_again(tmp_path: Path) -> None:
    project = open_project(variant(tmp_path, "tape at waist_line\n"))
    (found,) = project.diagnostics
    assert "`redraw tape at waist_line`" in found.seen() + found.attempt()


def test_what_is_bought_for_a_piece_goes_with_it(tmp_path: Path) -> None:
    parent = HEAD + "hooks along centre_back.seam[4].right every 1 in from 1/2 in of each end\n"
    (tmp_path / "hooked.scye").write_text(parent, "utf-8")
    variant(tmp_path, "")
    path = tmp_path / "bare.scye"
    path.write_text(HEAD.replace("saltmarsh-bodice", "hooked") + "leave out centre_back\n", "utf-8")
    (found,) = (d for d in open_project(path).diagnostics if d.code == "E1117")
    assert "`hooks along centre_back.seam[4].right`" in found.seen()


def test_what_is_named_itself_is_not_told_again(tmp_path: Path) -> None:
    said = "leave out centre_front_panel\nleave out sew centre_front_panel.centre_front to its pair\n"
    found = open_project(variant(tmp_path, said)).diagnostics
    assert not [d.seen() for d in found if "centre_front_panel.centre_front" in d.seen()]


def test_a_finding_is_left_out_by_how_it_begins(tmp_path: Path) -> None:
    said = 'leave out "tape at waist_line"\n'
    room = Workroom(tmp_path)
    taped, plain = room.pattern(SALTMARSH, "wren"), room.pattern(variant(tmp_path, said), "wren")
    assert {n.kind for n in taped.notions} - {n.kind for n in plain.notions} == {"tape"}
