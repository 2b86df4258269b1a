"""The formats of a run by name: what is written as soon as a sheet is done, and what at the end."""

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, TypeAlias

from attrs import frozen

from stepcheck.model.choices import FORMATS, Format
from stepcheck.model.source import require
from stepcheck.model.words import visible
from stepcheck.report.pipeline import UnknownOption
from stepcheck.report.text import text
from stepcheck.report.values import Report

if TYPE_CHECKING:
    from stepcheck.books.cards import Card
    from stepcheck.breaks.breaks import Breaks
    from stepcheck.breaks.fill import Filled
    from stepcheck.catalogue.run import Catalogue
    from stepcheck.fixes.repairs import Repairs

Errors: TypeAlias = Iterable[Mapping[str, str]]


def _nothing(*of: Any) -> str:
    return ""


@frozen
class Renderer:
    """One format: `each` is written when a sheet is done, `end` after all of them, with what could not be checked."""

    each: Callable[[Report], str] = _nothing
    end: Callable[[tuple[Report, ...], Errors], str] = _nothing

    @property
    def streams(self) -> bool:
        """Whether every sheet is written as soon as it is done, so that none need be kept."""
        return self.each is not _nothing


def renderer(form: Format, *, colour: bool = False, width: int = 100, verbose: bool = False) -> Renderer:
    """Return the format of this name, one of `FORMATS`; the rest is for `text`, as in `values.text`."""
    match form:
        case "text":
            return Renderer(lambda one: text((one,), colour=colour, width=width, verbose=verbose))
        case "json":
            from stepcheck.formats.json import json_text

            return Renderer(end=lambda done, errors: json_text(done, errors=list(errors)))
        case "sarif":
            from stepcheck.formats.fixes import remedies
            from stepcheck.formats.sarif import sarif

            return Renderer(end=lambda done, errors: sarif(done, remedies(done), errors))
        case "junit":
            from stepcheck.formats.junit import junit

            return Renderer(end=junit)
        case "html":
            from stepcheck.formats.floorplan import plans
            from stepcheck.formats.page import page

            return Renderer(end=lambda done, errors: page(done, plans(done), errors))
    from stepcheck.formats import lines

    match form:
        case "jsonl":
            return Renderer(lines.json_line, lambda done, errors: "".join(map(lines.json_error, errors)))
        case "github":
            return Renderer(lines.annotations, lambda done, errors: "".join(map(lines.annotation_of_error, errors)))
        case _:
            return Renderer(lines.findings)


# -- whatever a function of the library answers --------------------------------------------------------------------

Answer: TypeAlias = "Report | Catalogue | Iterable[Report] | Repairs | Filled | Breaks | Card"


def render(
    answer: Answer, form: Format = "text", *, colour: bool = False, width: int = 100, verbose: bool = False
) -> str:
    """Return an answer as the command prints it.

    Args:
        answer: what a function of stepcheck gave: reports in any format; fixes, fillings, breaks and cards as text or
            JSON.
        form: the format.
        colour: whether text is painted with the codes of a terminal.
        width: columns that text keeps within, where a line can be folded.
        verbose: whether text says the claims that are proved, too.

    Raises:
        UnknownOption: there is no such format of it.
    """
    if form not in FORMATS:
        raise UnknownOption(f"there is no format {form!r}; the formats are {', '.join(FORMATS)}")
    found = _found(answer, form)
    if found is not None:
        return found
    from stepcheck.catalogue.run import Catalogue

    errors: list[Mapping[str, str]] = []
    given: Any = answer
    if isinstance(given, Catalogue):
        errors = [{"path": one.path, "message": one.reason} for one in given.failures]
        given = given.reports
    reports: tuple[Report, ...] = (given,) if isinstance(given, Report) else tuple(given)
    for report in reports:
        require(report, Report, "an answer of stepcheck: reports, fixes, fillings, breaks or a card")
    made = renderer(form, colour=colour, width=width, verbose=verbose)
    return "".join(map(made.each, reports)) + made.end(reports, errors)


def _found(answer: Any, form: str) -> str | None:
    """Return fixes, fillings, breaks or a card as text or JSON, None for anything else."""
    kind = type(answer).__name__  # the classes are long to load
    if kind not in ("Breaks", "Card", "Filled", "Repairs"):
        return None
    if form not in ("text", "json"):
        raise UnknownOption(f"{kind} is printed as text or json, not as {form}")
    from stepcheck.formats.answers import answer_text
    from stepcheck.formats.json import answer_json, cards_json

    if kind == "Card":
        from stepcheck.books.cards import told

        return cards_json([answer]) if form == "json" else "".join(f"{visible(one)}\n" for one in told(answer))
    mended = getattr(answer, {"Repairs": "fixes", "Filled": "fills"}.get(kind, ""), ())
    path = next((one.report.path for one in mended), "")
    return answer_json(answer, path) if form == "json" else answer_text(answer)
