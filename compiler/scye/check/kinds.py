"""The kind of every amount, place, direction and line; a diagnostic wherever kinds do not go together."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import assert_never

from scye.check.again import Again, Before
from scye.check.lookup import UNKNOWN, Lookup, Typed
from scye.check.shapes import Shapes
from scye.diagnostics.kinds import (
    GirthUnnamed,
    IndexTrouble,
    KindsDisagree,
    MissingUnit,
    NotAWord,
    OnlyInProof,
)
from scye.diagnostics.model import Diagnostic, Label
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.ir.program import Program, Scope, Symbol
from scye.source import Span
from scye.units.quantity import Kind

NUMBER = Typed(Kind.NUMBER)
LENGTH = Typed(Kind.LENGTH)
ANGLE = Typed(Kind.ANGLE)

PLAIN = (Kind.NUMBER, Kind.PERCENT)
AMOUNTS = (Kind.NUMBER, Kind.PERCENT, Kind.LENGTH, Kind.AREA, Kind.ANGLE)
EXAMPLES = {
    Kind.LENGTH: "2 in or 5 cm",
    Kind.ANGLE: "20 deg",
    Kind.PERCENT: "35%",
    Kind.AREA: "a length times a length",
}
REMEDIES = {
    frozenset((Kind.LENGTH, Kind.AREA)): "take the `square root of` the area, or divide it by a length",
    frozenset((Kind.LENGTH, Kind.ANGLE)): "multiply by the `sine`, `cosine` or `tangent of` the angle",
    frozenset((Kind.LENGTH, Kind.PERCENT)): "say of what: `bust * 10%`",
}


class Kinds(Shapes):
    """Works out kinds in the scopes of one program. Each mistake is noted once, in `found`. What is left of
    a check `before` is not worked out again."""

    def __init__(self, program: Program, found: list[Diagnostic], before: Before | None = None) -> None:
        self.again = Again(program, found, before, self.kind_of_value)
        super().__init__(program, found, Lookup(program, found, self.again, self.kind_of_value, self.index))
        self._values: dict[Span, Typed] = {}
        self._under_way: set[Span] = set()
        self.proving = False

    # --- named amounts ---------------------------------------------------------------------

    def kind_of_value(self, symbol: Symbol, scope: Scope) -> Kind | None:
        """The kind of a symbol whose statement has to be asked: a named value, a choice, an unknown."""
        home = self._home(symbol, scope)
        match symbol.statement:
            case s.Let() as let:
                kind = self.value(let, home).kind
            case s.Find(unknowns=unknowns):
                low = next(u.low for u in unknowns if u.name.span == symbol.span)
                kind = self._once(symbol.span, low, home).kind
            case _:
                return symbol.kind
        self.again.told(home, symbol.name, kind)
        return kind

    def value(self, let: s.Let, scope: Scope) -> Typed:
        return self._once(let.name.span, let.value, scope)

    def _once(self, key: Span, expr: s.Expr, scope: Scope) -> Typed:
        """The kind of a named amount, worked out once; a ring of names has no kind of its own."""
        if key not in self._values:
            if key in self._under_way:
                self.again.ring = True
                return UNKNOWN
            self._under_way.add(key)
            work = partial(self.expr, expr, scope)
            self._values[key] = self.again.once(expr, scope, self.proving, work)
            self._under_way.discard(key)
        return self._values[key]

    def _home(self, symbol: Symbol, scope: Scope) -> Scope:
        """The scope that a symbol was entered in, seen from where it is used."""
        here: Scope | None = scope
        while here is not None:
            if any(entry is symbol for entry in here.symbols.get(symbol.name, ())):
                return here
            for draft in self.lookup.drafts_with(symbol.name, here):
                if any(entry is symbol for entry in draft.symbols[symbol.name]):
                    return draft
            here = here.parent
        return scope

    # --- amounts ---------------------------------------------------------------------------

    def expr(self, expr: s.Expr, scope: Scope) -> Typed:
        match expr:
            case s.Amount(quantity=quantity):
                return Typed(quantity.kind)
            case s.Name():
                return self.lookup.typed(expr, scope)
            case s.Negative(operand=operand):
                return self.amount(operand, scope)
            case s.Arithmetic():
                return self._arithmetic(expr, scope)
            case s.Rounded(value=value, step=step):
                typed = self.amount(value, scope)
                self._same(typed, self.amount(step, scope), expr.span, "rounded to one another")
                return typed
            case s.LengthOf(line=line, start=start, end=end):
                self.line(line, scope)
                self.places(scope, start, end)
                return LENGTH
            case s.Distance(start=start, end=end) | s.Rise(start=start, end=end):
                self.places(scope, start, end)
                return LENGTH
            case s.AngleBetween(first=first, second=second):
                self.direction(first, scope)
                self.direction(second, scope)
                return ANGLE
            case s.Extremum(items=items):
                return self._alike(items, scope)
            case s.SquareRoot(operand=operand):
                typed = self.want(operand, scope, (Kind.AREA, Kind.NUMBER), "area or number")
                return LENGTH if typed.kind is Kind.AREA else NUMBER
            case s.Trig(which=which, operand=operand):
                if which.startswith("arc"):
                    self.want(operand, scope, PLAIN, "number")
                    return ANGLE
                self.want(operand, scope, (Kind.ANGLE,), "angle")
                return NUMBER
            case s.SumOf(items=items, first=first):
                if first is not None:
                    self.want(first, scope, (Kind.NUMBER,), "number")
                return self._alike(items, scope)
            case s.CountOf(items=items):
                self._list(items, scope)
                return NUMBER
            case s.Conditional(value=value, condition=condition, otherwise=otherwise):
                self.condition(condition, scope)
                typed = self.amount(value, scope)
                self._same(typed, self.amount(otherwise, scope), expr.span, "alternatives")
                return typed
            case s.ListOf(items=items):
                return Typed(self._alike(items, scope).kind, many=True)
            case s.Share():
                return self._share(expr, scope)
            case s.IntakesAt(line=line):
                self.line(line, scope)
                return LENGTH
            case s.GirthAt(line=line):
                return self._on_pieces(expr, line, "a girth", scope)
            case s.WidthAt(line=line):
                return self._on_pieces(expr, line, "the width of a piece", scope)
            case s.TextValue():
                return Typed(Kind.TEXT)
            case _:
                assert_never(expr)

    def amount(self, expr: s.Expr, scope: Scope) -> Typed:
        """The kind of something that must be one amount."""
        return self.want(expr, scope, AMOUNTS, "amount")

    def want(self, expr: s.Expr, scope: Scope, kinds: tuple[Kind, ...], wanted: str) -> Typed:
        """The kind of an amount that must be one of `kinds`; says what is wrong if it is not."""
        typed = self.expr(expr, scope)
        if typed.many:
            said = f"`{expr.span.text}` is a whole list"
            self.found.append(
                IndexTrouble(span=expr.span, said=said, hint="say which one, as `[1]`, or `sum of` it")
            )
            return Typed(typed.kind)
        if typed.kind is None or typed.kind in kinds:
            return typed
        if typed.kind is Kind.NUMBER:
            self.missing_unit(expr, kinds[0], scope)
        else:
            self.wrong(expr.span, typed, wanted)
        return UNKNOWN

    def index(self, expr: s.Expr, scope: Scope) -> None:
        """What stands in square brackets: a plain number."""
        self.want(expr, scope, (Kind.NUMBER,), "number")

    def length(self, expr: s.Expr, scope: Scope) -> None:
        self.want(expr, scope, (Kind.LENGTH,), "length")

    def missing_unit(self, expr: s.Expr, kind: Kind, scope: Scope, example: str = "") -> None:
        """A plain number where a unit is wanted; `example` is what to write if that is known already. Of a
        name it is shown where its number was written."""
        made = self._plain_number(expr, scope)
        written = made if made is not None else expr if isinstance(expr, s.Amount) else None
        if not example and written is not None:
            text = written.span.text
            example = {Kind.LENGTH: f"{text} in or {text} cm", Kind.ANGLE: f"{text} deg"}.get(kind, "")
        example = example or EXAMPLES.get(kind, "it with a unit")
        labels = () if made is None else (Label(made.span, "made here"),)
        self.found.append(
            MissingUnit(
                span=expr.span, labels=labels, number=expr.span.text, kind=kind.value,
                example=example if made is None else f"{example} where it is made",
            )
        )  # fmt: skip

    def _plain_number(self, expr: s.Expr, scope: Scope) -> s.Amount | None:
        """The number that a name was given by itself; None of anything else."""
        symbols = self.lookup.reachable(expr.parts[0].text, scope) if isinstance(expr, s.Name) else []
        for symbol in symbols[:1]:
            match symbol.statement:
                case s.Let(value=s.Amount() as value) | s.Choose(default=s.Amount() as value):
                    return value
        return None

    def _arithmetic(self, expr: s.Arithmetic, scope: Scope) -> Typed:
        left, right = self.amount(expr.left, scope), self.amount(expr.right, scope)
        if left.kind is None or right.kind is None:
            other = left.kind or right.kind
            return Typed(other) if expr.op in "+-" else UNKNOWN
        if expr.op in "+-":
            return self._sum(expr, left.kind, right.kind, scope)
        kind = product(left.kind, right.kind) if expr.op == "*" else quotient(left.kind, right.kind)
        if kind is None:
            doing = "multiplied" if expr.op == "*" else "divided one by the other"
            self._disagree(expr.span, left.kind, right.kind, doing)
        return Typed(kind)

    def _sum(self, expr: s.Arithmetic, left: Kind, right: Kind, scope: Scope) -> Typed:
        if left is right:
            return Typed(left)
        for kind, other, other_expr in ((left, right, expr.right), (right, left, expr.left)):
            if other is Kind.NUMBER and kind in (Kind.LENGTH, Kind.ANGLE):
                self.missing_unit(other_expr, kind, scope, _hyphened(expr))
                return Typed(kind)
        self._disagree(expr.span, left, right, "added" if expr.op == "+" else "taken one from the other")
        return UNKNOWN

    def _disagree(self, span: Span, left: Kind, right: Kind, doing: str, hint: str = "") -> None:
        hint = hint or REMEDIES.get(frozenset((left, right)), "")
        self.found.append(
            KindsDisagree(span=span, left=left.value, right=right.value, doing=doing, hint=hint)
        )

    def _same(self, a: Typed, b: Typed, span: Span, doing: str, hint: str = "") -> None:
        if a.kind is not None and b.kind is not None and a.kind is not b.kind:
            self._disagree(span, a.kind, b.kind, doing, hint)

    def _alike(self, items: tuple[s.Expr, ...], scope: Scope) -> Typed:
        """Several amounts of one kind, or one list of them."""
        if len(items) == 1:
            typed = self.expr(items[0], scope)
            if typed.many or typed.kind is None:
                return Typed(typed.kind)
        kinds = [self.amount(item, scope) for item in items]
        known = [t for t in kinds if t.kind is not None]
        decimal = _decimal_comma(items)
        for item, typed in zip(items, kinds, strict=True):
            if known:
                self._same(known[0], typed, item.span, "in one list", decimal)
        return known[0] if known else UNKNOWN

    def _list(self, items: s.Expr, scope: Scope) -> Typed:
        typed = self.expr(items, scope)
        if not typed.many and typed.kind is not None:
            self.found.append(IndexTrouble(span=items.span, said=f"`{items.span.text}` is not a list"))
        return Typed(typed.kind)

    def _share(self, expr: s.Share, scope: Scope) -> Typed:
        total = self.amount(expr.total, scope)
        if expr.how == "evenly":
            self.want(expr.parts[0], scope, (Kind.NUMBER,), "number")
            return Typed(total.kind, many=True)
        parts = self._alike(expr.parts, scope)
        if expr.how == "by" and parts.kind not in (None, Kind.PERCENT):
            hint = "for parts in proportion to lengths write `share ... in proportion ...`"
            self.wrong(expr.parts[0].span, parts, "percentage", hint)
        return Typed(total.kind, many=True)

    def _on_pieces(self, expr: s.GirthAt | s.WidthAt, line: s.LineExpr, what: str, scope: Scope) -> Typed:
        self.line(line, scope)
        if isinstance(expr, s.WidthAt):
            self.piece(expr.piece, scope)
        if not self.proving:
            self.found.append(OnlyInProof(span=expr.span, what=what))
        elif isinstance(expr, s.GirthAt) and not isinstance(line, s.AtLine):
            self.found.append(GirthUnnamed(span=expr.span))
        return LENGTH

    def given(self, value: s.Expr | s.LineExpr | s.Place | s.Direction, scope: Scope) -> Typed:
        """The kind of what a method is given, or of a place or line of either kind."""
        if isinstance(value, s.Place):
            self.place(value, scope)
            return Typed(Kind.POINT)
        if isinstance(value, s.LineExpr):
            self.line(value, scope)
            return Typed(Kind.LINE)
        if isinstance(value, s.Direction):
            self.direction(value, scope)
            return Typed(Kind.DIRECTION)
        return self.expr(value, scope)

    # --- conditions ------------------------------------------------------------------------

    def condition(self, condition: s.Condition, scope: Scope) -> None:
        match condition:
            case s.Compare(left=left, right=right):
                a, b = self.amount(left, scope), self.amount(right, scope)
                if a.kind is Kind.LENGTH and b.kind is Kind.NUMBER:
                    self.missing_unit(right, Kind.LENGTH, scope)
                else:
                    self._same(a, b, condition.span, "compared")
            case s.Is():
                self._is(condition, scope)
            case s.Truth(name=name):
                typed = self.lookup.typed(name, scope)
                if typed.kind not in (None, Kind.YESNO):
                    hint = f"compare it: `{name.span.text} > 4`" if typed.kind is Kind.NUMBER else ""
                    self.wrong(name.span, typed, "choice of yes or no", hint)
            case s.Not(operand=operand):
                self.condition(operand, scope)
            case s.Both(left=first, right=second) | s.Either(left=first, right=second):
                self.condition(first, scope)
                self.condition(second, scope)
            case _:
                assert_never(condition)

    def _is(self, condition: s.Is, scope: Scope) -> None:
        typed = self.lookup.typed(condition.name, scope)
        if typed.kind is Kind.YESNO and condition.word in ("yes", "no"):
            return
        if typed.kind not in (None, Kind.CHOICE):
            self.wrong(condition.name.span, typed, "choice of words")
            return
        for symbol in self.lookup.reachable(condition.name.parts[0].text, scope)[:1]:
            if isinstance(symbol.statement, s.Choose):
                words = tuple(w.text for w in symbol.statement.words)
                if condition.word not in words:
                    name, word = symbol.name, condition.word
                    near = nearest(word, words)
                    self.found.append(
                        NotAWord(span=condition.word_span, name=name, word=word, words=words, near=near)
                    )


def product(a: Kind, b: Kind) -> Kind | None:
    """The kind of a product, or None if there is none."""
    if a in PLAIN and b in PLAIN:
        return Kind.PERCENT if a is b is Kind.PERCENT else Kind.NUMBER
    if a in PLAIN or b in PLAIN:
        return b if a in PLAIN else a
    return Kind.AREA if a is b is Kind.LENGTH else None


def quotient(a: Kind, b: Kind) -> Kind | None:
    """The kind of a quotient, or None if there is none."""
    if b in PLAIN:
        return Kind.NUMBER if a in PLAIN else a
    if a is b:
        return Kind.NUMBER
    return Kind.LENGTH if a is Kind.AREA and b is Kind.LENGTH else None


def _hyphened(expr: s.Arithmetic) -> str:
    """What to write for `1-3/4 in`."""
    if expr.op == "-" and isinstance(expr.left, s.Amount) and isinstance(expr.right, s.Amount):
        whole, part = expr.left.span.text, expr.right.span.text
        if whole.isdigit() and "/" in part and expr.span.text == f"{whole}-{part}":
            return f"{whole} {part}"
    return ""


def _decimal_comma(items: Sequence[s.Expr]) -> str:
    """What to say of `3,5 cm`, which reads as a list of two."""
    if len(items) == 2 and all(isinstance(item, s.Amount) for item in items):
        whole, part = (item.span for item in items)
        if whole.text.isdigit() and whole.end + 1 == part.start:
            return f"write `{whole.text}.{part.text}`, with a point"
    return ""
