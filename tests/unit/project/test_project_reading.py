"""Reading a project: its files found, read once, and everything that is amiss told together."""

from __future__ import annotations

from pathlib import Path

from scye.diagnostics.model import Diagnostic, Severity
from scye.library import read_source
from scye.project import as_choices, open_card, open_methods, open_project, standards
from scye.source import Source

METHOD = 'method {0}\n  about "x"\n  given p point "x"\n  gives q point "x"\n  mark q from p right 1 in\n'


def put(folder: Path, **files: str) -> Path:
    """Write files, each ending in .scye; answer the first."""
    for name, text in files.items():
        (folder / f"{name}.scye").write_text(text, encoding="utf-8")
    return folder / f"{next(iter(files))}.scye"


def codes(folder: Path, **files: str) -> list[str]:
    return [d.code for d in open_project(put(folder, **files)).diagnostics]


def test_a_recipe_with_the_methods_it_uses(tmp_path: Path):
    project = open_project(
        put(
            tmp_path,
            it='recipe "It"\nuse one\n',
            one="use two\n" + METHOD.format("frill"),
            two=METHOD.format("flounce"),
        )
    )
    assert project.sound
    assert project.program is not None
    assert sorted(project.program.methods) == ["flounce", "frill"]


def test_a_file_used_by_two_is_read_once(tmp_path: Path):
    files = {
        "it": 'recipe "It"\nuse one, two\n',
        "one": "use common\n" + METHOD.format("frill"),
        "two": "use common\n" + METHOD.format("flounce"),
        "common": METHOD.format("ruche"),
    }
    assert codes(tmp_path, **files) == []


def test_files_that_use_each_other_are_a_ring(tmp_path: Path):
    assert codes(tmp_path, it='recipe "It"\nuse one\n', one="use two\n", two="use one\n") == ["E207"]
    assert codes(tmp_path, it='recipe "It"\nuse one\n', one="use one\n") == ["E207"]


def test_mistakes_of_every_file_are_told_at_once(tmp_path: Path):
    found = codes(
        tmp_path, it='recipe "It"\nuse one, none_such\na = b\n', one="ease = 1 in\n" + METHOD.format("frill")
    )
    assert sorted(found) == ["E201", "E211", "E909"]


def test_a_file_of_methods_is_no_recipe(tmp_path: Path):
    assert codes(tmp_path, it=METHOD.format("frill")) == ["E211"]
    assert codes(tmp_path, it="needs waist\na = waist / 2\n") == ["E211"]


def test_a_recipe_whose_title_could_not_be_read_is_still_a_recipe(tmp_path: Path):
    assert codes(tmp_path, it='recipe "It\nneeds waist\na = waist / 2\n') == ["E110"]


def test_a_long_chain_of_names_is_read(tmp_path: Path):
    chain = "".join(f"a{i} = a{i + 1} + 1 in\n" for i in range(2_000))
    assert codes(tmp_path, it=f'recipe "It"\nneeds waist\n{chain}a2000 = waist\n') == []


def test_cautions_are_those_of_the_catalogue(tmp_path: Path):
    text = 'recipe "It"\nneeds waist\nchoose y = yes "y"\nwhen y\n  caution tight_lacing when waist > 1 in\n'
    assert codes(tmp_path, it=text) == []
    assert codes(tmp_path, it=text.replace("tight_lacing", "tight_lace")) == ["E213"]


def test_a_file_that_is_not_there(tmp_path: Path):
    project = open_project(tmp_path / "none.scye")
    assert project.program is None
    assert not project.sound
    assert [d.severity for d in project.diagnostics] == [Severity.ERROR]


def test_a_card_is_read_with_its_choices(tmp_path: Path):
    card = tmp_path / "dunlin.yaml"
    card.write_text("client: dunlin\nunit: in\ndate: 2024-03-05\nmeasures:\n  waist: 28\nchoices:\n  y: no\n")
    body, found = open_card(card, standards()[0])
    assert found == []
    assert body is not None
    assert [(c.name, c.text) for c in body.choices] == [("y", "no")]


def test_choices_of_the_command_line_have_their_own_words_to_point_at():
    (choice,) = as_choices((("closing", "zipped"),))
    assert (choice.name, choice.text, choice.span.text) == ("closing", "zipped", "zipped")
    assert choice.span.source.text == "--set closing=zipped"


def test_texts_that_are_not_saved_yet_stand_in_for_the_files(tmp_path: Path):
    """A recipe, its parent and a file of methods are all read by the reader that is given."""
    files = {"it": 'recipe "It"\n  based on "old" edition 1\nuse one\n', "old": "x", "one": "x"}
    path = put(tmp_path, **files)
    unsaved = {"old.scye": 'recipe "Old"\n  edition 1\n', "one.scye": METHOD.format("frill")}

    def read(file: Path) -> Source | Diagnostic:
        text = unsaved.get(file.name)
        return read_source(file) if text is None else Source(file.name, text)

    assert not open_project(path).sound
    project = open_project(path, read)
    assert project.sound
    assert [text.path.name for text in project.texts] == ["old.scye", "it.scye"]


def test_a_file_of_methods_by_itself(tmp_path: Path):
    path = put(tmp_path, one="use two\n" + METHOD.format("frill"), two=METHOD.format("flounce"))
    assert not open_methods(path).diagnostics
    path = put(tmp_path, one=METHOD.format("frill").replace("from p", "from r"))
    assert [d.code for d in open_methods(path).diagnostics] == ["E201"]
