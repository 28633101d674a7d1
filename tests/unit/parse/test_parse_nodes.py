"""What each phrase of the language is read as."""

from __future__ import annotations

from fractions import Fraction

import pytest

from scye.ir import syntax as s
from scye.parse.parser import parse_file
from scye.source import Source
from scye.units.quantity import CM, DEGREE, INCH, METRE, MM, PER_CENT, YARD


def one(text: str):
    """The only statement of a text that has nothing wrong with it."""
    file, diagnostics = parse_file(Source("a.scye", text))
    assert diagnostics == []
    (node,) = file.body
    return node


def value(text: str):
    return one(f"x = {text}").value


def drawn(text: str):
    return one(f"draft d\n  {text}").body[0]


def place(text: str):
    return drawn(f"mark x {text}").place


def name(node) -> str:
    """The text of a name, or of the name in a point or a line."""
    node = node if isinstance(node, s.Name) else node.name
    return ".".join(part.text for part in node.parts)


# --- amounts ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("2", Fraction(2), None),
        ("4.5", Fraction(9, 2), None),
        ("1/3", Fraction(1, 3), None),
        ("2 in", Fraction(2), INCH),
        ("3/8 in", Fraction(3, 8), INCH),
        ("1 1/2 in", Fraction(3, 2), INCH),
        ("1½ in", Fraction(3, 2), INCH),
        ("1 ⅜ in", Fraction(11, 8), INCH),
        ("¾ in", Fraction(3, 4), INCH),
        ("4.5cm", Fraction(9, 2), CM),
        ("6 mm", Fraction(6), MM),
        ("1 yd", Fraction(1), YARD),
        ("2 m", Fraction(2), METRE),
        ("15 deg", Fraction(15), DEGREE),
        ("35%", Fraction(35), PER_CENT),
        ("35 %", Fraction(35), PER_CENT),
    ],
)
def test_written_amount(text: str, number: Fraction, unit) -> None:
    amount = value(text)
    assert isinstance(amount, s.Amount)
    assert (amount.quantity.value, amount.quantity.unit) == (number, unit)
    assert amount.span.text == text


def test_sums_bind_as_in_arithmetic() -> None:
    total = value("a - b / 2 + c")
    assert (total.op, name(total.right)) == ("+", "c")
    assert (total.left.op, total.left.right.op) == ("-", "/")


def test_brackets_bind_first() -> None:
    quotient = value("(a + b) / 4")
    assert (quotient.op, quotient.left.op) == ("/", "+")


def test_rounded_takes_the_whole_sum() -> None:
    rounded = value("bust / 6 + 1 in rounded up to 1/2 in")
    assert isinstance(rounded, s.Rounded)
    assert (rounded.mode, rounded.value.op) == ("up", "+")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("length of armhole", s.LengthOf),
        ("length of armhole from notch to scye", s.LengthOf),
        ("length of (back then front)", s.LengthOf),
        ("distance from a to b", s.Distance),
        ("height from a to (b up 1 in)", s.Rise),
        ("width from a to b", s.Rise),
        ("angle between up and along shoulder", s.AngleBetween),
        ("least of (a, b)", s.Extremum),
        ("most of intake", s.Extremum),
        ("sum of widths", s.SumOf),
        ("sum of first 2 of widths", s.SumOf),
        ("count of widths", s.CountOf),
        ("square root of (a * a - b * b)", s.SquareRoot),
        ("sine of slope", s.Trig),
        ("1 in if closing is laced otherwise 3/4 in", s.Conditional),
        ("intakes at waist_line", s.IntakesAt),
        ("girth at waist_line", s.GirthAt),
        ("width of front at waist_line", s.WidthAt),
        ("1 in, 2 in", s.ListOf),
        ("-a", s.Negative),
        ("front.seam[i + 1].left", s.Name),
    ],
)
def test_kind_of_amount(text: str, kind: type) -> None:
    assert isinstance(value(text), kind)


