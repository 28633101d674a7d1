"""What a stranger could send: each ends soon, in little memory, with plain words, and writes nowhere else.

Every case runs in a process of its own under limits, forked from one that has read the modules once. The
limits leave room for a slow machine: most cases take a few tenths of a second.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from desk import Desk

HEAD = 'recipe "Hostile"\n  edition 1\n\nneeds waist\n'
DRAFT = """
draft front
  begin at waist_cf
  plumb centre_front through waist_cf
  level waist_line through waist_cf
  level hem_line from waist_line down 24 in
  mark waist_side from waist_cf right 9 in
  plumb side through waist_side
"""


def piece(number: int) -> str:
    return (
        f'\npiece panel{number} "Panel {number}"\n'
        "  bounded by centre_front, waist_line, side, hem_line\n"
        "  cut pair of self\n  grain down\n"
        "  net on centre_front, waist_line, side, hem_line\n"
    )


def lines(count: int, line: Callable[[int], str]) -> str:
    return "".join(line(i) + "\n" for i in range(count))


def doubling(depth: int) -> str:
    """Methods that each draw the next one twice: two to the power of `depth` drawings."""
    methods = lines(
        depth,
        lambda i: (
            f'method m{i}\n  about "x"\n  given p point "p"\n  gives q point "q"\n'
            f"  draw a by m{i + 1}\n    p = p\n  draw b by m{i + 1}\n    p = p\n  mark q b.q right 1 mm\n"
        ),
    )
    head = 'about "x"\n  given p point "p"\n  gives q point "q"'
    last = f"method m{depth}\n  {head}\n  mark q from p right 1 mm\n"
    return f"{methods}{last}\ndraft front\n  begin at s\n  draw z by m0\n    p = s\n"


BEFORE = {"work", "work/it.scye", "work/body.yaml"}


# --- recipes that are refused -----------------------------------------------------------------------

REFUSED = {
    "brackets": (HEAD + "a = " + "(" * 20_000 + "1 in" + ")" * 20_000 + "\n", "E120"),
    "brackets in a short line": (HEAD + "a = " + "(" * 900 + "1 in" + ")" * 900 + "\n", "E119"),
    "blocks in blocks": (HEAD + lines(900, lambda i: "  " * i + "when yes"), "E119"),
    "a million figures": (HEAD + "a = " + "9" * 900_000 + " in\n", "E120"),
    "figures of a line": (HEAD + "a = " + "9" * 1_900 + " in\n", "E107"),
    "many rounds": (HEAD + "repeat i from 1 to 1000000000\n  a[i] = 1 in\n", "E402"),
    "a count without end": (
        HEAD + "n = " + " * ".join(["1000000000"] * 80) + "\nrepeat i from 1 to n\n  a[i] = 1 in\n",
        "E403",
    ),
    "things in nested rounds": (
        HEAD
        + "repeat i from 1 to 200\n  repeat j from 1 to 200\n    repeat k from 1 to 200\n"
        + "      a[i * 40000 + j * 200 + k] = 1 in\n",
        "E402",
    ),
    "nothing in nested rounds": (
        HEAD
        + "repeat i from 1 to 200\n  repeat j from 1 to 200\n    repeat k from 1 to 200\n"
        + "      repeat m from 1 to 0\n        a = 1 in\n",
        "E402",
    ),
    "proofs in nested rounds": (
        HEAD
        + "repeat i from 1 to 200\n  repeat j from 1 to 200\n    repeat k from 1 to 200\n"
        + '      prove "x" waist = waist\n',
        "E402",
    ),
    "drawings that double": (HEAD + doubling(20), "E402"),
    "pieces": (HEAD + DRAFT + "".join(map(piece, range(1_000))), "E402"),
    "seams": (HEAD + DRAFT + piece(1) + lines(1_000, lambda i: "sew panel1.side to its pair"), "E402"),
    "matches": (
        HEAD
        + DRAFT
        + piece(1)
        + "sew panel1.side to its pair\n"
        + lines(1_000, lambda i: f"  match {i} mm from start"),
        "E402",
    ),
    "unknowns": (
        HEAD + lines(1_000, lambda i: f"find a{i} from 0 in to 9 in\n  so that a{i} = 3 in"),
        "E402",
    ),
    "rings": (
        HEAD + lines(1_000, lambda i: f"a{i} = b{i} / 2 + 1 in\nb{i} = a{i} / 2 + 1 in"),
        "E402",
    ),
    "names that are not": (HEAD + lines(4_000, lambda i: f"a{i} = aa{i}z"), "E415"),
    "one name over and over": (HEAD + lines(4_000, lambda i: "a = 1 in"), "E415"),
    "one name in many arms": (
        HEAD + 'choose y = yes "y"\n' + lines(3_000, lambda i: "when y\n  a = 1 in"),
        "E415",
    ),
    "a chain too long": (
        HEAD + lines(8_000, lambda i: f"a{i} = a{i + 1} + 1 in") + "a8000 = waist\n",
        "E413",
    ),
    "lists in a ring": (HEAD + "a = b[1], 2 in\nb = a[1], 2 in\n", "E503"),
    "a use of itself": (HEAD + "use it\n", "E2"),
    "a use that leads out": (HEAD + "use ../secret\n", "E103"),
    "not a text": (b"\x00\xff\xfe" * 1_000, "E9"),
    "letters that turn the line": (HEAD + "a\u202e = 1 in\n", "E121"),
    "far too large": (HEAD + "# " + "x" * 10_000_000 + "\n", "E9"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_is_refused(name: str, desk: Desk) -> None:
    text, code = REFUSED[name]
    ended = desk.build(text)
    assert ended.code == 2
    assert f"error {code}" in ended.said or f"note {code}" in ended.said
    assert len(ended.said) < 300_000
    assert desk.listing() == BEFORE


# --- recipes that are odd, but recipes --------------------------------------------------------------

DRAFTED = {
    "a chain of names": HEAD + lines(3_000, lambda i: f"a{i} = a{i + 1} + 1 in") + "a3000 = waist\n",
    "sums that double": (
        HEAD
        + lines(60, lambda i: f"a{i} = a{i + 1} + a{i + 1} - a{i + 1}")
        + "a60 = 1\nrepeat i from 1 to a0\n  b[i] = 1 in\n"
    ),
    "long sums": HEAD + "a = " + " + ".join(["1 in"] * 80) + "\n",
    "long lists": HEAD
    + "a = "
    + ", ".join(["1 in"] * 300)
    + "\nb = sum of a\nc = least of a\nd = most of a\n",
    "a title that is a path": 'recipe "../../../etc/passwd"\n' + DRAFT + piece(1),
    "a dense find": (
        HEAD
        + "find "
        + ", ".join(f"a{i} from 0 in to 9 in" for i in range(24))
        + "\n"
        + lines(24, lambda i: "  so that " + " + ".join(f"a{j}" for j in range(24)) + f" + a{i} = 30 in")
    ),
    "negative rounds": HEAD + "repeat i from 5 to 1\n  a[i] = 1 in\n",
    "a line across itself": HEAD
    + DRAFT
    + "  line c from waist_cf"
    + " to waist_side to waist_cf" * 40
    + "\n",
}


@pytest.mark.parametrize("name", DRAFTED)
def test_is_drafted(name: str, desk: Desk) -> None:
    ended = desk.build(DRAFTED[name])
    assert ended.code == 0, ended.said
    beside = {x for x in desk.listing() if not x.startswith("work/out")}
    assert beside == BEFORE


# --- files that use each other ----------------------------------------------------------------------


def test_files_that_use_each_other(desk: Desk) -> None:
    ended = desk.run(
        "check",
        "it.scye",
        it__scye=HEAD + "use one\n",
        one__scye="use two\n",
        two__scye="use three\n",
        three__scye="use one\n",
    )
    assert ended.code == 2
    assert ended.said.count("error E207") == 1


def test_a_link_that_leads_out(desk: Desk) -> None:
    secret = desk.folder / "secret.scye"
    secret.write_text('method secret\n  about "x"\n  given p point "p"\n  mark q from p right 1 in\n')
    work = desk.folder / "work"
    work.mkdir()
    (work / "borrowed.scye").symlink_to(secret)
    ended = desk.run("check", "it.scye", it__scye=HEAD + "use borrowed\n")
    assert ended.code == 2
    assert "secret" not in ended.said


def test_a_recipe_based_on_itself(desk: Desk) -> None:
    ended = desk.run("check", "it.scye", it__scye='recipe "It"\n  based on "it" edition 1\n')
    assert ended.code == 2


# --- cards ------------------------------------------------------------------------------------------

MEASURES = "unit: in\ndate: 2024-03-05\nmeasures:\n  waist: 28\n"
CARDS = {
    "a code that leads out": "client: ../../etc/passwd\n" + MEASURES,
    "a code that is a device": "client: con\n" + MEASURES,
    "a bomb of names": (
        "client: dunlin\nunit: in\na: &a [x, x, x, x, x, x, x, x, x]\n"
        + lines(9, lambda i: f"b{i}: &b{i} [{', '.join(['*a' if not i else f'*b{i - 1}'] * 9)}]")
        + "measures:\n  waist: 28\n"
    ),
    "no number": "client: dunlin\nunit: in\nmeasures:\n  waist: .nan\n",
    "without end": "client: dunlin\nunit: in\nmeasures:\n  waist: .inf\n",
    "an exponent": "client: dunlin\nunit: in\nmeasures:\n  waist: 1e308\n",
    "a thousand figures": "client: dunlin\nunit: in\nmeasures:\n  waist: " + "9" * 100_000 + "\n",
    "a made thing": "client: !!python/object/apply:os.system ['true']\n" + MEASURES,
    "brackets": "client: dunlin\nunit: in\nmeasures: " + "[" * 50_000 + "\n",
    "ten megabytes": "client: dunlin\n" + MEASURES + "notes: " + "x" * 10_000_000 + "\n",
    "a choice of paths": "client: dunlin\n" + MEASURES + "choices:\n  closing: ../../laced\n",
}


@pytest.mark.parametrize("name", CARDS)
def test_a_card_is_refused(name: str, desk: Desk) -> None:
    recipe = HEAD + 'choose closing = laced of laced, zipped "back"\n' + DRAFT + piece(1)
    words = ("build", "it.scye", "--body", "card.yaml", "--out", "out")
    ended = desk.run(*words, it__scye=recipe, card__yaml=CARDS[name])
    assert ended.code == 2
    assert "error E" in ended.said
    expected = {"work", "work/it.scye", "work/body.yaml", "work/card.yaml"}
    assert desk.listing() == expected


# --- where the files go -----------------------------------------------------------------------------


def test_the_files_go_into_the_folder_asked_for_and_nowhere_else(desk: Desk) -> None:
    recipe = 'recipe "../../escape"\n' + DRAFT + piece(1).replace("Panel 1", "../../../escape")
    words = ("build", "it.scye", "--body", "body.yaml", "--out", "../elsewhere/../chosen")
    ended = desk.run(*words, it__scye=recipe)
    assert ended.code == 0
    beside = {x for x in desk.listing() if not x.startswith("chosen/")}
    assert beside - {"elsewhere"} == {"chosen", "work", "work/it.scye", "work/body.yaml"}
    assert not any("escape" in x for x in desk.listing())


def test_links_in_the_folder_are_not_followed(desk: Desk) -> None:
    out = desk.folder / "work" / "out"
    out.mkdir(parents=True)
    kept = desk.folder / "kept.json"
    kept.write_text("mine")
    (out / "pattern.json").symlink_to(kept)
    assert desk.build(HEAD + DRAFT + piece(1)).code == 0
    assert kept.read_text() == "mine"
    assert not (out / "pattern.json").is_symlink()


def test_a_file_in_the_place_of_the_folder(desk: Desk) -> None:
    (desk.folder / "work").mkdir()
    (desk.folder / "work" / "out").write_text("mine")
    ended = desk.build(HEAD + DRAFT + piece(1))
    assert ended.code == 2
    assert (desk.folder / "work" / "out").read_text() == "mine"


@pytest.mark.parametrize("setting", ["x=" + "9" * 5_000, "closing=\x1b[2J", "closing=../..", "=", "a=b=c"])
def test_settings_that_are_none(setting: str, desk: Desk) -> None:
    recipe = HEAD + 'choose closing = laced of laced, zipped "back"\n' + DRAFT + piece(1)
    ended = desk.build(recipe, "--set", setting)
    assert ended.code == 2
    assert "\x1b" not in ended.said


# --- other commands ---------------------------------------------------------------------------------


def test_a_table_of_nameless_columns_is_told_in_a_few_pages(desk: Desk) -> None:
    table = "\t" * 5_000 + "waist (cm)\n" + "\t" * 5_000 + "70\n"
    words = ("batch", "it.scye", "--people", "it.csv", "--out", "out")
    ended = desk.run(*words, it__scye=HEAD + DRAFT + piece(1), it__csv=table)
    assert ended.code == 2
    assert ended.said.count("error E") == 120
    assert "note E415" in ended.said


def test_a_pattern_with_figures_without_end(desk: Desk) -> None:
    assert desk.build(HEAD + DRAFT + piece(1)).code == 0
    text = (desk.folder / "work" / "out" / "pattern.json").read_text(encoding="utf-8")
    worse = text.replace('"of":1', '"of":1e999')
    assert worse != text
    ended = desk.run("compare", "a.json", "b.json", a__json=text, b__json=worse)
    assert ended.code == 2
    assert "error E1141" in ended.said
