"""Reports as one HTML page that needs nothing else: a table of the sheets with filters, then each sheet in full.

Every verdict has a shape and a word beside its colour; without scripts everything can be read, only not filtered.
"""

from collections.abc import Iterable, Mapping
from importlib.resources import files

from attrs import field, frozen

from stepcheck.formats.cautions import TITLE, cautions
from stepcheck.formats.markup import Child, Markup, joined, tag
from stepcheck.model import words
from stepcheck.model.findings import Diagnostic, Severity, TraceRow
from stepcheck.model.outcome import Verdict
from stepcheck.report.values import ClaimReport, Report, shown, summary, word

# Drawn in a square of 16: a closed ring, half a ring, an empty one with a gap, a wedge that stumbles, a torn sheet.
SHAPES = {
    "proved": "M8 1.5a6.5 6.5 0 1 0 .01 0zM8 5a3 3 0 1 1-.01 0z",
    "undecided": "M8 1.5a6.5 6.5 0 0 0 0 13zM8 5v6a3 3 0 0 0 0-6z",
    "vacuous": "M2 7h3v2H2zM6.5 7h3v2h-3zM11 7h3v2h-3z",
    "refuted": "M1.5 14 8 1.5 14.5 14 8 10z",
    "ill-formed": "M2 2h12v4l-2 2 2 2v4H2v-4l2-2-2-2z",
    "note": "M2 7h12v2H2z",
}


POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"


@frozen
class PartPlan:
    """A part: its contract as written, and the free foot and facing (eighths) at its first start and end, as words."""

    name: str
    line: int
    contract: str
    feet: tuple[str, str] | None = None
    facings: tuple[int, int] | None = None


@frozen
class Plan:
    """What a sheet is made of: its facts as written, its parts in order, and whether walls are named by the clock."""

    facts: tuple[tuple[str, str], ...] = ()
    parts: tuple[PartPlan, ...] = ()
    walls: int | None = None
    clock: bool = field(default=False)


_NO_PLANS: Mapping[str, Plan] = {}


def page(
    reports: Iterable[Report], plans: Mapping[str, Plan] = _NO_PLANS, errors: Iterable[Mapping[str, str]] = ()
) -> str:
    """Return the page.

    Args:
        reports: in the order in which they are to stand.
        plans: what sheets are made of, by their paths.
        errors: the files that could not be checked, each with `path` and `message`.
    """
    done, failed = tuple(reports), tuple(errors)
    body = tag(
        "body",
        tag("header", tag("h1", "Step sheets, checked"), tag("p", summary(done), class_="sum")),
        tag("main", *_failed(failed), _filters(done), _table(done, plans), _by_claim(done), _sheets(done, plans)),
        tag("footer", tag("p", " ".join((TITLE, *cautions(turns=True)))), tag("p", _versions(done))),
        tag("script", Markup(_asset("page.js"))),
    )
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", http_equiv="Content-Security-Policy", content=POLICY),
        tag("title", "Step sheets, checked"),
        tag("style", Markup(_asset("page.css"))),
    )
    return f"<!doctype html>\n{tag('html', head, body, lang='en').text}\n"


def _asset(name: str) -> str:
    return files("stepcheck.formats").joinpath(name).read_text("utf-8")


def _versions(done: tuple[Report, ...]) -> str:
    versions = dict(pair for report in done for pair in report.versions)
    return " · ".join(f"{name} {version}" for name, version in versions.items())


def badge(verdict: str) -> Markup:
    """Return the shape and the word of a verdict."""
    return tag("span", _shape(verdict), tag("span", verdict), class_=f"badge {verdict.replace(' ', '-')}")


def _shape(verdict: str) -> Markup:
    path = SHAPES.get(verdict, SHAPES["ill-formed"])
    return tag("svg", tag("path", d=path), viewBox="0 0 16 16", class_="shape", aria_hidden="true")


def _failed(errors: tuple[Mapping[str, str], ...]) -> tuple[Markup, ...]:
    if not errors:
        return ()
    rows = (tag("li", tag("code", error["path"]), " ", error["message"]) for error in errors)
    return (tag("section", tag("h2", "Could not be checked"), tag("ul", *rows), class_="failed"),)


# -- the table of sheets ---------------------------------------------------------------------------------------------


