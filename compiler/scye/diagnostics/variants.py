"""Mistakes of variants, E1101 to E1139, and of comparing two editions, E1141 to E1159."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class ParentMissing(Diagnostic):
    """A recipe is `based on` one that is not found.

        recipe "Scooped bodice"
          edition 1
          based on "saltmarsh-bodice" edition 1

    The parent is named as its file or folder is, without the ending. It is looked for beside the recipe,
    beside the recipe's folder, in the folder `recipes` where you stand, and in your library.
    """

    code: ClassVar[str] = "E1101"
    title: ClassVar[str] = "no such recipe to base on"
    name: str
    near: tuple[str, ...] = ()

    def seen(self) -> str:
        return f'there is no recipe "{self.name}" to base this one on'

    def attempt(self) -> str:
        if self.near:
            return f'did you mean "{self.near[0]}"?'
        return "put it beside this recipe or its folder, or in the folder `recipes`"


@dataclass(frozen=True, kw_only=True)
class ParentNameRefused(Diagnostic):
    """A parent is named by a path, or by a name with signs that no recipe has.

    `based on` takes the plain name of a recipe, letters, digits, hyphens and underscores, so that a recipe
    from a stranger reaches nothing but recipes.
    """

    code: ClassVar[str] = "E1102"
    title: ClassVar[str] = "not the name of a recipe"
    name: str

    def seen(self) -> str:
        return f'"{self.name}" is not the plain name of a recipe'

    def attempt(self) -> str:
        return 'name the recipe without folders or ending: `based on "saltmarsh-bodice" edition 1`'


@dataclass(frozen=True, kw_only=True)
class EditionNotSaid(Diagnostic):
    """A recipe is `based on` another without saying on which edition of it.

        based on "saltmarsh-bodice" edition 1

    The edition is pinned, so that a corrected parent never changes a variant unseen: when the parent comes
    out anew, the variant says so and waits until you have looked at it.
    """

    code: ClassVar[str] = "E1103"
    title: ClassVar[str] = "the parent's edition is not said"
    name: str
    found: str

    def seen(self) -> str:
        return f'the edition of "{self.name}" that this recipe is based on is not said'

    def attempt(self) -> str:
        if self.found:
            pinned = f'`based on "{self.name}" edition {self.found}`'
            return f"what is there is edition {self.found}: write {pinned}"
        return f'write `edition 1` under the title of "{self.name}", and `edition 1` here'


@dataclass(frozen=True, kw_only=True)
class OtherEdition(Diagnostic):
    """The parent that was found is not of the edition that the variant is based on.

    A variant is drawn from one edition of its parent. If that has come out anew, `scye compare` shows what
    moved between the two; when the variant has been seen to agree with it, name the new edition in
    `based on`. To keep to the old one, keep its file under a name of its own and base the variant on that.
    """

    code: ClassVar[str] = "E1104"
    title: ClassVar[str] = "another edition of the parent"
    name: str
    wanted: int
    found: str

    def seen(self) -> str:
        there = f"is edition {self.found}" if self.found else "names no edition"
        return f'this recipe is based on edition {self.wanted} of "{self.name}"; what is there {there}'

    def attempt(self) -> str:
        if not self.found:
            return f'write `edition {self.wanted}` under the title of "{self.name}"'
        return (
            f"see what moved with `scye compare`, then write `edition {self.found}`; "
            f"or put edition {self.wanted} back"
        )


@dataclass(frozen=True, kw_only=True)
class ParentRing(Diagnostic):
    """Recipes are based on each other in a ring, so none of them is the first.

    Follow `based on` from recipe to recipe: it must end at one that is based on no other.
    """

    code: ClassVar[str] = "E1105"
    title: ClassVar[str] = "recipes based on each other"
    ring: tuple[str, ...]

    def seen(self) -> str:
        if len(set(self.ring)) == 1:
            return f'"{self.ring[0]}" is based on itself'
        return "these recipes are based on each other: " + " on ".join(f'"{name}"' for name in self.ring)

    def attempt(self) -> str:
        return "let one of them be based on none"


@dataclass(frozen=True, kw_only=True)
class TooManyParents(Diagnostic):
    """A recipe is based on another, that on a third, and so on, through more levels than are allowed.

    Deeper than that nobody can tell any more what a piece comes from. Base the variant on one further back.
    """

    code: ClassVar[str] = "E1106"
    title: ClassVar[str] = "variants of variants, too deep"
    most: int

    def seen(self) -> str:
        return f"this recipe stands more than {self.most} levels above the one it comes from"

    def attempt(self) -> str:
        return "base it on a recipe further back, or write one of them out whole"


@dataclass(frozen=True, kw_only=True)
class ParentNotARecipe(Diagnostic):
    """The file that `based on` names holds methods, not a recipe.

    A file of methods has no title. Its methods are made known with `use`, and drawn by with `draw`.
    """

    code: ClassVar[str] = "E1107"
    title: ClassVar[str] = "based on what is not a recipe"
    name: str

    def seen(self) -> str:
        return f'"{self.name}" holds no recipe to base this one on'

    def attempt(self) -> str:
        return f"if it is a file of methods, write `use {self.name}` in place of `based on`"


@dataclass(frozen=True, kw_only=True)
class NoParent(Diagnostic):
    """`redraw` or `leave out` stands in a recipe that is based on no other.

        recipe "Scooped bodice"
          edition 1
          based on "saltmarsh-bodice" edition 1

    Both speak of what the parent has. A recipe of its own just draws a thing, or does not.
    """

    code: ClassVar[str] = "E1108"
    title: ClassVar[str] = "nothing to redraw from"
    word: str

    def seen(self) -> str:
        return f"`{self.word}` stands in a recipe that is based on no other"

    def attempt(self) -> str:
        return 'say which under the title, as `based on "saltmarsh-bodice" edition 1`, or take the word away'


@dataclass(frozen=True, kw_only=True)
class NotInParent(Diagnostic):
    """`redraw` or `leave out` names something that the parent does not have there.

        draft front
          redraw curve top_edge from cf_top to side_top

    A thing that is drawn in a draft is redrawn in a draft of the same name; what stands at the left edge is
    redrawn at the left edge. One of a row is named as the parent names it: `hem[1]`, or `hem[i]` within
    the same `repeat`. A seam is named by its sides, as the parent sews them.
    """

    code: ClassVar[str] = "E1109"
    title: ClassVar[str] = "not in the parent"
    word: str
    name: str
    where: str = ""
    near: str | None = None
    hint: str = ""

    def seen(self) -> str:
        return f"the parent has no {self.name}{self.where} to {self.word}"

    def attempt(self) -> str:
        if self.near:
            return f"did you mean {self.near}?"
        if self.hint:
            return self.hint
        return "look for a slip of spelling" if self.word == "leave out" else "add it without `redraw`"


@dataclass(frozen=True, kw_only=True)
class AlreadyInParent(Diagnostic):
    """A variant makes something that its parent has already, without saying that it is drawn anew.

        redraw curve top_edge from cf_top to side_top

    The word `redraw` says that this is meant, so that no part of the parent is lost by a name that happens
    to be the same. A `choose` needs no such word: it states another default.
    """

    code: ClassVar[str] = "E1110"
    title: ClassVar[str] = "the parent has it already"
    name: str
    redraw: str

    def seen(self) -> str:
        return f"the parent has {self.name} already"

    def attempt(self) -> str:
        return f"write `redraw {self.redraw}` if this is to stand in its place, or give it another name"


@dataclass(frozen=True, kw_only=True)
class AnotherKind(Diagnostic):
    """`redraw` gives a name to another kind of thing than the parent does.

    A curve may be redrawn as a straight line, and a fixed amount as one that is found; but a mark stays a
    mark and a dart a dart, since all that uses them counts on it. Leave the old thing out if it is not
    wanted, and draw the new one by a name of its own.
    """

    code: ClassVar[str] = "E1111"
    title: ClassVar[str] = "redrawn as another kind of thing"
    name: str
    was: str
    now: str

    def seen(self) -> str:
        return f"`{self.name}` is a {self.was} in the parent, and would be redrawn as a {self.now}"

    def attempt(self) -> str:
        return f"redraw it as a {self.was}, or leave it out and draw the {self.now} by another name"


@dataclass(frozen=True, kw_only=True)
class UnderOtherChoices(Diagnostic):
    """A thing is redrawn within a `when`, and the parent draws it under other choices.

        draft front
          when yoke
            redraw curve top_edge from cf_top to side_top

    Within a `when`, either the parent draws it under the same condition, written the same way, or under
    none. Redrawn outside any `when`, it stands in place of all that the parent draws by that name.
    """

    code: ClassVar[str] = "E1112"
    title: ClassVar[str] = "redrawn under other choices"
    name: str

    def seen(self) -> str:
        return f"the parent draws `{self.name}` under other choices than here"

    def attempt(self) -> str:
        return "write the same condition as the parent, or redraw it outside of any `when`"


@dataclass(frozen=True, kw_only=True)
class PartOfARow(Diagnostic):
    """One of a row is to be left out, and the parent makes the row as a whole by a `repeat`.

    Redraw the row: write the same `repeat` as the parent, with `redraw` before the line within it.

        repeat i from 1 to 4
          redraw mark top[i] from cf right i * 3 in
    """

    code: ClassVar[str] = "E1113"
    title: ClassVar[str] = "one of a row that is made together"
    name: str

    def seen(self) -> str:
        return f"the parent makes `{self.name}` with others of its row by a `repeat`; it cannot go alone"

    def attempt(self) -> str:
        return "redraw the row within the same `repeat`"


@dataclass(frozen=True, kw_only=True)
class FoundTogether(Diagnostic):
    """One unknown of a `find` is to be redrawn or left out, and the parent finds several together.

    What is found together must be redrawn or left out together, since its conditions hold for all.
    """

    code: ClassVar[str] = "E1114"
    title: ClassVar[str] = "found together with others"
    name: str
    others: tuple[str, ...]

    def seen(self) -> str:
        return f"the parent finds `{self.name}` together with " + ", ".join(f"`{o}`" for o in self.others)

    def attempt(self) -> str:
        return "redraw or leave out all of them"


@dataclass(frozen=True, kw_only=True)
class LeaveOutWithin(Diagnostic):
    """`leave out` stands within a `when` or a `repeat`.

    What is left out is not in this recipe at all. For a thing that comes and goes with a choice, redraw it
    within a `when`.
    """

    code: ClassVar[str] = "E1115"
    title: ClassVar[str] = "left out under a condition"

    def seen(self) -> str:
        return "`leave out` stands within a `when` or a `repeat`"

    def attempt(self) -> str:
        return "write it at the left edge or straight in a draft"


@dataclass(frozen=True, kw_only=True)
class StillUsed(Diagnostic):
    """Something is left out, and another part of the recipe still uses it.

    The line that uses it is shown, with the line that leaves it out. Redraw the one that uses it so that it
    does without, leave that out as well, or keep the thing.
    """

    code: ClassVar[str] = "E1116"
    title: ClassVar[str] = "left out, and still used"
    name: str

    def seen(self) -> str:
        return f"`{self.name}` is left out, and this still uses it"

    def attempt(self) -> str:
        return f"redraw this without `{self.name}`, leave it out as well, or keep `{self.name}`"


@dataclass(frozen=True, kw_only=True)
class LeftOutWithIt(Diagnostic):
    """A piece is left out, and with it its seams, its proofs and what is bought for its edges.

    Nothing is wrong: this only says what else is gone, and not what a `leave out` names itself. Sew what
    the piece was sewn to in another way if that is wanted, by a `sew` of the variant's own.
    """

    code: ClassVar[str] = "E1117"
    title: ClassVar[str] = "left out with a piece"
    severity: ClassVar[Severity] = Severity.NOTE
    name: str
    others: tuple[str, ...]

    def seen(self) -> str:
        return f"with the piece `{self.name}` are left out: " + ", ".join(self.others)


@dataclass(frozen=True, kw_only=True)
class MeasureNotNeeded(Diagnostic):
    """A measure that the parent needs is used by nothing in the variant.

    It is not asked for: a card may lack it. This only says so, since it may be a sign that more was left out
    than was meant.
    """

    code: ClassVar[str] = "E1118"
    title: ClassVar[str] = "a measure needed no more"
    severity: ClassVar[Severity] = Severity.NOTE
    names: tuple[str, ...]

    def seen(self) -> str:
        return "nothing uses any more what the parent needs: " + ", ".join(f"`{n}`" for n in self.names)


@dataclass(frozen=True, kw_only=True)
class ChoiceDiffers(Diagnostic):
    """A variant states another default of a choice, and it is not of the parent's kind.

        choose top_rise = 2 in

    keeps the range and the sentence of the parent's `top_rise`, so it must be a length like it; a choice of
    words takes one of those words, yes or no takes yes or no. To offer something else altogether, write
    the whole choice, with its range or its words.
    """

    code: ClassVar[str] = "E1119"
    title: ClassVar[str] = "a default of another kind"
    name: str
    offered: str

    def seen(self) -> str:
        return f"in the parent, `{self.name}` is a choice {self.offered}"

    def attempt(self) -> str:
        return "state such a default, or write the whole choice with its range or its words"


# --- comparing ----------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class NotAPattern(Diagnostic):
    """`scye compare` is given a file of data that is not a pattern as `scye build` writes it.

    It compares two recipes, or the two files `pattern.json` of two runs.
    """

    code: ClassVar[str] = "E1141"
    title: ClassVar[str] = "not a pattern to compare"
    name: str
    why: str

    def seen(self) -> str:
        return f"{self.name} is not a pattern: {self.why}"

    def attempt(self) -> str:
        return "give two recipes, or two files `pattern.json` as `scye build` writes them"


@dataclass(frozen=True, kw_only=True)
class UnlikePair(Diagnostic):
    """`scye compare` is given a recipe and a pattern, which are not alike.

    Give two recipes with a card or chart to draft both for, or two files `pattern.json` of runs for the same
    bodies.
    """

    code: ClassVar[str] = "E1142"
    title: ClassVar[str] = "a recipe and a pattern"
    what: str

    def seen(self) -> str:
        return self.what

    def attempt(self) -> str:
        return "give two recipes with `--body` or `--chart`, or two files `pattern.json` without"


@dataclass(frozen=True, kw_only=True)
class NothingInCommon(Diagnostic):
    """The two patterns were drafted for different bodies, so there is nothing to lay side by side.

    Build both for the same cards, or for the same sizes of a chart.
    """

    code: ClassVar[str] = "E1143"
    title: ClassVar[str] = "no body in common"
    old: tuple[str, ...]
    new: tuple[str, ...]

    def seen(self) -> str:
        return f"one is drafted for {', '.join(self.old)}, the other for {', '.join(self.new)}"

    def attempt(self) -> str:
        return "build both for the same cards or sizes"
