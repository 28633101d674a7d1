"""A recipe unrolled: repeats, arms, rows, lists and methods become single things in the order written."""

from __future__ import annotations

import pytest

from scye.ir import equations as e
from scye.units.quantity import Kind
from stages import checked, codes, names, node, plan, unrolled

FRILL = (
    'method frill\n  about "x"\n  given hook point "x"\n  given depth length = 2 in "x"\n'
    '  gives edge line "x"\n  gives low point "x"\n'
    "  mark low from hook down depth\n  line edge from hook to low\n"
)


def test_a_repeat_makes_one_of_a_row_in_each_round():
    made = plan("repeat i from 2 to 4\n  a[i] = 1 in * i\n").equations
    assert names(made) == ["a[2]", "a[3]", "a[4]"]


@pytest.mark.parametrize(("first", "last", "count"), [("1", "1", 1), ("3", "1", 0), ("0 - 2", "0", 3)])
def test_a_repeat_runs_from_its_first_to_its_last(first: str, last: str, count: int):
    made = plan(f"repeat i from {first} to {last}\n  a[i] = 1 in\n").equations
    assert len(names(made)) == count


def test_repeats_within_repeats_count_for_themselves():
    made = plan("repeat i from 1 to 2\n  repeat j from 1 to i\n    a[i * 10 + j] = 1 in\n").equations
    assert names(made) == ["a[11]", "a[21]", "a[22]"]


def test_things_stand_in_the_order_in_which_they_were_written():
    made = plan(
        "last = first_one + 1 in\nrepeat i from 1 to 2\n  row[i] = 2 in\nfirst_one = 1 in\n"
        "draft front\n  begin at cf\n  mark low from high down 1 in\n  mark high from cf up 1 in\n"
    ).equations
    assert sorted(names(made)) == sorted(
        ["last", "first_one", "row[1]", "row[2]", "front.cf", "front.low", "front.high"]
    )
    # What is asked for above the line that makes it is made first, but keeps its name and place.
    assert node(made, "last").span.line == 2
    assert isinstance(node(made, "front.low").op, e.MovePoint)


def test_pieces_and_seams_keep_their_order_through_arms_and_repeats():
    text = (
        'choose y = yes "y"\n'
        "draft front\n  begin at cf\n  level top through cf\n  plumb cfl through cf\n"
        "  level low from top down 9 in\n  plumb side from cfl right 9 in\n"
        + "".join(
            f"{'when y' if k == 1 else ''}{chr(10) if k == 1 else ''}"
            f'{"  " if k == 1 else ""}prove "{k}" 1 in = 1 in\n'
            for k in range(3)
        )
        + 'repeat i from 1 to 2\n  prove "r{i}" 1 in = 1 in\nprove "end" 1 in = 1 in\n'
    )
    assert [proof.title for proof in plan(text).plan.proofs] == ["0", "1", "2", "r1", "r2", "end"]


@pytest.mark.parametrize(("y", "closing", "made"), [
    ("yes", "laced", ["a", "b"]),
    ("yes", "zipped", ["a"]),
    ("no", "laced", ["c"]),
])  # fmt: skip
def test_only_the_arm_that_holds_is_made(y: str, closing: str, made: list[str]):
    text = (
        'choose y = yes "y"\nchoose closing = laced of laced, zipped "x"\n'
        "when y\n  a = 1 in\n  when closing is laced\n    b = 1 in\notherwise\n  c = 1 in\n"
    )
    equations = plan(text, y=y, closing=closing).equations
    assert [n for n in names(equations) if n in "abc"] == made


def test_a_count_may_come_from_sums_of_choices_named_below():
    made = plan(
        "repeat i from 1 to all_of_them\n  a[i] = 1 in\nall_of_them = panels * 2 - 1\n"
        'choose panels = 2 from 1 to 4 "x"\n'
    ).equations
    assert [n for n in names(made) if n.startswith("a[")] == ["a[1]", "a[2]", "a[3]"]


def test_a_count_that_hangs_on_a_body_is_refused_once():
    expanded, found = unrolled("needs bust\nn = bust / 10 in\nrepeat i from 1 to n\n  a[i] = 1 in\n")
    assert expanded is None
    assert codes(found) == ["E403"]


def test_a_counter_has_no_value_outside_its_repeat():
    expanded, found = unrolled("repeat i from 1 to 3\n  a[i] = 1 in\nb = a[i]\n")
    assert expanded is None
    assert [d.seen() for d in found] == [
        "`i` counts the rounds of a `repeat`, and this line stands outside it"
    ]


