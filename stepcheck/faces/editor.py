"""A language server for step sheets, over stdin and stdout: `stepcheck editor`, or `python -m stepcheck.faces.editor`.

Findings come while somebody types, once the typing pauses.  The walk through all states decides then, for its
quickness; once a sheet is saved both engines do, as in `stepcheck check`.
"""

import asyncio
import io
import re
import sys
from bisect import bisect_right
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.metadata import version
from itertools import accumulate
from typing import Any, BinaryIO, cast

from attrs import evolve, frozen
from lsprotocol import types
from pygls import uris
from pygls.exceptions import JsonRpcException
from pygls.lsp.server import LanguageServer

from stepcheck.faces import document as desk
from stepcheck.faces import proposals
from stepcheck.faces.document import Desk, Entry
from stepcheck.formats import reference
from stepcheck.formats.fixes import mending, repaired
from stepcheck.formats.sarif import step
from stepcheck.model.findings import Diagnostic, Patch, Severity
from stepcheck.model.source import MAX_BYTES, Source, SourceError, Span, read_bytes
from stepcheck.program.routine import lay_out
from stepcheck.report import text as report

PAUSE = 0.03  # seconds without a change before a sheet is checked: less than between two keys of who types

QUICK, ALL = types.CodeActionKind.QuickFix, types.CodeActionKind.SourceFixAll
SEVERITIES = {
    Severity.ERROR: types.DiagnosticSeverity.Error,
    Severity.WARNING: types.DiagnosticSeverity.Warning,
    Severity.NOTE: types.DiagnosticSeverity.Information,
}
OFFERED = {
    "figure": types.CompletionItemKind.Function,
    "part": types.CompletionItemKind.Module,
    "section": types.CompletionItemKind.Struct,
    "movement": types.CompletionItemKind.Unit,
    "keyword": types.CompletionItemKind.Keyword,
    "value": types.CompletionItemKind.Value,
}
LISTED = {
    "part": types.SymbolKind.Module,
    "figure": types.SymbolKind.Function,
    "figures": types.SymbolKind.Namespace,
    "music": types.SymbolKind.Namespace,
    "dance": types.SymbolKind.Class,
}


UNITS = {"utf-8": ("utf-8", 1), "utf-16": ("utf-16-le", 2), "utf-32": ("utf-32-le", 4)}
"""How a text is encoded for an editor that counts in these units, and the bytes of a unit."""


@frozen
class Ruler:
    """Places of a text as an editor counts them: lines from 0, columns in the units of `encoding` from 0."""

    source: Source
    encoding: str

    def position(self, line: int, column: int) -> types.Position:
        """Return the editor's position of a line and column, both from 1."""
        return types.Position(line - 1, self._units(self.source.line(line)[: column - 1]))

    def place(self, position: types.Position) -> tuple[int, int]:
        """Return the line and column, both from 1, of an editor's position."""
        ends = tuple(accumulate(map(self._units, self.source.line(position.line + 1))))
        return position.line + 1, bisect_right(ends, position.character) + 1

    def _units(self, said: str) -> int:
        codec, size = UNITS[self.encoding]
        return len(said.encode(codec, "surrogatepass")) // size

    def range(self, span: Span) -> types.Range:
        """Return a span as an editor's range."""
        return types.Range(self.position(span.line, span.column), self.position(span.end_line, span.end_column))


