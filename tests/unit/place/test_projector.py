"""The sheet for a projector: areas, and marks where a piece runs from one into the next."""

from dataclasses import replace

import pytest
import saltmarsh

from scye.ir.sheets import Box
from scye.place.outline import overlaps
from scye.place.projector import AREA, GRID_ROOM, LAP, lay_projector


def laid(*pieces):
    return lay_projector(saltmarsh.of_pieces(*pieces))


def test_one_area_of_24_by_36_in():
    plan = laid(saltmarsh.rectangle_piece(200, 300))
    assert [(a.width, a.height) for a in plan.areas] == [(pytest.approx(609.6), pytest.approx(914.4))]
    assert (plan.width, plan.height) == (pytest.approx(609.6), pytest.approx(914.4))
    assert plan.marks == ()


def test_a_piece_that_fits_into_an_area_lies_in_one():
    pieces = [replace(saltmarsh.rectangle_piece(300, 700), name=f"s{k}", number=k) for k in range(1, 5)]
    plan = laid(*pieces)
    assert plan.marks == ()
    for placed in plan.placed:
        assert any(_within(placed.box, area) for area in plan.areas)


def _within(box, area):
    across = area.left <= box.left and box.right <= area.right
    return across and area.top <= box.top and box.bottom <= area.bottom


def test_a_longer_piece_has_two_marks_in_the_overlap_that_both_areas_show():
    plan = laid(saltmarsh.rectangle_piece(300, 1300))
    assert len(plan.areas) == 2
    upper, lower = plan.areas
    assert upper.bottom - lower.top == pytest.approx(LAP)
    assert [mark.text for mark in plan.marks] == ["1", "2"]
    for mark in plan.marks:
        assert lower.top + 20 < mark.at[1] < upper.bottom - 20
        placed = plan.placed[0].box
        assert placed.left < mark.at[0] < placed.right
    assert plan.marks[1].at[0] - plan.marks[0].at[0] > 100


def test_marks_of_a_wide_piece_stand_one_above_the_other():
    plan = laid(saltmarsh.rectangle_piece(800, 300))
    first, second = (mark.at for mark in plan.marks)
    assert first[0] == second[0]
    assert second[1] - first[1] > 100


def test_the_grid_has_room_of_its_own():
    plan = laid(saltmarsh.rectangle_piece(200, 300))
    grid = Box(*plan.grid, plan.grid[0] + GRID_ROOM[0], plan.grid[1] + GRID_ROOM[1])
    assert not any(overlaps(grid, placed.box) for placed in plan.placed)
    assert grid.left >= 0
    assert grid.right <= plan.width


def test_without_room_in_the_area_the_grid_is_beside_it():
    plan = laid(saltmarsh.rectangle_piece(AREA[0] - LAP - 4, AREA[1] - LAP - 4))
    assert plan.width == pytest.approx(AREA[0] + GRID_ROOM[0], abs=LAP)


def test_widths_along_edges_are_left_out_and_letters_kept():
    placed = lay_projector(saltmarsh.pattern()).placed[0]
    assert {label.role for label in placed.piece.edge_labels} == {"letter"}


def test_a_pattern_without_pieces_has_one_empty_area():
    plan = laid()
    assert len(plan.areas) == 1
    assert plan.placed == ()
