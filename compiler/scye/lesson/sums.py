"""The sums of a lesson: how an amount comes about, in names and in figures."""

from __future__ import annotations

from collections.abc import Callable

from scye.ir import equations as e
from scye.ir import syntax as s
from scye.ir.lesson import Sum
from scye.lesson.drawn import Drawn
from scye.units.quantity import Kind

# Says what a point or line is called.
Called = Callable[[e.Ref], str]
_STRENGTH = {"+": 1, "-": 1, "*": 2, "/": 2}


def sum_of(ref: e.Ref, drawn: Drawn, student: Drawn | None, called: Called, name: str = "") -> Sum:
    """The row of an amount: `(hip + ease) / 4 = (38 in + 1 in) / 4`."""
    node = drawn.node(ref)
    in_names = _Writer(drawn, called, False).top(ref)
    in_figures = _Writer(drawn, called, True).top(ref)
    figure = drawn.figure(ref)
    steps = [in_names if name or node.name else "", in_figures if in_figures != in_names else ""]
    working = " = ".join(step for step in steps if step not in ("", figure.text)) or _source(node)
    filled = student.figure(ref).text if student is not None else ""
    return Sum(name or node.name or in_names, working, figure, filled, node.sentence)


def _source(node: e.Node) -> str:
    """Where an amount comes from that is no sum."""
    if isinstance(node.statement, s.Choose):
        return "chosen"
    match node.op:
        case e.Taken():
            return "measured"
        case e.Sought():
            return "found by trying"
        case e.Constant():
            return "as the recipe has it"
        case _:
            return ""


def amount_words(ref: e.Ref, drawn: Drawn, called: Called) -> str:
    """An amount by its name, or as the sum it is."""
    node = drawn.node(ref)
    return node.name if node.name else _Writer(drawn, called, False).top(ref)


class _Writer:
    """Writes a sum: in names of what it is made from, or with their figures in their place."""

    def __init__(self, drawn: Drawn, called: Called, figures: bool) -> None:
        self.drawn, self.called, self.figures = drawn, called, figures

    def top(self, ref: e.Ref) -> str:
        return self._made(ref)[0]

    def _term(self, ref: e.Ref) -> tuple[str, int]:
        node = self.drawn.node(ref)
        if node.name:
            return (self.drawn.figure(ref).text if self.figures else node.name), 3
        return self._made(ref)

    def _made(self, ref: e.Ref) -> tuple[str, int]:
        """The words of an amount, and how strongly they hold together (3: as one)."""
        op = self.drawn.node(ref).op
        match op:
            case e.Combine(op="*", a=a, b=b) if self.drawn.node(b).kind is Kind.PERCENT:
                return f"{self._wrapped(b, 3)} of {self._wrapped(a, 2)}", 1
            case e.Combine(op=sign, a=a, b=b):
                strength = _STRENGTH[sign]
                right = strength + (sign in "-/")
                return f"{self._wrapped(a, strength)} {sign} {self._wrapped(b, right)}", strength
            case e.Negated(a=a):
                return f"-{self._wrapped(a, 3)}", 2
            case e.Total(items=items):
                return " + ".join(self._wrapped(i, 1) for i in items), 1 if len(items) > 1 else 3
            case e.Extreme(which=which, items=items):
                return f"{which} of ({', '.join(self._term(i)[0] for i in items)})", 3
            case e.RoundTo(a=a, step=step, mode=mode):
                way = "" if mode == "nearest" else f"{mode} "
                return f"{self._term(a)[0]} rounded {way}to {self._term(step)[0]}", 0
            case e.Held(a=a) | e.Alias(a=a):
                return self._term(a)
            case e.Limited(a=a):
                return self._term(a)
            case e.Select(condition=condition, a=a, b=b):
                return self._term(a if self.drawn.number(condition) > 0.5 else b)
            case e.Root(a=a):
                return f"square root of ({self._term(a)[0]})", 3
            case e.TrigOf(which=which, a=a):
                word = f"angle of {which[3:]}" if which.startswith("arc") else f"{which} of"
                return f"{word} ({self._term(a)[0]})", 3
            case _:
                return self._measured(ref, op)

    def _measured(self, ref: e.Ref, op: e.Operation) -> tuple[str, int]:
        """What is measured on the draft, or is a figure by itself."""
        called = self.called
        if self.figures:
            return self.drawn.figure(ref).text, 3
        match op:
            case e.LineLength(line=line, start=start, end=end):
                ends = "" if start is None else f" from {called(start)}"
                ends += "" if end is None else f" to {called(end)}"
                return f"length of {called(line)}{ends}", 0
            case e.DistanceOf(a=a, b=b):
                return f"distance from {called(a)} to {called(b)}", 0
            case e.RiseOf(axis=axis, a=a, b=b):
                return f"{axis} from {called(a)} to {called(b)}", 0
            case e.AngleOf():
                return "the angle between the two", 0
            case e.Taken(measure=measure, otherwise=int(rule)) if measure not in self.drawn.taped:
                return self._term(rule)
            case _:
                return self.drawn.figure(ref).text, 3

    def _wrapped(self, ref: e.Ref, least: int) -> str:
        words, strength = self._term(ref)
        return words if strength >= least else f"({words})"
