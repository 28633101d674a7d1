"""Writing the files of a run: whole, in one folder, nowhere else."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from scye.diagnostics.command import (
    CannotWrite,
    DiskFull,
    FileNameRefused,
    OutNotAFolder,
    TwoFilesOneName,
)
from scye.outputs import OutputFolder, replace_text


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with its content."""
    return {
        path.relative_to(folder).as_posix(): path.read_text()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_files_go_into_a_folder_that_is_made(here: Path):
    out = OutputFolder(Path("sheets/wren"))
    assert out.write([("b.svg", b"two"), ("a - 1.pdf", b"one")]) == ("b.svg", "a - 1.pdf")
    assert tree(here) == {"sheets/wren/a - 1.pdf": "one", "sheets/wren/b.svg": "two"}


def test_files_of_an_earlier_run_are_replaced_and_others_left(here: Path):
    OutputFolder(Path("out")).write([("a.svg", b"old"), ("b.svg", b"old")])
    OutputFolder(Path("out")).write([("a.svg", b"new")])
    assert tree(here) == {"out/a.svg": "new", "out/b.svg": "old"}


@pytest.mark.parametrize("stop", [KeyboardInterrupt, ValueError])
def test_an_interrupted_run_changes_nothing(stop: type[BaseException], here: Path):
    OutputFolder(Path("out")).write([("a.svg", b"old")])

    def files() -> Iterator[tuple[str, bytes]]:
        yield "a.svg", b"new"
        raise stop

    with pytest.raises(stop):
        OutputFolder(Path("out")).write(files())
    with pytest.raises(stop):
        OutputFolder(Path("deep/new")).write(files())
    assert tree(here) == {"out/a.svg": "old"}
    assert sorted(os.listdir(here)) == ["out"]
    assert os.listdir(here / "out") == ["a.svg"]


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "..",
        ".hidden",
        "a/b.svg",
        "../a.svg",
        "a\\b",
        "a\0",
        "a\nb",
        "-rf",
        " a",
        "a:b",
        'a"b',
        "x" * 201,
    ],
)
def test_names_with_paths_or_tricks_are_refused(name: str, here: Path):
    assert OutputFolder(Path("out")).write([("good.svg", b""), (name, b"")]) == FileNameRefused(name=name)
    assert os.listdir(here) == []


def test_two_files_of_one_name_are_refused_whatever_their_capitals(here: Path):
    found = OutputFolder(Path("out")).write([("Wren.svg", b""), ("wren.svg", b"")])
    assert found == TwoFilesOneName(name="wren.svg")
    assert os.listdir(here) == []


def test_a_link_in_the_folder_is_replaced_and_not_followed(here: Path):
    outside = here / "outside.txt"
    outside.write_text("mine")
    (here / "out").mkdir()
    (here / "out" / "a.svg").symlink_to(outside)
    (here / "elsewhere").mkdir()
    (here / "out" / "b.svg").symlink_to(here / "elsewhere")
    assert OutputFolder(Path("out")).write([("a.svg", b"new"), ("b.svg", b"new")]) == ("a.svg", "b.svg")
    assert tree(here) == {"out/a.svg": "new", "out/b.svg": "new", "outside.txt": "mine"}
    assert not (here / "out" / "a.svg").is_symlink()


def test_a_file_in_place_of_the_folder_is_named(here: Path):
    (here / "wren.pdf").write_text("mine")
    assert OutputFolder(Path("wren.pdf")).write([("a.svg", b"")]) == OutNotAFolder(name="wren.pdf")
    assert OutputFolder(Path("wren.pdf/deep")).write([("a.svg", b"")]) == OutNotAFolder(name="wren.pdf")
    assert tree(here) == {"wren.pdf": "mine"}


def test_a_folder_in_place_of_a_file_stops_the_run_before_any_is_moved(here: Path):
    (here / "out" / "b.svg").mkdir(parents=True)
    found = OutputFolder(Path("out")).write([("a.svg", b""), ("b.svg", b"")])
    assert found == CannotWrite(name="out/b.svg", why="a folder of that name is there")
    assert tree(here) == {}


@pytest.mark.parametrize(
    ("number", "found"),
    [
        (errno.ENOSPC, DiskFull(name="out/a.svg")),
        (errno.EDQUOT, DiskFull(name="out/a.svg")),
        (errno.EACCES, CannotWrite(name="out/a.svg", why="you are not allowed to")),
        (errno.EROFS, CannotWrite(name="out/a.svg", why="read-only file system")),
    ],
)
def test_what_the_machine_refuses_is_said(
    number: int, found: object, here: Path, monkeypatch: pytest.MonkeyPatch
):
    def refuse(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "write_bytes", refuse)
    assert OutputFolder(Path("out")).write([("a.svg", b"")]) == found
    assert os.listdir(here) == []


def test_a_folder_that_may_not_be_made_is_named(here: Path, monkeypatch: pytest.MonkeyPatch):
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    assert OutputFolder(Path("out")).write([]) == CannotWrite(name="out", why="you are not allowed to")


def test_a_text_is_replaced_whole_with_its_permissions(here: Path):
    recipe = here / "skirt.scye"
    recipe.write_text("old")
    recipe.chmod(0o640)
    (here / "link.scye").symlink_to(recipe)
    assert replace_text(Path("link.scye"), "new é\n") is None
    assert recipe.read_bytes() == b"new \xc3\xa9\n"
    assert recipe.stat().st_mode & 0o777 == 0o640
    assert sorted(os.listdir(here)) == ["link.scye", "skirt.scye"]


def test_a_text_that_can_not_be_replaced_is_left(here: Path, monkeypatch: pytest.MonkeyPatch):
    recipe = here / "skirt.scye"
    recipe.write_text("old")

    def refuse(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", refuse)
    assert replace_text(Path("skirt.scye"), "new") == DiskFull(name="skirt.scye")
    assert tree(here) == {"skirt.scye": "old"}
