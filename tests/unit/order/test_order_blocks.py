"""Equations put in order: blocks, unknowns with their conditions, rings; what is too little or too much."""

from __future__ import annotations

import pytest

from scye.diagnostics.conditions import NothingDecides, RingOfLines, TooManyConditions
from scye.ir import equations as e
from scye.order.graph import inputs
from stages import codes, ordered


def blocks(text: str) -> tuple[e.Ordered, list[e.Simultaneous]]:
    made, found = ordered(text)
    assert made is not None, [d.seen() for d in found]
    return made, [b for b in made.blocks if isinstance(b, e.Simultaneous)]


def unknowns(made: e.Ordered, block: e.Simultaneous) -> list[str]:
    return [made.equations.nodes[u].name for u in block.unknowns]


def holds_its_promise(made: e.Ordered) -> None:
    """Every node once, each after what it needs; within a block of unknowns those may be asked for."""
    done: set[int] = set()
    for block in made.blocks:
        within = block.unknowns if isinstance(block, e.Simultaneous) else ()
        known = done | set(within)
        for ref in block.nodes:
            assert ref not in done
            assert set(inputs(made.equations.nodes[ref].op)) <= known
            known.add(ref)
        for unknown in within:
            assert set(inputs(made.equations.nodes[unknown].op)) <= done
        done = known
    assert done == set(range(len(made.equations.nodes)))


EXAMPLES = {
    "no unknown": "needs waist\na = waist / 2\nb = a + 1 in\n",
    "used above": "needs waist\nb = a + 1 in\na = waist / 2\n",
    "one unknown": "needs waist\nfind a from 1 in to 9 in\n  so that a * 4 = waist\nb = a / 2\n",
    "two apart": (
        "needs waist, hip\nfind a from 1 in to 9 in\n  so that a * 4 = waist\n"
        "find b from 1 in to 9 in\n  so that b * 4 = hip + a\n"
    ),
    "two together": (
        "needs waist, hip\nfind a from 1 in to 9 in, b from 1 in to 9 in\n"
        "  so that a + b = waist\n  so that a - b = hip / 10\n"
    ),
    "bounds that are sought": (
        "needs waist\nfind a from 1 in to 9 in\n  so that a * 4 = waist\n"
        "find b from a to a * 3\n  so that b * 2 = waist\n"
    ),
    "ring": "needs waist\na = b / 2 + waist\nb = a / 3\nc = b\n",
    "ring of points": (
        "draft front\n  begin at cf\n  mark p from cf right distance from cf to q\n"
        "  mark q from p up 1 in left 3 in\n"
    ),
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_thing_comes_after_what_it_needs(name: str):
    made, _ = blocks(EXAMPLES[name])
    holds_its_promise(made)


def test_an_unknown_stands_with_its_condition():
    made, (block,) = blocks(EXAMPLES["one unknown"])
    assert unknowns(made, block) == ["a"]
    assert [c.span.text for c in block.conditions] == ["a * 4 = waist"]


def test_finds_that_do_not_need_each_other_are_solved_apart_and_in_order():
    made, found = blocks(EXAMPLES["two apart"])
    assert [unknowns(made, b) for b in found] == [["a"], ["b"]]


def test_finds_that_need_each_other_are_solved_together():
    made, (block,) = blocks(
        "needs waist\nfind a from 1 in to 9 in\n  so that a + b = waist\n"
        "find b from 1 in to 9 in\n  so that a - b = 1 in\n"
    )
    assert sorted(unknowns(made, block)) == ["a", "b"]
    assert len(block.conditions) == 2


def test_a_ring_of_amounts_is_opened_at_one_of_them():
    made, (block,) = blocks(EXAMPLES["ring"])
    (guess,) = block.unknowns
    assert made.equations.nodes[guess].op == e.Sought(None, None)
    assert len(block.conditions) == 1


def test_a_ring_of_points_is_opened_at_a_point_by_two_guesses():
    _, (block,) = blocks(EXAMPLES["ring of points"])
    assert len(block.unknowns) in (1, 2)
    assert len(block.conditions) == len(block.unknowns)


def test_many_rings_are_opened_each_for_itself():
    made, found = blocks("needs waist\nrepeat i from 1 to 90\n  a[i] = b[i] / 2 + waist\n  b[i] = a[i] / 3\n")
    assert len(found) == 90
    assert all(len(b.unknowns) == 1 for b in found)
    holds_its_promise(made)


def test_a_ring_within_a_ring_is_opened_too():
    made, (block,) = blocks("a = b / 4 + c / 4 + 1 in\nb = a / 4 + 1 in\nc = b / 4 + c / 8 + a / 4\n")
    assert len(block.unknowns) == 2
    holds_its_promise(made)


# --- too little and too much ------------------------------------------------------------------------


def test_an_unknown_without_condition_is_named_where_it_stands():
    made, found = ordered("find a from 1 in to 2 in, b from 1 in to 2 in\n  so that a = 1 in\n")
    assert made is None
    (nothing,) = found
    assert isinstance(nothing, NothingDecides)
    assert nothing.names == ("b",)
    assert nothing.span is not None
    assert nothing.span.text == "b from 1 in to 2 in"


def test_two_conditions_of_one_unknown_are_both_named():
    _, found = ordered(
        "needs waist, hip\nfind a from 1 in to 2 in\n  so that a * 4 = waist\n  so that a * 5 = hip\n"
    )
    (many,) = found
    assert isinstance(many, TooManyConditions)
    assert many.conditions == ("a * 4 = waist", "a * 5 = hip")
    assert many.unknowns == ("a",)
    assert [label.span.text for label in many.labels] == ["a * 4 = waist"]


def test_only_the_part_that_is_too_much_is_named():
    _, found = ordered(
        "needs waist, hip\nfind a from 1 in to 2 in\n  so that a * 4 = waist\n"
        "find b from 1 in to 2 in\n  so that b * 4 = hip\n  so that b * 5 = hip\n"
    )
    (many,) = found
    assert isinstance(many, TooManyConditions)
    assert many.unknowns == ("b",)


def test_a_condition_that_depends_on_nothing_sought_is_told_with_its_unknown():
    _, found = ordered("needs waist\nfind a from 1 in to 2 in\n  so that waist = 28 in\n")
    (nothing,) = found
    assert isinstance(nothing, NothingDecides)
    assert [label.text for label in nothing.labels] == ["this does not depend on `a`"]


def test_a_condition_too_many_that_depends_on_nothing_is_told_by_itself():
    _, found = ordered("needs waist\nfind a from 1 in to 2 in\n  so that a = 1 in\n  so that waist = 28 in\n")
    (many,) = found
    assert many.seen() == "`waist = 28 in` depends on nothing that is sought"


def test_a_ring_of_lines_has_no_beginning():
    _, found = ordered(
        "draft front\n  begin at cf\n  line a = b reversed\n  line b = c reversed\n  line c = a reversed\n"
    )
    (ring,) = found
    assert isinstance(ring, RingOfLines)
    assert ring.names == ("front.a", "front.b", "front.c")


def test_unknowns_are_bounded():
    _, found = ordered("".join(f"find a{i} from 0 in to 9 in\n  so that a{i} = 1 in\n" for i in range(201)))
    assert codes(found) == ["E402"]
