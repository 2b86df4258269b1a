"""The language server, spoken to by a real client: in this process over two sockets that stand for stdin and stdout, and
once each in the process of the command and of the module."""

import asyncio
import json
import re
import socket
import subprocess
import sys
import time
from collections.abc import AsyncIterator, Awaitable, Callable, Coroutine
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any, BinaryIO, cast
from urllib.parse import unquote, urlparse

import pytest
from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.io_ import run_async
from pygls.lsp.client import LanguageClient

from stepcheck.faces import cli
from stepcheck.faces.editor import Messages, Ruler, server
from stepcheck.model.source import Source, Span

URI = "file:///my%20sheets/gates.routine"  # with a space in its path, as many a folder has
SHEET = """\
routine: Lock Gates
book: clogging

part Verse: 8 beats
  Triple
  Triple, turn 1/2 right (𝄞 to the drum)
  expect left foot

dance:
  Verse
"""
WRONG = SHEET.replace("expect left foot", "expect right foot")


class Session:
    """An editor with one sheet open."""

    def __init__(self, client: LanguageClient) -> None:
        self.client = client
        self.published: asyncio.Queue[types.PublishDiagnosticsParams] = asyncio.Queue()
        self.version = 1
        self.document = types.TextDocumentIdentifier(URI)

    def open(self, text: str) -> None:
        """Open the sheet."""
        item = types.TextDocumentItem(URI, "stepcheck", self.version, text)
        self.client.text_document_did_open(types.DidOpenTextDocumentParams(item))

    def edit(self, line: int, first: int, last: int, text: str) -> None:
        """Replace a stretch of a line, counted from 0 in UTF-16 units, as typing does."""
        self.version += 1
        change = types.TextDocumentContentChangePartial(
            types.Range(types.Position(line, first), types.Position(line, last)), text
        )
        document = types.VersionedTextDocumentIdentifier(self.version, URI)
        self.client.text_document_did_change(types.DidChangeTextDocumentParams(document, [change]))

    async def found(self) -> types.PublishDiagnosticsParams:
        """Return what is published next."""
        return await asyncio.wait_for(self.published.get(), 30)

    def at(self, line: int, character: int) -> dict[str, Any]:
        """Return a place as requests have it."""
        return {"text_document": self.document, "position": types.Position(line, character)}


def serve(ours: socket.socket) -> None:
    """Serve one editor at the other end of a socket, as `stepcheck.faces.editor.main` does over stdin and stdout."""
    with ours, ours.makefile("rb") as stdin, ours.makefile("wb") as stdout:
        server().start_io(cast(BinaryIO, Messages(cast(BinaryIO, stdin))), cast(BinaryIO, stdout))


@asynccontextmanager
async def session(encoding: types.PositionEncodingKind | None, command: tuple[str, ...]) -> AsyncIterator[Session]:
    """A server of its own, started and shut down as an editor does: by a command, or without one in this process."""
    client = LanguageClient("tests", "1")
    made = Session(client)

    @client.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    def published(params: types.PublishDiagnosticsParams) -> None:
        made.published.put_nowait(params)

    tasks: list[asyncio.Task[Any]] = []
    if command:
        await client.start_io(sys.executable, *command)
    else:
        ours, theirs = socket.socketpair()
        reader, writer = await asyncio.open_connection(sock=ours)
        client.protocol.set_writer(writer)
        tasks = [
            asyncio.create_task(asyncio.to_thread(serve, theirs)),
            asyncio.create_task(run_async(client._stop_event, reader, client.protocol)),
        ]
    general = types.GeneralClientCapabilities(position_encodings=[encoding]) if encoding else None
    await client.initialize_async(types.InitializeParams(types.ClientCapabilities(general=general)))
    client.initialized(types.InitializedParams())
    try:
        yield made
    finally:
        await client.shutdown_async(None)
        client.exit(None)
        await asyncio.gather(*tasks)
        if not command:
            writer.close()
            await writer.wait_closed()
        await client.stop()


