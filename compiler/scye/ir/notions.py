"""Findings, or notions: what a recipe asks to be bought, in terms of its nodes, and what that comes to.

The trade calls these findings; here they are notions, since a `Finding` is something told to the maker.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from scye.ir.equations import Ref
from scye.source import Span

Steel = Literal["spiral", "flat", ""]
Fastener = Literal["eyelets", "hooks", "buttons"]


# --- what is asked for ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class EdgeAt:
    """An edge of a piece."""

    piece: str
    edge: str


@dataclass(frozen=True, slots=True)
class BonePlan:
    """`each` bones side by side along a channel: one edge, or the two edges of a seam."""

    channel: tuple[EdgeAt, ...]
    steel: Steel
    each: int
    short: Ref
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class BuskPlan:
    """A busk, `short` in all."""

    edge: EdgeAt
    short: Ref
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class FasteningPlan:
    """Fasteners at most `every` apart, the first and last `inset` from the ends of an edge.

    They stand `set_in` from the edge; None where nothing is said.
    """

    kind: Fastener
    edge: EdgeAt
    every: Ref
    inset: Ref
    set_in: Ref | None
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class LacePlan:
    """A lace through the eyelets of `row`, long enough to open to a gap; None where nothing is said."""

    row: FasteningPlan
    opened: Ref
    closed: Ref | None
    tails: Ref
    bought: Ref | None
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class BindPlan:
    """Edges bound with one strip, by the words of the recipe; what is added for turnings and for joins."""

    edges: tuple[tuple[str, tuple[EdgeAt, ...]], ...]
    cut: Ref
    share: Ref | None
    joins: Ref | None
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class TapePlan:
    """A tape round the body at a line of a draft."""

    line: Ref
    draft: str
    extra: Ref | None
    words: str
    span: Span


@dataclass(frozen=True, slots=True)
class ZipPlan:
    """A zip along an edge; `opening` is the length of a stretch of its line and `ends` are the points between
    which that lies, None for all of the edge."""

    edge: EdgeAt
    opening: Ref | None
    ends: tuple[Ref, Ref] | None
    loses: Ref
    words: str
    span: Span


NotionPlan = BonePlan | BuskPlan | FasteningPlan | LacePlan | BindPlan | TapePlan | ZipPlan


# --- what it comes to -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Notion:
    """A line of the findings list: `count` of a thing, of `length` mm each (None: it has none), `spare` more.

    `kind` is what it is bought and priced as, `where` where it goes. `finished` is the length on the stitch
    line that it was worked out from: a channel, a bound edge, the opening of a zip. `text` is the figure as
    it is shown, `working` where it comes from.
    """

    kind: str
    where: str
    count: int
    length: float | None
    finished: float | None
    spare: int
    text: str
    working: str

    @property
    def buy(self) -> int:
        return self.count + self.spare


# --- the maker's own rates --------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Price:
    """What one of a thing costs, or a length of it: `per` is a length in mm."""

    amount: Decimal
    per: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Rates:
    """A maker's rates, as she wrote them: what an hour costs, hours by step, prices, cloth in mm by layer.

    Nothing that she left out is filled in. `deposit` is a share of the whole.
    """

    currency: str = ""
    hour: Decimal | None = None
    hours: tuple[tuple[str, Decimal | None], ...] = ()
    prices: tuple[tuple[str, Price], ...] = ()
    cloth: tuple[tuple[str, float, str], ...] = ()
    deposit: Decimal | None = None
    fittings: int | None = None
    extra_fitting: Decimal | None = None


# --- the lists as they are printed ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ClothLaid:
    """What a lay takes of the cloth of a layer: the `length` to buy (mm), its words, and where it is from."""

    layer: str
    length: float
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class TicketLine:
    number: int
    piece: str
    count: int
    how: str


@dataclass(frozen=True, slots=True)
class TicketLayer:
    """All that is cut of one cloth."""

    layer: str
    lines: tuple[TicketLine, ...]
    total: int


@dataclass(frozen=True, slots=True)
class CostLine:
    """A line of the cost sheet. What the maker gave no rate for is empty, to be written in.

    `source` says where the quantity comes from.
    """

    name: str
    quantity: str
    rate: str
    sum: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class CostSheet:
    """Hours, cloth and findings at the maker's rates; `total` is of what is filled in, `blanks` how many
    lines are not. `terms` are what was agreed apart from that."""

    hours: tuple[CostLine, ...]
    cloth: tuple[CostLine, ...]
    findings: tuple[CostLine, ...]
    total: str
    blanks: int
    terms: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Lists:
    """Everything on the lists sheet but what the pattern holds itself."""

    ticket: tuple[TicketLayer, ...]
    steps: tuple[str, ...]
    cost: CostSheet
