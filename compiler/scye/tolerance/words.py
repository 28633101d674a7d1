"""What is said of a figure that may be out, and of the measures that matter for a piece."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from scye.ir.sureness import Doubt, ErrorBar, Part
from scye.units.tape import DisplayUnit, show_length, show_value

CHIEF = 0.75  # of the variance: measures are named as the reason until they make up so much of it
MOST_NAMED = 3
NOTHING = 1e-7


def doubt_words(doubt: Doubt, bars: Mapping[str, ErrorBar], display: DisplayUnit) -> str:
    """`seam A could be 3/16 in out because the bust was taken once`; nothing where no tape could show it."""
    steps = [_step(part, bars[part.measure], display) for part in doubt.parts if part.stepped]
    out = _amount(doubt.out, doubt.unit, display)
    if out == _amount(0.0, doubt.unit, display):
        return f"{_thing(doubt)} goes by steps: {steps[0]}" if steps else ""
    chief = list(_chief(doubt))
    lead = f"{_thing(doubt)} could be {out} out"
    if chief[0].stepped:
        return f"{lead}: it goes by steps, and {_step(chief[0], bars[chief[0].measure], display)}"
    alone = sum(part.moves**2 for part in chief) >= CHIEF * doubt.out**2
    return f"{lead}{'' if alone else ', mostly'} because {_reason([bars[p.measure] for p in chief], display)}"


def _chief(doubt: Doubt) -> Iterator[Part]:
    """The parts that make up most of the variance, greatest first."""
    so_far = 0.0
    for part in doubt.parts[:MOST_NAMED]:
        if so_far >= CHIEF * doubt.out**2:
            return
        yield part
        so_far += part.moves**2


def _thing(doubt: Doubt) -> str:
    name = doubt.name.replace("_", " ").replace("[", " ").replace("]", "").replace(".", " ")
    return f"seam {name}" if doubt.what == "seam" else name


def _step(part: Part, bar: ErrorBar, display: DisplayUnit) -> str:
    """What a rounding or a comparison does within the error bar."""
    width = _amount(bar.bar, bar.unit, display)
    reach = "reaches no other" if part.moves <= NOTHING else "may reach the next"
    return f"{_the(bar)} {reach} within {width}"


def _reason(bars: Sequence[ErrorBar], display: DisplayUnit) -> str:
    once = [bar for bar in bars if bar.times == 1]
    unsaid = [bar for bar in bars if bar.times is None]
    careful = [bar for bar in bars if bar.times is not None and bar.times > 1]
    said = []
    if once:
        said.append(f"{_named(once)} {'was' if len(once) == 1 else 'were'} taken once")
    if unsaid:
        said.append(f"it isn't said how often {_named(unsaid)} {'was' if len(unsaid) == 1 else 'were'} taken")
    said += [f"{_the(bar)} may be {_amount(bar.bar, bar.unit, display)} out" for bar in careful]
    return _listed(said)


def _named(bars: Sequence[ErrorBar]) -> str:
    return _listed([_the(bar) for bar in bars])


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + f" and {words[-1]}"


def _the(bar: ErrorBar) -> str:
    """`the bust`, but `bust to waist`."""
    title = bar.title[:1].lower() + bar.title[1:]
    return title if " to " in title else f"the {title}"


def _amount(value: float, tag: str, display: DisplayUnit) -> str:
    return show_length(value, display) if tag == "mm" else show_value(value, tag, display)


def piece_words(shares: Sequence[tuple[str, float]], titles: Mapping[str, str]) -> str:
    """`waist 62 %, bust to waist 30 %`."""
    return ", ".join(f"{titles[name].lower()} {100.0 * share:.0f} %" for name, share in shares[:MOST_NAMED])