def talk(
    test: Callable[[Session], Awaitable[None]],
    encoding: types.PositionEncodingKind | None = None,
    command: tuple[str, ...] = (),
) -> None:
    """Run one conversation; one that a server leaves without an answer fails."""

    async def whole() -> None:
        async with session(encoding, command) as made:
            await asyncio.wait_for(test(made), 60)

    asyncio.run(asyncio.wait_for(whole(), 90))


def conversation(test: Callable[[Session], Coroutine[Any, Any, None]]) -> Callable[[], None]:
    """Let a test be a conversation."""

    def run() -> None:
        talk(test)

    run.__doc__, run.__name__ = test.__doc__, test.__name__
    return run


@pytest.mark.parametrize("module", [("stepcheck.faces.cli", "editor"), ("stepcheck.faces.editor",)], ids=" ".join)
def test_a_finding_comes_and_goes_with_the_typing(module: tuple[str, ...]) -> None:
    """A sound sheet has no finding; a wrong foot brings one, with place, code and steps; put right, it is gone.

    An editor starts the command; the module does as well."""

    async def test(editor: Session) -> None:
        editor.open(SHEET)
        assert not (await editor.found()).diagnostics

        editor.edit(6, 9, 13, "right")
        (finding,) = (await editor.found()).diagnostics
        assert types.Range(types.Position(6, 2), types.Position(6, 19)) == finding.range
        assert ("SR502", "stepcheck", types.DiagnosticSeverity.Error) == (
            finding.code,
            finding.source,
            finding.severity,
        )
        assert "free foot" in finding.message and "mend: " in finding.message

        editor.edit(6, 9, 14, "left")
        last = await editor.found()
        assert (0, 3) == (len(last.diagnostics), last.version)

    talk(test, command=("-m", *module))


@conversation
async def test_typing_is_waited_for(editor: Session) -> None:
    """Of many changes in a row only the last is checked, and what is published is about it."""
    editor.open(SHEET)
    await editor.found()
    for letter in range(10):
        editor.edit(0, 9 + letter, 9 + letter, "x")

    assert 11 == (await editor.found()).version
    await asyncio.sleep(0.5)
    assert editor.published.empty()


@conversation
async def test_closing_takes_the_findings_back(editor: Session) -> None:
    """A sheet that is closed has no findings left in the editor."""
    editor.open(WRONG)
    assert 1 == len((await editor.found()).diagnostics)
    editor.client.text_document_did_close(types.DidCloseTextDocumentParams(editor.document))

    assert not (await editor.found()).diagnostics


@conversation
async def test_a_sheet_that_is_saved_is_asked_of_both_engines(editor: Session) -> None:
    """After a save the findings come once more, of both engines, and are the same; a change meanwhile is not undone."""
    editor.open(WRONG)
    before = (await editor.found()).diagnostics
    save = types.DidSaveTextDocumentParams(editor.document)
    editor.client.text_document_did_save(save)
    assert before == (await editor.found()).diagnostics

    editor.client.text_document_did_save(save)
    editor.edit(6, 9, 14, "left")
    while (last := await editor.found()).version != 2:
        pass
    await asyncio.sleep(1)
    assert not last.diagnostics and editor.published.empty()


@conversation
async def test_hover_tells_figure_and_state(editor: Session) -> None:
    """Over a figure stand its counts, what comes of it from either lead, and the state at that line."""
    editor.open(SHEET)
    found = await editor.client.text_document_hover_async(types.HoverParams(**editor.at(5, 4)))

    assert found is not None and isinstance(found.contents, types.MarkupContent)
    assert "Triple (book clogging)" in found.contents.value
    assert "from the left foot: " in found.contents.value and "from the right foot: " in found.contents.value
    assert "the right foot is free, facing front, beat 5 of Verse" in found.contents.value
    assert types.Range(types.Position(5, 2), types.Position(5, 8)) == found.range
    assert None is await editor.client.text_document_hover_async(types.HoverParams(**editor.at(2, 0)))


