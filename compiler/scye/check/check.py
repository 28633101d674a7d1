"""Check: kinds of every statement, before anything is drawn.

Reads a program. Adds nothing to it; answers the list of mistakes of kind and of unknown names. Guarantees
to the expander: with no error, every name stands for something of the kind its place wants.
"""

from __future__ import annotations

from functools import partial

from scye.check.again import Again, Before
from scye.check.findings import Findings
from scye.check.kinds import AMOUNTS, Kinds
from scye.check.limits import check_limit, told_apart
from scye.check.lookup import Typed
from scye.check.meant import check_meant_for
from scye.check.pieces import Pieces
from scye.diagnostics.kinds import ArgumentTrouble, ChoiceTrouble, a
from scye.diagnostics.model import Diagnostic, Label
from scye.diagnostics.suggest import nearest
from scye.ir import syntax as s
from scye.ir.program import PARAMETER_KINDS, Program, Scope
from scye.units.quantity import Kind


def check(program: Program) -> list[Diagnostic]:
    """Every mistake of kind in the recipe and in the methods it may draw by."""
    return _checked(program, None)[0]


def check_again(program: Program, before: Before) -> tuple[list[Diagnostic], Before]:
    """As `check`, with what is left to go on from. What is left of an earlier check of the like counts for
    the statements that are the very ones of then; all others are checked anew."""
    try:
        found, again = _checked(program, before)
    except RecursionError:
        return check(program), Before()
    return (check(program), Before()) if again.ring else (found, again.now)


def _checked(program: Program, before: Before | None) -> tuple[list[Diagnostic], Again]:
    found: list[Diagnostic] = []
    checker = _Statements(program, found, before)
    found += check_meant_for(program)
    checker.body(program.recipe.body, program.root)
    told_apart(checker.limits, checker.kinds)
    for entry in program.methods.values():
        checker.body(entry.method.body, entry.scope)
        checker.kinds.again.once(
            entry.method, entry.scope, False, partial(checker.method, entry.method, entry.scope)
        )
    return found, checker.kinds.again


