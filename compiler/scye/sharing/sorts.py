"""What a file beside a recipe is: a chart, a picture, words; or measures of people, which don't travel."""

from __future__ import annotations

from collections.abc import Iterator

from scye.diagnostics.model import Diagnostic
from scye.diagnostics.sharing import EnvelopeTooLarge
from scye.ir.envelope import Envelope, Sort
from scye.read.yaml_reader import CHART, Table, read_tree
from scye.source import Source

ENDINGS: dict[Sort, tuple[str, ...]] = {
    "recipe": ("scye",),
    "methods": ("scye",),
    "chart": ("yaml",),
    "picture": ("svg", "png"),
    "words": ("md", "txt"),
    "people": ("yaml", "csv", "svg", "png"),
}


def people_in(source: Source) -> str:
    """What of people a YAML or CSV file holds, as words after its name; empty if nothing."""
    if source.name.endswith(".csv"):
        return "is a table of people"
    tree, _ = read_tree(source, CHART)
    keys = [key.text for key, _ in tree.entries] if isinstance(tree, Table) else []
    return "is a card with somebody's measures" if "client" in keys or "measures" in keys else ""


def is_chart(source: Source) -> bool:
    """Whether a YAML file is meant for a size chart."""
    tree, _ = read_tree(source, CHART)
    return isinstance(tree, Table) and (tree.get("sizes") is not None or tree.get("chart") is not None)


# In bytes, of all files together that are read as recipes, and as tables: what is read in a few seconds and
# in some 200 MB. The largest recipe there is takes 14 kB, a chart of forty sizes 20 kB.
MOST_TEXT = 250_000


def too_much(envelope: Envelope) -> Iterator[Diagnostic]:
    """Where the files of an envelope come to more than can be read soon."""
    for said, sorts in (("recipes and methods", ("recipe", "methods")), ("charts", ("chart", "people"))):
        if sum(file.size for file in envelope.contents.enclosed if file.sort in sorts) > MOST_TEXT:
            what = f"holds more than {MOST_TEXT // 1_000} kB of {said}"
            yield EnvelopeTooLarge(name=envelope.name, what=what)