def test_sum_of_the_first_few() -> None:
    total = value("sum of first i of widths")
    assert (name(total.first), [name(item) for item in total.items]) == ("i", ["widths"])


@pytest.mark.parametrize(
    ("text", "which"),
    [("cosine of a", "cosine"), ("angle of sine a", "arcsine"), ("angle of tangent (a / b)", "arctangent")],
)
def test_trigonometry(text: str, which: str) -> None:
    assert value(text).which == which


@pytest.mark.parametrize(
    ("text", "how", "parts"),
    [
        ("share a by 35%, 65%", "by", 2),
        ("share a in proportion 3 in, 4 in, 5 in", "in proportion", 3),
        ("share 4 in in proportion 1, 2", "in proportion", 2),
        ("share a evenly over panels", "evenly", 1),
    ],
)
def test_shares(text: str, how: str, parts: int) -> None:
    share = value(text)
    assert (share.how, len(share.parts)) == (how, parts)


def test_index_and_dots() -> None:
    parts = value("seam[2].left").parts
    assert [p.text for p in parts] == ["seam", "left"]
    assert isinstance(parts[0].index, s.Amount)


@pytest.mark.parametrize("text", ['x = bust / 4 "a quarter" by rule', 'x = bust / 4 by rule "a quarter"'])
def test_who_answers_for_a_value(text: str) -> None:
    let = one(text)
    assert (let.owner, let.sentence.value) == ("rule", "a quarter")


# --- conditions -------------------------------------------------------------------------------


def test_conditions() -> None:
    node = one("when not yoke and (a > 3 in or closing is not laced)\n  x = 1 in")
    assert isinstance(node.condition, s.Both)
    assert isinstance(node.condition.left, s.Not)
    either = node.condition.right
    assert isinstance(either, s.Either)
    assert (either.left.op, either.right.word, either.right.negated) == (">", "laced", True)


def test_bracketed_name_is_yes_or_no() -> None:
    assert isinstance(one("when (yoke)\n  x = 1 in").condition, s.Truth)


def test_bracketed_sum_is_compared() -> None:
    assert isinstance(one("when (a + b) > 3 in\n  x = 1 in").condition, s.Compare)


def test_otherwise_belongs_to_its_when() -> None:
    node = one("when yoke\n  x = 1 in\notherwise\n  x = 2 in\n  y = 1 in")
    assert (len(node.body), len(node.otherwise)) == (1, 2)


# --- places and directions --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("from nape", s.AtPoint),
        ("from nape right 3 in up 1 in", s.Moved),
        ("where a meets b", s.Meeting),
        ("where guide meets sweep of 6 in about snp nearest tip", s.Meeting),
        ("halfway from B to G", s.PartWay),
        ("1/3 from B to G", s.PartWay),
        ("35% from B to G", s.PartWay),
        ("2 in from A toward B", s.PartWay),
        ("depth from A toward B", s.PartWay),
        ("(a + b) / 2 from A toward B", s.PartWay),
        ("3 in along armhole from scye", s.OnLine),
        ("halfway along armhole", s.OnLine),
        ("depth along armhole", s.OnLine),
        ("depth along armhole from scye", s.OnLine),
        ("depth / 2 along armhole", s.OnLine),
        ("square from I to guide", s.Foot),
        ("P mirrored in centre_front", s.MirroredPlace),
        ("P turned 10 deg about Q", s.TurnedPlace),
        ("start of armhole", s.EndOf),
        ("end of (armhole reversed)", s.EndOf),
        ("from (where a meets b) up 1 in", s.Moved),
    ],
)
def test_kind_of_place(text: str, kind: type) -> None:
    assert isinstance(place(text), kind)


def test_move_along_a_line_from_a_point() -> None:
    moved = place("from snp along shoulder 3 in down 1 in")
    assert isinstance(moved, s.Moved)
    assert (name(moved.base), len(moved.moves)) == ("snp", 2)
    assert isinstance(moved.moves[0].direction, s.AlongLine)


