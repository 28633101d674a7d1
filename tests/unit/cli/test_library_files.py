"""Finding and reading texts."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from scye import library
from scye.diagnostics.command import (
    CannotRead,
    FileTooLarge,
    FolderNotFile,
    LeadsOutside,
    MethodsNameRefused,
    MissingFile,
    MissingMethods,
    MissingRecipe,
    NotARecipe,
    NotPlainText,
)
from scye.library import find_methods, find_recipe, find_stdlib, read_source, shown_name
from scye.source import Source, Span


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to stand in."""
    folder = tmp_path / "workroom"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def standard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A stdlib of one file of methods."""
    folder = tmp_path / "package" / "stdlib"
    folder.mkdir(parents=True)
    (folder / "sleeves.scye").write_text("method standard\n")
    monkeypatch.setattr(library, "_PACKAGE", folder.parent)
    return folder


def put(path: str, text: str = "recipe\n") -> Path:
    file = Path(path)
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text)
    return file


# --- reading ------------------------------------------------------------------------------------


def test_a_text_is_named_from_where_the_maker_stands(here: Path):
    put("recipes/skirt.scye", "recipe\n")
    source = read_source(here / "recipes" / "skirt.scye")
    assert isinstance(source, Source)
    assert (source.name, source.text) == ("recipes/skirt.scye", "recipe\n")


def test_line_breaks_and_the_mark_of_utf_8_are_made_plain():
    Path("old.scye").write_bytes(b"\xef\xbb\xbfa\r\nb\rc\n")
    source = read_source(Path("old.scye"))
    assert isinstance(source, Source)
    assert source.text == "a\nb\nc\n"


def test_a_missing_file_offers_near_names_of_its_kind():
    put("cards/wren.yaml")
    put("cards/wrn.txt")
    assert read_source(Path("cards/wrn.yaml")) == MissingFile(
        name="cards/wrn.yaml", near=("cards/wren.yaml",)
    )


def test_a_missing_folder_is_named():
    missing = read_source(Path("card/wren.yaml"))
    assert missing == MissingFile(name="card/wren.yaml", folder_missing="card")
    assert missing.seen() == "there is no file `card/wren.yaml`, for there is no folder `card`"


def test_a_file_in_place_of_a_folder_is_a_missing_file():
    put("card")
    assert read_source(Path("card/wren.yaml")) == MissingFile(name="card/wren.yaml", folder_missing="card")


def test_a_folder_offers_what_it_holds():
    put("cards/wren.yaml")
    put("cards/heron.yaml")
    found = read_source(Path("cards"))
    assert found == FolderNotFile(name="cards", wanted="a file", near=("cards/heron.yaml", "cards/wren.yaml"))


@pytest.mark.parametrize("data", [b"one\ntwo\nth\xe9ee\n", b"one\ntwo\nth\0ree\n"])
def test_what_is_not_plain_text_is_named_with_its_line(data: bytes):
    Path("picture.scye").write_bytes(data)
    assert read_source(Path("picture.scye")) == NotPlainText(name="picture.scye", line=3)


def test_a_text_may_be_as_large_as_the_limit_and_no_larger():
    put("long.scye", "x" * 11)
    assert isinstance(read_source(Path("long.scye"), limit=11), Source)
    assert read_source(Path("long.scye"), limit=10) == FileTooLarge(name="long.scye", limit=10)


def test_the_limit_is_told_in_kilobytes():
    put("long.scye", "x" * 1_000_001)
    found = read_source(Path("long.scye"))
    assert isinstance(found, FileTooLarge)
    assert found.expected() == "at most 1 000 kB of text"


def test_a_pipe_is_not_waited_for():
    os.mkfifo("pipe.scye")
    assert read_source(Path("pipe.scye")) == CannotRead(name="pipe.scye", why="it is not an ordinary file")


def test_a_ring_of_links_is_not_followed():
    Path("ring.scye").symlink_to("ring.scye")
    found = read_source(Path("ring.scye"))
    assert isinstance(found, CannotRead)
    assert found.why == "too many levels of symbolic links"


def test_a_name_no_file_can_have_is_refused():
    assert read_source(Path("a\0b")) == CannotRead(name="a\0b", why="its name can't be that of a file")


def test_a_forbidden_file_says_so(monkeypatch: pytest.MonkeyPatch):
    put("locked.scye")

    def locked(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", locked)
    found = read_source(Path("locked.scye"))
    assert isinstance(found, CannotRead)
    assert found.seen() == "`locked.scye` can't be read: you are not allowed to"


# --- recipes ------------------------------------------------------------------------------------


def test_a_recipe_may_be_named_by_its_file_or_folder():
    recipe = put("skirt/skirt.scye")
    assert find_recipe("skirt/skirt.scye") == recipe
    assert find_recipe("skirt") == recipe
    assert find_recipe("skirt/") == recipe


def test_the_folder_stood_in_may_be_named_by_a_dot(here: Path, monkeypatch: pytest.MonkeyPatch):
    put("skirt/skirt.scye")
    monkeypatch.chdir(here / "skirt")
    assert find_recipe(".") == Path("skirt.scye")


@pytest.mark.parametrize("path", ["recipes/coat/coat.scye", "recipes/coat.scye"])
def test_a_recipe_may_be_named_by_its_plain_name(path: str):
    assert find_recipe("coat") == MissingRecipe(name="coat")
    recipe = put(path)
    assert find_recipe("coat") == recipe


def test_a_folder_without_its_recipe_offers_the_others():
    put("skirts/gored.scye")
    assert find_recipe("skirts") == FolderNotFile(
        name="skirts",
        wanted="a recipe, or a folder that holds `skirts.scye`",
        near=("skirts/gored.scye",),
    )


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("gored_skrt", "gored_skirt"),
        ("gored_coot", "gored_coat"),
        ("gored_cap", "gored_cap.scye"),
        ("gored_cape.scy", "gored_cape.scye"),
    ],
)
def test_an_unknown_recipe_offers_a_near_name_from_here_or_the_shelf(name: str, near: str):
    put("recipes/gored_skirt/gored_skirt.scye")
    put("recipes/gored_coat.scye")
    put("gored_cap.scye")
    put("gored_cape.scye")
    found = find_recipe(name)
    assert isinstance(found, MissingRecipe)
    assert found.attempt() == f"did you mean `{near}`?"


def test_a_missing_recipe_file_offers_near_names():
    put("skirt.scye")
    assert find_recipe("skrt.scye") == MissingFile(name="skrt.scye", near=("skirt.scye",))


def test_a_card_is_not_a_recipe():
    put("wren.yaml")
    assert find_recipe("wren.yaml") == NotARecipe(name="wren.yaml")


def test_a_recipe_called_by_name_may_not_lead_off_the_shelf(tmp_path: Path):
    (tmp_path / "other.scye").write_text("recipe\n")
    Path("recipes").mkdir()
    Path("recipes/coat.scye").symlink_to(tmp_path / "other.scye")
    assert find_recipe("coat") == LeadsOutside(name="recipes/coat.scye")
    assert isinstance(find_recipe("../other"), MissingRecipe)


# --- methods ------------------------------------------------------------------------------------


def test_methods_beside_the_recipe_come_before_the_standard_ones(here: Path, standard: Path):
    assert find_methods("sleeves", here) == standard / "sleeves.scye"
    own = put("sleeves.scye")
    assert find_methods("sleeves", here) == here / own


def test_standard_methods_are_shown_by_a_name_of_their_own(here: Path, standard: Path):
    assert shown_name(standard / "sleeves.scye") == "stdlib/sleeves.scye"


@pytest.mark.parametrize(
    "name",
    ["", "../sleeves", "a/b", "a\\b", "sleeves.scye", ".", "..", "sl eeves", "a\0", "é", "_a", "a" * 65],
)
def test_anything_but_a_plain_name_is_refused(name: str, here: Path):
    put("b.scye")
    assert find_methods(name, here) == MethodsNameRefused(name=name)


def test_methods_that_lead_outside_are_refused_at_the_place_of_use(here: Path, tmp_path: Path):
    secret = tmp_path / "secret.scye"
    secret.write_text("method\n")
    (here / "sleeves.scye").symlink_to(secret)
    (here / "ring.scye").symlink_to("ring.scye")
    span = Span(Source("coat.scye", "use sleeves"), 4, 11)
    assert find_methods("sleeves", here, span=span) == LeadsOutside(name="sleeves.scye", span=span)
    assert find_methods("ring", here) == LeadsOutside(name="ring.scye")


def test_a_link_within_the_folder_is_followed(here: Path):
    put("collars.scye")
    (here / "necks.scye").symlink_to("collars.scye")
    assert find_methods("necks", here) == here / "necks.scye"


def test_missing_methods_offer_the_nearest_name_of_both_folders(here: Path, standard: Path):
    put("sleevets.scye")
    span = Span(Source("coat.scye", "use sleeve"), 4, 10)
    assert find_methods("sleeve", here, span=span) == MissingMethods(
        name="sleeve", near=("sleeves",), span=span
    )


# --- stdlib -------------------------------------------------------------------------------------


def test_stdlib_is_found_within_the_package_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    package = tmp_path / "compiler" / "scye"
    package.mkdir(parents=True)
    monkeypatch.setattr(library, "_PACKAGE", package)
    assert find_stdlib() == tmp_path / "stdlib"
    (package / "stdlib").mkdir()
    assert find_stdlib() == package / "stdlib"


def test_the_checkout_has_its_stdlib():
    assert (find_stdlib() / "measures.yaml").is_file()
