"""Mistakes of names: E201 to E299."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic


@dataclass(frozen=True, kw_only=True)
class UnknownName(Diagnostic):
    """A name is used that nothing in the recipe makes.

    Every name must be a measure the recipe `needs`, a choice, a named value, or a thing that is drawn. A
    thing of another draft is named with its draft: `front.armhole`.

        half_waist = quater_waist * 2

    Look for a slip of spelling first: the nearest name that exists is offered. The order of the lines does
    not matter, so the line that makes it may stand below.
    """

    code: ClassVar[str] = "E201"
    title: ClassVar[str] = "a name that nothing makes"
    name: str
    near: str | None = None
    where: str = ""
    hint: str = "make it above or below, or list it in `needs` if it is a measure"

    def seen(self) -> str:
        return f"there is no `{self.name}`{self.where}"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else self.hint


@dataclass(frozen=True, kw_only=True)
class NameTwice(Diagnostic):
    """Two statements make the same name, so it isn't known which of them is meant.

        half = waist / 2
        half = waist / 2 + 1 in

    One name is one thing: rename one of the two. Where each belongs to a different choice, put them in the
    two arms of a `when`.
    """

    code: ClassVar[str] = "E202"
    title: ClassVar[str] = "a name made twice"
    name: str

    def seen(self) -> str:
        return f"`{self.name}` is made a second time"

    def attempt(self) -> str:
        return "give one of the two another name, or part them by `when` and `otherwise`"


@dataclass(frozen=True, kw_only=True)
class UnknownMethod(Diagnostic):
    """`draw ... by` names a method that neither the recipe nor a file it uses holds.

        draw neck by sqare_neck

    Methods are written in the recipe itself, in a file beside it, or in stdlib; `use sleeves` makes those
    of sleeves.scye known. Look for a slip of spelling, then for a `use` that is lacking.
    """

    code: ClassVar[str] = "E203"
    title: ClassVar[str] = "an unknown method"
    name: str
    near: str | None = None
    held: str = ""  # the standard file that has a method of the name

    def seen(self) -> str:
        return f"no method is called `{self.name}`"

    def attempt(self) -> str:
        if self.held:
            return f"write `use {self.held}` near the top: that file of methods holds it"
        if self.near:
            return f"did you mean `{self.near}`?"
        return "`use` the file that holds it, or write the method in this recipe"


@dataclass(frozen=True, kw_only=True)
class UnknownMeasure(Diagnostic):
    """`needs` names a measure that is not in the catalogue.

    The catalogue says where the tape goes for each measure, so that two people who use a name mean the same
    thing. `scye measures` lists them all. A recipe that wants a figure of its own should make it a choice:
    `choose pleat_depth = 2 in from 1 in to 3 in`.
    """

    code: ClassVar[str] = "E204"
    title: ClassVar[str] = "an unknown measure"
    name: str
    near: str | None = None

    def seen(self) -> str:
        return f"`{self.name}` is not a measure of the catalogue"

    def attempt(self) -> str:
        if self.near:
            return f"did you mean `{self.near}`? (`scye measures` lists them all)"
        return "`scye measures` lists them all"


@dataclass(frozen=True, kw_only=True)
class MethodInRing(Diagnostic):
    """A method draws by itself, directly or by way of others, so that drawing would never end.

        method frill
          ...
          draw more by frill

    A method may draw only by methods that do not lead back to it. Where the same thing is wanted several
    times, write `repeat` in the recipe and draw the method once in each round.
    """

    code: ClassVar[str] = "E205"
    title: ClassVar[str] = "a method that draws by itself"
    ring: tuple[str, ...]

    def seen(self) -> str:
        if len(self.ring) == 1:
            return f"the method `{self.ring[0]}` draws by itself"
        chain = ", which draws by ".join(f"`{n}`" for n in (*self.ring, self.ring[0]))
        return f"the method {chain}"

    def attempt(self) -> str:
        return "a method may only draw by others that do not lead back to it"


@dataclass(frozen=True, kw_only=True)
class NotNeeded(Diagnostic):
    """A measure of the catalogue is used but not listed in `needs`.

    The `needs` lines tell a maker what to measure before she begins, so every measure used stands there.
    Add it to them; `needs scye_depth otherwise bust / 6 + 1 1/2 in` gives a rule for the card that lacks
    it.
    """

    code: ClassVar[str] = "E206"
    title: ClassVar[str] = "a measure that is not listed"
    name: str

    def seen(self) -> str:
        return f"`{self.name}` is a measure, but the recipe does not list it in `needs`"

    def attempt(self) -> str:
        return f"write `needs {self.name}` near the top"


@dataclass(frozen=True, kw_only=True)
class UseRing(Diagnostic):
    """Files of methods use each other in a ring, so that none of them can be read first.

        sleeves.scye:  use cuffs
        cuffs.scye:    use sleeves

    Move the methods that both need into a third file, and let both use that.
    """

    code: ClassVar[str] = "E207"
    title: ClassVar[str] = "files that use each other"
    ring: tuple[str, ...]

    def seen(self) -> str:
        return "these files use each other in a ring: " + ", ".join(f"`{n}`" for n in self.ring)

    def attempt(self) -> str:
        return "move what both need into a third file"


@dataclass(frozen=True, kw_only=True)
class NotInReach(Diagnostic):
    """A part of a thing is asked for that it does not have, as `seam.middle` of a panel line.

    A panel line has `left`, `right` and `centre`; a dart has `point`, `angle` and `intake`; a thing drawn
    by a method has what the method `gives`; a draft has what is drawn in it. Points, lines and amounts have
    no parts: the ends of a line are `start of side` and `end of side`.
    """

    code: ClassVar[str] = "E208"
    title: ClassVar[str] = "a part that a thing does not have"
    name: str
    part: str
    has: tuple[str, ...]
    near: str | None = None
    hint: str = ""

    def seen(self) -> str:
        return f"`{self.name}` has no `{self.part}`"

    def expected(self) -> str:
        if not self.has:
            return f"`{self.name}` by itself: it has no parts"
        return "one of " + ", ".join(f"`{h}`" for h in self.has)

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else self.hint


@dataclass(frozen=True, kw_only=True)
class NameUnclear(Diagnostic):
    """A name stands for things in several drafts, and it is not said which is meant.

        shoulder_length = length of shoulder

    where both `front` and `back` draw a `shoulder`. Inside a draft its own things come first; outside,
    write the draft before the name: `front.shoulder`.
    """

    code: ClassVar[str] = "E209"
    title: ClassVar[str] = "a name in several drafts"
    name: str
    drafts: tuple[str, ...]

    def seen(self) -> str:
        return f"`{self.name}` is drawn in several drafts: {', '.join(self.drafts)}"

    def attempt(self) -> str:
        return f"say which, as `{self.drafts[0]}.{self.name}`"


@dataclass(frozen=True, kw_only=True)
class MethodTwice(Diagnostic):
    """Two methods that the recipe can draw by have the same name.

    They stand in two files that are used, or in a file and the recipe itself, or twice in one file. Neither
    is preferred, since they could draw different things. Rename one of the two, or leave out one of the
    `use` lines.
    """

    code: ClassVar[str] = "E210"
    title: ClassVar[str] = "a method made twice"
    name: str

    def seen(self) -> str:
        return f"there are two methods called `{self.name}`"

    def attempt(self) -> str:
        return "rename one of the two"


@dataclass(frozen=True, kw_only=True)
class NotARecipe(Diagnostic):
    """The file has no `recipe "..."` line, so it is a file of methods; those are used, not built.

    A recipe begins with its title:

        recipe "Plain skirt"

    A file of methods, in turn, may hold nothing but `use` and `method`: amounts, drafts and pieces belong
    in the recipe that uses it.
    """

    code: ClassVar[str] = "E211"
    title: ClassVar[str] = "not a recipe"
    about: str = "this file holds no recipe"
    hint: str = 'begin it with a line such as `recipe "Plain skirt"`'

    def seen(self) -> str:
        return self.about

    def attempt(self) -> str:
        return self.hint


@dataclass(frozen=True, kw_only=True)
class UnknownCaution(Diagnostic):
    """`caution` names a text that the catalogue of cautions does not hold.

    Cautions are written once, in stdlib/cautions.yaml, so that the same thing is always said in the same
    words; a recipe names the one it wants and says when. Look for a slip of spelling, or add the text
    there.
    """

    code: ClassVar[str] = "E213"
    title: ClassVar[str] = "an unknown caution"
    name: str
    near: str | None = None

    def seen(self) -> str:
        return f"there is no caution called `{self.name}`"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else "stdlib/cautions.yaml lists them"


@dataclass(frozen=True, kw_only=True)
class NotTraceable(Diagnostic):
    """`scye trace` is asked for a name that the recipe does not make with these choices.

    Amounts, points and lines can be traced, each by its full name: `quarter_hip`, `front.scye`,
    `intake[2]`. A thing that stands in a `when` exists only under its choice; `--set` sets choices for the
    trace.
    """

    code: ClassVar[str] = "E214"
    title: ClassVar[str] = "nothing to trace"
    name: str
    near: str | None = None

    def seen(self) -> str:
        return f"this recipe makes no `{self.name}`"

    def attempt(self) -> str:
        if self.near:
            return f"did you mean `{self.near}`?"
        return "name an amount, a point or a line of the recipe; those of a draft as `front.scye`"


@dataclass(frozen=True, kw_only=True)
class SizeUnknown(Diagnostic):
    """A size is asked for with `--sizes` that the chart does not have.

    Sizes are named exactly as the chart names them. Leave `--sizes` out to draft every size of the chart.
    """

    code: ClassVar[str] = "E215"
    title: ClassVar[str] = "a size that the chart does not have"
    size: str
    sizes: tuple[str, ...]

    def seen(self) -> str:
        return f"the chart has no size {self.size}"

    def expected(self) -> str:
        return "one of " + ", ".join(self.sizes)