@conversation
async def test_completion_offers_figures(editor: Session) -> None:
    """What is offered takes the place of what has been typed of it."""
    editor.open(SHEET.replace("  Triple\n", "  Rock St\n"))
    found = await editor.client.text_document_completion_async(types.CompletionParams(**editor.at(4, 9)))

    assert isinstance(found, types.CompletionList)
    item = next(item for item in found.items if item.label == "Triple")
    assert types.CompletionItemKind.Function == item.kind
    assert types.TextEdit(types.Range(types.Position(4, 2), types.Position(4, 9)), "Triple") == item.text_edit


@conversation
async def test_a_part_is_gone_to(editor: Session) -> None:
    """From where it is danced a part leads to its heading; a figure of the book to the book."""
    editor.open(SHEET)
    part = await editor.client.text_document_definition_async(types.DefinitionParams(**editor.at(9, 4)))
    figure = await editor.client.text_document_definition_async(types.DefinitionParams(**editor.at(4, 4)))

    assert types.Location(URI, types.Range(types.Position(3, 5), types.Position(3, 10))) == part
    assert isinstance(figure, types.Location) and figure.uri.endswith("clogging.book")


@conversation
async def test_symbols_list_the_sections(editor: Session) -> None:
    """Parts and dance stand in the outline, with what they say."""
    editor.open(SHEET)
    found = await editor.client.text_document_document_symbol_async(types.DocumentSymbolParams(editor.document))

    assert found is not None
    assert [("Verse", "8 beats"), ("dance", None)] == [(one.name, one.detail) for one in found]  # type: ignore[union-attr]


@conversation
async def test_a_fix_is_offered_and_mends(editor: Session) -> None:
    """A name that was meant is offered where it is missing; applied, the finding goes."""
    editor.open(SHEET.replace("  Triple\n", "  Tripel\n"))
    assert "SR301" == (await editor.found()).diagnostics[0].code
    place = types.Range(types.Position(4, 3), types.Position(4, 3))
    params = types.CodeActionParams(editor.document, place, types.CodeActionContext([]))
    actions = await editor.client.text_document_code_action_async(params)

    assert actions
    first = actions[0]
    assert isinstance(first, types.CodeAction) and first.edit is not None and first.edit.changes is not None
    assert ("Write Triple", True) == (first.title, first.is_preferred)
    (edit,) = first.edit.changes[URI]
    editor.edit(edit.range.start.line, edit.range.start.character, edit.range.end.character, edit.new_text)
    assert not (await editor.found()).diagnostics


@conversation
async def test_a_claim_that_is_wrong_can_be_rewritten(editor: Session) -> None:
    """The sheet's sentence may be the wrong one: the one that holds is offered in its place."""
    editor.open(WRONG)
    await editor.found()
    place = types.Range(types.Position(6, 0), types.Position(6, 0))
    params = types.CodeActionParams(editor.document, place, types.CodeActionContext([]))
    titles = [action.title for action in await editor.client.text_document_code_action_async(params) or []]

    assert "Write left foot in the place of right foot" in titles


@conversation
async def test_a_name_is_found_and_renamed_everywhere(editor: Session) -> None:
    """A part is renamed where it is defined and where it is danced; a name that is taken is refused with a sentence."""
    editor.open(SHEET)
    context = types.ReferenceContext(include_declaration=True)
    found = await editor.client.text_document_references_async(
        types.ReferenceParams(context=context, **editor.at(9, 4))
    )
    places = [one.range for one in found or ()]
    assert [(3, 5, 10), (9, 2, 7)] == [(one.start.line, one.start.character, one.end.character) for one in places]

    ready = await editor.client.text_document_prepare_rename_async(types.PrepareRenameParams(**editor.at(9, 4)))
    assert types.PrepareRenamePlaceholder(places[1], "Verse") == ready
    change = await editor.client.text_document_rename_async(types.RenameParams(new_name="Opening", **editor.at(9, 4)))
    assert change is not None and change.changes is not None
    assert [(one, "Opening") for one in places] == [(one.range, one.new_text) for one in change.changes[URI]]

    with pytest.raises(
        JsonRpcException, match="Triple is already the name of a figure of the book clogging"
    ) as refused:
        await editor.client.text_document_rename_async(types.RenameParams(new_name="Triple", **editor.at(9, 4)))
    assert types.LSPErrorCodes.RequestFailed.value == refused.value.code
    with pytest.raises(JsonRpcException, match="Triple is of the book"):
        await editor.client.text_document_prepare_rename_async(types.PrepareRenameParams(**editor.at(4, 4)))