def test_point_on_a_line_then_moved() -> None:
    moved = place("depth along armhole square to armhole 1 in")
    assert isinstance(moved.base, s.OnLine)
    assert isinstance(moved.moves[0].direction, s.SquareTo)


def test_moves_go_with_the_whole_place() -> None:
    moved = place("where a meets level through b right 3 in")
    assert isinstance(moved, s.Moved)
    assert isinstance(moved.base, s.Meeting)


def test_name_that_is_a_clause_word_is_a_name_where_only_a_name_fits() -> None:
    moved = place("from snp along shoulder intake")
    assert name(moved.moves[0].amount) == "intake"


def test_halfway_is_a_half() -> None:
    assert place("halfway along armhole").amount.quantity.value == Fraction(1, 2)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("up", s.Cardinal),
        ("along shoulder", s.AlongLine),
        ("back along shoulder", s.AlongLine),
        ("square to centre_front", s.SquareTo),
        ("square to centre_front toward P", s.SquareTo),
        ("toward P", s.Toward),
        ("right turned 18 deg toward down", s.Turned),
        ("between up and right", s.Bisecting),
        ("(right turned 18 deg toward down)", s.Turned),
    ],
)
def test_directions(text: str, kind: type) -> None:
    assert isinstance(drawn(f"curve c from a to b leaving {text}").leaving, kind)
    assert isinstance(place(f"from a {text} 3 in").moves[0].direction, kind)


# --- lines ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("back_cap then front_cap", s.Joined),
        ("armhole mirrored in side_line", s.MirroredLine),
        ("armhole from scye to notch", s.Part),
        ("armhole moved from scye to sleeve_scye", s.MovedLine),
        ("yoke_line turned 4 deg about apex", s.TurnedLine),
        ("other reversed", s.Reversed),
        ("level through P", s.GuideThrough),
        ("plumb through (P up 1 in)", s.GuideThrough),
        ("line through A and B", s.LineThrough),
        ("line from P going down", s.RayFrom),
        ("sweep of 6 in about P", s.Sweep),
        ("shoulder extended", s.AtLine),
        ("(armhole reversed) mirrored in side_line", s.MirroredLine),
    ],
)
def test_kind_of_line(text: str, kind: type) -> None:
    assert isinstance(drawn(f"line x = {text}").value, kind)


def test_straight_line_through_several_points() -> None:
    line = drawn("line side from scye to waist_side right 1 in to hip_side")
    assert [type(p) for p in line.points] == [s.AtPoint, s.Moved, s.AtPoint]


# --- statements with clauses ------------------------------------------------------------------

CURVE = "curve edge from a to b leaving down through c going right arriving up hollow 1/2 in toward d at 40%"
CURVE_BELOW = """curve edge from a to b
    leaving down
    through c going right
    arriving up
    hollow 1/2 in toward d at 40%"""


@pytest.mark.parametrize("text", [CURVE, CURVE_BELOW])
def test_curve_clauses_on_the_line_or_below(text: str) -> None:
    curve = drawn(text)
    assert (curve.leaving.way, curve.arriving.way) == ("down", "up")
    assert [name(t.place) for t in curve.through] == ["c"]
    assert curve.through[0].going.way == "right"
    assert (curve.bow.word, curve.bow.away, name(curve.bow.side)) == ("hollow", False, "d")
    assert curve.bow.at.quantity.value == 40


def test_curve_through_a_row_and_to_a_length() -> None:
    curve = drawn(
        "curve edge from a to b through each top round 1 in away from right length size fulness 1.2"
    )
    assert (name(curve.through[0].each), curve.through[0].place) == ("top", None)
    assert (curve.bow.away, curve.bow.side.way) == (True, "right")
    assert (name(curve.length), curve.fulness.quantity.value) == ("size", Fraction(6, 5))


