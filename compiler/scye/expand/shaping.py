"""Panel lines and darts: their edges, angles and intakes, and the ledger of what they take in."""

from __future__ import annotations

from scye.diagnostics.model import Diagnostic
from scye.expand.collector import Collector
from scye.expand.drawing import Drawing
from scye.expand.frames import Definition
from scye.expand.store import Scene
from scye.ir import equations as e
from scye.ir import plan as p
from scye.ir import syntax as s
from scye.units.quantity import Kind


class Shaping(Drawing):
    """Builds what takes in and lets out. `darts` collects the plans of darts as they are met."""

    def __init__(self, collector: Collector, found: list[Diagnostic]) -> None:
        super().__init__(collector, found)
        self.darts: dict[Definition, p.DartPlan] = {}

    def panel_line(self, definition: Definition, line: s.PanelLine, part: str, scene: Scene) -> e.Ref:
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
            self.name_node(definition, side, Kind.LINE, op, scene)
        self.name_node(definition, "centre", Kind.LINE, e.Alias(centre), scene)
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

    def dart_part(self, definition: Definition, dart: s.Dart, part: str, scene: Scene) -> e.Ref:
        if (definition, "angle") not in self.refs:
            plan = (
                self._dart_on_edge(definition, dart, scene)
                if dart.edge
                else self._dart_inside(definition, dart, scene)
            )
            self.darts[definition] = plan
        return self.refs[(definition, part or "point")]

    def _dart_on_edge(self, definition: Definition, dart: s.Dart, scene: Scene) -> p.DartPlan:
        assert dart.edge is not None
        assert dart.mouth is not None
        assert dart.apex is not None
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
        self.name_node(definition, "angle", Kind.ANGLE, angle_op, scene)
        intake_ref = self.name_node(definition, "intake", Kind.LENGTH, intake_op, scene)
        self.name_node(definition, "point", Kind.POINT, point_op, scene)
        name = f"{definition.frame.prefix}{definition.key}"
        self.ledger.append(e.LedgerEntry(name, dart.edge.span.text, edge, intake_ref, dart.span))
        return p.DartPlan(
            name, definition.frame.draft, edge, mouth, apex, short,
            intake_ref if dart.intake is not None else None,
            None if dart.intake is not None else self.refs[(definition, "angle")],
            None, None, (), self._pressed(dart, mouth, scene), dart.span,
        )  # fmt: skip

    def _dart_inside(self, definition: Definition, dart: s.Dart, scene: Scene) -> p.DartPlan:
        assert dart.start is not None
        assert dart.end is not None
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
        self.name_node(definition, "angle", Kind.ANGLE, e.Alias(zero), scene)
        self.name_node(definition, "intake", Kind.LENGTH, e.Alias(widest), scene)
        self.name_node(definition, "point", Kind.POINT, e.Alias(start), scene)
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

    # --- what Things supplies ---------------------------------------------------------------

    def name_node(
        self,
        definition: Definition,
        part: str,
        kind: Kind,
        op: e.Operation,
        scene: Scene,
        names: tuple[tuple[str, e.Ref], ...] = (),
    ) -> e.Ref:
        raise NotImplementedError