def _filters(done: tuple[Report, ...]) -> Markup:
    """Return the row of filters: a switch for each verdict that there is, a kind of claim, and words to look for."""
    switches = [
        tag(
            "button",
            badge(verdict.word),
            tag("b", str(number)),
            type="button",
            data_verdict=verdict.word,
            aria_pressed="false",
        )
        for verdict in reversed(Verdict)
        if (number := sum(report.verdict is verdict for report in done))
    ]
    kinds = sorted({claim.kind for report in done for claim in report.claims if claim.verdict is not Verdict.PROVED})
    options = [
        tag("option", "any claim", value=""),
        *(tag("option", f"{kind} not proved", value=kind) for kind in kinds),
    ]
    return tag(
        "form",
        tag("fieldset", tag("legend", "Show"), *switches),
        tag("label", "Claim ", tag("select", *options, id="kind")),
        tag("label", "Find ", tag("input", type="search", id="find", placeholder="title, file, part, words")),
        tag("output", id="shown", aria_live="polite"),
        id="filters",
        role="search",
    )


def _table(done: tuple[Report, ...], plans: Mapping[str, Plan]) -> Markup:
    heads = ("sheet", "verdict", "claims", "walls", "parts", "findings")
    sortable = ("sheet", "verdict", "findings")
    cells = [
        tag(
            "th",
            tag("button", head, type="button") if head in sortable else head,
            scope="col",
            data_sort=head if head in sortable else None,
        )
        for head in heads
    ]
    rows = (_row(number, report, plans.get(report.path, Plan())) for number, report in enumerate(done, 1))
    return tag("table", tag("thead", tag("tr", *cells)), tag("tbody", *rows), id="sheets", class_="sheets")


def _row(number: int, report: Report, plan: Plan) -> Markup:
    found = sum(one.code.severity is not Severity.NOTE for one in shown(report))
    named = tag("a", report.title or report.path, href=f"#s{number}")
    kinds = sorted({claim.kind for claim in report.claims if claim.verdict is not Verdict.PROVED})
    said = [
        report.title,
        report.path,
        *(part.name for part in plan.parts),
        *(one.message for one in report.diagnostics),
    ]
    return tag(
        "tr",
        tag("th", named, tag("small", report.path), scope="row"),
        tag("td", badge(report.verdict.word), data_label="verdict"),
        tag("td", _strip(report.claims), data_label="claims"),
        tag("td", str(plan.walls or "–"), data_label="walls"),
        tag("td", str(len(plan.parts) or "–"), data_label="parts"),
        tag("td", str(found), data_label="findings"),
        data_sheet=number,
        data_verdict=report.verdict.word,
        data_rank=int(report.verdict),
        data_found=found,
        data_kinds="|".join(kinds),
        data_words=" ".join(said).casefold(),
    )


def _strip(claims: Iterable[ClaimReport]) -> Markup:
    """Return a mark for each claim, in the order of the sheet."""
    marks = []
    for claim in claims:
        name = f"line {claim.line}: {claim.text}: {claim.verdict.word}"
        marks.append(tag("i", _shape(claim.verdict.word), title=name, class_=f"mark {claim.verdict.word}"))
    return tag("span", *marks, class_="strip")


def _by_claim(done: tuple[Report, ...]) -> Markup:
    """Return how the claims stand, by what they are about."""
    shown = [verdict for verdict in Verdict if verdict is not Verdict.ILL_FORMED]
    tally: dict[str, dict[Verdict, int]] = {}
    for report in done:
        for claim in report.claims:
            counts = tally.setdefault(claim.kind, dict.fromkeys(shown, 0))
            counts[claim.verdict] += 1
    if not tally:
        return joined()
    head = tag("tr", tag("th", "claim about", scope="col"), *(tag("th", badge(one.word), scope="col") for one in shown))
    rows = [
        tag(
            "tr",
            tag("th", kind, scope="row"),
            *(tag("td", str(counts[one] or "·"), data_label=one.word) for one in shown),
        )
        for kind, counts in sorted(tally.items())
    ]
    body = tag("table", tag("thead", head), tag("tbody", *rows), class_="kinds")
    return tag("section", tag("h2", "Verdict by claim"), body)


# -- each sheet ------------------------------------------------------------------------------------------------------


def _sheets(done: tuple[Report, ...], plans: Mapping[str, Plan]) -> Markup:
    whole = (_sheet(number, report, plans.get(report.path, Plan())) for number, report in enumerate(done, 1))
    return tag("section", tag("h2", "The sheets"), *whole, class_="whole")


def _sheet(number: int, report: Report, plan: Plan) -> Markup:
    facts = [tag("div", tag("dt", name), tag("dd", value)) for name, value in plan.facts]
    return tag(
        "details",
        tag("summary", tag("h3", report.title or report.path), badge(report.verdict.word)),
        tag("p", tag("code", report.path)),
        tag("dl", *facts) if facts else None,
        *(_finding(number, one) for number, one in enumerate(report.diagnostics, 1) if one in shown(report)),
        _parts(report, plan) if plan.parts else None,
        _claims(report.claims) if report.claims else None,
        id=f"s{number}",
        data_sheet=number,
    )


