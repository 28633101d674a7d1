"""Nests on a roll and on home paper: a layer a size and one for the frame; each takes its ink along."""

import shutil
import subprocess
from io import BytesIO

import numpy as np
import pikepdf
import pypdfium2
import pytest

from scye.driver import draft
from scye.ir.requests import BuildRequest
from scye.place.aside import room_of
from scye.place.joints import crosses
from scye.place.layered import tile_nest
from scye.place.nest import lay_nest
from scye.place.outline import overlaps, stroke_box
from scye.place.paper import A4, LETTER
from scye.place.tiles import MARGIN, OVERLAP, grid_of, joints_over
from scye.render.layered import nest_tiles_pdf
from scye.render.nest_pdf import nest_pdf
from scye.sizes import graded
from workroom import ROOT

SIZES = ("10", "12", "14")


def nest_of(name, sizes, out):
    recipe = ROOT / "recipes" / name / f"{name}.scye"
    chart = ROOT / "stdlib" / "charts" / "us-misses.yaml"
    drafted = draft(BuildRequest(recipe, (), chart, sizes, (), None, out), lambda _line: None)
    table, pieces = graded(drafted.patterns, drafted.chart, None)
    return lay_nest(table, pieces)


@pytest.fixture(scope="module")
def nest(tmp_path_factory):
    return nest_of("saltmarsh-bodice", SIZES, tmp_path_factory.mktemp("out"))


@pytest.fixture(scope="module")
def tiled(nest):
    return tile_nest(nest, A4)


@pytest.fixture(scope="module")
def data(tiled):
    return nest_tiles_pdf(tiled.nest, tiled.plan)


def without(data, *layers):
    """The file with some layers switched off."""
    with pikepdf.open(BytesIO(data)) as pdf:
        config = pdf.Root.OCProperties.D
        for group in pdf.Root.OCProperties.OCGs:
            if str(group.Name) in layers:
                config.OFF.append(group)
        out = BytesIO()
        pdf.save(out)
    return out.getvalue()


def ink(data, page, scale=1.5):
    """A page in colour, as pdfium draws it."""
    with pypdfium2.PdfDocument(data) as pdf:
        return pdf[page].render(scale=scale).to_numpy()[..., :3].astype(int)


def dark(image):
    return int((image.min(axis=-1) < 200).sum())


def test_the_layers_are_the_sizes_the_kinds_and_the_frame(data):
    with pikepdf.open(BytesIO(data)) as pdf:
        names = [str(group.Name) for group in pdf.Root.OCProperties.OCGs]
        order = [str(group.Name) for group in pdf.Root.OCProperties.D.Order]
    assert names == order
    assert names[:3] == ["size 10", "size 12", "size 14"]
    assert names[-1] == "frame"


# The sheet on the roll in one page, and the first page of the tiles after the cover.
@pytest.fixture(scope="module", params=["roll", "tiles"])
def page(request, nest, data):
    return (nest_pdf(nest), 0, 0.6) if request.param == "roll" else (data, 1, 1.5)


@pytest.mark.parametrize("size", SIZES)
def test_a_size_that_is_switched_off_takes_its_ink_with_it(page, size):
    """What is left is what the other layers draw: switching all others off shows just what went."""
    data, number, scale = page
    layers = [f"size {other}" for other in SIZES if other != size]
    before, after = ink(data, number, scale), ink(without(data, f"size {size}"), number, scale)
    changed = (before != after).any(axis=-1)
    alone = ink(without(data, *layers, "frame"), number, scale)
    assert changed.sum() > 300
    # Nothing but this size went, give or take the pixels that it shares with others.
    assert (alone.min(axis=-1) < 255)[changed].mean() > 0.99
    # Where none but this size had ink, there is none now.
    others = ink(without(data, f"size {size}", "frame"), number, scale).min(axis=-1) < 255
    frame = ink(without(data, *(f"size {one}" for one in SIZES)), number, scale).min(axis=-1) < 255
    own = (alone.min(axis=-1) < 255) & ~others & ~frame
    assert own.sum() > 300
    assert (after[own] == 255).all()


def test_every_line_of_a_nest_is_of_a_size_or_of_the_frame(page):
    data, number, scale = page
    blank = ink(without(data, "frame", *(f"size {one}" for one in SIZES)), number, scale)
    assert (blank == 255).all()
    framed = ink(without(data, *(f"size {one}" for one in SIZES)), number, scale)
    assert 0 < dark(framed) < dark(ink(data, number, scale))


