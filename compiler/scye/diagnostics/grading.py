"""What a run of sizes shows that no size shows by itself, and a chart of itself: E1001 to E1099."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity


@dataclass(frozen=True, kw_only=True)
class LengthAgainstTrend(Diagnostic):
    """A seam, an edge or a girth gets shorter from one size to the next although the sizes get larger.

        Front: armhole shrinks between 41 and 44 (1/8 in) while the bust grows

    Each size may be right by itself, but a run of sizes should grow together. Look at what the length is
    drawn from: a figure rounded to 1/2 in leaps where its neighbours do not; a constant becomes too large or
    too small at the end of a chart; a measure of the chart may go back. `scye chart` looks at the chart.
    """

    code: ClassVar[str] = "E1001"
    title: ClassVar[str] = "a length that moves against the trend"
    severity: ClassVar[Severity] = Severity.CAUTION

    what: tuple[str, ...]
    smaller: str
    larger: str
    most: str
    key: str
    back: tuple[str, ...] = ()

    def seen(self) -> str:
        verb, most = ("shrinks", self.most) if len(self.what) == 1 else ("shrink", f"most: {self.most}")
        return (
            f"{_listed(self.what)} {verb} between {self.smaller} and {self.larger} ({most}) "
            f"while the {self.key} grows"
        )

    def attempt(self) -> str:
        if self.back:
            return f"the chart's own {' and '.join(self.back)} goes back there: look at it with `scye chart`"
        return "look at what it is drawn from: a rounded figure, a constant, or a limit that is reached"


@dataclass(frozen=True, kw_only=True)
class PointTurnsBack(Diagnostic):
    """Points of a draft move one way over the whole run of sizes, but the other way between two of them.

        back: underarm and side top move up between 12 and 14 (most: 1/4 in), elsewhere down

    In the nest such a point turns back on itself. Often a figure is rounded, so that it stands still for
    two sizes and leaps at the third while what is reckoned from it goes on evenly. Round less, or say in the
    recipe why it should be so. If a measure of the chart turns back, the draft only follows it: `scye chart`
    looks at the chart.
    """

    code: ClassVar[str] = "E1002"
    title: ClassVar[str] = "points that turn back"
    severity: ClassVar[Severity] = Severity.CAUTION

    draft: str
    points: tuple[str, ...]
    way: str
    other: str
    smaller: str
    larger: str
    most: str
    back: tuple[str, ...] = ()

    def seen(self) -> str:
        verb = "moves" if len(self.points) == 1 else "move"
        most = self.most if len(self.points) == 1 else f"most: {self.most}"
        return (
            f"{self.draft}: {_listed(self.points)} {verb} {self.way} between {self.smaller} and "
            f"{self.larger} ({most}), over all the sizes {self.other}"
        )

    def attempt(self) -> str:
        if self.back:
            return f"the chart's own {' and '.join(self.back)} goes back there: look at it with `scye chart`"
        return "look for a rounded figure or a limit in what places it"


@dataclass(frozen=True, kw_only=True)
class NestLinesCross(Diagnostic):
    """The stitch lines of two neighbouring sizes cross where nothing in their ends makes them.

        Front: armhole of 41 and 44 cross 2 times, first near half scye

    When sizes are laid over each other at the nest's place, the lines of an edge should lie one beside the
    other. They must cross once if the ends of the edge move to opposite sides; that is said in the table and
    no fault. Any more, and the shape of the line differs between the sizes: look at the curve's hollow, at a
    point that it passes through, or at a rounded figure. Lines within 1/2 mm of each other count as one.
    """

    code: ClassVar[str] = "E1003"
    title: ClassVar[str] = "nest lines that cross"
    severity: ClassVar[Severity] = Severity.CAUTION

    what: str
    smaller: str
    larger: str
    times: int
    near: str

    def seen(self) -> str:
        place = f", first near {self.near}" if self.near else ""
        return f"{self.what}: the lines of {self.smaller} and {self.larger} cross {self.times} times{place}"

    def attempt(self) -> str:
        return "look at the nest there: the line changes its shape from size to size, not only its place"


@dataclass(frozen=True, kw_only=True)
class MeasureTurnsBack(Diagnostic):
    """A measure of the chart gets smaller from one size to the next while the chart's first measure grows.

        nape to waist goes back between 98-102 and 102-107 while the bust grows

    In medians of a survey that is common, for each size is of other people; some measures, such as the waist
    height, truly do so. A draft follows what it is given, and a nest drafted from raw figures grows
    unevenly. `scye chart CHART.yaml` shows the steps of every measure and what a smooth figure would be; it
    changes nothing.
    """

    code: ClassVar[str] = "E1004"
    title: ClassVar[str] = "a measure of the chart that turns back"
    severity: ClassVar[Severity] = Severity.NOTE

    measure: str
    places: tuple[str, ...]
    key: str

    def seen(self) -> str:
        return (
            f"the chart's {self.measure} goes back between {_listed(self.places)} while the {self.key} grows"
        )

    def attempt(self) -> str:
        return "look at the chart with `scye chart`"


@dataclass(frozen=True, kw_only=True)
class BaseNotDrafted(Diagnostic):
    """The chart's base size was not among the sizes asked for, so the grade is measured from another.

    Add the base size to `--sizes` to have every move measured from it.
    """

    code: ClassVar[str] = "E1005"
    title: ClassVar[str] = "base size not drafted"
    severity: ClassVar[Severity] = Severity.NOTE

    base: str
    instead: str

    def seen(self) -> str:
        return f"the base size {self.base} was not asked for; the grade is measured from {self.instead}"

    def attempt(self) -> str:
        return f"add {self.base} to `--sizes`"


@dataclass(frozen=True, kw_only=True)
class NestPointUnknown(Diagnostic):
    """No draft of the recipe has a point of the name that the sizes were to be nested at.

        scye build recipes/saltmarsh-bodice --chart stdlib/charts/us-misses.yaml --nest-at waist_cf

    Name a point that the recipe marks. A short name is that point of every draft which has one; a full name
    (`front.waist_cf`) is the point of one draft. Pieces of other drafts stay nested as they were.
    """

    code: ClassVar[str] = "E1006"
    title: ClassVar[str] = "no point of that name to nest at"

    name: str
    near: str | None

    def seen(self) -> str:
        return f"no draft has a point called `{self.name}` to nest the sizes at"

    def attempt(self) -> str:
        return f"did you mean `{self.near}`?" if self.near else "name a point that the recipe marks"


@dataclass(frozen=True, kw_only=True)
class MeasureOutOfLine(Diagnostic):
    """A figure of a chart lies further from what its neighbours suggest than two careful readings may differ.

        size 14: nape to waist 17 in is 3/8 in over the 16 5/8 in that its neighbours suggest

    The figure suggested is that of the smooth line (a quadratic) through the two sizes on either side. It may
    be a slip of the pen in the chart, the chance of a small sample, or meant: charts do step anew
    at a half size or where the figure type changes. Nothing is changed for you.
    """

    code: ClassVar[str] = "E1007"
    title: ClassVar[str] = "a measure out of line with its neighbours"
    severity: ClassVar[Severity] = Severity.CAUTION

    size: str
    measure: str
    value: str
    by: str
    over: bool
    smooth: str

    def seen(self) -> str:
        way = "over" if self.over else "under"
        return (
            f"size {self.size}: {self.measure} {self.value} is {self.by} {way} the {self.smooth} "
            "that its neighbours suggest"
        )

    def attempt(self) -> str:
        return "look at the chart's source; if it is a slip, put it right there"


@dataclass(frozen=True, kw_only=True)
class LengthShrinks(LengthAgainstTrend):
    """A seam or edge gets shorter from every size to the next while the chart's sizes get larger.

        seam B (front side) shrinks between 32 and 44 (1 1/4 in) while the bust grows

    That is often meant: where the armhole deepens by a sixth of the bust and the waist length hardly grows,
    the side seam below it must get shorter. It is told because bodies may not do so: the depth from nape to
    armpit grows far less than a sixth of the bust from size to size.
    """

    code: ClassVar[str] = "E1008"
    title: ClassVar[str] = "a length that shrinks as the sizes grow"
    severity: ClassVar[Severity] = Severity.NOTE

    def attempt(self) -> str:
        return super().attempt() if self.back else "look whether that is meant"


def _listed(names: tuple[str, ...]) -> str:
    if len(names) > 5:
        return f"{', '.join(names[:4])} and {len(names) - 4} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
