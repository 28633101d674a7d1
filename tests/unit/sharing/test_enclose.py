"""Enclosing a recipe: what travels, what stays, and that the same recipe gives the same bytes."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from envelope_by_hand import CHART, DRAWING, SKIRT, picture, put

import scye
from scye.cli.main import main
from scye.diagnostics.sharing import (
    CannotEnclose,
    EditionMissing,
    LicenceUnsaid,
    NameCannotTravel,
    PeopleStay,
    WordsOfSharing,
)
from scye.ir.envelope import EncloseRequest
from scye.ir.requests import ExitCode, Outcome
from scye.sharing.enclose import run_enclose
from scye.sharing.needs import asks

CARD = "client: wren\nunit: in\nmeasures:\n  waist: 28\n"
METHODS = 'method step\n  about "x"\n  given p point "p"\n  gives q point "q"\n  mark q from p right 1 mm\n'
USING = SKIRT.replace("needs waist", "use steps\n\nneeds waist").replace(
    "  plumb side through", "  draw further by step\n    p = waist_side\n  plumb side through"
)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SCYE_LIBRARY", str(tmp_path / "library"))
    put(tmp_path, {"hemline/hemline.scye": SKIRT, "sizes.yaml": CHART, "wren.yaml": CARD})
    return tmp_path


def enclosed(*more: str, recipe: str = "hemline/hemline.scye", agreed: bool = False) -> Outcome:
    request = EncloseRequest(Path(recipe), tuple(map(Path, more)), agreed, Path("x.envelope"))
    return run_enclose(request, lambda _line: None)


def files() -> dict[str, bytes]:
    with zipfile.ZipFile("x.envelope") as archive:
        return {name: archive.read(name) for name in archive.namelist()}


# --- what travels -------------------------------------------------------------------------------


def test_methods_parents_charts_pictures_and_words_travel(here: Path) -> None:
    put(here, {
        "hemline/hemline.scye": USING,
        "hemline/steps.scye": METHODS,
        "long/long.scye": 'recipe "Long"\n  edition 3\n  based on "hemline" edition 1\n',
        "LICENCE.txt": "Share alike.\n",
        "front.svg": DRAWING.format(""),
    })  # fmt: skip
    Path("cover.png").write_bytes(picture())
    outcome = enclosed("sizes.yaml", "LICENCE.txt", "front.svg", "cover.png", recipe="long/long.scye")
    assert outcome.exit_code is ExitCode.GOOD, outcome.diagnostics
    assert list(files()) == [
        "contents.yaml",
        "hemline/hemline.scye",
        "hemline/steps.scye",
        "long/LICENCE.txt",
        "long/cover.png",
        "long/front.svg",
        "long/long.scye",
        "long/sizes.yaml",
    ]
    assert "    long/long.scye: recipe, edition 3;" in "\n".join(outcome.lines)


def test_standard_methods_stay_and_are_listed_by_their_hash(here: Path) -> None:
    put(here, {"hemline/hemline.scye": SKIRT.replace("needs waist", "use sleeves\n\nneeds waist")})
    assert enclosed().exit_code is ExitCode.GOOD
    assert list(files()) == ["contents.yaml", "hemline/hemline.scye"]
    assert b"  - file: sleeves.scye\n    sha256: " in files()["contents.yaml"]


def test_where_and_when_a_picture_was_taken_stays(here: Path) -> None:
    Path("cover.png").write_bytes(picture((b"eXIf", b"here"), (b"tEXt", b"Author\0me"), (b"pHYs", b"\0" * 9)))
    assert enclosed("cover.png").exit_code is ExitCode.GOOD
    assert files()["hemline/cover.png"] == picture((b"pHYs", b"\0" * 9))


# --- what stays ---------------------------------------------------------------------------------


def test_cards_and_tables_of_people_stay(here: Path) -> None:
    put(
        here, {"people.csv": "client,waist (cm)\nwren,70\n", "more.yaml": "unit: in\nmeasures: {waist: 28}\n"}
    )
    for name in ("wren.yaml", "people.csv", "more.yaml"):
        outcome = enclosed(name)
        (found,) = outcome.diagnostics
        assert isinstance(found, PeopleStay), found
        assert "whoever opens the envelope would have it" in found.seen()
        assert "--people-agreed" in found.attempt()
        assert not Path("x.envelope").exists()


def test_people_who_have_agreed_travel_and_are_shouted_out(here: Path) -> None:
    outcome = enclosed("wren.yaml", agreed=True)
    assert outcome.exit_code is ExitCode.GOOD
    assert any("hemline/wren.yaml: MEASURES OF PEOPLE" in line for line in outcome.lines)


@pytest.mark.parametrize(("code", "charts", "stays"), [
    ("wren", (), True),
    ("m", (), True),
    ("m", ("sizes.yaml",), False),
    ("10", (), False),
])  # fmt: skip
def test_a_drawing_of_a_client_is_hers(here: Path, code: str, charts: tuple[str, ...], stays: bool) -> None:
    """And one of a size of a chart that is enclosed or that everybody has is nobody's."""
    title = f"<title>Hemline, edition 1, for {code}</title>"
    put(here, {"pieces.svg": DRAWING.format(title)})
    said = b"Title\0\0\0\0\0Hemline, edition 1, for " + code.encode()
    Path("pieces.png").write_bytes(picture((b"iTXt", said)))
    for name in ("pieces.svg", "pieces.png"):
        outcome = enclosed(name, *charts)
        assert [isinstance(d, PeopleStay) for d in outcome.diagnostics] == ([True] if stays else [])


