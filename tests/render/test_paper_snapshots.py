"""Whole outputs beside their expected text."""

import pytest
import saltmarsh
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from scye.place.picture import lay_picture
from scye.render.pattern_json import Header, pattern_json
from scye.render.proof import proof_html
from scye.render.svg import pieces_svg


def extension(suffix):
    class Whole(SingleFileSnapshotExtension):
        _write_mode = WriteMode.TEXT
        file_extension = suffix

    return Whole


@pytest.mark.parametrize("pattern", [saltmarsh.pattern(), saltmarsh.metric()], ids=["inches", "centimetres"])
def test_pieces(pattern, snapshot):
    assert pieces_svg(lay_picture(pattern)).decode() == snapshot(extension_class=extension("svg"))


@pytest.mark.parametrize("pattern", [saltmarsh.pattern(), saltmarsh.metric()], ids=["inches", "centimetres"])
def test_proof_sheet(pattern, snapshot):
    assert proof_html(pattern).decode() == snapshot(extension_class=extension("html"))


def test_pattern_json(snapshot):
    made = pattern_json(
        [saltmarsh.pattern(), saltmarsh.metric()], Header("0.1.0", "Saltmarsh bodice & skirt", "2")
    )
    assert made.decode() == snapshot(extension_class=extension("json"))
