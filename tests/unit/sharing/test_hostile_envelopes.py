"""Envelopes that a stranger could send: each is refused soon, in little memory, in plain words, and leaves
nothing behind. Each runs in a process of its own under limits; see desk.py.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from envelope_by_hand import (
    DRAWING,
    SKIRT,
    archive,
    entries,
    falsely,
    listed,
    patched,
    picture,
    recipe,
    sealed,
    sound,
    with_files_on_top_of_each_other,
    with_one_more,
)

from desk import CARD, Desk
from scye.envelope.contents import contents_text
from scye.ir.envelope import Sort

MEGABYTES = 300
BASED = 'recipe "Hemline"\n  edition 1\n  based on "{}" edition 1\n'


def also(place: str, sort: Sort, data: bytes | str) -> bytes:
    """A sound envelope with one more file, truly listed."""
    return sealed({**sound(), place: (sort, data if isinstance(data, bytes) else data.encode())})


def contents(change: Callable[[str], str]) -> bytes:
    """A sound envelope whose list of contents is written otherwise."""
    return sealed(sound(), change(contents_text(listed(sound()))))


def drawn(inner: str) -> bytes:
    return also("hemline/pieces.svg", "picture", DRAWING.format(inner))


def doubling(depth: int) -> str:
    """Methods that each draw the next one twice."""
    lines = [
        f'method m{i}\n  about "x"\n  given p point "p"\n  gives q point "q"\n'
        f"  draw a by m{i + 1}\n    p = p\n  draw b by m{i + 1}\n    p = p\n  mark q b.q right 1 mm\n"
        for i in range(depth)
    ]
    last = f'method m{depth}\n  about "x"\n  given p point "p"\n  gives q point "q"\n  mark q p right 1 mm\n'
    return "".join((*lines, last))


GOOD = sealed(sound())
TRUE = listed(sound())
LINK = stat.S_IFLNK | 0o777

HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    # names that lead out, or to where they should not
    "climbs out": (lambda: with_one_more("../evil.scye"), "E2003"),
    "climbs out from within": (lambda: with_one_more("hemline/../../evil.scye"), "E2003"),
    "from the top": (lambda: with_one_more("/etc/cron.d/evil"), "E2003"),
    "a backslash": (lambda: with_one_more("..\\evil.scye"), "E2003"),
    "a disk": (lambda: with_one_more("C:/evil.scye"), "E2003"),
    "a stream behind a file": (lambda: with_one_more("hemline/a.scye:evil"), "E2003"),
    "a hidden file": (lambda: with_one_more("hemline/.evil"), "E2003"),
    "folders in folders": (lambda: with_one_more("hemline/a/b/c/evil.scye"), "E2003"),
    "a device": (lambda: with_one_more("hemline/con.scye"), "E2003"),
    "a device as a folder": (lambda: with_one_more("lpt1/evil.scye"), "E2003"),
    "a nought in a name": (lambda: with_one_more("hemline/a.scye\0.md"), "E2003"),
    "a name too long": (lambda: with_one_more(f"hemline/{'a' * 5_000}.scye"), "E2003"),
    # names that look like others
    "a letter that looks like another": (lambda: with_one_more("hemline/h\u0435mline.scye"), "E2003"),
    "a mark that turns the line": (lambda: with_one_more("hemline/eycs\u202e.txt"), "E2003"),
    "an accent by itself": (lambda: with_one_more("hemline/cane\u0301su.scye"), "E2003"),
    "an accent in one": (lambda: with_one_more("hemline/can\u00e9su.scye"), "E2003"),
    "a dot at the end": (lambda: with_one_more("hemline/hemline.scye."), "E2003"),
    "a space at the end": (lambda: with_one_more("hemline/hemline.scye "), "E2003"),
    "a space that is none": (lambda: with_one_more("hemline/hem\u200bline.scye"), "E2003"),
    # things that are not plain files
    "a link": (lambda: with_one_more("hemline/secret.md", b"/etc/passwd", LINK), "E2004"),
    "a device file": (lambda: with_one_more("hemline/disk.md", b"", stat.S_IFBLK | 0o644), "E2004"),
    "a folder": (lambda: with_one_more("hemline/", b""), "E2003"),
    "one name twice": (lambda: with_one_more("hemline/hemline.scye"), "E2004"),
    "one name in capitals": (lambda: with_one_more("hemline/HEMLINE.scye"), "E2004"),
    "locked": (lambda: patched(GOOD, b"PK\x01\x02", 8, b"\x01\x00"), "E2004"),
    # bombs
    "a bomb": (lambda: archive([*entries(sound()), ("a/b.md", b"0" * 50_000_000)], packed=True), "E2004"),
    "a length that lies": (lambda: patched(GOOD, b"PK\x01\x02", 24, b"\xff\xff\xff\x7f"), "E2004"),
    "files on top of each other": (lambda: with_files_on_top_of_each_other(60, 1_900_000), "E2002"),
    "a thousand files": (lambda: archive([(f"a/{i}.md", b"") for i in range(1_000)]), "E2002"),
    "a list of thousands": (lambda: patched(GOOD, b"PK\x05\x06", 8, b"\xff\xff\xff\xff"), "E2002"),
    "far too large": (lambda: GOOD + b"\0" * 9_000_000, "E2002"),
    "a recipe too long": (lambda: sealed(recipe(SKIRT + "# " + "x" * 260_000 + "\n")), "E2002"),
    "charts without number": (
        lambda: sealed({**recipe(), **{f"hemline/a{i}.yaml": ("chart", b"x" * 9_000) for i in range(60)}}),
        "E2002",
    ),
    "a file too large": (lambda: also("hemline/long.md", "words", "x" * 2_100_000), "E2002"),
    # archives that read in two ways
    "no archive": (lambda: b"MZ\x90\x00" * 1_000, "E2001"),
    "nothing": (lambda: b"", "E2001"),
    "broken off": (lambda: GOOD[: len(GOOD) // 2], "E2001"),
    "something before it": (lambda: b"#!/bin/sh\necho evil\n" + GOOD, "E2001"),
    "something behind it": (lambda: GOOD + b"evil", "E2001"),
    "something between": (lambda: archive(entries(sound()))[:-1] + b"\x01", "E2001"),
    "a remark": (lambda: patched(GOOD, b"PK\x05\x06", 20, b"\x04\x00") + b"evil", "E2001"),
    "two names for one file": (lambda: patched(GOOD, b"hemline/sizes.yaml", 0, b"hemline/sizez"), "E2001"),
    "another order of parts": (lambda: archive(entries(sound())[::-1]), "E2005"),
    "packed, though small": (lambda: archive(entries(sound()), packed=True), "E2004"),
    # lists that are false
    "no list": (lambda: archive(entries(sound())[1:]), "E2005"),
    "a wrong hash": (lambda: sealed(sound(), falsely(TRUE, 0, hash="0" * 64)), "E2006"),
    "a wrong length": (lambda: sealed(sound(), falsely(TRUE, 0, size=7)), "E2006"),
    "a changed text": (lambda: GOOD.replace(b"24 in", b"25 in"), "E2001"),
    "listed and not there": (lambda: sealed(recipe(), TRUE), "E2006"),
    "there and not listed": (lambda: sealed(sound(), listed(recipe())), "E2006"),
    "of another recipe": (lambda: sealed(sound(), replace(TRUE, recipe="skirt")), "E2006"),
    "of another edition": (lambda: sealed(sound(), replace(TRUE, edition=2)), "E2006"),
    "an edition that lies": (
        lambda: sealed(sound(), falsely(replace(TRUE, edition=2), 0, edition=2)),
        "E2006",
    ),
    "of a later Scye": (lambda: contents(lambda t: t.replace("envelope: 1", "envelope: 9")), "E2009"),
    "a list with more in it": (lambda: contents(lambda t: t + "# and more\n"), "E2005"),
    "a list that is none": (lambda: contents(lambda t: "- " * 2_000), "E8"),
    "a huge list": (lambda: contents(lambda t: t + "# " + "x" * 1_900_000 + "\n"), "E801"),
    "a nested list": (lambda: contents(lambda t: t + "more: " + "[" * 20_000 + "\n"), "E8"),
    "a list of names of names": (
        lambda: contents(
            lambda t: t + "a: &a [x, x]\n" + "".join(f"b{i}: &b{i} [*a, *a, *a]\n" for i in range(500))
        ),
        "E8",
    ),
    "a made thing": (lambda: contents(lambda t: t + "a: !!python/object/apply:os.system ['true']\n"), "E8"),
    "a kind that is none": (lambda: contents(lambda t: t.replace("holds: chart", "holds: run")), "E2005"),
    # files that are not what they are listed as
    "a card as a chart": (lambda: also("hemline/card.yaml", "chart", CARD), "E2007"),
    "a table as a chart": (lambda: also("hemline/a.csv", "chart", "client,bust (cm)\nwren,90\n"), "E2007"),
    "a program": (lambda: also("hemline/run.py", "words", "print()\n"), "E2007"),
    "a nested chart": (lambda: also("hemline/deep.yaml", "chart", "sizes: " + "{a: " * 9_000), "E2007"),
    "a drawing that runs": (lambda: drawn("<script>alert(1)</script>"), "E2007"),
    "a drawing that wakes": (lambda: drawn('<rect onload="evil()"/>'), "E2007"),
    "a drawing that loads": (lambda: drawn('<use href="http://example.org/a.svg#b"/>'), "E2007"),
    "a drawing that styles": (lambda: drawn("<style>@import 'http://example.org/a';</style>"), "E2007"),
    "a drawing with entities": (
        lambda: also(
            "hemline/pieces.svg",
            "picture",
            '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
            + "".join(
                f'<!ENTITY {chr(98 + i)} "{f"&{chr(97 + i)};" * 10}">' for i in range(9)
            )
            + ']><svg xmlns="http://www.w3.org/2000/svg">&j;</svg>',
        ),
        "E2007",
    ),
    "a drawing without end": (lambda: also("hemline/a.svg", "picture", "<svg>" * 190_000), "E2007"),
    "a picture that tells": (
        lambda: also("hemline/a.png", "picture", picture((b"eXIf", b"where and when"))),
        "E2007",
    ),
    "a picture of a wall": (lambda: also("hemline/a.png", "picture", picture(width=2_000_000)), "E2007"),
    "a picture with a tail": (lambda: also("hemline/a.png", "picture", picture() + b"evil"), "E2007"),
    # recipes that reach out, or too far
    "a parent that is not enclosed": (lambda: sealed(recipe(BASED.format("secret"))), "E2008"),
    "methods that are not enclosed": (
        lambda: sealed(recipe(SKIRT.replace("needs waist", "needs waist\nuse secret"))),
        "E2008",
    ),
    "a recipe that is not used": (lambda: sealed({**sound(), **recipe(SKIRT, "other")}), "E2008"),
    "a recipe based on itself": (lambda: sealed(recipe(BASED.format("hemline"))), "E1105"),
    "a recipe that is none": (lambda: sealed(recipe("evil\n" * 1_000)), "E"),
    "a use that leads out": (
        lambda: sealed(recipe(SKIRT.replace("needs waist", "needs waist\nuse ../secret"))),
        "E103",
    ),
    "drawings that double": (
        lambda: sealed(
            recipe(SKIRT.replace("draft front", doubling(20) + "\ndraft front") + "\ndraft z\n  begin at s\n"
                   "  draw y by m0\n    p = s\n")
        ),
        "E402",
    ),
    "letters that turn the line": (lambda: sealed(recipe(SKIRT.replace("Front", "Fr\u202eont"))), "E121"),
}  # fmt: skip


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("name", HOSTILE)
def test_is_refused(name: str, desk: Desk) -> None:
    made, code = HOSTILE[name]
    (desk.folder / "passing").mkdir()
    (desk.folder / "secret.scye").write_text(SKIRT)
    (desk.folder / "work" / "recipes").mkdir(parents=True)
    (desk.folder / "work" / "recipes" / "secret.scye").write_text(SKIRT)
    there = {"secret.scye", "work", "work/recipes", "work/recipes/secret.scye", "passing"}
    ended = desk.run("keep", "evil.envelope", evil__envelope=made())
    assert ended.code == 2, ended.said
    assert f"error {code}" in ended.said, ended.said
    assert "evil.envelope" in ended.said
    assert "try: " in ended.said or "expected: " in ended.said
    assert not set(ended.said) & set("\u202e\u200b\0")
    assert ended.megabytes < MEGABYTES
    assert desk.listing() == there | {"work/evil.envelope", "work/body.yaml"}


def test_there_are_thirty_and_more() -> None:
    assert len(HOSTILE) >= 30


def test_the_sound_one_is_kept(desk: Desk) -> None:
    """So that what is refused above is refused for its own fault."""
    (desk.folder / "passing").mkdir()
    ended = desk.run("keep", "good.envelope", good__envelope=GOOD)
    assert ended.code == 0, ended.said
    kept = {x for x in desk.listing() if x.startswith("work/library/hemline/edition-1/")}
    assert kept == {
        f"work/library/hemline/edition-1/{place}"
        for place in ("contents.yaml", "hemline", "hemline/hemline.scye", "hemline/sizes.yaml")
    }
    assert not list((desk.folder / "passing").iterdir())


# --- what is no file of bytes -------------------------------------------------------------------


def test_a_folder_a_pipe_and_a_link_in_a_ring(desk: Desk) -> None:
    work = desk.folder / "work"
    work.mkdir()
    (work / "a.envelope").mkdir()
    os.mkfifo(work / "b.envelope")
    (work / "c.envelope").symlink_to(work / "c.envelope")
    for name in ("a", "b", "c", "missing"):
        ended = desk.run("inside", f"{name}.envelope")
        assert ended.code == 2
        assert "error E9" in ended.said


def test_a_file_of_ten_gigabytes_is_not_read(desk: Desk) -> None:
    work = desk.folder / "work"
    work.mkdir()
    with (work / "vast.envelope").open("wb") as file:
        file.truncate(10_000_000_000)
    ended = desk.run("inside", "vast.envelope")
    assert "error E2002" in ended.said
    assert ended.megabytes < MEGABYTES


def test_a_library_that_can_not_be_made(desk: Desk) -> None:
    work = desk.folder / "work"
    work.mkdir()
    (work / "library").write_text("a file")
    ended = desk.run("keep", "good.envelope", good__envelope=GOOD)
    assert ended.code == 2
    assert "error E942" in ended.said
    assert (work / "library").read_text() == "a file"


def test_a_link_in_the_place_of_an_edition_is_not_followed(desk: Desk) -> None:
    outside = desk.folder / "outside"
    outside.mkdir()
    shelf = desk.folder / "work" / "library" / "hemline"
    shelf.mkdir(parents=True)
    (shelf / "edition-1").symlink_to(outside)
    ended = desk.run("keep", "good.envelope", good__envelope=GOOD)
    assert ended.code == 2
    assert list(outside.iterdir()) == []


@pytest.mark.parametrize("words", ["keep", "inside x", "renew x.envelope", "enclose nobody"])
def test_commands_that_say_too_little(words: str, desk: Desk) -> None:
    ended = desk.run(*words.split())
    assert ended.code == 2
    assert "error E9" in ended.said


def test_it_is_found_beside_no_path_of_the_machine(tmp_path: Path) -> None:
    """An envelope holds nothing of the folder that it was made in."""
    assert str(tmp_path).encode() not in GOOD
