"""lay.html: the lay, how much cloth it takes and why, and the list of its cuts, in one page."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jinja2 import Environment, StrictUndefined, Template

from scye.ir.lay import LaySheet
from scye.render.lay_svg import lay_markup


def lay_html(sheet: LaySheet) -> bytes:
    """One page in itself, which prints in black."""
    return _template().render(sheet=sheet, drawing=lay_markup(sheet)).encode()


@cache
def _template() -> Template:
    text = files("scye.render").joinpath("templates", "lay.html").read_text(encoding="utf-8")
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    return environment.from_string(text)
