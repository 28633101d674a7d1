"""Limits, decisions, the wearer's age and health, and rules beside the tape: E1301 to E1349."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class _Said(Diagnostic):
    """A diagnostic whose sentence is made where the figures are."""

    said: str
    hint: str = ""

    def seen(self) -> str:
        return self.said

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class CannotBeLimited(_Said):
    """A `limit` can't hold what it names.

        limit reduction at most 15% of waist or 4 in

    What is limited is a choice or a named amount of the recipe, by its own name. A limit holds a value for
    each body, so a choice that a `when` or a `repeat` asks about can't have one: the draft would be made for
    what was asked, and held at something else. Two limits of a recipe have names of their own, since a
    decision names the limit it is about.
    """

    code: ClassVar[str] = "E1301"
    title: ClassVar[str] = "a limit that can't hold"


@dataclass(frozen=True, kw_only=True)
class LimitHolds(_Said):
    """More was asked than a limit of the recipe allows, so the draft is held at the limit.

    Nothing else is changed to make up for it. Whoever answers for going further writes it on the measure
    card, and the draft follows:

        decisions:
          - limit: reduction
            value: 5 in
            by: Saltmarsh Workroom
            date: 2024-04-10
            why: one hour on stage, loosened between the acts

    The limit is the studio's own. It says nothing about what is safe: no amount is known to be safe for all.
    """

    code: ClassVar[str] = "E1302"
    title: ClassVar[str] = "a limit that holds"
    severity: ClassVar[Severity] = Severity.FAILURE


@dataclass(frozen=True, kw_only=True)
class NearLimit(_Said):
    """A value is past the point where the recipe's `limit` asks for a look, and not beyond the limit itself.

    The draft stands as asked.
    """

    code: ClassVar[str] = "E1303"
    title: ClassVar[str] = "a value to look at"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class LimitReleased(_Said):
    """More was asked than a limit of the recipe allows, and a decision on the card answers for it.

    The draft stands as decided. The sheet says who decided, when and why.
    """

    code: ClassVar[str] = "E1304"
    title: ClassVar[str] = "a limit passed by decision"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class ForMinors(_Said):
    """A limited choice begins at its amount for minors: the wearer is young, or the recipe is for children.

    To draft another amount set the choice by hand, and record on the card who decided, when and why. Ages
    are counted on the date of the card. Local rules and a clinician come before any of this.
    """

    code: ClassVar[str] = "E1305"
    title: ClassVar[str] = "an amount for minors"
    severity: ClassVar[Severity] = Severity.NOTE


@dataclass(frozen=True, kw_only=True)
class ConditionNoted(_Said):
    """The card has a line `health`, and the recipe limits something that the wearer may feel.

    What the line says is read by nobody here and printed nowhere. Whether the garment may be worn is for a
    clinician.
    """

    code: ClassVar[str] = "E1306"
    title: ClassVar[str] = "a condition noted on the card"
    severity: ClassVar[Severity] = Severity.CAUTION


@dataclass(frozen=True, kw_only=True)
class DecisionUnused(_Said):
    """A decision on a card is about a limit that this recipe doesn't have.

    A card serves many recipes, so this may be as it should. Look at the spelling if it was meant for this
    one: a limit goes by the words in its quotes, or else by the name of what it limits.
    """

    code: ClassVar[str] = "E1307"
    title: ClassVar[str] = "a decision about no limit here"
    severity: ClassVar[Severity] = Severity.NOTE


@dataclass(frozen=True, kw_only=True)
class DecisionIncomplete(_Said):
    """A decision on a card doesn't say all that a decision must say.

        decisions:
          - limit: reduction
            value: 5 in
            by: Saltmarsh Workroom
            date: 2024-04-10
            why: one hour on stage, loosened between the acts

    A limit is released only by somebody, on a day, for a reason.
    """

    code: ClassVar[str] = "E1308"
    title: ClassVar[str] = "a decision that does not say enough"


@dataclass(frozen=True, kw_only=True)
class BadAge(_Said):
    """The wearer's age can't be read: write `age: 15`, or `born: 2009-03-05` with the card's `date`.

    Ages are counted on the date of the card, so that the same card always gives the same draft.
    """

    code: ClassVar[str] = "E1309"
    title: ClassVar[str] = "an age that can't be read"


@dataclass(frozen=True, kw_only=True)
class RuleOffTape(_Said):
    """What was measured lies far from what the recipe's own rule would have given.

        needs scye_depth otherwise bust / 6 + 1 1/2 in

    The tape is used. A rule of thumb fits the body it was made for, so a difference is no mistake; but more
    than three times what the tape may be out is worth a second look at both.
    """

    code: ClassVar[str] = "E1310"
    title: ClassVar[str] = "a rule far from the tape"
    severity: ClassVar[Severity] = Severity.NOTE