def test_what_is_made_under_another_choice_is_not_there():
    expanded, found = unrolled('choose y = no "y"\nwhen y\n  a = 1 in\nb = a\nc = a\n')
    assert expanded is None
    assert codes(found) == ["E405", "E405"]
    assert found[0].seen() == "`a` is not made when y is no"


# --- lists ------------------------------------------------------------------------------------------


def test_a_list_is_a_row_of_named_amounts():
    made = plan("a = 1 in, 2 in, 4 in\nb = a[2] * 2\nc = sum of first 2 of a\nd = count of a\n").equations
    assert names(made) == ["a[1]", "a[2]", "a[3]", "b", "c", "d"]
    assert [(name, len(refs)) for name, refs in made.lists] == [("a", 3)]
    total = node(made, "c").op
    assert isinstance(total, e.Total)
    assert [made.nodes[r].name for r in total.items] == ["a[1]", "a[2]"]
    count = node(made, "d").op
    assert isinstance(count, e.Constant)
    assert count.value == 3


@pytest.mark.parametrize(
    ("share", "parts"),
    [
        ("by 35%, 65%", [0.35, 0.65]),
        ("evenly over 4", [0.25] * 4),
        ("evenly over n", [0.5] * 2),
    ],
)
def test_a_share_gives_each_its_part(share: str, parts: list[float]):
    made = plan(f"needs waist\nn = 2\na = share waist {share}\n").equations
    values = []
    for i in range(1, len(parts) + 1):
        op = node(made, f"a[{i}]").op
        assert isinstance(op, e.Combine)
        assert made.nodes[op.a].name == "waist"
        part = made.nodes[op.b].op
        assert isinstance(part, e.Constant)
        values.append(part.value)
    assert values == parts


def test_shares_in_proportion_divide_by_their_total():
    made = plan("needs waist\na = share waist in proportion 1 in, 3 in\n").equations
    op = node(made, "a[2]").op
    assert isinstance(op, e.Combine)
    ratio = made.nodes[op.b]
    assert ratio.kind is Kind.NUMBER
    assert isinstance(ratio.op, e.Combine)
    assert isinstance(made.nodes[ratio.op.b].op, e.Total)


@pytest.mark.parametrize(("shares", "closes"), [
    ("50%, 50%", True), ("33.3%, 33.3%, 33.4%", True), ("35%, 20%, 20%, 20%", False), ("60%, 60%", False),
])  # fmt: skip
def test_shares_must_come_to_the_whole(shares: str, closes: bool):
    _, found = unrolled(f"needs waist\na = share waist by {shares}\n")
    assert codes(found) == ([] if closes else ["E401"])


def test_lists_that_are_made_from_each_other_have_no_beginning():
    expanded, found = unrolled("a = b[1], 2 in\nb = a[1], 2 in\nc = sum of a\n")
    assert expanded is None
    assert codes(found) == ["E503"]


def test_a_list_that_can_not_be_made_is_told_of_once():
    _, found = unrolled("a = 1 in, 2 in\nb = 1 in, a[3]\nc = b[1]\nd = sum of b\ne = b[2] * 2\n")
    assert codes(found) == ["E404"]


# --- methods ----------------------------------------------------------------------------------------


def test_a_method_is_drawn_under_the_name_of_the_drawing():
    made = plan(
        FRILL + "draft front\n  begin at cf\n  draw one by frill\n    hook = cf\n"
        "  draw two by frill\n    hook = one.low\n    depth = 3 in\n  line both = one.edge then two.edge\n"
    ).equations
    assert [n for n in names(made) if "." in n[6:]] == [
        "front.one.depth",
        "front.one.low",
        "front.one.edge",
        "front.two.low",
        "front.two.edge",
    ]
    assert node(made, "front.two.low").draft == "front"


def test_a_default_is_taken_where_nothing_is_given():
    made = plan(
        FRILL + "draft front\n  begin at cf\n  draw one by frill\n    hook = cf\n"
        "  draw two by frill\n    hook = cf\n    depth = 5 in\n"
    ).equations
    depths = []
    for name in ("one", "two"):
        op = node(made, f"front.{name}.low").op
        assert isinstance(op, e.MovePoint)
        amount = made.nodes[op.amount].op
        assert isinstance(amount, e.Constant)
        depths.append(amount.value / 25.4)
    assert depths == [2.0, 5.0]


def test_methods_draw_by_methods_with_rows_of_their_own():
    made = plan(
        FRILL + 'method frills\n  about "x"\n  given hook point "x"\n  given n number = 2 "x"\n'
        '  gives last_edge line "x"\n'
        "  repeat i from 1 to n\n    draw one[i] by frill\n      hook = hook\n"
        "  line last_edge = one[n].edge reversed\n"
        "draft front\n  begin at cf\n  draw all_of_them by frills\n    hook = cf\n    n = 3\n"
    ).equations
    edges = {n for n in names(made) if n.endswith("edge")}
    assert edges == {
        f"front.all_of_them.{n}" for n in ("last_edge", "one[1].edge", "one[2].edge", "one[3].edge")
    }


