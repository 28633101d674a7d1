"""Named things: each definition becomes its node or nodes, on demand and once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from scye.diagnostics.conditions import RingOfLines
from scye.diagnostics.expansion import NoDraft
from scye.diagnostics.model import Diagnostic, Label
from scye.expand.collector import Collector
from scye.expand.frames import Definition, Env, Frame, Stop
from scye.expand.limits import limited
from scye.expand.shaping import Shaping
from scye.expand.store import Scene
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.source import Span
from scye.units.quantity import Kind

# What a named thing is taken for while a ring is being followed round.
PROVISIONAL: dict[type, Kind] = {
    s.Mark: Kind.POINT,
    s.Begin: Kind.POINT,
    s.Guide: Kind.LINE,
    s.StraightLine: Kind.LINE,
    s.LineAs: Kind.LINE,
    s.Curve: Kind.LINE,
    s.PanelLine: Kind.LINE,
}


class Things(Shaping):
    """Builds every definition, each on demand and once."""

    def __init__(self, collector: Collector, found: list[Diagnostic]) -> None:
        super().__init__(collector, found)
        self.method_frames: dict[Definition, Frame] = {}
        # The frame of the method that an argument was given to.
        self._taken_by: dict[Definition, Frame] = {}
        # The plan of each limit, by where it stands and the rounds of the repeats round it.
        self.limits: dict[tuple[int, Env], p.LimitPlan] = {}
        self._begun: dict[Frame, Span] = {}
        self._lists_under_way: list[Definition] = []
        self._lists_failed: set[Definition] = set()

    # --- methods ----------------------------------------------------------------------------

    def method_frame(self, definition: Definition) -> Frame:
        """The frame of one drawing of a method, collected when first asked for."""
        if definition not in self.method_frames:
            draw = definition.statement
            assert isinstance(draw, s.Draw)
            method = self.collector.program.methods[draw.method.text].method
            outer = definition.frame
            frame = Frame(f"{outer.prefix}{definition.key}.", None, outer.draft)
            frame.gives = frozenset(g.name.text for g in method.gives)
            given = {a.name.text: a for a in draw.arguments}
            for parameter in method.parameters:
                name = parameter.name.text
                statement = given.get(name, parameter)
                home = outer if name in given else frame
                frame.definitions[name] = Definition(name, statement, home, definition.env)
                self._taken_by[frame.definitions[name]] = frame
            self.method_frames[definition] = frame
            self.collector.method(method.body, frame)
        return self.method_frames[definition]

    def all_frames(self, root: Frame) -> Iterator[Frame]:
        """A frame with its drafts and the methods drawn in it, each with those in it in turn."""
        drawn: dict[Frame, list[Frame]] = {}
        for definition, frame in self.method_frames.items():
            drawn.setdefault(definition.frame, []).append(frame)
        waiting = [root]
        while waiting:
            frame = waiting.pop()
            yield frame
            waiting += reversed((*frame.frames.values(), *drawn.get(frame, ())))

    # --- definitions ------------------------------------------------------------------------

    def made(self, definition: Definition, part: str) -> e.Ref:
        """The node of a definition, or of a part of it (`left`, `point`)."""
        key = (definition, part)
        if key in self.refs:
            return self.refs[key]
        if key in self.under_way:
            # A ring: the place is kept now and filled when the ring closes.
            kind = PROVISIONAL.get(type(definition.statement), Kind.LENGTH)
            self.refs[key] = self.store.reserve(kind, self._span(definition))
            return self.refs[key]
        self.under_way.add(key)
        ref = self._make(definition, part)
        self.refs.setdefault(key, ref)
        self.under_way.discard(key)
        return ref

    def _span(self, definition: Definition) -> Span:
        """Its own words: of a `needs` or a `find` the one measure or unknown."""
        return definition.statement.span if definition.part is None else definition.part.span

    def _make(self, definition: Definition, part: str) -> e.Ref:
        statement = definition.statement
        scene = Scene(
            definition.frame,
            definition.env,
            statement if not isinstance(statement, s.Argument | s.Parameter) else None,
        )
        match statement:
            case s.PanelLine():
                return self.panel_line(definition, statement, part, scene)
            case s.Dart():
                return self.dart_part(definition, statement, part, scene)
            case s.Argument(value=value):
                return self._argument(definition, value, scene)
            case s.Draw():
                self.method_frame(definition)
                raise Stop
            case _:
                with self.reading() as names:
                    kind, op = self._operation(definition, scene)
                op = limited(self, definition, kind, op)
                return self.name_node(definition, "", kind, op, scene, tuple(names))

    def name_node(
        self,
        definition: Definition,
        part: str,
        kind: Kind,
        op: e.Operation,
        scene: Scene,
        names: tuple[tuple[str, e.Ref], ...] = (),
    ) -> e.Ref:
        """Enter a named node, in the place kept for it if a ring has asked already."""
        key = (definition, part)
        span = self._span(definition)
        if key not in self.refs:
            self.refs[key] = self.store.reserve(kind, span)
        ref = self.refs[key]
        name = f"{definition.frame.prefix}{definition.key}" + (f".{part}" if part else "")
        statement = scene.statement
        expr = statement.value if isinstance(statement, s.Let) else None
        if isinstance(definition.part, s.Need):
            expr = definition.part.otherwise
        sentence = getattr(statement, "sentence", None)
        stated = statement.owner if isinstance(statement, s.Let) else None
        owner = stated or self._owner(kind, op, expr, names)
        self.store.fill(
            ref,
            e.Node(
                kind, op, name, span, statement, definition.frame.draft, expr, names, owner,
                sentence.value if sentence is not None else "",
            ),
        )  # fmt: skip
        return ref

    def _owner(
        self, kind: Kind, op: e.Operation, expr: s.Expr | None, names: tuple[tuple[str, e.Ref], ...]
    ) -> e.Owner | None:
        """Who answers for an amount: tape, rule, taste, a sum of others, or the solver."""
        match op:
            case e.Taken():
                return "tape"
            case e.Chosen() | e.Constant():
                return "taste"
            case e.Sought():
                return "solved"
            case e.Limited() if expr is None:
                return "taste"
        if expr is None:
            return None
        girths = any(isinstance(self.store.op(ref), e.Taken) for _, ref in names)
        return "rule" if girths and not _halves_only(expr) else "sum"

    def _operation(self, definition: Definition, scene: Scene) -> tuple[Kind, e.Operation]:
        statement = definition.statement
        match statement:
            case s.Needs():
                return self._need(definition, scene)
            case s.Choose(name=name):
                return self._choice(statement, name.text, scene)
            case s.Let(value=value):
                kind, op = self.operation(value, scene)
                return kind, self._held(definition, kind, op, value.span)
            case s.Find():
                assert isinstance(definition.part, s.Unknown)
                low = self.amount(definition.part.low, scene)
                return self.store.kinds[low], e.Sought(low, self.amount(definition.part.high, scene))
            case s.Parameter(default=default) if default is not None:
                kind, op = self.operation(default, scene)
                return kind, self._held(definition, kind, op, default.span)
            case s.Begin():
                self._begin(definition)
                return Kind.POINT, e.Origin()
            case s.Mark(place=place):
                return Kind.POINT, self.place_operation(place, scene)
            case s.Guide():
                return Kind.LINE, self._guide(statement, scene)
            case s.StraightLine(points=points):
                return Kind.LINE, e.PolyLine(tuple(self.place(x, scene) for x in points))
            case s.LineAs(value=line):
                return Kind.LINE, self.line_operation(line, scene)
            case s.Curve():
                return Kind.LINE, self.curve(statement, scene)
            case s.Piece():
                # Its edge is asked for, and the piece could not be made: what stood in the way has been told.
                raise Stop
            case _:
                raise AssertionError(f"{type(statement).__name__} makes no thing")

    def _need(self, definition: Definition, scene: Scene) -> tuple[Kind, e.Operation]:
        need = definition.part
        assert isinstance(need, s.Need)
        kind = self.collector.program.measures.get(need.name.text, Kind.LENGTH)
        otherwise = None if need.otherwise is None else self.amount(need.otherwise, scene)
        return kind, e.Taken(need.name.text, otherwise)

    def _choice(self, choice: s.Choose, name: str, scene: Scene) -> tuple[Kind, e.Operation]:
        value = self.collector.structure.get(name)
        kind = choice.default.quantity.kind if isinstance(choice.default, s.Amount) else Kind.NUMBER
        if isinstance(value, bool | str):
            return Kind.YESNO if isinstance(value, bool) else Kind.CHOICE, e.Constant(float(value is True))
        if value is not None:
            return kind, e.Constant(value)
        return kind, e.Chosen(name)

    def _held(self, definition: Definition, kind: Kind, op: e.Operation, span: Span) -> e.Operation:
        """A value that a `require` limits is nothing at all where it passes the limit."""
        for keep, env in definition.frame.requires.get(definition.key, ()):
            raw = self.part(kind, op, span)
            limit = self.amount(keep.limit, Scene(definition.frame, env, keep))
            op = e.Held(raw, limit, keep.relation)
        return op

    def _begin(self, definition: Definition) -> None:
        frame = definition.frame
        if frame in self._begun:
            label = Label(self._begun[frame], "it began here")
            said = f"the draft `{frame.draft}` begins twice"
            hint = "keep one of the two; what begins elsewhere is a draft of its own"
            self.found.append(NoDraft(span=self._span(definition), said=said, hint=hint, labels=(label,)))
        self._begun[frame] = self._span(definition)

    def _guide(self, guide: s.Guide, scene: Scene) -> e.Operation:
        way = self.way(guide.way, guide.span)
        if guide.place is not None:
            return e.GuideLine(self.place(guide.place, scene), way)
        assert guide.base is not None
        base = self.ref(guide.base, scene)
        if self.store.kinds[base] is Kind.LINE:
            base = self.part(Kind.POINT, e.EndPoint(base, "start"), guide.base.span)
        point = self.part(Kind.POINT, self.moved(base, guide.moves, scene), guide.span)
        return e.GuideLine(point, way)

    def _argument(
        self, definition: Definition, value: s.Expr | s.LineExpr | s.Place | s.Direction, scene: Scene
    ) -> e.Ref:
        """What a method was given: usually a thing the caller has; a `require` in the method may hold it."""
        ref = self._given(value, scene)
        frame = self._taken_by.get(definition)
        keeps = frame.requires.get(definition.key) if frame is not None else None
        if frame is None or keeps is None:
            return ref
        kind = self.store.kinds[ref]
        op: e.Operation = e.Alias(ref)
        raw = ref
        for keep, env in keeps:
            limit = self.amount(keep.limit, Scene(frame, env, keep))
            op = e.Held(raw, limit, keep.relation)
            raw = self.part(kind, op, keep.span)
        inner = Definition(definition.key, definition.statement, frame, ())
        return self.name_node(inner, "", kind, op, scene)

    def _given(self, value: s.Expr | s.LineExpr | s.Place | s.Direction, scene: Scene) -> e.Ref:
        if isinstance(value, s.Place):
            return self.place(value, scene)
        if isinstance(value, s.LineExpr):
            return self.line(value, scene)
        if isinstance(value, s.Direction):
            return self.bare_direction(value, scene)
        return self.amount(value, scene)

    # --- lists ------------------------------------------------------------------------------

    def list_of(self, definition: Definition) -> tuple[e.Ref, ...]:
        """The nodes of a named list, `intake[1]`, `intake[2]`, ..., each with its own working."""
        if definition in self.lists:
            return self.lists[definition]
        with self._making(definition):
            self.lists[definition] = tuple(self._elements(definition))
        return self.lists[definition]

    @contextmanager
    def _making(self, definition: Definition) -> Iterator[None]:
        """While a list is being made nothing in it may ask for the list itself; one that can't be made is
        told of once."""
        waiting = self._lists_under_way
        if definition in self._lists_failed:
            raise Stop
        if definition in waiting:
            ring = waiting[waiting.index(definition) :]
            names = tuple(f"{d.frame.prefix}{d.key}" for d in ring)
            self.found.append(RingOfLines(span=self._span(definition), names=names))
            raise Stop
        waiting.append(definition)
        try:
            yield
        except Stop:
            self._lists_failed.add(definition)
            raise
        finally:
            waiting.remove(definition)

    def _elements(self, definition: Definition) -> Iterator[e.Ref]:
        let = definition.statement
        assert isinstance(let, s.Let)
        scene = Scene(definition.frame, definition.env, let)
        match let.value:
            case s.ListOf(items=items):
                for i, item in enumerate(items, 1):
                    with self.reading() as names:
                        kind, op = self.operation(item, scene)
                    yield self._element(definition, i, kind, op, item, tuple(names))
            case s.Share() as share:
                with self.reading() as names:
                    pairs = self.shares(share, scene)
                for i, (total, part) in enumerate(pairs, 1):
                    kind = self.store.kinds[total]
                    op = e.Combine("*", total, part)
                    yield self._element(definition, i, kind, op, share, tuple(names))

    def _element(
        self, definition: Definition, i: int, kind: Kind, op: e.Operation, expr: s.Expr,
        names: tuple[tuple[str, e.Ref], ...],
    ) -> e.Ref:  # fmt: skip
        element = Definition(f"{definition.key}[{i}]", definition.statement, definition.frame, definition.env)
        let = definition.statement
        assert isinstance(let, s.Let)
        ref = self.store.reserve(kind, expr.span)
        name = f"{definition.frame.prefix}{element.key}"
        sentence = let.sentence.value if let.sentence is not None else ""
        draft = definition.frame.draft
        owner = let.owner or self._owner(kind, op, expr, names)
        self.store.fill(ref, e.Node(kind, op, name, let.span, let, draft, expr, names, owner, sentence))
        return ref


def _halves_only(expr: s.Expr) -> bool:
    """Whether an amount only adds, takes away, halves and quarters: then it is a sum and no rule."""
    match expr:
        case s.Name():
            return True
        case s.Arithmetic(op="/" | "*", left=left, right=s.Amount(quantity=q)):
            return q.unit is None and q.value in (2, 4) and _halves_only(left)
        case s.Arithmetic(op="+" | "-", left=left, right=right):
            return _halves_only(left) and _halves_only(right)
        case s.Negative(operand=operand):
            return _halves_only(operand)
        case s.SumOf() | s.Share() | s.IntakesAt() | s.LengthOf() | s.Distance():
            return True
        case _:
            return False
