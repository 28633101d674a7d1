"""Names of a recipe, its drafts and its methods: what each stands for, and when one is made twice."""

from __future__ import annotations

import pytest

from scye.diagnostics.names import MethodInRing, NameTwice
from scye.units.quantity import Kind
from stages import codes, resolved

METHOD = '  given hook point "x"\n  gives edge line "x"\n  line edge from hook to hook down 1 in\n'


def test_each_name_is_entered_where_it_is_made():
    program, found = resolved(
        "needs waist\nchoose closing = laced of laced, zipped\nhalf = waist / 2\n"
        "draft front\n  begin at cf\n  level waist_line through cf\n"
    )
    assert found == []
    kinds = {name: (s[0].kind, s[0].role) for name, s in program.root.symbols.items()}
    assert kinds == {
        "waist": (Kind.LENGTH, "measure"),
        "closing": (Kind.CHOICE, "choice"),
        "half": (None, "value"),
        "front": (Kind.DRAFT, "draft"),
    }
    front = program.root.drafts["front"]
    assert front.parent is program.root
    assert {name: s[0].kind for name, s in front.symbols.items()} == {
        "cf": Kind.POINT,
        "waist_line": Kind.LINE,
    }


def test_a_method_has_names_of_its_own():
    program, found = resolved(f'method frill\n  about "x"\n{METHOD}')
    assert found == []
    scope = program.methods["frill"].scope
    assert scope.parent is None
    assert list(scope.symbols) == ["hook", "edge"]
    assert program.root.symbols == {}


@pytest.mark.parametrize(
    ("text", "twice"),
    [
        ("a = 1 in\na = 2 in\n", 1),
        ("a = 1 in\na = 2 in\na = 3 in\n", 2),
        ("when y\n  a = 1 in\notherwise\n  a = 2 in\n", 0),
        ("when y\n  a = 1 in\na = 2 in\n", 1),
        ("a = 2 in\nwhen y\n  a = 1 in\n", 1),
        ("when y\n  a = 1 in\n  a = 2 in\n", 1),
        ("when y\n  a = 1 in\nwhen y\n  a = 2 in\n", 0),  # left to the choices that are made
        ("when y\n  when y\n    a = 1 in\n  otherwise\n    a = 3 in\notherwise\n  a = 2 in\n", 0),
        ("when y\n  when y\n    a = 1 in\n  a = 3 in\n", 1),
        ("when y\n  a = 3 in\n  when y\n    a = 1 in\n", 1),
        ("repeat i from 1 to 2\n  a[i] = 1 in\nrepeat i from 3 to 4\n  a[i] = 1 in\n", 0),
    ],
)
def test_a_name_is_made_twice_only_where_both_are_made(text: str, twice: int):
    _, found = resolved('choose y = yes "y"\n' + text)
    assert codes(found) == ["E202"] * twice
    assert all(isinstance(d, NameTwice) and len(d.labels) == 1 for d in found)


def test_the_earlier_of_two_is_shown():
    _, found = resolved("when y\n  a = 1 in\na = 2 in\n" + 'choose y = yes "y"\n')
    (twice,) = found
    assert twice.span is not None
    assert (twice.span.line, twice.labels[0].span.line) == (4, 3)


def test_methods_may_draw_by_each_other_but_not_in_a_ring():
    def method(name: str, other: str) -> str:
        draw = f"  draw more by {other}\n    hook = hook\n" if other else ""
        return f'method {name}\n  about "x"\n{METHOD}{draw}\n'

    _, found = resolved(method("a", "b") + method("b", "c") + method("c", "") + method("d", "b"))
    assert found == []
    _, found = resolved(method("a", "b") + method("b", "c") + method("c", "b"))
    (ring,) = found
    assert isinstance(ring, MethodInRing)
    assert ring.ring == ("b", "c")
    assert ring.seen() == "the method `b`, which draws by `c`, which draws by `b`"


def test_a_long_row_of_methods_is_followed_without_end_of_stack():
    count = 2_000
    rows = [
        f'method m{i}\n  about "x"\n{METHOD}  draw more by m{(i + 1) % count}\n    hook = hook\n'
        for i in range(count)
    ]
    _, found = resolved("".join(rows))
    (ring,) = found
    assert isinstance(ring, MethodInRing)
    assert len(ring.ring) == count


def test_methods_of_two_files_share_one_shelf():
    frill = f'method frill\n  about "x"\n{METHOD}'
    program, found = resolved("use one\n", frill, frill.replace("frill", "flounce"))
    assert (list(program.methods), found) == (["frill", "flounce"], [])
    _, found = resolved("use one, two\n", frill, frill)
    assert codes(found) == ["E210"]


def test_a_file_of_methods_holds_nothing_else():
    _, found = resolved("use one\n", "ease = 1 in\nhalf = 2 in\n")
    assert codes(found) == ["E211", "E211"]


def test_a_measure_must_stand_in_the_catalogue():
    _, found = resolved("needs waist, wasit, bust\n")
    (unknown,) = found
    assert unknown.attempt() == "did you mean `waist`? (`scye measures` lists them all)"