class Server(LanguageServer):
    """The server; it keeps what is known of the newest text of each open sheet."""

    def __init__(self) -> None:
        super().__init__("stepcheck", version("stepcheck"))
        self.desks: dict[str, tuple[str, Desk]] = {}

    def desk(self, uri: str) -> Desk:
        """Return what is known of a sheet as it is now."""
        text = self.text(uri)
        known = self.desks.get(uri)
        if known is None or known[0] != text:
            known = self.desks[uri] = text, desk.spread(text, uris.to_fs_path(uri) or uri)
        return known[1]

    def text(self, uri: str) -> str:
        """Return the text of a sheet; of one that is not open, that of its file, empty where it is no plain file."""
        document = self.workspace.get_text_document(uri)
        if document.version is not None:
            return str(document.source)
        try:
            data = read_bytes(uris.to_fs_path(uri) or "") if uri.startswith("file:") else b""
        except SourceError:
            return ""
        return data[:MAX_BYTES].decode("utf-8", "replace")

    def at(self, document: types.TextDocumentIdentifier) -> tuple[str, Ruler, Desk]:
        """Return the address of a sheet, how the editor counts places in it, and what is known of it."""
        here = self.desk(document.uri)
        encoding = types.PositionEncodingKind(self.workspace.position_encoding).value
        return document.uri, Ruler(here.source, encoding), here

    def publish(self, uri: str) -> None:
        """Send what was found in a sheet."""
        _, ruler, here = self.at(types.TextDocumentIdentifier(uri))
        found = [told(finding, ruler, uri) for finding in here.report.diagnostics]
        number = self.workspace.get_text_document(uri).version
        self.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, found, number))

    async def ask_both(self, uri: str) -> None:
        """Ask the solver as well, while the server goes on, and send what both engines say of a sheet.

        It is not sent where the sheet has changed or has been closed meanwhile.
        """
        text, asked = self.text(uri), evolve(self.desk(uri), engine="both")
        await asyncio.to_thread(lambda: asked.report)
        if uri in self.desks and self.text(uri) == text:
            self.desks[uri] = text, asked
            self.publish(uri)


# -- from values of ours to those of the protocol --------------------------------------------------------------------


def told(finding: Diagnostic, ruler: Ruler, uri: str) -> types.Diagnostic:
    """Return a finding with all that the text of a report says: the sentence, the steps, what would mend it.

    The steps are related places too, and the page of the code is what its description leads to.
    """
    steps = [line for rows in finding.rows if rows for line in report.table(rows)]
    hints = [f"mend: {hint}" for hint in finding.hints]
    related = [
        types.DiagnosticRelatedInformation(types.Location(uri, ruler.range(span)), about)
        for span, about in finding.related
    ]
    for row in (finding.rows[0] if finding.rows else ())[-report.ROWS :]:
        if row.line > 0:
            place = types.Location(uri, ruler.range(ruler.source.whole_line(row.line)))
            related.append(types.DiagnosticRelatedInformation(place, step(row)))
    page = reference.file(finding.code)
    return types.Diagnostic(
        range=ruler.range(finding.span),
        message="\n".join([finding.message, *steps, *hints]),
        severity=SEVERITIES[finding.code.severity],
        code=finding.code.id,
        code_description=types.CodeDescription(page.as_uri()) if page.exists() else None,
        source="stepcheck",
        related_information=related or None,
    )


def _edit(patch: Patch, ruler: Ruler, uri: str) -> types.WorkspaceEdit:
    return types.WorkspaceEdit({uri: [types.TextEdit(ruler.range(span), text) for span, text in patch.replacements]})


def _action(
    patch: Patch, ruler: Ruler, uri: str, mends: Diagnostic | None, first: bool, kind: types.CodeActionKind = QUICK
) -> types.CodeAction:
    return types.CodeAction(
        title=patch.about[:1].upper() + patch.about[1:],
        kind=kind,
        diagnostics=[told(mends, ruler, uri)] if mends else None,
        edit=_edit(patch, ruler, uri),
        is_preferred=True if first else None,
    )


def _asked(params: types.CodeActionParams, kind: types.CodeActionKind) -> bool:
    """Say whether an editor asks for actions of a kind: of any, or of some that it is one of."""
    only = params.context.only
    return only is None or any(f"{kind.value}.".startswith(f"{getattr(one, 'value', one)}.") for one in only)


@contextmanager
def _refusing() -> Iterator[None]:
    """Answer a request that is refused with the sentence that says why."""
    try:
        yield
    except proposals.NotRenamed as error:
        raise JsonRpcException(str(error), types.LSPErrorCodes.RequestFailed.value) from error


def _symbol(entry: Entry, ruler: Ruler) -> types.DocumentSymbol:
    return types.DocumentSymbol(
        name=entry.name,
        kind=LISTED[entry.kind],
        range=ruler.range(entry.whole),
        selection_range=ruler.range(entry.span),
        detail=entry.detail or None,
        children=[_symbol(inner, ruler) for inner in entry.inner],
    )