def test_panel_line() -> None:
    panel = drawn(
        "panel_line seam[i] on p\n    at bust take 0 in\n    at hem spring 1 in\n    left edge takes all"
    )
    assert [(s_.spring, name(s_.line)) for s_ in panel.stations] == [(False, "bust"), (True, "hem")]
    assert panel.left_share.quantity.value == 100
    assert name(panel.name.index) == "i"


def test_dart_on_an_edge() -> None:
    dart = drawn("dart d on side at p\n    to apex short 1 in\n    angle 12 deg\n    pressed down")
    assert (name(dart.edge), name(dart.mouth), name(dart.apex)) == ("side", "p", "apex")
    assert (dart.intake, dart.angle.quantity.value, dart.pressed.way) == (None, 12, "down")


def test_dart_from_point_to_point() -> None:
    dart = drawn("dart d from a to b at waist_line take 1 in")
    assert (dart.edge, name(dart.start), name(dart.end), len(dart.stations)) == (None, "a", "b", 1)


def test_find_with_its_conditions() -> None:
    text = (
        "find a from 0 in to 3 in, b from 0 in to 2 in so that p on side\n"
        "  so that length of c = 4 in\n  so that p level with q"
    )
    find = one(text)
    assert [u.name.text for u in find.unknowns] == ["a", "b"]
    assert [c.relation for c in find.conditions] == ["on", "=", "level with"]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("3 in", s.Amount),
        ("snp", s.Name),
        ("neck.edge", s.Name),
        ("1 in, 2 in", s.ListOf),
        ("where a meets b", s.Meeting),
        ("snp up 1 in", s.Moved),
        ("armhole reversed", s.Reversed),
        ("level through low", s.GuideThrough),
        ("armhole from a to b", s.Part),
        ("halfway from a to b", s.PartWay),
        ("up", s.Cardinal),
        ('"words"', s.TextValue),
    ],
)
def test_arguments_of_a_method(text: str, kind: type) -> None:
    draw = drawn(f"draw neck by square_neck\n    corner = {text}")
    assert isinstance(draw.arguments[0].value, kind)


def test_method() -> None:
    method = one(
        'method m\n  about "A neck."\n  given rows lengths = 1 in, 2 in "each row"\n  given p point\n'
        "  gives edge line\n  line edge from p to p down 1 in"
    )
    assert (method.about.value, [type(n) for n in method.body]) == ("A neck.", [s.StraightLine])
    assert [(p.name.text, p.kind, p.many) for p in method.parameters] == [
        ("rows", "length", True),
        ("p", "point", False),
    ]
    assert isinstance(method.parameters[0].default, s.ListOf)
    assert [(g.name.text, g.kind) for g in method.gives] == [("edge", "line")]


def test_piece_clauses() -> None:
    piece = one(
        'piece p "P"\n  bounded by a, b.left, c\n  cut pair of self, lining\n  cut 3\n  cut single of net\n'
        "  cut 1 of self on fold at a\n  grain along a\n  allow 1/2 in on seams\n"
        '  allow 1 in on a, c from x to y turned back "hemmed"\n  net on a "bound"\n  corner a, c mirrored\n'
        "  notch a at 3 in along a double\n  notch a at level through x\n"
        "  move 50% of d to a at x called e pressed up\n"
    )
    cuts = [c for c in piece.clauses if isinstance(c, s.Cut)]
    assert [(c.how, c.count, [i.text for i in c.layers]) for c in cuts] == [
        ("pair", 2, ["self", "lining"]),
        ("plain", 3, ["self"]),
        ("single", 1, ["net"]),
        ("fold", 1, ["self"]),
    ]
    allows = [c for c in piece.clauses if isinstance(c, s.Allow)]
    assert [(a.width is None, a.which, a.turned_back, len(a.edges)) for a in allows] == [
        (False, "seams", False, 0),
        (False, "named", True, 2),
        (True, "named", False, 1),
    ]
    assert [c.strokes for c in piece.clauses if isinstance(c, s.Notch)] == [2, 1]
    (moved,) = (c for c in piece.clauses if isinstance(c, s.MoveDart))
    assert (moved.name.text, moved.share.quantity.value, moved.pressed.way) == ("e", 50, "up")


