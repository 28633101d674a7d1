"""The maker's own library: looking inside, keeping, finding, renewing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from envelope_by_hand import SKIRT, listed, put, recipe, sealed, sound

from scye.cli.main import main
from scye.library import find_methods, find_recipe, library_at, library_folder
from scye.project import open_project

LONG = 'recipe "Long"\n  edition 1\n  based on "hemline" edition {}\n'
SECOND = SKIRT.replace("edition 1", "edition 2").replace("waist / 4", "waist / 4 + 1/4 in")
WREN = "client: wren\nunit: cm\ntimes: 2\nmeasures:\n  waist: 72\n"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with an envelope of each edition, and a library that isn't there yet."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SCYE_LIBRARY", str(tmp_path / "library"))
    Path("first.envelope").write_bytes(sealed(sound()))
    Path("second.envelope").write_bytes(sealed(recipe(SECOND), listed(recipe(SECOND), edition=2)))
    put(tmp_path, {"wren.yaml": WREN})
    return tmp_path


def codes(path: Path) -> list[str]:
    return [d.code for d in open_project(path).diagnostics]


def run(words: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    code = main(words.split())
    told = capsys.readouterr()
    return code, told.out, " ".join(told.err.split())


# --- keeping ------------------------------------------------------------------------------------


def test_inside_writes_nothing(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = sorted(here.rglob("*"))
    code, out, err = run("inside first.envelope", capsys)
    assert (code, err) == (0, "")
    assert "needs of a body: waist" in out
    assert "takes from Scye itself: cautions.yaml, measures.yaml" in out
    assert sorted(here.rglob("*")) == before


def test_inside_tells_of_a_recipe_that_is_in_no_envelope(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(here, {"mine.scye": SKIRT})
    code, out, _ = run("inside mine.scye", capsys)
    assert code == 0
    assert out.startswith('mine: "Hemline", edition 1\n')
    assert "enclosed" not in out


def test_keeping_twice_is_keeping_once(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("keep first.envelope", capsys)[0] == 0
    code, out, _ = run("keep first.envelope", capsys)
    assert (code, out) == (0, "hemline, edition 1, is kept already: library/hemline/edition-1\n")


def test_the_same_edition_otherwise_is_refused(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("keep first.envelope", capsys)
    kept = (here / "library/hemline/edition-1/hemline/hemline.scye").read_bytes()
    Path("other.envelope").write_bytes(sealed(recipe(SKIRT.replace("24 in", "25 in"))))
    code, _, err = run("keep other.envelope", capsys)
    assert code == 2
    assert "error E2030" in err
    assert "these differ: hemline/hemline.scye" in err
    assert (here / "library/hemline/edition-1/hemline/hemline.scye").read_bytes() == kept


def test_a_newer_one_is_renewed_and_an_older_one_kept(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("keep first.envelope", capsys)
    assert "error E2031" in run("keep second.envelope", capsys)[2]
    code, out, _ = run("renew second.envelope --body wren.yaml", capsys)
    assert code == 0
    assert "Front: +6.4 mm at side" in out
    assert not (here / "library/hemline/edition-2").exists()
    assert run("renew second.envelope --body wren.yaml --take", capsys)[0] == 0
    assert (here / "library/hemline/edition-2").is_dir()
    assert "error E2032" in run("renew second.envelope --body wren.yaml", capsys)[2]
    assert "error E2032" in run("renew first.envelope --body wren.yaml", capsys)[2]
    _, out, _ = run("inside hemline", capsys)
    assert "kept in your library, edition: 1, 2" in out


def test_the_older_one_may_come_later(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("keep second.envelope", capsys)[0] == 0
    assert run("keep first.envelope", capsys)[0] == 0
    assert find_recipe("hemline") == here / "library/hemline/edition-2/hemline/hemline.scye"


def test_nothing_is_renewed_for_bodies_that_cannot_be_drafted(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run("keep first.envelope", capsys)
    put(here, {"bare.yaml": WREN.replace("waist", "hip")})
    code, _, err = run("renew second.envelope --body bare.yaml --take", capsys)
    assert code == 2
    assert "error" in err
    assert [path.name for path in (here / "library/hemline").iterdir()] == ["edition-1"]
    assert [path.name for path in (here / "library").iterdir()] == ["hemline"]


def test_renewing_says_that_another_studio_signs(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("keep first.envelope", capsys)
    other = recipe(SECOND.replace("Saltmarsh Workroom", "Saltmarsh Workshop").replace("CC-BY-4.0", "none"))
    Path("other.envelope").write_bytes(sealed(other, listed(other, edition=2)))
    _, _, err = run("renew other.envelope --body wren.yaml", capsys)
    assert "the studio of `hemline` was Saltmarsh Workroom, and is now Saltmarsh Workshop" in err
    assert "the licence of `hemline` was CC-BY-4.0, and is now none" in err


def test_other_standard_methods_are_told(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    true = listed(recipe())
    older = replace(true, standard=(replace(true.standard[0], hash="0" * 64), true.standard[1]))
    Path("older.envelope").write_bytes(sealed(recipe(), older))
    code, _, err = run("keep older.envelope", capsys)
    assert code == 0
    assert "note E2044" in err
    assert "`cautions.yaml` of Scye itself read otherwise than here" in err


# --- finding ------------------------------------------------------------------------------------


def test_a_kept_recipe_is_found_by_its_name(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("keep first.envelope", capsys)
    kept = here / "library/hemline/edition-1/hemline/hemline.scye"
    assert find_recipe("hemline") == find_recipe("hemline@1") == kept
    assert "E2034" in run("build hemline@7 --body wren.yaml --out out", capsys)[2]
    code, out, _ = run("build hemline --body wren.yaml --out out", capsys)
    assert (code, out.splitlines()[0]) == (0, "wren: 1 piece")


def test_an_envelope_is_no_recipe(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = run("build first.envelope --body wren.yaml --out out", capsys)
    assert code == 2
    assert "error E2035" in err
    assert "scye keep" in err


@pytest.mark.parametrize(
    "where", ["recipes/hemline.scye", "recipes/hemline/hemline.scye", "hemline/hemline.scye"]
)
def test_two_recipes_of_one_name_are_never_guessed_at(
    here: Path, where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    run("keep first.envelope", capsys)
    put(here, {where: SKIRT})
    assert find_recipe("hemline") == Path(where)  # to the letter the same
    put(here, {where: SECOND})
    code, _, err = run("check hemline", capsys)
    assert code == 2
    assert "error E2040" in err
    assert "`hemline@1` for the one in your library" in err


def test_a_parent_comes_from_the_library_by_its_edition(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run("keep second.envelope", capsys)
    run("keep first.envelope", capsys)
    put(here, {"long.scye": LONG.format(1), "longer.scye": LONG.format(2), "longest.scye": LONG.format(3)})
    assert codes(Path("long.scye")) == codes(Path("longer.scye")) == []
    assert codes(Path("longest.scye")) == ["E1104"]


def test_a_parent_near_by_goes_first_and_it_is_said(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("keep first.envelope", capsys)
    put(here, {"long.scye": LONG.format(1), "hemline.scye": SKIRT})
    assert codes(Path("long.scye")) == []
    put(here, {"hemline.scye": SKIRT.replace("24 in", "25 in")})
    assert codes(Path("long.scye")) == ["E2042"]
    put(here, {"hemline.scye": SECOND})
    project = open_project(Path("long.scye"))
    assert project.texts[0].path == here / "library/hemline/edition-1/hemline/hemline.scye"
    assert [d.seen() for d in project.diagnostics] == [
        'edition 1 of "hemline" is taken from your library; near this recipe is edition 2'
    ]


def test_what_is_kept_may_not_be_changed(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("keep first.envelope", capsys)
    kept = here / "library/hemline/edition-1/hemline/hemline.scye"
    put(here, {"long.scye": LONG.format(1)})
    kept.write_text(SKIRT.replace("24 in", "25 in"))
    assert codes(kept) == codes(Path("long.scye")) == ["E2043"]
    kept.write_text(SKIRT)
    assert codes(kept) == []
    assert "error E2036" in run("tidy hemline", capsys)[2]
    (here / "library/hemline/edition-1/contents.yaml").unlink()
    assert codes(kept) == ["E2043"]


def test_what_is_kept_lacks_nothing_and_gains_nothing(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Neither its parent nor its methods are ever taken from elsewhere."""
    put(
        here,
        {
            "hemline.scye": SKIRT.replace("needs waist", "use sleeves\n\nneeds waist"),
            "long.scye": LONG.format(1),
        },
    )
    run("enclose long.scye", capsys)
    run("keep long.envelope", capsys)
    folder = here / "library/long/edition-1"
    assert codes(folder / "long/long.scye") == []
    put(folder, {"hemline/sleeves.scye": ""})
    assert codes(folder / "long/long.scye") == ["E2043"]
    (folder / "hemline/sleeves.scye").unlink()
    put(folder, {"long/hemline.scye": SKIRT})
    assert "E2043" in codes(folder / "long/long.scye")
    (folder / "long/hemline.scye").unlink()
    put(here, {"recipes/hemline.scye": SKIRT})
    (folder / "hemline/hemline.scye").unlink()
    assert "E2043" in codes(folder / "long/long.scye")