@conversation
async def test_lines_show_beat_foot_and_facing(editor: Session) -> None:
    """Behind each line that is danced stand the beat, the free foot and the facing, of the lines that are asked for.

    An editor that says nothing of columns counts them in UTF-16."""
    editor.open(SHEET)
    whole = types.Range(types.Position(0, 0), types.Position(5, 0))
    params = types.InlayHintParams(editor.document, whole)
    hints = await editor.client.text_document_inlay_hint_async(params) or ()

    assert [(4, "1 · left · front"), (5, "5 · right · front")] == [(one.position.line, one.label) for one in hints]
    assert len(SHEET.splitlines()[5]) + 1 == hints[1].position.character  # the clef is two units
    assert "the right foot is free, facing front, beat 5 of Verse" in str(hints[1].tooltip)


@conversation
async def test_sections_fold(editor: Session) -> None:
    """A part and the dance fold to their last lines."""
    editor.open(SHEET)
    found = await editor.client.text_document_folding_range_async(types.FoldingRangeParams(editor.document))
    assert [(3, 6), (8, 9)] == [(one.start_line, one.end_line) for one in found or ()]


async def actions(editor: Session, line: int, *kinds: types.CodeActionKind) -> list[types.CodeAction]:
    """Return the actions that are offered on a line, of some kinds or of all."""
    place = types.Range(types.Position(line, 0), types.Position(line, 0))
    context = types.CodeActionContext([], only=list(kinds) or None)
    params = types.CodeActionParams(editor.document, place, context)
    found = await editor.client.text_document_code_action_async(params)
    return [one for one in found or () if isinstance(one, types.CodeAction)]


def written(text: str, action: types.CodeAction) -> str:
    """Return a text, of plain letters, with an action applied."""
    lines = text.split("\n")
    assert action.edit is not None and action.edit.changes is not None
    for edit in sorted(action.edit.changes[URI], key=lambda one: (-one.range.start.line, -one.range.start.character)):
        first, last = edit.range.start, edit.range.end
        whole = lines[first.line][: first.character] + edit.new_text + lines[last.line][last.character :]
        lines[first.line : last.line + 1] = whole.split("\n")
    return "\n".join(lines)


@conversation
async def test_a_word_is_settled_in_the_header(editor: Session) -> None:
    """Where a word with two readings is danced, each is offered as a line of the header."""
    text = "routine: x\nbook: clogging\n\npart A: 2 beats\n  Stomp x2\n\ndance:\n  A\n"
    editor.open(text)
    found = [one for one in await actions(editor, 4) if one.title.startswith("Settle it")]
    assert ["takes weight", "no weight"] == [one.title.rpartition(": ")[2] for one in found]
    assert text.replace("clogging\n", "clogging\nstomp: takes weight\n") == written(text, found[0])
    assert [] == [one for one in await actions(editor, 1) if one.title.startswith("Settle it")]


