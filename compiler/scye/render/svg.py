"""SVG: pieces at true scale, in mm, one group a piece."""

from __future__ import annotations

import math
from typing import assert_never
from xml.sax.saxutils import escape, quoteattr

from scye.ir.pattern import Point, Stroke
from scye.ir.sheets import Begin, End, Fill, Operation, PicturePlan, Trace, Write
from scye.render.draw_piece import draw_placed
from scye.render.numbers import number
from scye.render.pens import NIBS

FONT = "'DejaVu Sans', Verdana, sans-serif"


class SvgCanvas:
    """Writes each operation as an element."""

    def __init__(self) -> None:
        self.elements: list[str] = []

    def draw(self, operation: Operation) -> None:
        self.elements.append(_element(operation))


def pieces_svg(picture: PicturePlan) -> bytes:
    """The pieces of a pattern as one SVG: width and height in mm, one user unit a millimetre."""
    canvas = SvgCanvas()
    for placed in picture.placed:
        draw_placed(canvas, placed)
    width, height = number(picture.width), number(picture.height)
    title = picture_title(picture)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" fill="none" stroke-linejoin="round">'
    )
    ground = f'<rect width="{width}" height="{height}" fill="#fff"/>'
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', head, f"<title>{_text(title)}</title>", ground]
    return ("\n".join([*lines, *canvas.elements, "</svg>"]) + "\n").encode()


def picture_title(picture: PicturePlan) -> str:
    """What a picture says of itself: whoever is asked to share it can tell whose it is."""
    pattern = picture.pattern
    return f"{pattern.recipe}, edition {pattern.edition}, for {pattern.body}"


def path_data(stroke: Stroke) -> str:
    """SVG path data: L straight, C cubic, Z when closed; segments of no length are left out."""
    here = _pair(stroke.start)
    parts = ["M" + here]
    for segment in stroke.segments:
        places = [_pair(point) for point in segment]
        if any(place != here for place in places):
            parts.append(("C" if len(places) == 3 else "L") + " ".join(places))
        here = places[-1]
    return "".join(parts) + ("Z" if stroke.closed else "")


def _element(operation: Operation) -> str:
    match operation:
        case Trace(path, pen):
            nib = NIBS[pen]
            dash = f' stroke-dasharray="{" ".join(map(number, nib.dash))}"' if nib.dash else ""
            line = f'stroke="#000" stroke-width="{number(nib.width)}"{dash}'
            return f'<path class="{pen}" d="{path_data(path)}" {line}/>'
        case Fill(path, tone):
            return f'<path d="{path_data(path)}" fill="{_grey(tone)}"/>'
        case Write():
            return _words(operation)
        case Begin(name, move):
            identity = f" id={quoteattr(_printable(name))}" if name else ""
            return f'<g{identity} transform="translate({_pair(move)})">'
        case End():
            return "</g>"
        case _:
            assert_never(operation)


def _words(text: Write) -> str:
    x, y = text.at
    turn = (
        f' transform="rotate({number(math.degrees(text.angle))} {number(x)} {number(y)})"'
        if text.angle
        else ""
    )
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-family="{FONT}" font-size="{number(text.size)}"'
        f' fill="#000"{anchor}{turn}>{_text(text.words)}</text>'
    )


def _pair(point: Point) -> str:
    return f"{number(point[0])},{number(point[1])}"


def _grey(tone: float) -> str:
    return "#" + f"{round(tone * 255):02x}" * 3


def _text(words: str) -> str:
    return escape(_printable(words))


def _printable(words: str) -> str:
    """Without the control characters that XML cannot hold."""
    return "".join(
        c if c >= " " and c not in "\ufffe\uffff" and not "\ud800" <= c <= "\udfff" else " " for c in words
    )
