"""Links of the documents lead somewhere, and nothing in the documents belongs to one machine."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from documents import DOCUMENTS, ROOT, prose, slug

LINK = re.compile(r'\]\(([^)\s]+)\)|src="([^"]+)"')


def links(document: Path) -> list[str]:
    return [one or other for one, other in LINK.findall(prose(document))]


def headings(document: Path) -> set[str]:
    lines = document.read_text(encoding="utf-8").splitlines()
    return {slug(line.lstrip("# ")) for line in lines if line.startswith("#")}


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_links_resolve(document: Path) -> None:
    for link in links(document):
        name, _, anchor = link.partition("#")
        target = (document.parent / name).resolve() if name else document
        assert target.exists(), link
        assert target.is_relative_to(ROOT), link
        if anchor:
            assert anchor in headings(target), link


def test_every_document_is_reached_from_the_readme() -> None:
    """From link to link; a link to a folder shows the README in it and in the folders below."""
    waiting, reached = [ROOT / "README.md"], set[Path]()
    while waiting:
        document = waiting.pop()
        if document not in reached:
            reached.add(document)
            for link in links(document):
                target = (document.parent / link.partition("#")[0]).resolve()
                waiting += sorted(target.rglob("README.md")) if target.is_dir() else [target]
                waiting = [path for path in waiting if path.suffix == ".md"]
    assert set(DOCUMENTS) <= reached


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_nothing_belongs_to_one_machine(document: Path) -> None:
    text = document.read_text(encoding="utf-8")
    assert not re.search(r"(?<![\w.])/(home|work|tmp|root|usr|Users)\b", text)
    assert not re.search(r"\bhttps?://(localhost|127\.)", text)
