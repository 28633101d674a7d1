"""The templates of the pages: each begins from page.html, which has the head and the style that all share."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template


def page_template(name: str) -> Template:
    """The template of that file name in `templates`."""
    return _environment().get_template(name)


@cache
def _environment() -> Environment:
    return Environment(
        loader=FunctionLoader(_text),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _text(name: str) -> str:
    return files("scye.render").joinpath("templates", name).read_text(encoding="utf-8")
