"""The formats of a run by name: what is written as soon as a sheet is done, and what at the end."""

from collections.abc import Callable, Iterable, Mapping
from typing import TypeAlias

from attrs import frozen

from stepcheck.model.choices import Format
from stepcheck.report.values import Report, text

Errors: TypeAlias = Iterable[Mapping[str, str]]


def _nothing(report: Report) -> str:
    return ""


def _no_end(reports: tuple[Report, ...], errors: Errors) -> str:
    return ""


@frozen
class Renderer:
    """One format: `each` is written when a sheet is done, `end` after all of them, with what could not be checked."""

    each: Callable[[Report], str] = _nothing
    end: Callable[[tuple[Report, ...], Errors], str] = _no_end

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
            from stepcheck.report.json import json_text

            return Renderer(end=lambda done, errors: json_text(done, errors=list(errors)))
        case "sarif":
            return Renderer(end=_sarif)
        case "junit":
            from stepcheck.formats.junit import junit

            return Renderer(end=junit)
        case "html":
            return Renderer(end=_page)
        case _:
            return _by_line(form)


def _by_line(form: str) -> Renderer:
    from stepcheck.formats import lines

    def each_error(one: Callable[[Mapping[str, str]], str]) -> Callable[[tuple[Report, ...], Errors], str]:
        return lambda done, errors: "".join(one(error) for error in errors)

    return {
        "lines": Renderer(lines.findings),
        "jsonl": Renderer(lines.json_line, each_error(lines.json_error)),
        "github": Renderer(lines.annotations, each_error(lines.annotation_of_error)),
    }[form]


def _sarif(done: tuple[Report, ...], errors: Errors) -> str:
    from stepcheck.formats.fixes import remedies
    from stepcheck.formats.sarif import sarif

    return sarif(done, remedies(done), errors)


def _page(done: tuple[Report, ...], errors: Errors) -> str:
    from stepcheck.formats.floorplan import plans
    from stepcheck.formats.page import page

    return page(done, plans(done), errors)
