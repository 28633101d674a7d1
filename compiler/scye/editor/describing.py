"""What a name or a word is, as an editor shows it when one points at it."""

from __future__ import annotations

from collections.abc import Iterator

from scye.diagnostics.kinds import a
from scye.editor.desk import Looked
from scye.editor.guide import use_of
from scye.editor.index import Use
from scye.editor.things import CAUTIONS, FILES, METHODS, RECIPE, Made, Thing
from scye.ir import syntax as s
from scye.ir.people import Measure
from scye.resolve.makers import kind
from scye.units.tape import show_value

_STANDS: dict[type, str] = {
    s.Need: "measure",
    s.Unknown: "amount that is found",
    s.Parameter: "given",
    s.Begin: "point where the draft begins",
    s.Mark: "point",
    s.Guide: "guide",
    s.Draw: "drawn by a method",
}


def described(use: Use, looked: Looked) -> str:
    """A name's meaning in Markdown: what it is, its sentence, and its figures for the chosen body."""
    thing = use.thing
    if thing.scope == FILES:
        return f"**{thing.name}**"
    if thing.scope == CAUTIONS:
        caution = looked.project.cautions.get(thing.name)
        return f"**{thing.name}** (caution)\n\n{caution.text}" if caution else ""
    made = looked.index.things.made.get(thing, [])
    if not made:
        return f"**{thing.name}**"
    return "\n\n".join(text for text in _paragraphs(thing, made, looked) if text)


def _paragraphs(thing: Thing, made: list[Made], looked: Looked) -> Iterator[str]:
    node = made[-1].node  # a variant's own, if it states the thing anew
    yield f"**{thing.name}** ({stands(made[-1])})"
    if isinstance(node, s.Need):
        yield _measure(thing.name, looked)
    yield next((m.sentence for m in reversed(made) if m.sentence), "")
    if isinstance(node, s.Method):
        yield _method(node)
    elif isinstance(node, s.Choose):
        yield offered(node)
    yield from _figures(thing, looked)


def stands(made: Made) -> str:
    """The word for what is made."""
    node, scope = made.node, made.thing.scope
    if isinstance(node, s.Parameter):
        return f"{a(node.kind)} given to {scope.removeprefix('method ')}"
    word = _STANDS.get(type(node)) or kind(node)[1]
    word = f"{word} {node.method.text}" if isinstance(node, s.Draw) else word
    return f"{word}, {scope}" if scope not in (RECIPE, METHODS) else word


def _measure(name: str, looked: Looked) -> str:
    measure = measure_of(name, looked)
    if measure is None:
        return ""
    return f"{measure.where}\n\nUsual: {usual(measure)}."


def measure_of(name: str, looked: Looked) -> Measure | None:
    return next((m for m in looked.project.catalogue.measures if m.name == name), None)


def usual(measure: Measure) -> str:
    """The range that grown people commonly measure."""
    tag = "rad" if measure.kind.value == "angle" else "mm"
    return f"{show_value(measure.low, tag, 'cm')} to {show_value(measure.high, tag, 'cm')}"


def offered(choice: s.Choose) -> str:
    """What a choice is of, and what it is if nothing is said."""
    if choice.words:
        return f"One of {', '.join(word.text for word in choice.words)}; {choice.default} if nothing is said."
    if isinstance(choice.default, str):
        return f"Yes or no; {choice.default} if nothing is said."
    reach = ""
    if choice.low is not None and choice.high is not None:
        reach = f"From {choice.low.span.text} to {choice.high.span.text}; "
    return f"{reach}{choice.default.span.text} if nothing is said."


def _method(method: s.Method) -> str:
    given = [f"- `{p.name.text}`: {_parameter(p)}" for p in method.parameters]
    gives = [f"- `{g.name.text}`: {g.kind}{_said(g.sentence)}" for g in method.gives]
    return "\n".join(["Given:", *given, "", "Gives:", *gives])


def _parameter(parameter: s.Parameter) -> str:
    kind = f"{parameter.kind}{_said(parameter.sentence)}"
    return f"{kind} (`{parameter.default.span.text}` if left out)" if parameter.default else kind


def _said(sentence: s.Text | None) -> str:
    return f", {sentence.value}" if sentence is not None else ""


def _figures(thing: Thing, looked: Looked) -> Iterator[str]:
    figures = looked.figures
    if figures is None or not (thing.scope == RECIPE or thing.scope.startswith("draft ")):
        return
    draft = thing.scope.removeprefix("draft ")
    lines = figures.told(f"{draft}.{thing.name}" if draft else thing.name)
    if lines:
        yield "\n".join([f"For {figures.body.code}:", "", *(f"- {line}" for line in lines)])


def described_word(word: str, rest: str) -> str:
    """What a line is for that begins with a word of the language, which `rest` follows."""
    use = use_of(" ".join((word, *rest.split()))) if word else ""
    return f"**{word}**: {use}" if use else ""