@conversation
async def test_everything_with_a_single_way_out_is_fixed_at_once(editor: Session) -> None:
    """An editor that fixes all when it saves gets one action, and no other; one that asks for quick fixes not that."""
    text = "routine: x\nbook: clogging\n\npart A: 8 beats\n  Basik\n  Vyne\n\ndance:\n  A\n"
    editor.open(text)
    (every,) = await actions(editor, 0, types.CodeActionKind.SourceFixAll)
    assert text.replace("Basik", "Basic").replace("Vyne", "Vine") == written(text, every)
    assert every in await actions(editor, 0)
    assert [] == [one for one in await actions(editor, 4, types.CodeActionKind.QuickFix) if one.kind != "quickfix"]


def long_sheet(parts: str, number: int = 14) -> str:
    """Return a sheet of about a hundred lines."""
    bodies = "\n".join(f"part P{one}: 32 beats\n{parts}" for one in range(number))
    return f"routine: Long Reach\nbook: clogging\n\n{bodies}\ndance:\n" + "".join(f"  P{n}\n" for n in range(number))


@pytest.mark.parametrize(
    ("parts", "findings"),
    [
        ("  4 times:\n    Triple\n    Push-off, turn 1/4 right\n  expect left foot\n", 0),
        ("  4 times:\n    Triple\n    Push-off, turn 1/4 right\n  expect right foot\n", 1),
        ("  4 times:\n    Triple | Cowboy, first 4 beats\n    Push-off | Triple\n  expect left foot\n", 0),
    ],
    ids=["sound", "wrong", "varied"],
)
def test_a_key_is_answered_within_a_tenth_of_a_second(parts: str, findings: int) -> None:
    """On a sheet of a hundred lines findings come at most 100 ms after a key, the best of twenty: what
    other programs do meanwhile is not the server's."""

    async def test(editor: Session) -> None:
        text = long_sheet(parts)
        assert 100 <= text.count("\n") <= 110
        editor.open(text)
        first = await editor.found()
        assert findings == sum(one.code != "SR803" for one in first.diagnostics)
        times = []
        for number in range(20):
            begun = time.perf_counter()
            editor.edit(0, 9, 9, "x")
            assert number + 2 == (await editor.found()).version
            times.append(time.perf_counter() - begun)
            if times[-1] <= 0.1:
                break
        assert min(times) <= 0.1, times

    talk(test)


@conversation
async def test_formatting_lays_the_sheet_out(editor: Session) -> None:
    """The whole sheet is laid out the one canonical way; one that is not understood is left alone."""
    editor.open("routine: x\npart A:\n      Triple\ndance:\n  A")
    options = types.FormattingOptions(2, True)
    params = types.DocumentFormattingParams(editor.document, options)
    (edit,) = await editor.client.text_document_formatting_async(params) or ()
    assert "routine: x\n\npart A:\n  Triple\n\ndance:\n  A\n" == edit.new_text
    assert types.Range(types.Position(0, 0), types.Position(4, 3)) == edit.range

    editor.edit(0, 0, 7, "?")
    assert None is await editor.client.text_document_formatting_async(params)


@conversation
async def test_a_finding_leads_to_its_page_and_its_steps(editor: Session) -> None:
    """The code leads to its page on this machine, and each step that leads to the mistake is a related place."""
    editor.open(WRONG)
    (finding,) = (await editor.found()).diagnostics
    assert finding.code_description is not None and finding.related_information is not None
    page = Path(unquote(urlparse(finding.code_description.href).path))
    assert page.read_text("utf-8").startswith(f"# {finding.code} ")
    steps = [(one.location.range.start.line, one.message.split(",")[0]) for one in finding.related_information]
    assert [(4, "beat 1: Triple"), (5, "beat 5: Triple")] == [one for one in steps if one[1].startswith("beat")]


@conversation
async def test_what_is_no_file_has_nothing_to_say(editor: Session) -> None:
    """A hover of a device, of a folder or of another machine's page ends at once with nothing, and the server goes
    on."""
    for uri in ("file:///dev/zero", "file:///dev/stdin", "file:///", "http://127.0.0.1/a.routine", "untitled:a"):
        params = types.HoverParams(types.TextDocumentIdentifier(uri), types.Position(0, 0))
        assert None is await asyncio.wait_for(editor.client.text_document_hover_async(params), 20)
    editor.open(SHEET)
    assert not (await editor.found()).diagnostics


