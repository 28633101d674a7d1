"""How much cloth: from the lay, line by line, with a check beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from scye.ir.lay import Figure, Lay, Placement, Reckoning
from scye.ir.people import DisplayUnit
from scye.lay.shrink import per_cent
from scye.units.tape import show_length, show_value

# Lines are rounded up to these, so that they add to the total as they are read: 1/8 in, 1 mm, 1 mm (mm each).
LINE = {"in": 25.4 / 8, "cm": 1.0, "mm": 1.0}
# Cloth is bought by the eighth of a yard or by 10 cm (mm each).
BOUGHT = {"in": 914.4 / 8, "cm": 100.0, "mm": 100.0}
# The check is no finer than half an inch or a centimetre.
ROUGH = {"in": Fraction(1, 2), "cm": Fraction(1), "mm": Fraction(10)}
# What one garment laid by itself may reach, and the share of the width that selvedges take.
FAIR_USE = 0.75
SELVEDGES = (0.02, 0.03)


def reckon(lay: Lay) -> Reckoning:
    unit, cloth = lay.garment.unit, lay.cloth
    pieces = sum(len(stretch.placements) for stretch in lay.stretches)
    told = f"the drawn lay: {pieces} cuts on {_long(cloth.width, unit)} of usable width"
    lines = [(lay.length, "lay", told)]
    if cloth.ends:
        told = f"{_long(cloth.ends, unit)} left at each end, where cloth is seldom cut straight"
        lines.append((2 * cloth.ends, "ends", told))
    if cloth.repeat:
        chain = longest_chain(lay)
        told = (
            f"{chain} pieces one after another at most, each moved on by up to one repeat of "
            f"{_long(cloth.repeat, unit)} until its pattern meets"
        )
        lines.append((chain * cloth.repeat, "repeat", told))
    steps = [math.ceil(amount / LINE[unit] - 1e-6) for amount, _, _ in lines]
    total = sum(steps) * LINE[unit]
    figures = tuple(
        Figure(name, _long(step * LINE[unit], unit), told)
        for step, (_, name, told) in zip(steps, lines, strict=True)
    )
    source = f"{_long(total, unit)}, rounded up to {'1/8 yd' if unit == 'in' else '10 cm'}"
    buy, length = Figure("buy", bought(total, unit), source), _steps_bought(total, unit) * BOUGHT[unit]
    return Reckoning(figures, buy, length, _check(lay), tuple(_notes(lay)))


def _check(lay: Lay) -> tuple[Figure, ...]:
    """What the pieces' area alone would take, if nothing were lost and at a fair use of the cloth."""
    unit, width = lay.garment.unit, lay.cloth.width
    perfect = lay.area / width
    area, wide = show_value(lay.area, "mm2", "cm" if unit == "mm" else unit), _long(width, unit)
    fair = perfect / FAIR_USE
    return (
        Figure("perfect use", _rough(perfect, unit), f"area of the pieces, {area}, over a width of {wide}"),
        Figure(
            f"at {FAIR_USE * 100:.0f} % use",
            f"{_rough(fair, unit)} ({bought(fair, unit)})",
            "the same over 0.75; one garment laid by itself reaches 60 to 75 %",
        ),
        Figure("this lay", f"{lay.efficiency * 100:.0f} % used", "area of the pieces over that of the lay"),
    )


def _notes(lay: Lay) -> Iterator[Figure]:
    unit, cloth = lay.garment.unit, lay.cloth
    if cloth.shrinkage.along or cloth.shrinkage.across:
        along, across = cloth.shrinkage.along, cloth.shrinkage.across
        more = lay.area * (1 - (1 - along) * (1 - across)) / cloth.width
        told = (
            f"{per_cent(along)} along the grain and {per_cent(across)} across, built into every piece: "
            "size / (1 - shrinkage); it is in the length of the lay already, about so much by area"
        )
        yield Figure("shrinkage", _long(more, unit), told)
    wide, wider = (cloth.width / (1 - share) for share in SELVEDGES)
    told = (
        f"not in the usable width; they take 2 to 3 % of cloth as it is sold, so look for one of about "
        f"{_rough(wide, unit)} to {_rough(wider, unit)} or more"
    )
    yield Figure("selvedges", _rough(wider - cloth.width, unit), told)


def longest_chain(lay: Lay) -> int:
    """The most pieces that one line along the cloth crosses."""
    return sum(_chain(stretch.placements) for stretch in lay.stretches)


def _chain(placements: tuple[Placement, ...]) -> int:
    ranges = [(min(y for _, y in p.outline), max(y for _, y in p.outline)) for p in placements]
    return max(sum(low <= at < high for low, high in ranges) for at, _ in ranges)


def bought(mm: float, unit: DisplayUnit) -> str:
    """A length as cloth is bought: up to the next 1/8 yd, or 10 cm."""
    steps = _steps_bought(mm, unit)
    if unit != "in":
        return f"{steps * 10} cm"
    whole, eighths = divmod(steps, 8)
    part = f"{Fraction(eighths, 8)}" if eighths else ""
    return f"{whole or ''} {part}".strip() + " yd"


def _steps_bought(mm: float, unit: DisplayUnit) -> int:
    return math.ceil(mm / BOUGHT[unit] - 1e-6)


def rounded_up(mm: float, unit: DisplayUnit) -> str:
    """A length of the lay as it is read: up to the next 1/8 in or mm."""
    return _long(math.ceil(mm / LINE[unit] - 1e-6) * LINE[unit], unit)


def _long(mm: float, unit: DisplayUnit) -> str:
    return show_length(mm, unit, Fraction(1, 8) if unit == "in" else None)


def _rough(mm: float, unit: DisplayUnit) -> str:
    return show_length(mm, unit, ROUGH[unit])
