"""Numbers as they are written in every output: four decimals of a mm at most, never a minus nought."""

from __future__ import annotations


def number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