def test_the_pictures_of_a_run_say_whose_they_are(here: Path) -> None:
    pytest.importorskip("cairosvg")
    assert main(["build", "hemline", "--body", "wren.yaml", "--out", "out", "--quiet"]) == 0
    for name in ("out/pieces.svg", "out/pieces.png"):
        assert [type(d) for d in enclosed(name).diagnostics] == [PeopleStay]


@pytest.mark.parametrize(("name", "data"), [
    ("photo.jpg", b"\xff\xd8"),
    ("run.py", b"print()"),
    ("rates.yaml", b"currency: EUR\nhour: 20\n"),
    ("bad.svg", DRAWING.format("<script/>").encode()),
    ("bad.png", b"\x89PNG\r\n\x1a\n"),
])  # fmt: skip
def test_other_files_stay(here: Path, name: str, data: bytes) -> None:
    Path(name).write_bytes(data)
    assert [type(d) for d in enclosed(name).diagnostics] == [CannotEnclose]
    assert not Path("x.envelope").exists()


def test_a_recipe_needs_an_edition_and_a_plain_name(here: Path) -> None:
    put(here, {"plain.scye": SKIRT.replace("  edition 1\n", ""), "canesú.scye": SKIRT, "a b.scye": SKIRT})
    assert [type(d) for d in enclosed(recipe="plain.scye").diagnostics] == [EditionMissing]
    for name in ("canesú.scye", "a b.scye"):
        assert [type(d) for d in enclosed(recipe=name).diagnostics] == [NameCannotTravel]


def test_a_recipe_with_mistakes_stays(here: Path) -> None:
    put(here, {"hemline/hemline.scye": SKIRT.replace("/ 4", "/ 4 + 2")})
    assert enclosed().exit_code is ExitCode.BAD_INPUT
    assert not Path("x.envelope").exists()


def test_what_is_there_stays_if_nothing_is_enclosed(here: Path) -> None:
    Path("x.envelope").write_bytes(b"before")
    enclosed("wren.yaml")
    assert Path("x.envelope").read_bytes() == b"before"


