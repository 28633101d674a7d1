"""What choices and plain numbers settle before anything is drawn: counts, conditions, words."""

from __future__ import annotations

import math
from collections.abc import Mapping

from scye.diagnostics.expansion import NotKnownYet, NotMadeHere
from scye.diagnostics.model import Diagnostic
from scye.expand.frames import Definition, Env, Frame, StructureValue, Unknowable, key_of
from scye.ir import syntax as s


class Known:
    """Works out what is known before drawing. `Collector` builds on it to unroll the recipe."""

    def __init__(self, structure: Mapping[str, StructureValue]) -> None:
        self.structure = structure
        self.counters: set[str] = set()
        self._asking: set[Definition] = set()
        self._answers: dict[Definition, StructureValue] = {}

    def _key(self, part: s.NamePart | s.Ident, frame: Frame, env: Env) -> str:
        return key_of(part.text, None if part.index is None else self.count(part.index, frame, env))

    def not_known(self, reason: Unknowable) -> Diagnostic:
        """Why something is not known before drawing: most often it is a measure, or a counter outside its
        repeat."""
        if reason.what in self.counters:
            return NotMadeHere(span=reason.span, name=reason.what, choices="", counter=True)
        return NotKnownYet(span=reason.span, what=reason.what)

    def count(self, expr: s.Expr, frame: Frame, env: Env) -> int:
        """A whole number that is known before drawing."""
        value = self.known(expr, frame, env)
        if isinstance(value, str) or not math.isfinite(value) or value != int(value):
            raise Unknowable(expr.span, expr.span.text)
        return int(value)

    def truth(self, condition: s.Condition, frame: Frame, env: Env) -> bool:
        """Whether a condition holds, from choices alone; raises Unknowable if they do not settle it."""
        match condition:
            case s.Truth(name=name):
                return bool(self.known(name, frame, env))
            case s.Is(name=name, word=word, negated=negated):
                value = self.known(name, frame, env)
                if isinstance(value, bool):
                    value = "yes" if value else "no"
                return (value == word) is not negated
            case s.Not(operand=operand):
                return not self.truth(operand, frame, env)
            case s.Both(left=left, right=right):
                return self.truth(left, frame, env) and self.truth(right, frame, env)
            case s.Either(left=left, right=right):
                return self.truth(left, frame, env) or self.truth(right, frame, env)
            case s.Compare(op=op, left=a, right=b):
                x, y = float(self.known(a, frame, env)), float(self.known(b, frame, env))
                return {"<": x < y, ">": x > y, "<=": x <= y, ">=": x >= y, "=": x == y}[op]

    def known(self, expr: s.Expr, frame: Frame, env: Env) -> StructureValue:
        """The value of an amount that choices and constants settle; raises Unknowable otherwise."""
        match expr:
            case s.Amount(quantity=quantity):
                return quantity.inside
            case s.Name():
                return self._known_name(expr, frame, env)
            case s.Negative(operand=operand):
                return -float(self.known(operand, frame, env))
            case s.Arithmetic(op=op, left=left, right=right):
                a, b = float(self.known(left, frame, env)), float(self.known(right, frame, env))
                if op == "/" and b == 0:
                    raise Unknowable(expr.span, expr.span.text)
                return {"+": a + b, "-": a - b, "*": a * b}[op] if op != "/" else a / b
            case s.CountOf(items=s.Name() as name):
                return float(self._count_of(name, frame, env))
            case s.Extremum(which=which, items=items) if len(items) > 1:
                values = [float(self.known(item, frame, env)) for item in items]
                return min(values) if which == "least" else max(values)
            case s.Conditional(value=value, condition=condition, otherwise=otherwise):
                return self.known(value if self.truth(condition, frame, env) else otherwise, frame, env)
            case _:
                raise Unknowable(expr.span, expr.span.text)

    def _known_name(self, name: s.Name, frame: Frame, env: Env) -> StructureValue:
        part = name.parts[0]
        if len(name.parts) == 1 and part.index is None:
            for variable, value in reversed(env):
                if variable == part.text:
                    return float(value)
        key = self._key(part, frame, env)
        here: Frame | None = frame
        while here is not None:
            definition = here.definitions.get(key)
            if definition is not None and len(name.parts) == 1:
                return self._answer(definition, name)
            here = here.parent
        raise Unknowable(name.span, name.span.text)

    def _answer(self, definition: Definition, name: s.Name) -> StructureValue:
        """The value of a definition, worked out once; one that is defined by itself has none."""
        if definition in self._asking:
            raise Unknowable(name.span, name.span.text)
        if definition not in self._answers:
            self._asking.add(definition)
            try:
                self._answers[definition] = self._known_definition(definition, name)
            finally:
                self._asking.discard(definition)
        return self._answers[definition]

    def _known_definition(self, definition: Definition, name: s.Name) -> StructureValue:
        match definition.statement:
            case s.Let(value=value):
                return self.known(value, definition.frame, definition.env)
            case s.Choose(name=ident) if ident.text in self.structure:
                return self.structure[ident.text]
            case s.Argument(value=value) if not isinstance(value, s.AtPoint | s.AtLine):
                caller = definition.frame
                return self.known(value, caller, definition.env)  # type: ignore[arg-type]
            case s.Parameter(default=default) if default is not None:
                return self.known(default, definition.frame, definition.env)
            case _:
                raise Unknowable(name.span, name.span.text)

    def _count_of(self, name: s.Name, frame: Frame, env: Env) -> int:
        """How many a list or a row holds."""
        text = name.parts[0].text
        here: Frame | None = frame
        while here is not None:
            if text in here.families:
                return len(here.families[text])
            definition = here.definitions.get(text)
            if definition is not None:
                return self._count_definition(definition, name)
            here = here.parent
        raise Unknowable(name.span, name.span.text)

    def _count_definition(self, definition: Definition, name: s.Name) -> int:
        match definition.statement:
            case s.Let(value=value):
                return self._count_value(value, definition.frame, definition.env)
            case s.Argument(value=s.Name() as value):
                return self._count_of(value, definition.frame, definition.env)
            case s.Argument(value=s.ListOf() | s.Share() as value):
                return self._count_value(value, definition.frame, definition.env)
            case _:
                raise Unknowable(name.span, name.span.text)

    def _count_value(self, value: s.Expr, frame: Frame, env: Env) -> int:
        match value:
            case s.ListOf(items=items):
                return len(items)
            case s.Share(how="evenly", parts=(count,)):
                return self.count(count, frame, env)
            case s.Share(parts=(s.Name() as one,)):
                return self._count_of(one, frame, env)
            case s.Share(parts=parts):
                return len(parts)
            case s.Name():
                return self._count_of(value, frame, env)
            case _:
                raise Unknowable(value.span, value.span.text)
