"""One statement, one action: the sentence of each step, its sums and what it marks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from scye.geometry import path
from scye.ir import equations as e
from scye.ir.lesson import Act, Step, Sum
from scye.ir.plan import DartPlan
from scye.lesson.acts import act_of, pieces_of, used_by
from scye.lesson.drawn import Drawn
from scye.lesson.marks import marks_of
from scye.lesson.phrases import Phrases, move_words
from scye.lesson.sequence import DRAWS, Order, Tried, Unit, part_of
from scye.lesson.sums import sum_of
from scye.units.names import plain_name
from scye.units.quantity import Kind


@dataclass(frozen=True, slots=True)
class Said:
    """The words of a step: its sentence and what follows it on lines of their own."""

    text: str
    details: tuple[str, ...] = ()


class Steps:
    """Makes the steps one after another; what was marked so far is kept, by number."""

    def __init__(
        self, drawn: Drawn, student: Drawn | None, sequence: Order, darts: Mapping[str, DartPlan]
    ) -> None:
        self.drawn, self.student, self.sequence, self.darts = drawn, student, sequence, darts
        self.marked: set[e.Ref] = set()
        self.count = 0

    def step(self, item: Unit | Tried, draft: str) -> Step:
        """The step of what one statement makes, within a draft."""
        self.count += 1
        if isinstance(item, Tried):
            return self._try(item, draft)
        phrases = Phrases(self.drawn, f"{draft}.", [])
        said = self._said(item, phrases)
        acts = tuple(self._acts(item))
        nodes = self.drawn.equations.nodes
        uses = dict.fromkeys(u.key for u in self.sequence.sources(item))
        makes = tuple(
            nodes[r].name for r in item.refs if nodes[r].kind in DRAWS and part_of(nodes[r]) != "centre"
        )
        says = nodes[item.refs[0]].sentence
        sums = tuple(self._sums(phrases, item))
        return Step(self.count, said.text, says, said.details, sums, makes, tuple(uses), acts, None)

    def _sums(self, phrases: Phrases, item: Unit) -> Iterator[Sum]:
        """A row for each figure that is measured off in a step."""
        for ref in dict.fromkeys(phrases.measured):
            node = self.drawn.node(ref)
            if isinstance(node.op, e.Constant) and not node.name:
                continue  # the sentence says it, and it is the same for everybody
            yield sum_of(ref, self.drawn, self.student, phrases.called)
        for ref in item.refs:
            node = self.drawn.node(ref)
            if node.kind not in DRAWS and not part_of(node) and ref not in phrases.measured:
                yield sum_of(ref, self.drawn, self.student, phrases.called)

    def _acts(self, item: Unit) -> Iterator[Act]:
        """What a step marks, with the helps without a name that it needs, each after what it is made from."""
        nodes = self.drawn.equations.nodes
        helps = self._of_dart(item)
        waiting = [(r, False) for r in reversed((*helps, *item.refs)) if nodes[r].kind in DRAWS]
        while waiting:
            ref, ready = waiting.pop()
            if ref in self.marked:
                continue
            act = act_of(ref, self.drawn)
            if ready:
                self.marked.add(ref)
                yield act
            else:
                waiting.append((ref, True))
                waiting += [(r, False) for r in used_by(act) if r not in self.marked]

    def _of_dart(self, item: Unit) -> tuple[e.Ref, ...]:
        """The places that a dart is drawn from, which its point alone does not need."""
        dart = self.darts.get(item.key)
        if dart is None:
            return ()
        return tuple(r for r in (dart.mouth, dart.apex, dart.start, dart.end) if r is not None)

    # --- sentences --------------------------------------------------------------------------

    def _try(self, item: Tried, draft: str) -> Step:
        """The condition of a find, looked at when all that it speaks of is drawn."""
        phrases = Phrases(self.drawn, f"{draft}.", [])
        _, unknowns = self.drawn.equations.finds[item.find]
        names = " and ".join(phrases.name(ref) for ref in unknowns)
        found = " and ".join(f"{phrases.name(r)} {self.drawn.figure(r).text}" for r in unknowns)
        conditions = tuple(self._condition(c.residual, phrases) for c in self._conditions(item.find))
        text = f"Try: {'; and '.join(conditions)}? If not, take another {names} and draw again from there"
        return Step(self.count, text, "", (f"The sample's draft holds with {found}.",), (), (), (), (), None)

    def _conditions(self, find: int) -> list[e.Equality]:
        return [c for c in self.drawn.equations.conditions if c.find == find]

    def _condition(self, residual: e.Ref, phrases: Phrases) -> str:
        match self.drawn.node(residual).op:
            case e.Combine(op="-", a=a, b=b):
                return f"is {phrases.amount(a)} = {phrases.amount(b)} ({self.drawn.figure(b).text})"
            case e.OffLine(point=point, line=line):
                return f"does {phrases.called(point)} lie on {phrases.called(line)}"
            case e.RiseOf(axis=axis, a=a, b=b):
                how = "level" if axis == "height" else "plumb"
                return f"is {phrases.called(a)} {how} with {phrases.called(b)}"
            case _:
                return "do the two agree"

    def _said(self, item: Unit, phrases: Phrases) -> Said:
        lines = [r for r in item.refs if isinstance(self.drawn.node(r).op, e.PanelEdge)]
        if lines:
            return self._panel_line(item, lines, phrases)
        if part_of(self.drawn.node(item.refs[0])):
            return self._dart(item, phrases)
        ref = item.refs[0]
        match self.drawn.node(ref).kind:
            case Kind.POINT:
                return Said(self._mark(ref, phrases))
            case Kind.LINE:
                return self._rule(ref, phrases)
            case _:
                return Said(self._work_out(ref, phrases))

    def _work_out(self, ref: e.Ref, phrases: Phrases) -> str:
        node = self.drawn.node(ref)
        name, figure = phrases.name(ref), self.drawn.figure(ref).text
        if not isinstance(node.op, e.Sought):
            return f"Measure and work out {name}: {figure}"
        if node.op.low is None or node.op.high is None:
            return f"Take {name} = {figure} (its own sum depends on it: tried until the two agree)"
        low, high = self.drawn.figure(node.op.low).text, self.drawn.figure(node.op.high).text
        until = "; and ".join(
            self._condition(c.residual, phrases).replace("is ", "", 1).replace("does ", "", 1)
            for i, (_, unknowns) in enumerate(self.drawn.equations.finds)
            if ref in unknowns
            for c in self._conditions(i)
        )
        return f"Take {name} = {figure}: between {low} and {high}, tried until {until}"

    def _mark(self, ref: e.Ref, phrases: Phrases) -> str:
        name = phrases.name(ref)
        match self.drawn.node(ref).op:
            case e.Origin():
                return f"Mark {name}, where the draft begins"
            case e.MovePoint():
                base, steps = phrases.moves(ref)
                moves = ", then ".join(move_words(*step) for step in steps)
                return f"From {phrases.base(base)} measure {moves}: mark {name}"
            case e.PointOnLine(line=line, amount=amount, share=False, start=start):
                begin = "its beginning" if start is None else phrases.called(start)
                return (
                    f"From {begin} measure {phrases.figure(amount)} along {phrases.called(line)}: mark {name}"
                )
            case e.PointPartWay(amount=amount, share=False, a=a, b=b):
                far = phrases.figure(amount)
                return f"From {phrases.called(a)} measure {far} toward {phrases.called(b)}: mark {name}"
            case e.FootPoint(point=point, line=line):
                return f"From {phrases.called(point)} square to {phrases.called(line)}: mark {name}"
            case e.Alias(a=a):
                return f"Call {phrases.called(a)} {name} as well"
            case _:
                return f"Mark {name} {phrases.place(ref)}"

    def _rule(self, ref: e.Ref, phrases: Phrases) -> Said:
        name = phrases.name(ref)
        match self.drawn.node(ref).op:
            case e.GuideLine(point=point, direction=direction):
                return Said(self._guide(name, point, direction, phrases))
            case e.PolyLine(points=points):
                ends = " to ".join(phrases.called(p) for p in points)
                return Said(f"Rule the straight line {name} from {ends}")
            case e.CircleLine(radius=radius, centre=centre):
                far = phrases.figure(radius)
                return Said(f"About {phrases.called(centre)} strike an arc of {far}: {name}")
            case e.CurveLine() as op:
                return self._curve(ref, op, phrases)
            case e.Alias(a=a):
                return Said(f"Call {phrases.called(a)} {name} as well")
            case e.JoinLines() | e.PartLine() | e.ReverseLine():
                return Said(f"Go over {phrases.line(ref)}: this is {name}")
            case _:
                return Said(f"Trace {phrases.line(ref)}: {name}")

    def _guide(self, name: str, point: e.Ref, direction: e.Ref, phrases: Phrases) -> str:
        way = phrases.way(direction)
        what = "square across" if way == "right" else "rule a plumb" if way == "down" else f"rule {way}"
        node = self.drawn.node(point)
        if isinstance(node.op, e.MovePoint) and not node.name:
            base, steps = phrases.moves(point)
            moves = ", then ".join(move_words(*step) for step in steps)
            return f"From {phrases.base(base)} measure {moves}; {what}: {name}"
        return f"Through {phrases.called(point)} {what}: {name}"

    def _curve(self, ref: e.Ref, op: e.CurveLine, phrases: Phrases) -> Said:
        ends = f"{phrases.called(op.points[0])} to {phrases.called(op.points[-1])}"
        words = [f"Draw the curve {phrases.name(ref)} from {ends}"]
        if op.goings[0] is not None:
            words.append(f"leaving {phrases.way(op.goings[0])}")
        for point, going in zip(op.points[1:-1], op.goings[1:-1], strict=True):
            way = "" if going is None else f" going {phrases.way(going)}"
            words.append(f"through {phrases.called(point)}{way}")
        if op.goings[-1] is not None:
            words.append(f"arriving {phrases.way(op.goings[-1])}")
        if op.bow is not None:
            words.append(self._bow(op.bow, phrases))
        if op.length is not None:
            words.append(f"to be {phrases.figure(op.length)} long")
        line = self.drawn.line(ref)
        assert isinstance(line, path.Path)
        found = self.drawn.tape.length(float(path.length(line)[0])).text
        marks = "; ".join(m.words for m in marks_of(line, self.drawn.tape))
        return Said(
            ", ".join(words),
            (
                f"It comes out {found} long.",
                f"Marks for the curved ruler: rule lightly from {ends}, and measure from the first: {marks}.",
            ),
        )

    def _bow(self, bow: e.BowSpec, phrases: Phrases) -> str:
        side = phrases.called(bow.side) if bow.side_is_point else phrases.way(bow.side)
        at = "" if bow.at is None else f", deepest at {phrases.figure(bow.at)} of the way"
        toward = "away from" if bow.away else "toward"
        return f"bent {phrases.figure(bow.depth)} {toward} {side} from the straight{at}"

    def _panel_line(self, item: Unit, edges: list[e.Ref], phrases: Phrases) -> Said:
        """Both edges of a panel line at once: what is taken out at each level, and the marks between."""
        first = self.drawn.node(edges[0]).op
        assert isinstance(first, e.PanelEdge)
        name = item.key.removeprefix(phrases.home)
        details = [self._station(i, edges, phrases) for i in range(len(first.stations))]
        for ref in edges:
            details += self._between(ref, phrases)
        details.append("Both edges run on straight a little past the first and the last of these marks.")
        edges_said = f"its edges {name}.left and {name}.right"
        text = f"On {phrases.called(first.centre)} shape the panel line {name}: {edges_said}"
        return Said(text, tuple(details))

    def _station(self, i: int, edges: list[e.Ref], phrases: Phrases) -> str:
        words = []
        for ref in edges:
            op = self.drawn.node(ref).op
            assert isinstance(op, e.PanelEdge)
            value = self.drawn.number(op.offsets[i])
            far = self.drawn.tape.length(abs(value))
            words.append(
                f"{phrases.name(ref)} {far.text} {'right' if value > 0 else 'left'}" if far.printed else ""
            )
            at = phrases.called(op.stations[i])
        said = " and ".join(w for w in words if w)
        return f"{at[0].upper()}{at[1:]}: {said or 'nothing, both edges on the line'}."

    def _between(self, ref: e.Ref, phrases: Phrases) -> Iterator[str]:
        line, op = self.drawn.line(ref), self.drawn.node(ref).op
        assert isinstance(line, path.Path)
        assert isinstance(op, e.PanelEdge)
        for i, piece in enumerate(pieces_of(line) if len(op.stations) > 1 else []):
            marks = marks_of(piece, self.drawn.tape)
            if any(m.out.printed for m in marks):
                words = "; ".join(m.words for m in marks)
                ends = f"{self._level(op.stations[i], phrases)} to {self._level(op.stations[i + 1], phrases)}"
                yield f"{phrases.name(ref)} from {ends}, marks off the straight: {words}."

    def _level(self, station: e.Ref, phrases: Phrases) -> str:
        """What a station lies on."""
        op = self.drawn.node(station).op
        return phrases.called(op.b) if isinstance(op, e.MeetPoint) else phrases.called(station)

    def _dart(self, item: Unit, phrases: Phrases) -> Said:
        dart = self.darts[item.key]
        name, drawn = item.key.removeprefix(phrases.home), self.drawn
        pressed = "" if dart.pressed is None else f", pressed {phrases.way(dart.pressed)}"
        if dart.start is not None and dart.end is not None:
            ends = f"{phrases.called(dart.start)} to {phrases.called(dart.end)}"
            stations = tuple(
                f"At {plain_name(level)}: take {phrases.figure(amount)}, half to either side."
                for _, amount, level in dart.stations
            )
            return Said(f"Draw the dart {name} about the straight from {ends}{pressed}", stations)
        assert dart.mouth is not None
        assert dart.apex is not None
        assert dart.edge_line is not None
        wide = phrases.figure(dart.intake if dart.intake is not None else self._named(f"{item.key}.intake"))
        mouth, edge, apex = (phrases.called(r) for r in (dart.mouth, dart.edge_line, dart.apex))
        short = "" if dart.short is None else f", stopping {phrases.figure(dart.short)} short"
        half = drawn.tape.length(drawn.number(self._named(f"{item.key}.intake")) / 2).text
        details = (f"{half} to either side of {mouth}; both legs made equal.",)
        text = f"On {edge} draw the dart {name}: {wide} wide with its middle at {mouth}, to {apex}"
        return Said(f"{text}{short}{pressed}", details)

    def _named(self, name: str) -> e.Ref:
        return next(r for r, node in enumerate(self.drawn.equations.nodes) if node.name == name)
