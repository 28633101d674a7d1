"""The picture, and going without one."""

import sys
from io import BytesIO

import saltmarsh
from PIL import Image

from scye.place.picture import lay_picture
from scye.render.png import PictureSkipped, pieces_png


def test_a_picture_of_the_width_asked_for():
    plan = lay_picture(saltmarsh.pattern())
    made = pieces_png(plan, 400)
    assert isinstance(made, bytes)
    image = Image.open(BytesIO(made)).convert("L")
    assert image.size == (400, round(400 * plan.height / plan.width))
    darkest, lightest = image.getextrema()
    assert darkest < 30
    assert lightest == 255


def test_without_the_cairo_library_the_reason_is_told(monkeypatch):
    monkeypatch.setitem(sys.modules, "cairosvg", None)
    made = pieces_png(lay_picture(saltmarsh.pattern()), 400)
    assert isinstance(made, PictureSkipped)
    assert made.startswith("picture skipped: ")
