"""Where each correction of a body came to rest, and what is said of those that were left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from scye.diagnostics.fitting import CorrectionLeftOut
from scye.fit import words
from scye.fit.replay import Laid, in_order
from scye.ir.equations import Ref
from scye.ir.fitting import Fitting, Rested


def rested(
    fittings: Sequence[Fitting], laid: Sequence[Laid], placed: Callable[[Ref], bool]
) -> Iterator[Rested]:
    """Each correction in the order it was replayed. `placed` says whether a place was found for this body."""
    for (fitting, correction), how in zip(in_order(fittings), laid, strict=True):
        where = "; ".join(text for text, ref in how.where if placed(ref))
        outcome, reason = how.outcome, how.reason
        if outcome == "replayed" and not where:
            outcome = "left out"
            reason = f"{correction.at} is not on {words.seam_words(correction.seam)} for these measures"
        what = words.correction_words(correction)
        day = words.day_words(fitting.date)
        yield Rested(
            fitting.date, day, fitting.by, what, correction.why, outcome, where, reason, correction.span
        )


def left_out(lines: Sequence[Rested]) -> Iterator[CorrectionLeftOut]:
    """What must be said of a draft whose corrections were not all replayed."""
    for line in lines:
        if line.outcome == "left out":
            what = f"{line.what}, of {line.day},"
            yield CorrectionLeftOut(span=line.span, what=what, reason=line.reason)
