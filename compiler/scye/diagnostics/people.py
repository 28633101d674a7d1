"""Mistakes in a table of people, and with the folder that a batch is written into: E1601 to E1699."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from scye.diagnostics.model import Diagnostic, Severity

# --- the table as such ------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class TableTooLarge(Diagnostic):
    """A table of people holds more than one batch takes, so none of it was read.

    A table may hold 100,000 bodies and 64 MB of text. Part a larger one into several tables, each with the
    headings at its top, and draft each into a folder of its own.
    """

    code: ClassVar[str] = "E1601"
    title: ClassVar[str] = "a table too large for one batch"
    name: str
    what: str

    def seen(self) -> str:
        return f"`{self.name}` holds {self.what}"

    def expected(self) -> str:
        return "at most 100,000 bodies in at most 64 MB of text"

    def attempt(self) -> str:
        return "part it into several tables, each with the headings at its top"


@dataclass(frozen=True, kw_only=True)
class TableEmpty(Diagnostic):
    """A table of people has nothing to draft: no headings, no measures or no bodies.

    The first line names what stands in each column; every line below it is one body:

        client,date,bust (cm),waist (cm)
        wren,2024-03-05,91.5,71
        plover,2024-03-07,104,88

    The columns `client` (or `code`), `date`, `unit`, `times` and `age` mean what they mean on a card. All
    others are measures, by their name or another that they go by. An empty cell is a measure not taken.
    """

    code: ClassVar[str] = "E1602"
    title: ClassVar[str] = "a table without bodies"
    name: str
    what: str

    def seen(self) -> str:
        return f"`{self.name}` {self.what}"

    def attempt(self) -> str:
        return "name the columns in the first line, and write one body in each line below it"


@dataclass(frozen=True, kw_only=True)
class UnitUnsaid(Diagnostic):
    """A table doesn't say whether a column is in inches, centimetres or millimetres.

    Write the unit into the heading, in brackets or at its end:

        client,bust (cm),waist_cm

    or give the table a column `unit` that says it for every line. A cell may always bring its own, as
    `36 1/2 in`, but the column still needs one.
    """

    code: ClassVar[str] = "E1603"
    title: ClassVar[str] = "a column without a unit"
    heading: str
    others: int

    def seen(self) -> str:
        columns = "1 other column" if self.others == 1 else f"{self.others} other columns"
        more = f", nor of {columns}" if self.others else ""
        return f"the table doesn't say the unit of `{self.heading}`{more}"

    def attempt(self) -> str:
        return f"write `{self.heading} (cm)` (or in, or mm), or add a column `unit`"


@dataclass(frozen=True, kw_only=True)
class HeadingEmpty(Diagnostic):
    """A column has figures in it but no name above them.

    Nobody can know what was measured. Write the name of the measure into the first line, or take the column
    out.
    """

    code: ClassVar[str] = "E1604"
    title: ClassVar[str] = "a column without a heading"
    number: int

    def seen(self) -> str:
        return f"column {self.number} has no heading"

    def attempt(self) -> str:
        return "name it in the first line, or take it out"


@dataclass(frozen=True, kw_only=True)
class ColumnLacking(Diagnostic):
    """The recipe needs a measure that the table has no column for, and gives no rule to stand in for it.

    Nothing is guessed. Add the column, or give the recipe a rule for bodies without it:

        needs scye_depth otherwise bust / 6 + 1 1/2 in
    """

    code: ClassVar[str] = "E1605"
    title: ClassVar[str] = "a column that is lacking"
    measure: str

    def seen(self) -> str:
        return f"the table has no column `{self.measure}`, which the recipe needs"

    def attempt(self) -> str:
        return f"take it and add the column; `scye measures {self.measure}` says how"


# --- one line of it -----------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class CellsMiscounted(Diagnostic):
    """A line has more or fewer cells than there are headings, so it isn't known which figure is which.

    The usual reason is a decimal written with a comma in a table that is parted by commas: `92,5` is then two
    cells. Write it `92.5`. A measure that wasn't taken still has its cell, an empty one.
    """

    code: ClassVar[str] = "E1606"
    title: ClassVar[str] = "a line with too many or too few cells"
    cells: int
    headings: int
    separator: str

    def seen(self) -> str:
        cells = "1 cell" if self.cells == 1 else f"{self.cells} cells"
        return f"this line has {cells} under {self.headings} headings"

    def attempt(self) -> str:
        if self.cells > self.headings and self.separator == ",":
            return "write decimals with a point: 92.5"
        return "leave a cell empty where nothing was measured"


@dataclass(frozen=True, kw_only=True)
class QuoteOpen(Diagnostic):
    """A cell begins with a double quote that isn't closed in the same line, or goes on after it was closed.

    Cells need no quotes, unless they hold the sign that parts the columns. Inches are best written `in`.
    """

    code: ClassVar[str] = "E1607"
    title: ClassVar[str] = "a quote that isn't closed"

    def seen(self) -> str:
        return "this cell begins with a double quote and doesn't end with one"

    def attempt(self) -> str:
        return "leave the quotes out, or close them at the end of the cell"


@dataclass(frozen=True, kw_only=True)
class CodeTwice(Diagnostic):
    """Two lines of a table have the same code, so one body's files would wipe out the other's.

    Neither is preferred and neither is drafted. Give each body a code of its own; capitals don't keep two
    codes apart, for many machines don't tell them apart.
    """

    code: ClassVar[str] = "E1608"
    title: ClassVar[str] = "a code that stands twice"
    name: str
    lines: str

    def seen(self) -> str:
        return f"`{self.name}` is the code of several bodies, in lines {self.lines}"

    def attempt(self) -> str:
        return "give each a code of its own; until then none of them is drafted"


@dataclass(frozen=True, kw_only=True)
class MeasureUntaken(Diagnostic):
    """A body lacks a measure that the recipe needs and gives no rule for, so it can't be drafted.

    The cell is empty. Take the measure and fill it in; nothing is guessed.
    """

    code: ClassVar[str] = "E1609"
    title: ClassVar[str] = "a measure that was not taken"
    name: str
    measure: str

    def seen(self) -> str:
        return f"{self.name} has no `{self.measure}`, which the recipe needs"

    def attempt(self) -> str:
        return f"take it and fill in the cell; `scye measures {self.measure}` says how"


# --- the folder ---------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class OtherBatch(Diagnostic):
    """The folder holds a batch that was begun differently, so going on would mix two batches.

    A batch that was broken off goes on where it stopped when the same command is given again: the same
    recipe, the same table, the same choices. `batch.journal` in the folder says what it was begun with. If
    the recipe or the table has been put right since, its bodies have to be drafted again.
    """

    code: ClassVar[str] = "E1610"
    title: ClassVar[str] = "a folder with another batch"
    name: str
    what: str

    def seen(self) -> str:
        return f"`{self.name}` holds a batch that was begun {self.what}"

    def attempt(self) -> str:
        return "choose another folder with `--out`, or clear this one away"


@dataclass(frozen=True, kw_only=True)
class NotABatch(Diagnostic):
    """The folder holds files where the batch would put its own, and nothing says that Scye wrote them.

    A batch writes `batch.csv`, `batch.journal` and a folder `bodies`. They are left alone if it isn't known
    what they are.
    """

    code: ClassVar[str] = "E1611"
    title: ClassVar[str] = "something else where a batch would go"
    name: str
    what: str

    def seen(self) -> str:
        return f"`{self.name}` {self.what}"

    def attempt(self) -> str:
        return "choose another folder with `--out`"


@dataclass(frozen=True, kw_only=True)
class BatchUnderWay(Diagnostic):
    """Another run is drafting into the same folder at this moment.

    Two runs at once would only do the same work twice and get into each other's way. Let the first one end,
    or stop it with Ctrl-C; this command then goes on where it stopped.
    """

    code: ClassVar[str] = "E1612"
    title: ClassVar[str] = "a batch that is still under way"
    name: str

    def seen(self) -> str:
        return f"another run is drafting into `{self.name}`"

    def attempt(self) -> str:
        return "wait until it has ended, or stop it"


@dataclass(frozen=True, kw_only=True)
class OthersInIndex(Diagnostic):
    """More lines of the table are amiss than anyone reads at once, so only the first ones are shown.

    `batch.csv` has a line for every body, and says of each that wasn't drafted why not, with its place.
    """

    code: ClassVar[str] = "E1613"
    title: ClassVar[str] = "more lines amiss than are shown"
    severity: ClassVar[Severity] = Severity.NOTE
    told: int
    count: int

    def seen(self) -> str:
        return f"there are {self.count:,} messages, of which the first {self.told} are shown"

    def attempt(self) -> str:
        return "see the others in batch.csv"