def test_methods_of_the_library_shadow_nothing(here: Path) -> None:
    put(here, {"library/methods/steps.scye": "", "library/methods/sleeves.scye": "", "sleeves.scye": ""})
    assert find_methods("steps", here) == here / "library/methods/steps.scye"
    assert find_methods("sleeves", here) == here / "sleeves.scye"
    found = find_methods("sleeves", here / "elsewhere")
    assert getattr(found, "code", "") == "E2041"


def test_methods_of_the_library_travel_with_what_uses_them(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both with a parent and with its variant; and they are one file there as here."""
    steps = 'method step\n  about "x"\n  given p point "p"\n  gives q point "q"\n  mark q from p right 1 mm\n'
    using = SKIRT.replace("needs waist", "use steps\n\nneeds waist")
    variant = LONG.format(1) + "\nuse steps\n"
    put(here, {"library/methods/steps.scye": steps, "hemline.scye": using, "long.scye": variant})
    assert run("enclose long.scye", capsys)[0] == 0
    code, out, _ = run("keep long.envelope --library elsewhere", capsys)
    assert code == 0
    assert "hemline/steps.scye: methods" in out
    assert "long/steps.scye: methods" in out
    code, out, _ = run("build long --library elsewhere --body wren.yaml --out out", capsys)
    assert (code, out.splitlines()[0]) == (0, "wren: 1 piece")


# --- where the library is -----------------------------------------------------------------------


def test_where_the_library_is(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert library_folder() == here / "library"
    with library_at(Path("other")):
        assert library_folder() == here / "other"
    monkeypatch.delenv("SCYE_LIBRARY")
    monkeypatch.setenv("HOME", "/home/heron")
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", "/data")
    assert library_folder() == Path("/data/scye/library")
    for relative in ("", "data"):
        monkeypatch.setenv("XDG_DATA_HOME", relative)
        assert library_folder() == Path("/home/heron/.local/share/scye/library")
    monkeypatch.setattr("sys.platform", "darwin")
    assert library_folder() == Path("/home/heron/Library/Application Support/scye/library")
