"""A morning with an editor: forty questions over stdio, each answered as it should be."""

from __future__ import annotations

from pathlib import Path

from editor_client import Editor, session, workroom
from lsprotocol import types

from scye.diagnostics.catalogue import explain
from scye.parse.tidy import tidy
from scye.source import Source

BODICE = "saltmarsh-bodice.scye"
SCOOPED = "saltmarsh-bodice-scooped.scye"
TOP = "08-method.scye"
NECKS = "necks.scye"
NAPE_TO_WAIST = "From the prominent bone at the nape down the centre back to the waist cord."


def test_forty_questions(tmp_path: Path):
    async def script(editor: Editor) -> None:
        editor.open(BODICE)
        await what_is_amiss(editor)
        await what_a_name_is(editor)
        await what_may_come_next(editor)
        await where_a_name_is_made(editor)
        await what_is_not_saved(editor)
        await another_name(editor)
        await laid_out(editor)
        await another_body(editor)
        assert editor.asked >= 40
        assert len(editor.shown) == 1

    session(workroom(tmp_path), script, {"body": "wren.yaml"})


async def what_is_amiss(editor: Editor) -> None:
    assert await editor.messages(BODICE) == []
    editor.put(BODICE, "half_bust - half_waist", "half_bust - half_wast")
    slip = "there is no `half_wast`\ntry: did you mean `half_waist`?"
    assert await editor.messages(BODICE) == [(29, "E201", slip)]
    (told,) = editor.told[BODICE]
    assert told.range == types.Range(types.Position(28, 26), types.Position(28, 35))
    assert told.code_description is not None
    assert told.code_description.href.endswith("/E201.txt")
    await what_a_code_means(editor, told)
    editor.put(BODICE, "half_wast ", "half_waist ")
    # What is found for the chosen body stands beside the line that it is about.
    editor.put(BODICE, "reduction = 2 in from", "reduction = 5 in from")
    (seam, held) = await editor.messages(BODICE)
    assert seam == (
        *(151, "E713"),
        "for wren: seam A takes 2 1/8 in; your limit is 2 in\ntry: consider a sixth panel or move share to B",
    )
    assert held[:2] == (155, "E1302")
    editor.put(BODICE, "reduction = 5 in from", "reduction = 2 in from")
    assert await editor.messages(BODICE) == []


async def what_a_code_means(editor: Editor, told: types.Diagnostic) -> None:
    wanted = types.CodeActionParams(editor.document(BODICE), told.range, types.CodeActionContext([told]))
    (mend, action) = await editor.ask(types.TEXT_DOCUMENT_CODE_ACTION, wanted)
    assert mend.title == "Write half_waist"
    assert mend.edit.changes == {editor.uri(BODICE): (types.TextEdit(told.range, "half_waist"),)}
    assert action.title == "What E201 means"
    asked = types.ExecuteCommandParams(action.command, action.arguments)
    said = await editor.ask(types.WORKSPACE_EXECUTE_COMMAND, asked)
    assert said == explain("E201")
    assert editor.shown == [said]


async def what_a_name_is(editor: Editor) -> None:
    assert await editor.words(BODICE, editor.at(BODICE, "half_waist")) == (
        "**half_waist** (named amount)\n\nhalf the laced waist\n\nFor wren:\n\n"
        "- half_waist: (waist - reduction - gap) / 2 = (28 in - 2 in - 2 in) / 2 = 12 in (by sum)"
    )
    assert await editor.words(BODICE, editor.at(BODICE, "waist_to_high_hip")) == (
        "**waist_to_high_hip** (measure)\n\n"
        "From the waist cord down the side to the level where the high hip was taken.\n\n"
        "Usual: 5.0 cm to 16.0 cm.\n\nFor wren:\n\n- waist_to_high_hip: measured: 4 in (by tape)"
    )
    assert await editor.words(BODICE, editor.at(BODICE, "lacing_gap if")) == (
        "**lacing_gap** (choice)\n\nleft open at the back when laced\n\n"
        "From 0 in to 4 in; 2 in if nothing is said.\n\nFor wren:\n\n- lacing_gap: chosen: 2 in (by taste)"
    )
    assert await editor.words(BODICE, editor.at(BODICE, "top_front from")) == (
        "**top_front** (point, draft body)\n\nFor wren:\n\n"
        "- top_front: 0 in right, 2 1/2 in up of where the draft begins"
    )
    assert await editor.words(BODICE, editor.at(BODICE, "top_edge from")) == (
        "**top_edge** (curve, draft body)\n\nFor wren:\n\n- top_edge: 17 5/16 in along"
    )
    assert await editor.words(BODICE, editor.at(BODICE, "curve top_edge")) == "**curve**: draw a curve"
    assert await editor.words(BODICE, editor.at(BODICE, "Saltmarsh bodice")) == ""


