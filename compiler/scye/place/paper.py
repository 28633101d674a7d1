"""Sizes of paper in mm, upright. A series: ISO 216; Letter: 8 1/2 by 11 in."""

from __future__ import annotations

from scye.ir.sheets import Paper

A_SERIES: tuple[Paper, ...] = (
    Paper("A0", 841, 1189),
    Paper("A1", 594, 841),
    Paper("A2", 420, 594),
    Paper("A3", 297, 420),
    Paper("A4", 210, 297),
    Paper("A5", 148, 210),
    Paper("A6", 105, 148),
    Paper("A7", 74, 105),
    Paper("A8", 52, 74),
    Paper("A9", 37, 52),
    Paper("A10", 26, 37),
)
A3, A4 = A_SERIES[3], A_SERIES[4]
LETTER = Paper("Letter", 8.5 * 25.4, 11 * 25.4)
# What pages for joining may be printed on, by the words of the command line.
HOME: dict[str, Paper] = {"a4": A4, "letter": LETTER, "a3": A3}