@pytest.mark.parametrize(
    ("kind", "given", "code"),
    [
        ("lengths", "row", None),
        ("lengths", "1 in, 2 in", None),
        ("lengths", "1 in", "E303"),
        ("length", "row", "E303"),
        ("lengths", "parts", "E303"),
        ("percentages", "parts", None),
        ("points", "top", None),
        ("point", "top[1]", None),
        ("points", "top[1]", "E303"),
    ],
)
def test_a_list_is_given_where_a_list_is_taken(kind: str, given: str, code: str | None):
    _, found = checked(
        f'method steps\n  about "x"\n  given hook point "x"\n  given widths {kind} "x"\n'
        "  mark far from hook right 1 in\nrow = 1 in, 2 in\nparts = 40%, 60%\n"
        "draft front\n  begin at cf\n  repeat i from 1 to 2\n    mark top[i] from cf right row[i]\n"
        f"  draw s by steps\n    hook = cf\n    widths = {given}\n"
    )
    assert codes(found) == ([] if code is None else [code])


def test_a_list_may_be_given_to_a_method():
    text = (
        'method steps\n  about "x"\n  given hook point "x"\n  given widths lengths "x"\n'
        "  mark far from hook right sum of widths\n  mark near from hook right widths[1]\n"
        "row = 1 in, 2 in\n"
        "draft front\n  begin at cf\n  draw s by steps\n    hook = cf\n    widths = row\n"
    )
    made = plan(text).equations
    near, far = node(made, "front.s.near").op, node(made, "front.s.far").op
    assert isinstance(near, e.MovePoint)
    assert isinstance(far, e.MovePoint)
    assert made.nodes[near.amount].name == "row[1]"
    total = made.nodes[far.amount].op
    assert isinstance(total, e.Total)
    assert [made.nodes[r].name for r in total.items] == ["row[1]", "row[2]"]


def test_the_same_operation_is_made_once():
    made = plan("needs waist\na = (waist / 4) + 1 in\nb = (waist / 4) + 2 in\n").equations
    divisions = [n for n in made.nodes if isinstance(n.op, e.Combine) and n.op.op == "/"]
    assert len(divisions) == 1


# --- the ledger -------------------------------------------------------------------------------------

SHAPED = (
    "draft front\n  begin at cf\n  plumb cfl through cf\n  level top through cf\n"
    "  level waist_line from top down 8 in\n  level hem from top down 12 in\n"
    "  plumb one from cfl right 4 in\n"
    "  panel_line seam on one\n    at top take 0 in\n    at waist_line take 1 in\n    at hem spring 1/2 in\n"
    "  dart d from cf right 2 in down 2 in to cf right 2 in down 10 in\n    at waist_line take 3/4 in\n"
)


def test_the_ledger_has_what_each_takes_in_at_each_level():
    ledger = plan(SHAPED).equations.ledger
    assert [(entry.owner, entry.at) for entry in ledger] == [
        ("front.seam", "top"),
        ("front.seam", "waist_line"),
        ("front.seam", "hem"),
        ("front.d", "waist_line"),
    ]


def test_intakes_at_a_level_are_those_of_all_panel_lines_and_darts_there():
    made = plan(SHAPED + "  total = intakes at waist_line\n").equations
    op = node(made, "front.total").op
    assert isinstance(op, e.Total)
    assert len(op.items) == 2


# --- choices ----------------------------------------------------------------------------------------


def test_only_choices_that_shape_the_draft_part_bodies():
    made = plan(
        'choose ease = 1 in from 0 in to 2 in "x"\nchoose panels = 3 from 1 to 4 "x"\n'
        "needs waist\na = waist + ease\nrepeat i from 1 to panels\n  b[i] = 1 in\n",
        panels="2",
    ).equations
    assert isinstance(node(made, "ease").op, e.Chosen)
    assert isinstance(node(made, "panels").op, e.Constant)
    assert [n for n in names(made) if n.startswith("b[")] == ["b[1]", "b[2]"]


def test_an_amount_that_a_condition_hangs_on_shapes_the_draft_through_either_arm():
    text = (
        'choose y = {y} "y"\nchoose rise = 3 in from 1 in to 5 in "x"\n'
        "when y\n  h = 2 in\notherwise\n  h = rise\nwhen h > 2 in\n  high = 1 in\notherwise\n  low = 1 in\n"
    )
    assert "low" in names(plan(text.format(y="yes")).equations)
    assert "high" in names(plan(text.format(y="no")).equations)
