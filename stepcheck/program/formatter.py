"""The formatter: reads a sheet, lays it out the canonical way, and writes it back."""

from attrs import frozen

from stepcheck.language import parser, printer
from stepcheck.language.patch import difference
from stepcheck.language.writer import write
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import Source, SourceError, StepcheckError, plain, read_bytes, require
from stepcheck.program.spoken import settle


@frozen
class Layout:
    """A sheet before and after formatting; `after` is None where it is not understood, and `findings` say why."""

    source: Source
    before: str
    after: str | None
    findings: tuple[Diagnostic, ...] = ()

    @property
    def path(self) -> str:
        """The name of the sheet."""
        return self.source.path

    @property
    def changed(self) -> bool:
        """Whether the formatter writes it differently."""
        return self.after is not None and self.after != self.before

    def diff(self) -> str:
        """Return what changes, as a unified diff."""
        return difference(self.path, self.before, self.after or "", "laid out")


def lay_out(path: str, data: bytes | None = None) -> Layout:
    """Return the sheet at `path`, or the text in `data` under that name, as the formatter writes it.

    Args:
        path: the file, or what to call the text.
        data: the text.

    Raises:
        SourceError: the file can't be read.
    """
    raw = read_bytes(path) if data is None else data
    before = raw.decode("utf-8", "replace")
    source, findings = parser.read(path) if data is None else parser.take(before, path)
    sheet, more = parser.parse(source)
    wrong = tuple(finding for finding in (*findings, *more) if finding.code.severity is Severity.ERROR)
    return Layout(source, before, None if wrong else printer.print_sheet(settle(sheet)), wrong)


class NotUnderstood(StepcheckError, ValueError):
    """A text that cannot be laid out, since it is not understood; `diagnostics` say why."""

    def __init__(self, diagnostics: tuple[Diagnostic, ...]) -> None:
        first = diagnostics[0]
        super().__init__(f"{first.path}:{first.span.line}: {first.message}")
        self.diagnostics = diagnostics


def format_text(text: str, *, path: str = "<text>") -> str:
    """Return the text of a sheet laid out the one canonical way, comments and notes kept.

    Args:
        text: of the sheet.
        path: the name to call it by.

    Raises:
        NotUnderstood: a line of it is not understood.
    """
    require(text, str, "the text of a sheet")
    laid = lay_out(path, text.encode("utf-8", "surrogatepass"))
    if laid.after is None:
        raise NotUnderstood(laid.findings)
    return laid.after


def replace(path: str, text: str, before: str) -> None:
    """Write `text` to the sheet at `path`, unless it says something else by now than `before`, line ends aside.

    Raises:
        SourceError: it can't be written, or was changed.
    """
    if plain(read_bytes(path).decode("utf-8", "replace")) != plain(before):
        raise SourceError(f"{path} was changed meanwhile, and is left as it is")
    write(path, text.encode("utf-8"), force=True)
