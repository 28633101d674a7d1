"""Named things: each definition becomes its node or nodes, on demand and once."""

from __future__ import annotations

from scye.diagnostics.expansion import NoDraft
from scye.diagnostics.model import Label
from scye.expand.drawing import Drawing
from scye.expand.frames import Definition, Frame, Stop
from scye.expand.nodes import Scene
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


class Things(Drawing):
    """Builds every definition. `darts` collects the plans of darts as they are met."""

    def __init__(self, *args: object, **kw: object) -> None:
        super().__init__(*args, **kw)  # type: ignore[arg-type]
        self.darts: dict[Definition, p.DartPlan] = {}
        self.method_frames: dict[Definition, Frame] = {}
        self._begun: dict[Frame, Span] = {}

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
            self.method_frames[definition] = frame
            self.collector.method(method.body, frame)
        return self.method_frames[definition]

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
        self.under_way.discard(key)
        return ref

    def _span(self, definition: Definition) -> Span:
        return definition.statement.span

    def _make(self, definition: Definition, part: str) -> e.Ref:
        statement = definition.statement
        scene = Scene(
            definition.frame,
            definition.env,
            statement if not isinstance(statement, s.Argument | s.Parameter) else None,
        )
        match statement:
            case s.PanelLine():
                return self._panel_line(definition, statement, part, scene)
            case s.Dart():
                return self._dart_part(definition, statement, part, scene)
            case s.Argument(value=value):
                return self._argument(definition, value, scene)
            case s.Draw():
                self.method_frame(definition)
                raise Stop
            case _:
                with self.reading() as names:
                    kind, op = self._operation(definition, scene)
                return self._name(definition, "", kind, op, scene, tuple(names))

    def _name(
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
        if expr is None:
            return None
        girths = any(isinstance(self._op(ref), e.Taken) for _, ref in names)
        return "rule" if girths and not _halves_only(expr) else "sum"

    def _op(self, ref: e.Ref) -> e.Operation | None:
        node = self.store.nodes[ref]
        return None if node is None else node.op

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
                return self.operation(default, scene)
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
            self.found.append(NoDraft(span=self._span(definition), said=said, labels=(label,)))
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
        holder = self._holder(definition)
        if holder is None:
            return ref
        frame, keeps = holder
        kind = self.store.kinds[ref]
        op: e.Operation = e.Alias(ref)
        raw = ref
        for keep, env in keeps:
            limit = self.amount(keep.limit, Scene(frame, env, keep))
            op = e.Held(raw, limit, keep.relation)
            raw = self.part(kind, op, keep.span)
        inner = Definition(definition.key, definition.statement, frame, ())
        return self._name(inner, "", kind, op, scene)

    def _holder(
        self, definition: Definition
    ) -> tuple[Frame, list[tuple[s.Keep, tuple[tuple[str, int], ...]]]] | None:
        for frame in self.method_frames.values():
            if frame.definitions.get(definition.key) is definition and definition.key in frame.requires:
                return frame, frame.requires[definition.key]
        return None

    def _given(self, value: s.Expr | s.LineExpr | s.Place | s.Direction, scene: Scene) -> e.Ref:
        match value:
            case (
                s.AtPoint()
                | s.Moved()
                | s.Meeting()
                | s.OnLine()
                | s.PartWay()
                | s.Foot()
                | s.MirroredPlace()
                | s.TurnedPlace()
                | s.EndOf()
            ):
                return self.place(value, scene)
            case (
                s.AtLine()
                | s.GuideThrough()
                | s.LineThrough()
                | s.RayFrom()
                | s.Sweep()
                | s.Joined()
                | s.Part()
                | s.MirroredLine()
                | s.TurnedLine()
                | s.MovedLine()
                | s.Reversed()
            ):
                return self.line(value, scene)
            case s.Cardinal() | s.AlongLine() | s.SquareTo() | s.Toward() | s.Turned() | s.Bisecting():
                return self.bare_direction(value, scene)
            case expr:
                return self.amount(expr, scene)

    # --- lists ------------------------------------------------------------------------------

    def list_of(self, definition: Definition) -> tuple[e.Ref, ...]:
        """The nodes of a named list, `intake[1]`, `intake[2]`, ..., each with its own working."""
        if definition in self.lists:
            return self.lists[definition]
        let = definition.statement
        assert isinstance(let, s.Let)
        scene = Scene(definition.frame, definition.env, let)
        refs: list[e.Ref] = []
        match let.value:
            case s.ListOf(items=items):
                for i, item in enumerate(items, 1):
                    with self.reading() as names:
                        kind, op = self.operation(item, scene)
                    refs.append(self._element(definition, i, kind, op, item, tuple(names)))
            case s.Share() as share:
                with self.reading() as names:
                    pairs = self.shares(share, scene)
                for i, (total, part) in enumerate(pairs, 1):
                    kind = self.store.kinds[total]
                    op = e.Combine("*", total, part)
                    refs.append(self._element(definition, i, kind, op, share, tuple(names)))
        self.lists[definition] = tuple(refs)
        return self.lists[definition]

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

    # --- panel lines and darts --------------------------------------------------------------

    def _panel_line(self, definition: Definition, line: s.PanelLine, part: str, scene: Scene) -> e.Ref:
        centre = self.line(line.centre, scene)
        stations = [self.line(st.line, scene) for st in line.stations]
        points = tuple(
            self.part(Kind.POINT, e.MeetPoint(centre, at, None), st.line.span)
            for at, st in zip(stations, line.stations, strict=True)
        )
        amounts = [self._taken(st, scene) for st in line.stations]
        left = self._left_share(line, scene)
        offsets: dict[str, list[e.Ref]] = {"left": [], "right": []}
        for amount in amounts:
            mine = self.part(Kind.LENGTH, e.Combine("*", amount, left), line.span)
            theirs = self.part(Kind.LENGTH, e.Combine("-", amount, mine), line.span)
            offsets["left"].append(self.part(Kind.LENGTH, e.Negated(mine), line.span))
            offsets["right"].append(theirs)
        name = f"{definition.frame.prefix}{definition.key}"
        for at, amount, st in zip(stations, amounts, line.stations, strict=True):
            self.ledger.append(e.LedgerEntry(name, st.line.span.text, at, amount, st.span))
        for side, moved in offsets.items():
            op = e.PanelEdge(centre, points, tuple(moved))
            self._name(definition, side, Kind.LINE, op, scene)
        self._name(definition, "centre", Kind.LINE, e.Alias(centre), scene)
        for key in ("left", "right", "centre"):
            self.under_way.discard((definition, key))
        return self.refs[(definition, part or "centre")]

    def _taken(self, station: s.Station, scene: Scene) -> e.Ref:
        amount = self.amount(station.amount, scene)
        return self.part(Kind.LENGTH, e.Negated(amount), station.span) if station.spring else amount

    def _left_share(self, line: s.PanelLine, scene: Scene) -> e.Ref:
        if line.left_share is None:
            return self.number(0.5, line.span)
        return self.amount(line.left_share, scene)

    def _dart_part(self, definition: Definition, dart: s.Dart, part: str, scene: Scene) -> e.Ref:
        if (definition, "angle") not in self.refs:
            plan = (
                self._dart_on_edge(definition, dart, scene)
                if dart.edge
                else self._dart_inside(definition, dart, scene)
            )
            self.darts[definition] = plan
        return self.refs[(definition, part or "point")]

    def _dart_on_edge(self, definition: Definition, dart: s.Dart, scene: Scene) -> p.DartPlan:
        assert dart.edge is not None and dart.mouth is not None and dart.apex is not None
        edge = self.ref(dart.edge, scene)
        mouth, apex = self.place(dart.mouth, scene), self.place(dart.apex, scene)
        depth = self.part(Kind.LENGTH, e.DistanceOf(mouth, apex), dart.span)
        two = self.number(2.0, dart.span)
        # An even dart: half the intake on either side of the line from the mouth's middle to the apex.
        if dart.intake is not None:
            intake = self.amount(dart.intake, scene)
            half = self.part(Kind.LENGTH, e.Combine("/", intake, two), dart.span)
            slope = self.part(Kind.NUMBER, e.Combine("/", half, depth), dart.span)
            turn = self.part(Kind.ANGLE, e.TrigOf("arctangent", slope), dart.span)
            angle_op: e.Operation = e.Combine("*", turn, two)
            intake_op: e.Operation = e.Alias(intake)
        else:
            assert dart.angle is not None
            angle = self.amount(dart.angle, scene)
            half = self.part(Kind.ANGLE, e.Combine("/", angle, two), dart.span)
            slope = self.part(Kind.NUMBER, e.TrigOf("tangent", half), dart.span)
            wide = self.part(Kind.LENGTH, e.Combine("*", depth, slope), dart.span)
            angle_op, intake_op = e.Alias(angle), e.Combine("*", wide, two)
        short = None if dart.short is None else self.amount(dart.short, scene)
        back = self.part(Kind.DIRECTION, e.DirectionTo(apex, mouth), dart.span)
        point_op: e.Operation = e.Alias(apex) if short is None else e.MovePoint(apex, back, short)
        self._name(definition, "angle", Kind.ANGLE, angle_op, scene)
        intake_ref = self._name(definition, "intake", Kind.LENGTH, intake_op, scene)
        self._name(definition, "point", Kind.POINT, point_op, scene)
        name = f"{definition.frame.prefix}{definition.key}"
        self.ledger.append(e.LedgerEntry(name, dart.edge.span.text, edge, intake_ref, dart.span))
        return p.DartPlan(
            name, definition.frame.draft, edge, mouth, apex, short,
            intake_ref if dart.intake is not None else None,
            None if dart.intake is not None else self.refs[(definition, "angle")],
            None, None, (), self._pressed(dart, mouth, scene), dart.span,
        )  # fmt: skip

    def _dart_inside(self, definition: Definition, dart: s.Dart, scene: Scene) -> p.DartPlan:
        assert dart.start is not None and dart.end is not None
        start, end = self.place(dart.start, scene), self.place(dart.end, scene)
        centre = self.part(Kind.LINE, e.PolyLine((start, end)), dart.span)
        name = f"{definition.frame.prefix}{definition.key}"
        stations: list[tuple[e.Ref, e.Ref, str]] = []
        for station in dart.stations:
            line = self.line(station.line, scene)
            at = self.part(Kind.POINT, e.MeetPoint(centre, line, None), station.span)
            amount = self._taken(station, scene)
            stations.append((at, amount, station.line.span.text))
            self.ledger.append(e.LedgerEntry(name, station.line.span.text, line, amount, station.span))
        widest = self.part(Kind.LENGTH, e.Extreme("most", tuple(a for _, a, _ in stations)), dart.span)
        zero = self.part(Kind.ANGLE, e.Constant(0.0), dart.span)
        self._name(definition, "angle", Kind.ANGLE, e.Alias(zero), scene)
        self._name(definition, "intake", Kind.LENGTH, e.Alias(widest), scene)
        self._name(definition, "point", Kind.POINT, e.Alias(start), scene)
        return p.DartPlan(
            name, definition.frame.draft, None, None, None, None, None, None, start, end,
            tuple(stations), self._pressed(dart, start, scene), dart.span,
        )  # fmt: skip

    def _pressed(self, dart: s.Dart, at: e.Ref, scene: Scene) -> e.Ref | None:
        return None if dart.pressed is None else self.direction(dart.pressed, at, scene)

    # --- the ledger -------------------------------------------------------------------------

    def intakes_at(self, expr: s.IntakesAt, line: s.LineExpr, scene: Scene) -> tuple[Kind, e.Operation]:
        """All that the frame's darts and panel lines take in at a line; they are made first if need be."""
        for definition in list(scene.frame.definitions.values()):
            if isinstance(definition.statement, s.PanelLine | s.Dart):
                self.made(definition, "centre" if isinstance(definition.statement, s.PanelLine) else "point")
        ref = self.line(line, scene)
        mine = tuple(entry.amount for entry in self.ledger if entry.line == ref)
        return Kind.LENGTH, e.Total(mine) if mine else e.Constant(0.0)


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
