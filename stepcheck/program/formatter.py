"""The formatter: reads a sheet, lays it out the canonical way, and writes it back."""

from attrs import frozen

from stepcheck.language import parser, printer
from stepcheck.language.files import rewrite
from stepcheck.language.patch import difference, restored
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import Source, SourceError, StepcheckError, read_bytes, require
from stepcheck.program.spoken import settle


@frozen
class Layout:
    """A sheet and how the formatter writes it; `after` is None where it is not understood, `findings` say why."""

    source: Source
    after: str | None
    findings: tuple[Diagnostic, ...] = ()

    @property
    def path(self) -> str:
        """The name of the sheet."""
        return self.source.path

    @property
    def changed(self) -> bool:
        """Whether the formatter writes it differently."""
        return self.after is not None and self.after != self.source.text

    def diff(self) -> str:
        """Return what changes, as a unified diff."""
        return difference(self.source, self.after or "", "laid out")


def lay_out(path: str, data: bytes | None = None) -> Layout:
    """Return the sheet at `path`, or the text in `data` under that name, as the formatter writes it.

    Args:
        path: the file, or what to call the text.
        data: the text.

    Raises:
        SourceError: the file can't be read.
    """
    source, findings = parser.read(path) if data is None else parser.take(data.decode("utf-8", "replace"), path)
    sheet, more = parser.parse(source)
    wrong = tuple(finding for finding in (*findings, *more) if finding.code.severity is Severity.ERROR)
    return Layout(source, None if wrong else printer.print_sheet(settle(sheet)), wrong)


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


def replace(source: Source, text: str, *, in_place: bool = False) -> None:
    """Write another text into the file of a sheet, with its line ends and its byte-order mark, unless it says something
    else by now than it did when it was read.

    Args:
        source: the sheet, as it was read.
        text: the text.
        in_place: whether a file with several names is written into, and not replaced.

    Raises:
        SourceError: it can't be written, was changed, is read-only, or has several names.
    """

    def unchanged() -> None:
        if read_bytes(source.path) != (source.raw or source.text).encode("utf-8", "replace"):
            raise SourceError(f"{source.path} was changed meanwhile, and is left as it is")

    unchanged()
    rewrite(source.path, restored(source, text).encode("utf-8"), unchanged, in_place=in_place)
