"""Mistakes with a lay: the cloth, and pieces that do not go on it: E1401 to E1499."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class TooWideForCloth(Diagnostic):
    """A piece takes more of the cloth's width, its grain along the selvedge, than there is.

    A whole circle of a skirt, a long bias piece, or a piece cut on the fold that has to be opened out are the
    usual ones. Take wider cloth; or draw a seam into the piece; or, if cloth and style allow, turn its grain
    across and say so in the recipe (`grain along waist`): a lay never turns a piece off its grain by itself.
    """

    code: ClassVar[str] = "E1401"
    title: ClassVar[str] = "a piece wider than the cloth"

    name: str
    wide: str
    room: str
    opened: bool

    def seen(self) -> str:
        how = ", opened out whole," if self.opened else ""
        return f"{self.name}{how} is {self.wide} wide across the grain; the cloth has {self.room}"

    def attempt(self) -> str:
        seam = "a seam in place of its fold" if self.opened else "a seam in the piece"
        return f"take wider cloth, draw {seam}, or turn its grain across the piece in the recipe"


@dataclass(frozen=True, kw_only=True)
class TooWideForHalf(Diagnostic):
    """On folded cloth there is only half of its width, and a piece is wider than that.

    A piece on the fold is drawn by half, so half the cloth is all it can have. Lay on cloth opened out (leave
    out `--fold`): fold pieces are then laid whole and pairs cut one by one. Or take wider cloth.
    """

    code: ClassVar[str] = "E1402"
    title: ClassVar[str] = "a piece wider than half the cloth"

    name: str
    wide: str
    room: str
    on_fold: bool

    def seen(self) -> str:
        what = "from the fold" if self.on_fold else "across the grain"
        return f"{self.name} is {self.wide} wide {what}; half of the cloth is {self.room}"

    def attempt(self) -> str:
        return "leave out `--fold`, so that it is laid on cloth opened out; or take wider cloth"


@dataclass(frozen=True, kw_only=True)
class LayerNotCut(Diagnostic):
    """No piece is cut of the layer that is to be laid.

    `--cloth` names a layer as the pieces do: `cut pair of self, lining` is cut of `self` and of `lining`.
    """

    code: ClassVar[str] = "E1403"
    title: ClassVar[str] = "nothing is cut of this layer"

    layer: str
    layers: tuple[str, ...]

    def seen(self) -> str:
        return f"no piece is cut of `{self.layer}`"

    def attempt(self) -> str:
        if not self.layers:
            return "say in the recipe what each piece is cut of: `cut pair of self`"
        return f"the pieces are cut of {', '.join(self.layers)}: `--cloth {self.layers[0]}`"


@dataclass(frozen=True, kw_only=True)
class ClothNotUnderstood(Diagnostic):
    """A figure of the cloth can't be read, or makes no sense.

        --width 44in --repeat 3in --shrink 3%x2% --gap 2mm --ends "3/4 in"

    Lengths are written with their unit: in, yd, cm, mm or m. Shrinkage is written along the grain by across
    it, each less than 25 %.
    """

    code: ClassVar[str] = "E1404"
    title: ClassVar[str] = "a figure of the cloth can't be read"

    option: str
    text: str
    wanted: str

    def seen(self) -> str:
        return f"`{self.option} {self.text}` can't be read"

    def expected(self) -> str:
        return self.wanted


@dataclass(frozen=True, kw_only=True)
class ShrinksTooMuch(Diagnostic):
    """Cloth that shrinks by more than 8 % should be washed before it is cut.

    Up to 7 or 8 % one way can be built into the pieces: new size = size / (1 - shrinkage). Beyond that cloth
    seldom shrinks evenly, and curves and seams come out of step. Wash it as the garment will be washed,
    measure what is left, and lay on that without `--shrink`. Buy length / (1 - shrinkage).
    """

    code: ClassVar[str] = "E1405"
    title: ClassVar[str] = "too much shrinkage to build in"
    severity: ClassVar[Severity] = Severity.CAUTION

    amount: str
    way: str

    def seen(self) -> str:
        return f"the cloth shrinks by {self.amount} {self.way}: over 8 % is too much to build into pieces"

    def attempt(self) -> str:
        return "pre-shrink the cloth: wash it first, measure its width anew, and leave out `--shrink`"


@dataclass(frozen=True, kw_only=True)
class PackingMissing(Diagnostic):
    """The longer search for a lay is done by a packing library that is not installed.

    Without `--search` a lay is made by Scye alone, in seconds and the same each time. For the longer search
    install Scye with its extra called `lay`.
    """

    code: ClassVar[str] = "E1406"
    title: ClassVar[str] = "the packing library is missing"

    def seen(self) -> str:
        return "`--search` needs the packing library spyrrow, which is not installed"

    def attempt(self) -> str:
        return 'install it with `pip install "scye[lay]"`, or leave out `--search`'


@dataclass(frozen=True, kw_only=True)
class NotAPattern(Diagnostic):
    """The file given with `--pattern` is not a pattern.json as `scye build` writes it, or it is damaged.

    Build the recipe again, and lay from the pattern.json in the folder that it was built into.
    """

    code: ClassVar[str] = "E1407"
    title: ClassVar[str] = "not a pattern"

    name: str

    def seen(self) -> str:
        return f"{self.name} is not a whole pattern.json of Scye's"

    def attempt(self) -> str:
        return "make it anew with `scye build`"


@dataclass(frozen=True, kw_only=True)
class WhichBodyOfPattern(Diagnostic):
    """A pattern.json may hold several bodies or sizes; a lay is of one of them.

    scye lay --pattern out/pattern.json --of 14 --width 150cm --out lay
    """

    code: ClassVar[str] = "E1408"
    title: ClassVar[str] = "which body is to be laid"

    file: str
    wanted: str
    bodies: tuple[str, ...]

    def seen(self) -> str:
        if self.wanted:
            return f"{self.file} has no body `{self.wanted}`"
        return f"{self.file} holds {len(self.bodies)} bodies; a lay is of one"

    def attempt(self) -> str:
        if not self.bodies:
            return ""
        return f"name one with `--of`: it has {', '.join(self.bodies)}"


@dataclass(frozen=True, kw_only=True)
class FoldOffGrain(Diagnostic):
    """A piece cut on the fold has its fold edge out of its grain, or reaches over it.

    Cloth is folded along the selvedge, so what lies on the fold has its grain along the fold. Give the piece
    its grain along that edge (`grain along centre_front`); or lay on cloth opened out, where the piece is
    laid whole and by its own grain.
    """

    code: ClassVar[str] = "E1409"
    title: ClassVar[str] = "a fold edge out of the grain"

    name: str

    def seen(self) -> str:
        return f"{self.name} can't lie on the fold: its fold edge does not run along its grain"

    def attempt(self) -> str:
        return "give it its grain along the fold edge, or leave out `--fold`"


@dataclass(frozen=True, kw_only=True)
class WhatToLay(Diagnostic):
    """A lay is of a recipe and a client's card, or of a pattern.json that was built before.

    scye lay recipes/saltmarsh-bodice --body wren.yaml --width 44in --out lay
    scye lay --pattern out/pattern.json --width 44in --out lay
    """

    code: ClassVar[str] = "E1410"
    title: ClassVar[str] = "what is to be laid"

    what: str

    def seen(self) -> str:
        return self.what

    def attempt(self) -> str:
        return "give a recipe with `--body`, or `--pattern` alone"


@dataclass(frozen=True, kw_only=True)
class LayNotWhole(Diagnostic):
    """The draft has failures: pieces may be missing from the lay, or not be fit to cut.

    The lay shows what was drawn, so that you can see how it will go; don't buy or cut by it yet. Put right
    what `scye build` tells of first.
    """

    code: ClassVar[str] = "E1411"
    title: ClassVar[str] = "a lay of a draft that has failures"
    severity: ClassVar[Severity] = Severity.FAILURE

    body: str

    def seen(self) -> str:
        return f"the draft for {self.body} has failures: this lay may lack pieces, and is not to be cut by"

    def attempt(self) -> str:
        return "see them with `scye build`, and lay again when they are put right"
