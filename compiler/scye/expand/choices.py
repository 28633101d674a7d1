"""Style choices: what a card or the command line sets, held against what the recipe offers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from difflib import SequenceMatcher
from fractions import Fraction

from scye.diagnostics.expansion import ChoiceRefused, ChoiceUnknown, ChoiceUnused
from scye.diagnostics.model import Diagnostic
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.ir.choices import Settled
from scye.ir.people import ChoiceText
from scye.ir.program import Program
from scye.units.quantity import Kind, Quantity
from scye.units.tape import parse_quantity

AMOUNT_KINDS = (Kind.LENGTH, Kind.ANGLE, Kind.PERCENT)
COMMAND_LINE = "the command line"
UNIT_HINTS = {
    Kind.LENGTH: "say its unit, as 2 in or 5 cm",
    Kind.ANGLE: "say its unit, as 20 deg",
    Kind.PERCENT: "say it in per cent, as 35%",
}
PLAIN_SLIP = 0.85  # how alike two names are, at the least, for one to be the other with a slip of the pen
YES = {"yes": True, "no": False}


def settle(
    program: Program, texts: Iterable[ChoiceText], shaping: Set[str] | None = None
) -> tuple[Settled, list[Diagnostic]]:
    """Every choice of the recipe: its default, or what the texts say (later ones win). `shaping` are the
    recipe's `shaping_names`, where they are known."""
    found: list[Diagnostic] = []
    offered = {c.name.text: c for c in choices_of(program.recipe.body)}
    said: dict[str, ChoiceText] = {}
    for text in texts:
        if text.name in offered:
            said[text.name] = text
        else:
            found.append(_not_offered(text, offered))
    shaping = shaping_names(program) if shaping is None else shaping
    structure: list[tuple[str, str | bool | float]] = []
    amounts: list[tuple[str, float]] = []
    for name, choice in offered.items():
        value, runs = _settle(choice, said.get(name), found)
        if runs and name not in shaping:
            amounts.append((name, float(value)))
        else:
            structure.append((name, value))
    return Settled(tuple(structure), tuple(amounts)), found


def _not_offered(text: ChoiceText, offered: dict[str, s.Choose]) -> Diagnostic:
    """A card serves many recipes, so a choice that is no plain slip of spelling is only left unused."""
    near = nearest(text.name, sorted(offered))
    slip = near is not None and SequenceMatcher(None, text.name, near).ratio() >= PLAIN_SLIP
    if not slip and text.span.source.name != COMMAND_LINE:
        return ChoiceUnused(span=text.span, name=text.name)
    return ChoiceUnknown(span=text.span, name=text.name, near=near, offered=tuple(offered))


def choices_of(body: tuple[s.Statement, ...]) -> Iterator[s.Choose]:
    """The choices of a recipe, also those inside a `when`."""
    for statement in body:
        match statement:
            case s.Choose():
                yield statement
            case s.When(body=inner, otherwise=other):
                yield from choices_of(inner)
                yield from choices_of(other)
            case _:
                pass


def _settle(
    choice: s.Choose, text: ChoiceText | None, found: list[Diagnostic]
) -> tuple[str | bool | float, bool]:
    """The settled value, and whether it is an amount that each body may have its own of."""
    if choice.words:
        return _word(choice, text, found), False
    if isinstance(choice.default, str):
        return _yes_no(choice, text, found), False
    quantity = (
        choice.default.quantity if isinstance(choice.default, s.Amount) else Quantity(Fraction(0), None)
    )
    amount = quantity.inside if text is None else _amount(choice, quantity, text, found)
    return amount, quantity.kind in AMOUNT_KINDS


def _word(choice: s.Choose, text: ChoiceText | None, found: list[Diagnostic]) -> str:
    words = tuple(w.text for w in choice.words)
    if text is None:
        return str(choice.default)
    if text.text not in words:
        near = nearest(text.text, words)
        hint = f"did you mean {near}?" if near else ""
        _refuse(choice, text, "one of " + ", ".join(words), found, hint)
        return str(choice.default)
    return text.text


def _yes_no(choice: s.Choose, text: ChoiceText | None, found: list[Diagnostic]) -> bool:
    word = text.text.lower() if text is not None else str(choice.default)
    if word not in YES and text is not None:
        _refuse(choice, text, "yes or no", found)
        word = str(choice.default)
    return YES.get(word, False)