async def what_may_come_next(editor: Editor) -> None:
    """Names with their sentences, words of the language where they may stand, units after a number."""
    editor.put(BODICE, "needs bust, waist\n", "needs bust, waist, n\n")
    measures = await editor.offered(BODICE, editor.behind(BODICE, "waist, n"))
    assert measures["nape_to_waist"].documentation == NAPE_TO_WAIST
    assert "half_bust" not in measures
    editor.put(BODICE, "needs bust, waist, n\n", "needs bust, waist\n")
    await type_in_a_draft(editor)
    choices = await editor.offered(BODICE, editor.behind(BODICE, "gap = lacing_gap if closing is "))
    assert list(choices) == ["laced", "zipped", "not"]
    assert choices["laced"].documentation == "how the back closes"
    edges = await editor.offered(BODICE, editor.behind(BODICE, "net on "))
    assert list(edges)[:4] == ["centre_front", "top_edge", "seam[1].left", "hem[1]"]


async def type_in_a_draft(editor: Editor) -> None:
    mark = "  mark top_front from cf up top_rise - 1/2 in\n"
    editor.put(BODICE, mark, f"{mark}  \n")
    line = editor.offset(BODICE, mark) + len(mark)
    first = await editor.offered(BODICE, editor.at_offset(BODICE, line + 2))
    assert list(first)[:4] == ["begin at", "level", "plumb", "mark"]
    assert first["curve"].detail == "draw a curve"
    typed = "mark low from cf down "
    editor.change(BODICE, line + 2, line + 2, typed)
    amounts = await editor.offered(BODICE, editor.at_offset(BODICE, line + 2 + len(typed)))
    assert amounts["half_waist"].documentation == "half the laced waist"
    assert "length of" in amounts
    assert "top_front" not in amounts
    editor.put(BODICE, typed, f"{typed}3 ")
    units = await editor.offered(BODICE, editor.at_offset(BODICE, line + 4 + len(typed)))
    assert list(units)[:4] == ["in", "mm", "cm", "m"]
    editor.put(BODICE, f"  {typed}3 \n", "  mark low halfway along seam[1].\n")
    parts = await editor.offered(BODICE, editor.behind(BODICE, "along seam[1]."))
    assert list(parts) == ["left", "right", "centre"]
    editor.put(BODICE, "  mark low halfway along seam[1].\n", "")


async def where_a_name_is_made(editor: Editor) -> None:
    assert await editor.made(BODICE, editor.at(BODICE, "waist_line down")) == [(BODICE, 49)]
    assert await editor.made(BODICE, editor.at(BODICE, "bust, waist")) == [("measures.yaml", 19)]
    assert await editor.made(BODICE, editor.at(BODICE, "tight_lacing")) == [("cautions.yaml", 6)]
    assert await editor.used(BODICE, editor.at(BODICE, "top_level")) == [
        (BODICE, 51),
        (BODICE, 56),
        (BODICE, 63),
    ]
    editor.open(SCOOPED)
    assert await editor.made(SCOOPED, editor.at(SCOOPED, "saltmarsh-bodice")) == [(BODICE, 1)]
    assert await editor.made(SCOOPED, editor.at(SCOOPED, "seam[i]")) == [(BODICE, 55)]
    editor.open(TOP)
    assert await editor.made(TOP, editor.at(TOP, "necks")) == [(NECKS, 1)]
    assert await editor.made(TOP, editor.at(TOP, "front_neck.edge", into=12)) == [(NECKS, 11)]
    assert (await editor.words(TOP, editor.at(TOP, "round_neck"))).startswith(
        "**round_neck** (method)\n\nA round neckline from the side neck point to the centre line.\n\n"
        "Given:\n- `side_neck`: point, side neck point\n"
    )