# --- licences -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("parent", "own", "said"), [
    ("CC-BY-4.0", "CC-BY-SA-4.0", False),
    ("CC-BY-SA-4.0", "CC-BY-SA-4.0", False),
    ("CC-BY-SA-4.0", "CC-BY-4.0", True),
    ("CC-BY-NC-4.0", "CC-BY-4.0", True),
    ("CC-BY-SA-4.0", "", False),
])  # fmt: skip
def test_the_licence_of_a_variant_is_laid_beside_its_parents(
    here: Path, parent: str, own: str, said: bool
) -> None:
    licence = f"  licence {own}\n" if own else ""
    put(here, {
        "hemline/hemline.scye": SKIRT.replace("CC-BY-4.0", parent),
        "long/long.scye": f'recipe "Long"\n  edition 1\n  based on "hemline" edition 1\n{licence}',
    })  # fmt: skip
    outcome = enclosed(recipe="long/long.scye")
    assert outcome.exit_code is ExitCode.GOOD
    assert [type(d) for d in outcome.diagnostics] == ([WordsOfSharing] if said else [])
    assert any(line.startswith(f"  licence: {own or parent}") for line in outcome.lines)


def test_no_licence_is_said(here: Path) -> None:
    put(here, {"hemline/hemline.scye": SKIRT.replace("  licence CC-BY-4.0\n", "")})
    assert [type(d) for d in enclosed().diagnostics] == [LicenceUnsaid]


def test_what_licences_ask() -> None:
    assert asks("CC-BY-NC-SA-4.0") == ["SA", "NC"]
    assert asks("Attribution, share-alike") == ["SA"]
    assert asks("CC-BY-4.0") == asks("SATCHEL") == []


# --- the same bytes -----------------------------------------------------------------------------


def test_dates_and_the_order_of_folders_leave_no_trace(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(here, {"hemline/hemline.scye": USING, "hemline/steps.scye": METHODS, "a.md": "a\n", "b.md": "b\n"})
    assert enclosed("a.md", "sizes.yaml", "b.md").exit_code is ExitCode.GOOD
    first = Path("x.envelope").read_bytes()
    for path in here.rglob("*"):
        os.utime(path, (1_000_000_000, 1_000_000_000))
    listdir = os.listdir
    monkeypatch.setattr(os, "listdir", lambda *given: listdir(*given)[::-1])
    enclosed("b.md", "a.md", "sizes.yaml")
    assert Path("x.envelope").read_bytes() == first
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {info.external_attr >> 16 for info in archive.infolist()} == {0o100644}


def test_the_seed_of_hashes_leaves_no_trace(here: Path) -> None:
    place = str(Path(scye.__file__).parents[1])
    made = set()
    for seed in ("0", "77"):
        words = [sys.executable, "-m", "scye", "enclose", "hemline", "--with", "sizes.yaml", "--quiet"]
        env = {**os.environ, "PYTHONPATH": place, "PYTHONHASHSEED": seed, "TZ": f"UTC+{seed[0]}"}
        subprocess.run(words, env=env, check=True)
        made.add(Path("hemline.envelope").read_bytes())
    assert len(made) == 1


def test_line_breaks_of_another_system_leave_no_trace(here: Path) -> None:
    enclosed()
    first = Path("x.envelope").read_bytes()
    Path("hemline/hemline.scye").write_bytes(b"\xef\xbb\xbf" + SKIRT.replace("\n", "\r\n").encode())
    enclosed()
    assert Path("x.envelope").read_bytes() == first


# --- the command --------------------------------------------------------------------------------


def test_the_envelope_is_named_after_the_recipe(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["enclose", "hemline"]) == 0
    assert capsys.readouterr().out.endswith("enclosed in hemline.envelope\n")
    assert Path("hemline.envelope").exists()


def test_an_envelope_has_its_ending(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["enclose", "hemline", "--out", "hemline.zip"]) == 2
    assert "expected: a name that ends in .envelope" in capsys.readouterr().err