def _amount(choice: s.Choose, default: Quantity, text: ChoiceText, found: list[Diagnostic]) -> float:
    low, high = _bound(choice.low), _bound(choice.high)
    offered = f"a {default.kind.value}"
    if choice.low is not None and choice.high is not None:
        offered = f"from {choice.low.span.text} to {choice.high.span.text}"
    quantity = parse_quantity(text.text)
    if quantity is None or quantity.kind is not default.kind:
        hint = UNIT_HINTS.get(default.kind, "")
        _refuse(choice, text, offered, found, hint)
        return default.inside
    whole = default.kind is Kind.NUMBER and default.value.denominator == 1
    if whole and quantity.value.denominator != 1:
        _refuse(choice, text, f"a whole number {offered}", found)
        return default.inside
    # 5 cm stands for 2 in in a metric studio: a bound written in the other unit is met to a sixteenth.
    slack = 1.6 if default.kind is Kind.LENGTH else 1e-9
    if (low is not None and quantity.inside < low - slack) or (
        high is not None and quantity.inside > high + slack
    ):
        _refuse(choice, text, offered, found)
        return default.inside
    return quantity.inside


def _bound(expr: s.Expr | None) -> float | None:
    return expr.quantity.inside if isinstance(expr, s.Amount) else None


def _refuse(
    choice: s.Choose, text: ChoiceText, offered: str, found: list[Diagnostic], hint: str = ""
) -> None:
    found.append(
        ChoiceRefused(span=text.span, name=choice.name.text, text=text.text, offered=offered, hint=hint)
    )


# --- which choices shape the draft ------------------------------------------------------------


def shaping_names(program: Program) -> set[str]:
    """Names that a `when`, a `repeat` or an index depends on, directly or by way of named amounts."""
    lets: dict[str, list[s.Let]] = {}
    seeds: list[s.Expr | s.Condition] = []
    bodies = [program.recipe.body, *(entry.method.body for entry in program.methods.values())]
    for body in bodies:
        _scan(body, lets, seeds)
    reached: set[str] = set()
    waiting = [name for seed in seeds for name in names_in(seed)]
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            for let in lets.get(name, ()):
                waiting.extend(names_in(let.value))
    return reached


def _scan(
    body: tuple[s.Statement, ...], lets: dict[str, list[s.Let]], seeds: list[s.Expr | s.Condition]
) -> None:
    for statement in body:
        match statement:
            case s.Let(name=name):
                lets.setdefault(name.text, []).append(statement)
            case s.Draft(body=inner):
                _scan(inner, lets, seeds)
            case s.When(condition=condition, body=inner, otherwise=other):
                seeds.append(condition)
                _scan(inner, lets, seeds)
                _scan(other, lets, seeds)
            case s.Repeat(first=first, last=last, body=inner):
                seeds.extend((first, last))
                _scan(inner, lets, seeds)
            case s.Piece(clauses=clauses):
                seeds.extend(_clause_conditions(clauses))
            case s.Draw(arguments=arguments):
                # What a method is given may decide its own repeats, so counts and words count as shaping.
                seeds.extend(a.value for a in arguments if isinstance(a.value, s.Name))
            case _:
                pass


def _clause_conditions(clauses: tuple[s.PieceClause, ...]) -> Iterator[s.Condition]:
    for clause in clauses:
        if isinstance(clause, s.ClauseWhen):
            yield clause.condition
            yield from _clause_conditions((*clause.body, *clause.otherwise))


def names_in(expr: s.Expr | s.Condition) -> Iterator[str]:
    """The first parts of the names in an amount or a condition."""
    match expr:
        case s.Name(parts=parts):
            yield parts[0].text
        case s.Truth(name=name) | s.Is(name=name):
            yield name.parts[0].text
        case s.Negative(operand=inner) | s.SquareRoot(operand=inner) | s.Trig(operand=inner):
            yield from names_in(inner)
        case s.Not(operand=condition):
            yield from names_in(condition)
        case s.Arithmetic(left=left, right=right) | s.Compare(left=left, right=right):
            yield from names_in(left)
            yield from names_in(right)
        case s.Both(left=first, right=second) | s.Either(left=first, right=second):
            yield from names_in(first)
            yield from names_in(second)
        case s.Rounded(value=value, step=step):
            yield from names_in(value)
            yield from names_in(step)
        case s.Extremum(items=items) | s.SumOf(items=items) | s.ListOf(items=items):
            for item in items:
                yield from names_in(item)
        case s.CountOf(items=one):
            yield from names_in(one)
        case s.Conditional(value=value, condition=condition, otherwise=otherwise):
            yield from names_in(value)
            yield from names_in(condition)
            yield from names_in(otherwise)
        case s.Share(total=total, parts=parts):
            yield from names_in(total)
            for part in parts:
                yield from names_in(part)
        case _:
            pass
