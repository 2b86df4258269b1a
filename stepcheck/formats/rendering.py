"""Whatever a function of the library answers, as the command prints it."""

from collections.abc import Iterable, Mapping
from typing import TypeAlias

from stepcheck.books import cards
from stepcheck.books.cards import Card
from stepcheck.breaks.breaks import Breaks
from stepcheck.breaks.fill import Filled
from stepcheck.catalogue.run import Catalogue
from stepcheck.fixes.repairs import Repairs
from stepcheck.formats import answers, repairs
from stepcheck.formats.renderers import renderer
from stepcheck.model.choices import FORMATS, Format
from stepcheck.model.source import require
from stepcheck.model.words import visible
from stepcheck.report.pipeline import UnknownOption
from stepcheck.report.values import Report

Answer: TypeAlias = Report | Catalogue | Iterable[Report] | Repairs | Filled | Breaks | Card


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
    if isinstance(answer, Repairs | Filled | Breaks | Card):
        if form not in ("text", "json"):
            raise UnknownOption(f"{type(answer).__name__} is printed as text or json, not as {form}")
        return _found(answer, form == "json")
    errors: list[Mapping[str, str]] = []
    if isinstance(answer, Catalogue):
        errors = [{"path": one.path, "message": one.reason} for one in answer.failures]
    reports = (
        answer.reports if isinstance(answer, Catalogue) else (answer,) if isinstance(answer, Report) else tuple(answer)
    )
    for report in reports:
        require(report, Report, "an answer of stepcheck: reports, fixes, fillings, breaks or a card")
    made = renderer(form, colour=colour, width=width, verbose=verbose)
    return "".join(map(made.each, reports)) + made.end(reports, errors)


def _found(answer: Repairs | Filled | Breaks | Card, as_json: bool) -> str:
    match answer:
        case Repairs():
            path = answer.fixes[0].report.path if answer.fixes else ""
            return repairs.repairs_json(answer, path) if as_json else repairs.repairs_text(answer)
        case Filled():
            path = answer.fills[0].report.path if answer.fills else ""
            return answers.fills_json(answer, path) if as_json else answers.fills_text(answer)
        case Breaks():
            return answers.breaks_json(answer) if as_json else answers.breaks_text(answer)
        case _:
            said = cards.told(answer)
            return answers.cards_json([answer]) if as_json else "".join(f"{visible(line)}\n" for line in said)