def test_sew() -> None:
    sew = one(
        "sew a.cap reversed to b and c as K\n  match waist called upper\n  match p with q double\n"
        "  match 3 in from end\n  easing 1/4 in between upper and lower"
    )
    assert (sew.first[0].reversed, len(sew.second), sew.letter, sew.to_pair) == (True, 2, "K", False)
    line, points, distance = sew.matches
    assert (name(line.line), line.name.text, line.strokes) == ("waist", "upper", 1)
    assert (name(points.first), name(points.second), points.strokes) == ("p", "q", 2)
    assert (distance.origin, distance.distance.quantity.value) == ("end", 3)
    assert [i.text for i in sew.easings[0].between] == ["upper", "lower"]


def test_sew_to_its_pair() -> None:
    sew = one("sew back.cb to its pair")
    assert (sew.to_pair, sew.second) == (True, ())


def test_limits_and_reports() -> None:
    file, diagnostics = parse_file(
        Source(
            "a.scye",
            'keep "share" a[1] at most b "more"\nrequire a at least 1 in\nreport "R" a as share of b\n'
            'caution tight when a > 0 in\nseams warn over 1/16 in fail over 1/8 in\nprove "P" a at most b\n',
        )
    )
    assert diagnostics == []
    keep, require, report, caution, seams, prove = file.body
    assert (keep.title.value, keep.advice.value, keep.require) == ("share", "more", False)
    assert (require.title, require.relation, require.require) == (None, "at least", True)
    assert name(report.share_of) == "b"
    assert isinstance(caution.condition, s.Compare)
    assert seams.fail.quantity.value == Fraction(1, 8)
    assert prove.relation == "<="


@pytest.mark.parametrize(
    ("text", "default", "words"),
    [("laced of laced, zipped", "laced", ["laced", "zipped"]), ('yes "with a yoke"', "yes", [])],
)
def test_choices_of_words(text: str, default: str, words: list[str]) -> None:
    choose = one(f"choose c = {text}")
    assert (choose.default, [w.text for w in choose.words]) == (default, words)


def test_based_on() -> None:
    file, _ = parse_file(
        Source("a.scye", 'recipe "A"\n  based on "saltmarsh-bodice" edition 2\n  wearer child\n')
    )
    assert file.head is not None
    assert file.head.based_on is not None
    assert (file.head.based_on.recipe.value, file.head.based_on.edition) == ("saltmarsh-bodice", 2)
    assert [(h.key, h.value) for h in file.head.headings] == [("wearer", "child")]


# --- layout -----------------------------------------------------------------------------------


def test_spans_hold_where_things_stand() -> None:
    text = "\n# a remark\ndraft d\n      mark  x   from nape right 3 in   # and another\n"
    file, _ = parse_file(Source("a.scye", text))
    mark = file.body[0].body[0]
    assert str(mark.span) == "a.scye:4:7"
    assert mark.place.span.text == "nape right 3 in"


def test_remarks_and_blank_lines_are_no_lines() -> None:
    file, diagnostics = parse_file(Source("a.scye", '# one\n\nx = 1 in "a # in quotes" # two\n   # three\n'))
    assert diagnostics == []
    assert file.body[0].sentence.value == "a # in quotes"


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_line_ends_and_byte_order_mark(ends: str) -> None:
    file, diagnostics = parse_file(
        Source("a.scye", "\ufeff" + ends.join(["x = 1 in", "draft d", "  begin at a", ""]))
    )
    assert diagnostics == []
    assert [type(n) for n in file.body] == [s.Let, s.Draft]


def test_a_file_may_be_empty() -> None:
    file, diagnostics = parse_file(Source("a.scye", ""))
    assert (file.head, file.body, diagnostics) == (None, (), [])