# -- what an editor asks ---------------------------------------------------------------------------------------------


def server() -> Server:  # noqa: C901 - a handler for each request
    """Return a server that is ready to be started."""
    made = Server()

    @made.feature(types.TEXT_DOCUMENT_DID_OPEN)
    def opened(params: types.DidOpenTextDocumentParams) -> None:
        made.publish(params.text_document.uri)

    @made.feature(types.TEXT_DOCUMENT_DID_CHANGE)
    async def changed(params: types.DidChangeTextDocumentParams) -> None:
        uri, number = params.text_document.uri, params.text_document.version
        await asyncio.sleep(PAUSE)
        # The workspace keeps an address in a spelling of its own; what is closed by now is read anew and has no
        # version.
        if made.workspace.get_text_document(uri).version == number:
            made.publish(uri)

    @made.feature(types.TEXT_DOCUMENT_DID_SAVE)
    async def saved(params: types.DidSaveTextDocumentParams) -> None:
        await made.ask_both(params.text_document.uri)

    @made.feature(types.TEXT_DOCUMENT_DID_CLOSE)
    def closed(params: types.DidCloseTextDocumentParams) -> None:
        made.desks.pop(params.text_document.uri, None)
        made.text_document_publish_diagnostics(types.PublishDiagnosticsParams(params.text_document.uri, []))

    @made.feature(types.TEXT_DOCUMENT_HOVER)
    def hovered(params: types.HoverParams) -> types.Hover | None:
        _, ruler, here = made.at(params.text_document)
        found = desk.hover(here, *ruler.place(params.position))
        if found is None:
            return None
        return types.Hover(types.MarkupContent(types.MarkupKind.Markdown, found[0]), ruler.range(found[1]))

    @made.feature(types.TEXT_DOCUMENT_COMPLETION, types.CompletionOptions(trigger_characters=[" ", ",", "|", ":"]))
    def completed(params: types.CompletionParams) -> types.CompletionList:
        _, ruler, here = made.at(params.text_document)
        line, column = ruler.place(params.position)
        items = []
        for number, offer in enumerate(proposals.offers(here, line, column)):
            place = types.Range(ruler.position(line, min(offer.column, column)), params.position)
            about: dict[str, Any] = {
                "kind": OFFERED[offer.kind],
                "detail": offer.detail or None,
                "sort_text": f"{number:05}",
            }
            edit = types.TextEdit(place, offer.label)
            items.append(types.CompletionItem(offer.label, filter_text=offer.label, text_edit=edit, **about))
        return types.CompletionList(is_incomplete=False, items=items)

    @made.feature(types.TEXT_DOCUMENT_DEFINITION)
    def defined(params: types.DefinitionParams) -> types.Location | None:
        uri, ruler, here = made.at(params.text_document)
        found = desk.definition(here, *ruler.place(params.position))
        if found is None:
            return None
        path, span = found
        if path == here.source.path:
            return types.Location(uri, ruler.range(span))
        start = types.Position(span.line - 1, 0)
        return types.Location(uris.from_fs_path(path) or uri, types.Range(start, start))

    @made.feature(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def listed(params: types.DocumentSymbolParams) -> list[types.DocumentSymbol]:
        _, ruler, here = made.at(params.text_document)
        return [_symbol(entry, ruler) for entry in desk.contents(here)]

    @made.feature(types.TEXT_DOCUMENT_REFERENCES)
    def referred(params: types.ReferenceParams) -> list[types.Location]:
        uri, ruler, here = made.at(params.text_document)
        declared = params.context.include_declaration
        found = desk.references(here, *ruler.place(params.position), declared=declared)
        return [types.Location(uri, ruler.range(span)) for span in found]

    @made.feature(types.TEXT_DOCUMENT_PREPARE_RENAME)
    def renamable(params: types.PrepareRenameParams) -> types.PrepareRenamePlaceholder:
        _, ruler, here = made.at(params.text_document)
        with _refusing():
            name = proposals.renamable(here, *ruler.place(params.position))
        return types.PrepareRenamePlaceholder(ruler.range(name.span), name.name)

    @made.feature(types.TEXT_DOCUMENT_RENAME, types.RenameOptions(prepare_provider=True))
    def renamed(params: types.RenameParams) -> types.WorkspaceEdit:
        uri, ruler, here = made.at(params.text_document)
        with _refusing():
            patch = proposals.renamed(here, *ruler.place(params.position), params.new_name)
        return _edit(patch, ruler, uri)

    @made.feature(types.TEXT_DOCUMENT_FOLDING_RANGE)
    def folded(params: types.FoldingRangeParams) -> list[types.FoldingRange]:
        found = desk.folds(made.at(params.text_document)[2])
        return [types.FoldingRange(first - 1, last - 1, kind=types.FoldingRangeKind.Region) for first, last in found]

    @made.feature(types.TEXT_DOCUMENT_INLAY_HINT)
    def annotated(params: types.InlayHintParams) -> list[types.InlayHint]:
        _, ruler, here = made.at(params.text_document)
        first, last = params.range.start.line + 1, params.range.end.line + 1
        found = []
        for line, said, whole in desk.moments(here):
            if first <= line.number <= last:
                end, tip = ruler.range(ruler.source.whole_line(line.number)).end, f"Here, the first time: {whole}."
                found.append(types.InlayHint(end, said, tooltip=tip, padding_left=True))
        return found

    @made.feature(types.TEXT_DOCUMENT_CODE_ACTION, types.CodeActionOptions([QUICK, ALL]))
    def mended(params: types.CodeActionParams) -> list[types.CodeAction]:
        uri, ruler, here = made.at(params.text_document)
        first, last = params.range.start.line + 1, params.range.end.line + 1
        every = proposals.put_right(here) if _asked(params, ALL) else None
        at_once = [_action(every, ruler, uri, None, False, ALL)] if every else []
        if not _asked(params, QUICK):
            return at_once
        asked = [one for one in here.report.diagnostics if one.span.line <= last and first <= one.span.end_line]
        # What a hint writes in the place of a claim is never preferred: the steps may cost as little.
        found = [
            _action(patch, ruler, uri, finding, number == 0 and not finding.claim)
            for finding, patches in mending(here.source, here.report)
            if finding in asked
            for number, patch in enumerate(patches)
        ]
        mends, whole = repaired(here.routine, here.report, asked)
        found += [_action(patch, ruler, uri, mends, number == 0) for number, patch in enumerate(whole)]
        rest = proposals.unsettled(here, first, last)
        return found + [_action(patch, ruler, uri, None, False) for patch in rest] + at_once

    @made.feature(types.TEXT_DOCUMENT_FORMATTING)
    def laid_out(params: types.DocumentFormattingParams) -> list[types.TextEdit] | None:
        _, ruler, here = made.at(params.text_document)
        source = here.source
        laid = lay_out(source.path, source.text.encode("utf-8", "replace"))
        if laid.after is None or not laid.changed:
            return None
        end = len(source.lines)
        whole = ruler.range(Span(1, 1, end, len(source.line(end)) + 1))
        return [types.TextEdit(whole, laid.after)]

    return made


HEADING = re.compile(rb"Content-Length: (\d{1,9})\r\n$")
LONGEST = 16 * MAX_BYTES  # bytes of a message: a sheet, each character as JSON may write it


class Messages(io.BufferedIOBase):
    """The messages of an editor on stdin, without headings that cannot be: a length that is none, or too long.

    A heading is found at the end of a line too, behind what is left of a message that was passed over.
    """

    def __init__(self, stdin: BinaryIO) -> None:
        self._stdin = stdin

    def readline(self, size: int | None = -1, /) -> bytes:
        """Return the next line of a heading; one that gives no possible length becomes one that says nothing."""
        line = self._stdin.readline()
        length = HEADING.search(line)
        if length is None:
            return b"-\r\n" if line.strip() else line
        return length[0] if int(length[1]) <= LONGEST else b"-\r\n"

    def read(self, size: int | None = -1, /) -> bytes:
        """Return the body of a message."""
        return self._stdin.read(-1 if size is None else size)


def main() -> int:
    """Serve one editor until it says goodbye, and return the exit status."""
    server().start_io(cast(BinaryIO, Messages(sys.stdin.buffer)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