def test_a_length_that_is_none_ends_no_session() -> None:
    """A message with a bad heading is passed over; the next ones are answered."""
    begin = {"method": "initialize", "params": {"processId": None, "rootUri": None, "capabilities": {}}}
    place = {"textDocument": {"uri": URI}, "position": {"line": 0, "character": 0}}
    hover, shutdown = {"method": "textDocument/hover", "params": place}, {"method": "shutdown"}
    lengths = ["x", "-5", "99999999999999999999", "9" * 5000, "999999999", ""]
    said = b""
    for number, length in enumerate(lengths, 1):
        asked = begin if number == 1 else shutdown if number == len(lengths) else hover
        body = json.dumps({"jsonrpc": "2.0", "id": number, **asked}).encode()
        said += f'Content-Length: {length}\r\n\r\n{{"id": 0}}Content-Length: {len(body)}\r\n\r\n'.encode() + body
    goodbye = json.dumps({"jsonrpc": "2.0", "method": "exit"}).encode()
    said += b"Content-Length: %d\r\n\r\n%s" % (len(goodbye), goodbye)
    command = [sys.executable, "-m", "stepcheck.faces.editor"]
    done = subprocess.run(command, input=said, capture_output=True, timeout=60, check=False)

    answered = [int(number) for number in re.findall(rb'"id": ?(\d+)', done.stdout)]
    assert [1, 2, 3, 4, 5, 6] == sorted(answered) and b"Traceback" not in done.stderr
    assert 0 == done.returncode


@pytest.mark.parametrize("encoding", list(types.PositionEncodingKind))
def test_columns_are_counted_as_the_editor_counts(encoding: types.PositionEncodingKind) -> None:
    """A name behind a letter beyond the basic plane keeps its place in every unit that editors count in."""
    text = "routine: x\nfigures:\n  𝐓é, 4 beats: DS DS RS RS\npart A:\n  𝐓é | Tripel\ndance:\n  A\n"
    ends = {"utf-8": (11, 17), "utf-16": (8, 14), "utf-32": (7, 13)}

    async def test(editor: Session) -> None:
        editor.open(text)
        found = [one for one in (await editor.found()).diagnostics if "Tripel" in one.message]
        assert [ends[encoding.value]] == [(one.range.start.character, one.range.end.character) for one in found]

    talk(test, encoding)


def test_without_its_extra_the_command_says_what_is_missing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where pygls is not installed the command names the extra that brings it, with status 2."""
    monkeypatch.delitem(sys.modules, "stepcheck.faces.editor")
    monkeypatch.setitem(sys.modules, "pygls", None)

    assert 2 == cli.main(["editor"])
    assert "pip install 'stepcheck[editor]'" in capsys.readouterr().err


@pytest.mark.parametrize("encoding", list(types.PositionEncodingKind))
def test_places_go_there_and_back(encoding: types.PositionEncodingKind) -> None:
    """Every column of every line comes back from the editor as it went; a letter beyond the basic plane counts there as
    the units of the editor do, and what lies inside it or behind the line is the column before."""
    source = Source("x", "a𝄞é水\n\n\tb")
    ruler = Ruler(source, encoding.value)

    for line, text in enumerate(source.lines, 1):
        for column in range(1, len(text) + 2):
            assert (line, column) == ruler.place(ruler.position(line, column))
    assert types.Range(types.Position(0, 0), types.Position(2, 2)) == ruler.range(Span(1, 1, 3, 3))
    units = {"utf-8": [1, 5], "utf-16": [1, 3], "utf-32": [1, 2]}[encoding.value]
    assert units == [ruler.position(1, column).character for column in (2, 3)]
    assert (1, 2) == ruler.place(types.Position(0, units[1] - 1))
    assert (1, 5) == ruler.place(types.Position(0, 99))