def _parts(report: Report, plan: Plan) -> Markup:
    heads = ("part", "says", "comes in", "goes out", "claims")
    rows = []
    for part in plan.parts:
        claims = [claim for claim in report.claims if claim.id.startswith(f"{part.name.casefold()}: ")]
        moments = [_moment(part, end, plan.clock) for end in (0, 1)]
        cells: tuple[Child, ...] = (part.contract or "–", *moments, _strip(claims))
        told = [tag("td", cell, data_label=head) for head, cell in zip(heads[1:], cells, strict=True)]
        rows.append(tag("tr", tag("th", part.name, tag("small", f"line {part.line}"), scope="row"), *told))
    head = tag("tr", *(tag("th", one, scope="col") for one in heads))
    dial = _dial(plan.walls)
    return joined(
        tag("h4", "Parts and walls"), dial, tag("table", tag("thead", head), tag("tbody", *rows), class_="parts")
    )


def _moment(part: PartPlan, end: int, clock: bool) -> Markup:
    """Return the free foot and the facing at an end of a part's first pass, with an arrow seen from above."""
    if part.feet is None or part.facings is None:
        return joined("–")
    turn = f"rotate({45 * part.facings[end]} 8 8)"
    arrow = tag(
        "svg",
        tag("path", d="M8 1 13 9H9.5v6h-3V9H3z", transform=turn),
        viewBox="0 0 16 16",
        class_="arrow",
        aria_hidden="true",
    )
    return tag("span", arrow, f"{words.facing(part.facings[end], clock)}, free: {part.feet[end]}", class_="moment")


def _dial(walls: int | None) -> Markup:
    """Return the floor seen from above, with the walls that the dance is danced to."""
    if walls is None or 8 % walls:
        return joined()
    ticks = [
        tag(
            "rect",
            x=29,
            y=3,
            width=6,
            height=12,
            rx=2,
            transform=f"rotate({45 * eighth} 32 32)",
            class_="wall" if eighth % (8 // walls) == 0 else "gap",
        )
        for eighth in range(0, 8, 8 // walls if walls == 8 else 2)
    ]
    said = f"danced to {words.count(walls, 'wall')}"
    dial = tag("svg", tag("circle", cx=32, cy=32, r=14), *ticks, viewBox="0 0 64 64", class_="dial", aria_hidden="true")
    return tag("p", dial, said, class_="walls")


def _claims(claims: tuple[ClaimReport, ...]) -> Markup:
    rows = [
        tag(
            "tr",
            tag("td", str(claim.line), data_label="line"),
            tag("th", claim.text, tag("small", claim.kind), scope="row"),
            tag("td", badge(claim.verdict.word), data_label="verdict"),
            tag("td", claim.sentence or claim.reason, data_label="said"),
        )
        for claim in claims
    ]
    head = tag("tr", *(tag("th", one, scope="col") for one in ("line", "claim", "verdict", "what is so")))
    return joined(tag("h4", "Claims"), tag("table", tag("thead", head), tag("tbody", *rows), class_="claims"))


def _finding(number: int, finding: Diagnostic) -> Markup:
    said = word(finding.code)
    places = f"the same claim fails at {words.count(finding.places - 1, 'other place')}" if finding.places > 1 else None
    return tag(
        "section",
        tag("p", f"{number}. ", badge(said), tag("b", finding.message)),
        tag(
            "p",
            f"line {finding.span.line}, column {finding.span.column} · {finding.code.id} {finding.code.name}",
            class_="place",
        ),
        *(_steps(rows) for rows in finding.rows if rows),
        tag("ul", *(tag("li", hint) for hint in finding.hints), class_="hints") if finding.hints else None,
        *(tag("p", f"line {span.line}: {about}", class_="place") for span, about in finding.related),
        tag("p", places, class_="place") if places else None,
        class_=f"finding {said.replace(' ', '-')}",
    )


def _steps(rows: tuple[TraceRow, ...]) -> Markup:
    head = tag("tr", *(tag("th", one, scope="col") for one in ("beat", "figure", "free foot", "facing")))
    body = []
    for row in rows:
        times = f" x{row.times}" if row.times > 1 else ""
        name = joined(tag("span", "▸ ", class_="at") if row.marked else None, row.figure + times)
        cells = [tag("td", row.beat, data_label="beat"), tag("th", name, scope="row")]
        for label, (before, after) in (("free foot", row.feet), ("facing", row.facings)):
            same = before == after
            said = before if same else f"{before} → {after}"
            more = row.turn if label == "facing" else ""
            said += f", {more}" if more else ""
            cells.append(tag("td", said if same and not more else tag("b", said), data_label=label))
        body.append(tag("tr", *cells, class_="here" if row.marked else None))
    return tag("table", tag("thead", head), tag("tbody", *body), class_="steps")
