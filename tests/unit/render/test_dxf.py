"""The text of a DXF file: what it says of itself, its layers, the same bytes each time."""

import saltmarsh

from scye.place.blocks import picture_blocks
from scye.place.picture import lay_picture
from scye.render.dxf import LAYERS, dxf


def written():
    return dxf(picture_blocks(lay_picture(saltmarsh.pattern())))


def tags(data):
    lines = data.decode("ascii").split("\r\n")
    return list(zip((int(code) for code in lines[:-1:2]), lines[1::2], strict=True))


def test_it_says_what_it_follows_and_what_is_from_memory():
    comments = [value for code, value in tags(written()) if code == 999]
    said = " ".join(comments)
    assert "after ASTM D6673; no claim to conform" in said
    assert "numbers of all layers and the words of the texts are from memory" in said


def test_it_is_release_12_and_whole():
    found = tags(written())
    assert (1, "AC1009") in found
    assert found[-1] == (0, "EOF")
    starts, ends = found.count((0, "SECTION")), found.count((0, "ENDSEC"))
    assert starts == ends == 4


def test_every_layer_that_is_used_is_in_the_table():
    found = tags(written())
    assert {value for code, value in found if code == 8} == set(LAYERS)
    table = [found[i + 1][1] for i, tag in enumerate(found) if tag == (0, "LAYER")]
    assert table == ["0", *LAYERS]


def test_the_style_has_its_unit_and_edition():
    texts = [value for code, value in tags(written()) if code == 1]
    assert texts[-5:] == [
        "STYLE NAME: Saltmarsh bodice & skirt",
        "EDITION: 2",
        "CREATION DATE: 2026-03-03",
        "UNITS: METRIC",
        "SIZE: Wren",
    ]


def test_the_same_bytes_again():
    assert written() == written()


def test_a_pattern_without_pieces_is_still_a_file():
    empty = dxf(picture_blocks(lay_picture(saltmarsh.of_pieces())))
    assert tags(empty)[-1] == (0, "EOF")