def test_a_frame_that_is_switched_off_leaves_only_the_nest(data):
    bare = ink(without(data, "frame"), 0)
    lines = ink(without(data, "frame", *(f"size {one}" for one in SIZES)), 0)
    assert dark(lines) == 0, "without sizes and frame the cover is blank"
    assert 0 < dark(bare) < dark(ink(data, 0))


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
@pytest.mark.parametrize("overlap", [OVERLAP, 0.0], ids=["overlap", "butt"])
def test_no_words_of_a_nest_lie_across_a_joint(eight_sizes, paper, overlap):
    """Titles and the names of sizes; on butted pages some do until they are put aside."""
    grid = grid_of(paper, MARGIN, overlap)
    tiled = tile_nest(eight_sizes, paper, overlap)
    cells = {(tile.row, tile.column) for tile in tiled.plan.tiles}
    for piece in tiled.nest.pieces:
        for words in (*piece.words, *(label.words for label in piece.labels)):
            room = _moved(room_of(words), piece.move)
            assert not crosses(room, joints_over(room, grid)), words
            assert (int(room.top // grid.down), int(room.left // grid.across)) in cells, words


@pytest.fixture(scope="module")
def eight_sizes(tmp_path_factory):
    return nest_of("yoked-bodice", (), tmp_path_factory.mktemp("out"))


def test_poppler_draws_the_layers_as_pdfium_does(data, tmp_path):
    tool = shutil.which("pdftoppm")
    if tool is None:
        pytest.skip("poppler is not on this machine")
    off = tmp_path / "off.pdf"
    off.write_bytes(without(data, "size 10", "size 12", "size 14"))
    (tmp_path / "all.pdf").write_bytes(data)
    shares = {}
    for name in ("all", "off"):
        source, target = str(tmp_path / f"{name}.pdf"), str(tmp_path / name)
        command = [tool, "-r", "60", "-gray", "-f", "2", "-l", "2", source, target]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert done.stderr == ""
        (picture,) = tmp_path.glob(f"{name}-*.pgm")
        shares[name] = (grey(picture) < 128).sum()
    assert shares["off"] < shares["all"]


def grey(path):
    raw = path.read_bytes()
    _, size, _, rest = raw.split(b"\n", 3)
    width, height = map(int, size.split())
    return np.frombuffer(rest, dtype=np.uint8)[-width * height :].reshape(height, width)


def test_blank_pages_are_left_out_and_every_size_is_on_the_sheet(tiled):
    plan = tiled.plan
    for tile in plan.tiles:
        assert any(
            overlaps(_moved(stroke_box(line.cutting), piece.move), tile.core)
            for piece in tiled.nest.pieces
            for line in piece.piece.lines
        )
    assert all(len(piece.piece.lines) == 3 for piece in tiled.nest.pieces)


def _moved(box, by):
    return type(box)(box.left + by[0], box.top + by[1], box.right + by[0], box.bottom + by[1])


def test_pages_have_the_paper_s_own_boxes_and_embed_their_type(data, tiled):
    with pikepdf.open(BytesIO(data)) as pdf:
        assert len(pdf.pages) == len(tiled.plan.tiles) + 1
        for page in pdf.pages:
            assert [float(x) for x in page.MediaBox] == [0, 0, 595.276, 841.89]
            font = page.Resources.Font.F.DescendantFonts[0].FontDescriptor
            assert font.FontFile2.read_bytes()[:4] == b"\0\1\0\0"


def test_a_nested_piece_is_printed_at_its_true_size(data, tiled):
    """The middle of the base size's upright line at the centre front, on the first page."""
    nest, tile = tiled.nest, tiled.plan.tiles[0]
    front = nest.pieces[0]
    line = next(line for line in front.piece.lines if line.size == nest.base)
    x = front.move[0] + line.net.start[0] - tile.window.left + tiled.plan.margin
    y = front.move[1] + stroke_box(line.net).top - tile.window.top + tiled.plan.margin + 60
    image = ink(without(data, "size 10", "size 14", "frame"), 1, scale=300 / 72)
    row = image[round(y / 25.4 * 300)].min(axis=-1)
    columns = np.flatnonzero(row < 128)
    nearest = columns[np.abs(columns - x / 25.4 * 300) < 10]
    assert nearest.mean() == pytest.approx(x / 25.4 * 300, abs=1)


def test_the_same_bytes_again(data, tiled):
    assert nest_tiles_pdf(tiled.nest, tiled.plan) == data
