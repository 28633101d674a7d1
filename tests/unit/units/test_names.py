"""Names of a recipe as a maker says them."""

import pytest

from scye.units.names import edge_name, plain_name


@pytest.mark.parametrize(
    ("name", "said"),
    [("waist_line", "waist line"), ("seam[1].left", "seam 1 left"), ("front.cf_top", "front cf top")],
)
def test_names(name, said):
    assert plain_name(name) == said


@pytest.mark.parametrize(
    ("name", "among", "said"),
    [
        ("seam[1].left", ["seam[1].left", "hem"], "seam 1, left edge"),
        ("princess.right", [], "princess, right edge"),
        ("neck.edge", ["neck.edge"], "neck edge"),
        ("hem[1]", ["hem[1]", "top_edge"], "hem"),
        ("hem[1]", ["hem[1]", "hem[2]"], "hem 1"),
    ],
)
def test_edges_by_the_other_edges_of_their_piece(name, among, said):
    assert edge_name(name, among) == said