class _Statements:
    """Walks the statements of every scope; each kind of statement has its own short method."""

    def __init__(self, program: Program, found: list[Diagnostic], before: Before | None) -> None:
        self.program = program
        self.found = found
        self.kinds = Kinds(program, found, before)
        self.pieces = Pieces(self.kinds, found)
        self.findings = Findings(self.pieces)
        self.limits: list[s.Limit] = []

    def body(self, body: tuple[s.Statement, ...], scope: Scope) -> None:
        for statement in body:
            self.statement(statement, scope)

    def statement(self, statement: s.Statement, scope: Scope) -> None:
        """Check a statement, unless it stands as it was checked before. Blocks, what is said of every piece
        and proofs are always checked; of a named amount its value is kept by itself."""
        match statement:
            case s.Let(value=value):
                typed = self.kinds.value(statement, scope)
                if typed.kind not in (None, *AMOUNTS):
                    self.kinds.wrong(value.span, typed, "amount")
            case s.Draft(name=name, body=body):
                self.body(body, scope.drafts[name.text])
            case s.When(condition=condition, body=body, otherwise=otherwise):
                self.kinds.condition(condition, scope)
                self.body(body, scope)
                self.body(otherwise, scope)
            case s.Repeat(first=first, last=last, body=body):
                self.kinds.want(first, scope, (Kind.NUMBER,), "number")
                self.kinds.want(last, scope, (Kind.NUMBER,), "number")
                self.body(body, scope)
            case s.EveryPiece():
                self.pieces.every(statement, scope)
            case s.Prove():
                self._prove(statement, scope)
            case _:
                if isinstance(statement, s.Limit):
                    self.limits.append(statement)
                self.kinds.again.once(statement, scope, False, partial(self._alone, statement, scope))

    def _alone(self, statement: s.Statement, scope: Scope) -> None:
        k = self.kinds
        match statement:
            case s.Needs(items=items):
                for need in items:
                    if need.otherwise is not None and (kind := self.program.measures.get(need.name.text)):
                        k.want(need.otherwise, scope, (kind,), kind.value)
            case s.Choose():
                self._choose(statement, scope)
            case s.Guide(place=place, base=base, moves=moves):
                self._guide(place, base, scope)
                k.moves(moves, scope)
            case s.Mark(place=place):
                k.place(place, scope)
            case s.StraightLine(points=points):
                for place in points:
                    k.place(place, scope)
            case s.LineAs(value=value):
                k.line(value, scope)
            case s.Curve():
                self._curve(statement, scope)
            case s.PanelLine(centre=centre, stations=stations, left_share=share):
                k.line(centre, scope)
                self._stations(stations, scope)
                if share is not None:
                    k.want(share, scope, (Kind.PERCENT, Kind.NUMBER), "percentage")
            case s.Dart():
                self._dart(statement, scope)
            case s.Find():
                self._find(statement, scope)
            case s.Draw():
                self._draw(statement, scope)
            case s.Piece():
                self.pieces.piece(statement, scope)
            case s.Sew():
                self.pieces.sew(statement, scope)
            case s.Keep(value=value, limit=limit):
                typed = k.amount(value, scope)
                if typed.kind is not None:
                    k.want(limit, scope, (typed.kind,), typed.kind.value)
            case s.Limit():
                check_limit(statement, scope, k)
            case s.Report(value=value, share_of=share_of):
                k.amount(value, scope)
                if share_of is not None:
                    k.amount(share_of, scope)
            case s.Caution(condition=condition_or_none):
                if condition_or_none is not None:
                    k.condition(condition_or_none, scope)
            case s.SeamTolerance(warn=warn, fail=fail):
                k.length(warn, scope)
                k.length(fail, scope)
            case s.Bone() | s.Busk() | s.Fastening() | s.Lace() | s.Bind() | s.Tape() | s.Zip():
                self.findings.finding(statement, scope)
            case s.Begin() | s.Use() | s.Method() | s.SewingOrder():
                pass

    # --- drawing ---------------------------------------------------------------------------

    def _guide(self, place: s.Place | None, base: s.Name | None, scope: Scope) -> None:
        if place is not None:
            self.kinds.place(place, scope)
        if base is not None:
            typed = self.kinds.lookup.typed(base, scope)
            if typed.many or typed.kind not in (None, Kind.POINT, Kind.LINE):
                self.kinds.wrong(base.span, typed, "point, level or plumb")

    def _curve(self, curve: s.Curve, scope: Scope) -> None:
        k = self.kinds
        k.place(curve.start, scope)
        k.place(curve.end, scope)
        for direction in (curve.leaving, curve.arriving):
            if direction is not None:
                k.direction(direction, scope)
        for through in curve.through:
            self._through(through, scope)
        if curve.bow is not None:
            self._bow(curve.bow, scope)
        if curve.length is not None:
            k.length(curve.length, scope)
        if curve.fulness is not None:
            k.want(curve.fulness, scope, (Kind.NUMBER, Kind.PERCENT), "number")

    def _through(self, through: s.Through, scope: Scope) -> None:
        if through.place is not None:
            self.kinds.place(through.place, scope)
        if through.each is not None:
            typed = self.kinds.lookup.typed(through.each, scope)
            if typed.kind is not None and (typed.kind is not Kind.POINT or not typed.many):
                self.kinds.wrong(through.each.span, typed, "row of points")
        if through.going is not None:
            self.kinds.direction(through.going, scope)

    def _bow(self, bow: s.Bow, scope: Scope) -> None:
        self.kinds.length(bow.depth, scope)
        if bow.at is not None:
            self.kinds.want(bow.at, scope, (Kind.PERCENT, Kind.NUMBER), "percentage")
        self.kinds.side(bow.side, scope)

    def _stations(self, stations: tuple[s.Station, ...], scope: Scope) -> None:
        for station in stations:
            self.kinds.line(station.line, scope)
            self.kinds.length(station.amount, scope)

    def _dart(self, dart: s.Dart, scope: Scope) -> None:
        k = self.kinds
        if dart.edge is not None:
            k.line_name(dart.edge, scope)
        for place in (dart.mouth, dart.apex, dart.start, dart.end):
            if place is not None:
                k.place(place, scope)
        for length in (dart.short, dart.intake):
            if length is not None:
                k.length(length, scope)
        if dart.angle is not None:
            k.want(dart.angle, scope, (Kind.ANGLE,), "angle")
        if dart.pressed is not None:
            k.direction(dart.pressed, scope)
        self._stations(dart.stations, scope)

    def _find(self, find: s.Find, scope: Scope) -> None:
        k = self.kinds
        for unknown in find.unknowns:
            low, high = k.amount(unknown.low, scope), k.amount(unknown.high, scope)
            if low.kind is not None and high.kind is not low.kind:
                k.want(unknown.high, scope, (low.kind,), low.kind.value)
        for condition in find.conditions:
            self._so_that(condition, scope)

    def _so_that(self, condition: s.SoThat, scope: Scope) -> None:
        k = self.kinds
        if condition.relation == "=":
            typed = k.amount(condition.left, scope)  # type: ignore[arg-type]
            if typed.kind is not None:
                k.want(condition.right, scope, (typed.kind,), typed.kind.value)  # type: ignore[arg-type]
            return
        k.place(condition.left, scope)  # type: ignore[arg-type]
        if condition.relation == "on":
            k.line(condition.right, scope)  # type: ignore[arg-type]
        else:
            k.place(condition.right, scope)  # type: ignore[arg-type]

    # --- choices and methods ---------------------------------------------------------------

    def _choose(self, choice: s.Choose, scope: Scope) -> None:
        name = choice.name.text
        if isinstance(choice.default, str):
            words = tuple(w.text for w in choice.words)
            if words and choice.default not in words:
                said = f"`{choice.default}` is not one of the words of `{name}`: {', '.join(words)}"
                near = nearest(choice.default, words)
                hint = f"did you mean `{near}`?" if near else "begin with one of its words, or add this one"
                self.found.append(ChoiceTrouble(span=choice.name.span, said=said, hint=hint))
            return
        typed = self.kinds.amount(choice.default, scope)
        for bound in (choice.low, choice.high):
            if bound is not None and typed.kind is not None:
                self.kinds.want(bound, scope, (typed.kind,), typed.kind.value)
        self._choice_range(choice)

    def _choice_range(self, choice: s.Choose) -> None:
        parts = (choice.default, choice.low, choice.high)
        amounts = [p.quantity for p in parts if isinstance(p, s.Amount)]
        alike = len(amounts) == 3 and len({q.kind for q in amounts}) == 1
        if alike and not amounts[1].inside <= amounts[0].inside <= amounts[2].inside:
            low, high = choice.low, choice.high
            text = choice.default.span.text if isinstance(choice.default, s.Amount) else ""
            said = f"{text} lies outside {low.span.text if low else ''} to {high.span.text if high else ''}"
            self.found.append(
                ChoiceTrouble(span=choice.span, said=said, hint="change the default or widen the range")
            )

    def _draw(self, draw: s.Draw, scope: Scope) -> None:
        method = self.kinds.lookup.method(draw.method.text)
        parameters = {p.name.text: p for p in method.parameters} if method else {}
        given: dict[str, s.Argument] = {}
        for argument in draw.arguments:
            typed = self.kinds.given(argument.value, scope)
            if method is None:
                continue
            name = argument.name.text
            if name in given:
                label = Label(given[name].span, "given here first")
                said = f"`{name}` is given twice"
                self.found.append(ArgumentTrouble(span=argument.name.span, said=said, labels=(label,)))
            given[name] = argument
            if name not in parameters:
                near = nearest(name, sorted(parameters))
                said = f"the method `{draw.method.text}` does not take `{name}`"
                hint = f"did you mean `{near}`?" if near else "it takes " + ", ".join(parameters)
                self.found.append(ArgumentTrouble(span=argument.name.span, said=said, hint=hint))
            else:
                self._fits(argument, typed, parameters[name], scope)
        for name, parameter in parameters.items():
            if name not in given and parameter.default is None:
                said = f"`{draw.method.text}` needs `{name}`"
                sentence = f": {parameter.sentence.value}" if parameter.sentence else ""
                wanted = a(_kind_word(parameter)) + sentence
                hint = f"write `{name} = ...` on a line below"
                self.found.append(ArgumentTrouble(span=draw.method.span, said=said, wanted=wanted, hint=hint))

    def _fits(self, argument: s.Argument, typed: Typed, parameter: s.Parameter, scope: Scope) -> None:
        (kind, _), many = PARAMETER_KINDS[parameter.kind], parameter.many
        if typed.kind is None:
            return
        if typed.kind is kind and typed.many == many:
            return
        if kind is Kind.LINE and typed.kind is Kind.POINT and many == typed.many:
            self.kinds.wrong(argument.value.span, typed, _kind_word(parameter))
            return
        if typed.kind is Kind.NUMBER and kind in (Kind.LENGTH, Kind.ANGLE) and not typed.many:
            self.kinds.missing_unit(argument.value, kind, scope)  # type: ignore[arg-type]
            return
        self.kinds.wrong(argument.value.span, typed, _kind_word(parameter))

    def method(self, method: s.Method, scope: Scope) -> None:
        """What a method says it gives must be made in it, of that kind."""
        for parameter in method.parameters:
            if parameter.default is not None:
                self.kinds.expr(parameter.default, scope)
        for gives in method.gives:
            part = s.NamePart(gives.name.span, gives.name.text)
            typed = self.kinds.lookup.typed(s.Name(gives.name.span, (part,)), scope)
            kind, many = PARAMETER_KINDS[gives.kind]
            if typed.kind is not None and (typed.kind is not kind or typed.many is not many):
                self.kinds.wrong(gives.name.span, typed, gives.kind)

    # --- proofs ----------------------------------------------------------------------------

    def _prove(self, prove: s.Prove, scope: Scope) -> None:
        k = self.kinds
        k.proving = True
        left = k.amount(prove.left, scope)
        if left.kind is not None:
            k.want(prove.right, scope, (left.kind,), left.kind.value)
        k.proving = False
        if prove.within is not None and left.kind is not None:
            k.want(prove.within, scope, (left.kind,), left.kind.value)


def _kind_word(parameter: s.Parameter) -> str:
    return f"{parameter.kind}s" if parameter.many else parameter.kind