async def what_is_not_saved(editor: Editor) -> None:
    """A parent and a file of methods that are open count as they stand in the editor."""
    editor.put(BODICE, "edition 1", "edition 2")
    ((line, code, _),) = await editor.messages(SCOOPED)
    assert (line, code) == (3, "E1104")
    (label,) = editor.told[SCOOPED][0].related_information or ()
    assert label.location.uri == editor.uri(BODICE)
    editor.put(BODICE, "edition 2", "edition 1")
    assert await editor.messages(SCOOPED) == []
    editor.open(NECKS)
    editor.put(NECKS, "given side_neck", "given side_point")
    told = await editor.messages(TOP)
    assert [(line, code) for line, code, _ in told] == [
        (32, "E304"),
        (33, "E304"),
        (58, "E304"),
        (59, "E304"),
    ]
    assert [(d.range.start.line + 1, d.code) for d in editor.told[NECKS]] == [(10, "E201"), (11, "E201")]
    editor.put(NECKS, "given side_point", "given side_neck")
    assert await editor.messages(TOP) == []


async def another_name(editor: Editor) -> None:
    """Wherever it is used, in whichever file; and never one that would mean something else."""
    assert await editor.renameable(BODICE, editor.at(BODICE, "seam[i] on", into=2)) == "seam"
    assert await editor.rename(BODICE, editor.at(BODICE, "seam[i] on"), "join") == {
        BODICE: [55, 83, 84, 87, 90, 91, 92, 96, 104, 104, 112, 112, 120, 120, 128, 136, 164],
        SCOOPED: [20],
    }
    assert await editor.rename(NECKS, editor.at(NECKS, "side_neck"), "neck_point") == {
        NECKS: [5, 10, 11],
        TOP: [33, 59],
    }
    assert await editor.refused(BODICE, editor.at(BODICE, "waist_line down"), "gap") == (
        "With the name gap, waist_line in saltmarsh-bodice.scye, line 95 would mean something else."
    )
    assert await editor.refused(BODICE, editor.at(BODICE, "bust, waist"), "girth_of_bust") == (
        "bust is a measure of the catalogue, and is called so in every recipe."
    )


async def laid_out(editor: Editor) -> None:
    editor.put(TOP, "mark snp from top", "mark   snp\tfrom top")
    tidied = await editor.tidied(TOP)
    assert tidied == tidy(Source(TOP, editor.texts[TOP]))
    assert "  mark snp from top right neck_width\n" in tidied
    outline = await editor.outline(NECKS)
    assert outline == {"round_neck": ["at_centre", "edge"], "vee_neck": ["at_centre", "edge"]}


async def another_body(editor: Editor) -> None:
    wishes = {"scye": {"body": "wren.yaml", "units": "cm", "set": {"closing": "zipped"}}}
    editor.workspace_did_change_configuration(types.DidChangeConfigurationParams(wishes))
    said = await editor.words(BODICE, editor.at(BODICE, "half_waist"))
    assert said.endswith("(waist - reduction - gap) / 2 = (71.1 cm - 5.1 cm - 0.0 cm) / 2 = 33.0 cm (by sum)")
    wishes = {"scye": {"body": "robin.yaml"}}
    editor.workspace_did_change_configuration(types.DidChangeConfigurationParams(wishes))
    assert await editor.messages(BODICE) == [(1, "E901", "there is no file `robin.yaml`")]
