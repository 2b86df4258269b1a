"""Reports as one HTML page that needs nothing else: a table of the sheets with filters, then each sheet in full.

Every verdict has a shape and a word beside its colour; without scripts everything can be read, only not filtered.
"""

from collections.abc import Iterable, Mapping

from stepcheck.formats import markup, reference
from stepcheck.formats.answers import TITLE, cautions
from stepcheck.formats.floorplan import MOST_DRAWN, WORST, Plan, worst_first
from stepcheck.formats.markup import Child, Markup, badge, joined, prose, table, tag, to
from stepcheck.model import words
from stepcheck.model.findings import Code, Diagnostic, Severity, TraceRow
from stepcheck.model.outcome import Verdict
from stepcheck.report.text import arrow, repeated, shown, word
from stepcheck.report.values import ClaimReport, Report, summary
from stepcheck.walk.stands import Stand

AROUND = 3  # lines of a long sheet are shown on either side of one with a finding
LONG = 400  # lines; a sheet with more is shown around its findings only

_NO_PLANS: Mapping[str, Plan] = {}


def page(
    reports: Iterable[Report], plans: Mapping[str, Plan] = _NO_PLANS, errors: Iterable[Mapping[str, str]] = ()
) -> str:
    """Return the page: refuted sheets first, then the rest from worst to best; a single sheet stands open.

    Args:
        reports: in the order in which those of one verdict are to stand.
        plans: what sheets are made of, by their paths.
        errors: the files that could not be checked, each with `path` and `message`.
    """
    done, failed = worst_first(reports), tuple(errors)
    several, versions = len(done) != 1, dict(pair for report in done for pair in report.versions)
    body = tag(
        "body",
        markup.symbols(),
        tag("header", tag("h1", "Step sheets, checked"), tag("p", summary(done), class_="sum")),
        tag(
            "main",
            _failed(failed),
            joined(_filters(done), _table(done, plans), _by_claim(done)) if several else None,
            tag(
                "section",
                tag("h2", "The sheets" if several else "The sheet"),
                *(_sheet(n, one, plans.get(one.path, Plan()), not several) for n, one in enumerate(done, 1)),
                class_="whole",
            ),
            _codes(done),
        ),
        tag(
            "footer",
            tag("p", " ".join((TITLE, *cautions(turns=True)))),
            tag("p", " · ".join(f"{name} {version}" for name, version in versions.items())),
        ),
        tag("script", Markup(markup.asset("page.js"))),
    )
    return markup.document("Step sheets, checked", body, "page.css")


def _failed(errors: tuple[Mapping[str, str], ...]) -> Markup | None:
    rows = [tag("li", tag("code", error["path"]), " ", prose(error["message"])) for error in errors]
    return tag("section", tag("h2", "Could not be checked"), tag("ul", *rows), class_="failed") if rows else None


# -- the table of sheets ---------------------------------------------------------------------------------------------


def _filters(done: list[Report]) -> Markup:
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
        for verdict in WORST
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


def _table(done: list[Report], plans: Mapping[str, Plan]) -> Markup:
    heads = [
        tag("th", tag("button", head, type="button"), scope="col", data_sort=head)
        if head in ("sheet", "verdict", "findings")
        else tag("th", head, scope="col")
        for head in ("sheet", "verdict", "claims", "walls danced", "parts", "findings")
    ]
    rows = (_row(number, report, plans.get(report.path, Plan())) for number, report in enumerate(done, 1))
    return table("sheets", heads, rows, id="sheets")


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
    danced = str(len(plan.walls) or "–")
    if plan.refuted:
        danced += f", not {plan.claimed}" if len(plan.walls) != plan.claimed else "?"
    return tag(
        "tr",
        tag("th", named, tag("small", report.path), scope="row"),
        tag("td", badge(report.verdict.word), data_label="verdict"),
        tag("td", _marks(report.claims), data_label="claims"),
        tag("td", danced, data_label="walls danced"),
        tag("td", str(len(plan.parts) or "–"), data_label="parts"),
        tag("td", str(found), data_label="findings"),
        data_sheet=number,
        data_verdict=report.verdict.word,
        data_found=found,
        data_kinds="|".join(kinds),
        data_words=" ".join(said).casefold().replace("`", ""),
    )


def _marks(claims: Iterable[ClaimReport]) -> Markup:
    """Return a mark for each claim, in the order of the sheet, and how many there are of each verdict."""
    every = list(claims)
    tally = [(verdict.word, sum(one.verdict is verdict for one in every)) for verdict in WORST]
    said = ", ".join(f"{number} {verdict}" for verdict, number in tally if number) or "none"
    marks = (
        tag(
            "i",
            markup.shape(one.verdict.word),
            title=f"line {one.line}: {one.text}: {one.verdict.word}",
            class_=f"mark {one.verdict.word}",
        )
        for one in every
    )
    return joined(tag("span", *marks, class_="marks", aria_hidden="true"), tag("small", said))


def _by_claim(done: list[Report]) -> Markup | None:
    """Return how the claims stand, by what they are about."""
    kept = [verdict for verdict in Verdict if verdict is not Verdict.ILL_FORMED]
    tally: dict[str, dict[Verdict, int]] = {}
    for report in done:
        for claim in report.claims:
            tally.setdefault(claim.kind, dict.fromkeys(kept, 0))[claim.verdict] += 1
    rows = [
        tag(
            "tr",
            tag("th", kind, scope="row"),
            *(tag("td", str(counts[one] or "·"), data_label=one.word) for one in kept),
        )
        for kind, counts in sorted(tally.items())
    ]
    heads: list[Child] = ["claim about", *(tag("th", badge(one.word), scope="col") for one in kept)]
    return tag("section", tag("h2", "Verdict by claim"), table("kinds", heads, rows)) if rows else None


# -- each sheet ------------------------------------------------------------------------------------------------------


def _sheet(number: int, report: Report, plan: Plan, is_open: bool) -> Markup:
    return tag(
        "details",
        tag("summary", tag("h3", report.title or report.path), badge(report.verdict.word)),
        tag("p", tag("code", report.path)),
        tag("p", str(report.finish)) if report.finish is not None else None,
        _text(number, report, plan),
        _repairs(plan) if plan.repairs else None,
        markup.walls(plan),
        markup.strip(number, plan) if plan.dance.moments else None,
        _parts(report, plan) if plan.parts else None,
        _claims(number, report.claims) if report.claims else None,
        id=f"s{number}",
        data_sheet=number,
        open="" if is_open else None,
    )


def _text(number: int, report: Report, plan: Plan) -> Markup:
    """Return the text of a sheet with its findings under their lines; where there is no text, the findings alone."""
    found: dict[int, list[Markup]] = {}
    for finding in shown(report):
        line = finding.span.line if finding.path == report.path and finding.span.line <= len(plan.lines) else 0
        found.setdefault(line, []).append(_finding(number, report, finding, dict(plan.mending).get(finding, ())))
    hit = {one.span.line for one in shown(report) if one.code.severity is not Severity.NOTE}
    last = max((place for place, line in enumerate(plan.lines, 1) if line.strip()), default=0)
    kept = set(range(1, last + 1))
    if last > LONG:
        kept &= {line + near for line in found for near in range(-AROUND, AROUND + 1)}
    rows: list[Markup] = []
    before = 0
    for line in sorted(kept):
        if line > before + 1:
            rows.append(tag("p", f"… {words.count(line - before - 1, 'line')} without a finding", class_="place"))
        before = line
        text = tag("span", str(line), class_="no"), tag("code", plan.lines[line - 1] or " ")
        kind = "line hit" if line in hit else "line"
        rows += [tag("div", *text, class_=kind, id=f"s{number}l{line}"), *found.get(line, ())]
    if not rows and number > MOST_DRAWN:
        return joined(
            *found.get(0, ()),
            tag("p", f"Only the first {MOST_DRAWN} sheets are drawn; check this one alone to see it.", class_="place"),
        )
    listing = tag("div", *rows, class_="text") if rows else None
    return joined(*found.get(0, ()), tag("h4", "The sheet, with what was found") if rows else None, listing)


def _finding(number: int, report: Report, finding: Diagnostic, diffs: tuple[str, ...]) -> Markup:
    said = word(finding.code)
    places = f"the same claim fails at {words.count(finding.places - 1, 'other place')}" if finding.places > 1 else None
    lines = {claim.id: claim.line for claim in report.claims}
    taken = sorted({lines[name] for name in finding.mended if name in lines})
    mended = [joined(", " if place else None, to(number, line)) for place, line in enumerate(taken)]
    return tag(
        "section",
        tag("p", f"{report.diagnostics.index(finding) + 1}. ", badge(said), tag("b", prose(finding.message))),
        tag(
            "p",
            f"line {finding.span.line}, column {finding.span.column} · ",
            tag("a", f"{finding.code.id} {finding.code.name}", href=f"#{finding.code.id}"),
            class_="place",
        ),
        *(_steps(rows) for rows in finding.rows if rows),
        tag("ul", *(tag("li", prose(hint)) for hint in finding.hints), class_="hints") if finding.hints else None,
        *(joined(tag("p", "This change mends it:", class_="place"), markup.diff(one)) for one in diffs),
        *(tag("p", to(number, span.line), ": ", prose(about), class_="place") for span, about in finding.related),
        tag("p", places, class_="place") if places else None,
        tag("p", "taken as put right: ", *mended, class_="place") if mended else None,
        class_=f"finding {said.replace(' ', '-')}",
    )


def _repairs(plan: Plan) -> Markup:
    ways = (joined(tag("p", about, class_="place"), markup.diff(changes)) for about, changes in plan.repairs)
    return joined(tag("h4", "What would mend it"), *ways)


# -- tables ----------------------------------------------------------------------------------------------------------


def _parts(report: Report, plan: Plan) -> Markup:
    heads = ("part", "says", "comes in", "goes out", "claims")
    rows = []
    for part in plan.parts:
        claims = [claim for claim in report.claims if claim.id.startswith(f"{part.name.casefold()}: ")]
        moments = [_moment(stand, plan.clock) for stand in part.way or (None, None)]
        cells: tuple[Child, ...] = (part.contract or "–", *moments, _marks(claims))
        told = [tag("td", cell, data_label=head) for head, cell in zip(heads[1:], cells, strict=True)]
        rows.append(tag("tr", tag("th", part.name, tag("small", f"line {part.line}"), scope="row"), *told))
    return joined(tag("h4", "Parts"), table("parts", heads, rows))


def _moment(stand: Stand | None, clock: bool) -> Markup:
    """Return the free foot and the facing at an end of a part's first pass."""
    if stand is None:
        return joined("–")
    free = "not known" if stand.weight is None else words.free(stand.weight)
    said = f"{words.facing(stand.facing, clock)}, free: {free}"
    return tag("span", markup.shoes(stand.weight, stand.facing), said, class_="moment")


def _claims(number: int, claims: tuple[ClaimReport, ...]) -> Markup:
    rows = [
        tag(
            "tr",
            tag("td", to(number, claim.line), data_label=""),
            tag("th", claim.text, tag("small", claim.kind), scope="row"),
            tag("td", badge(claim.verdict.word), data_label="verdict"),
            tag("td", prose(claim.sentence or claim.reason), data_label="said"),
        )
        for claim in claims
    ]
    return joined(tag("h4", "Claims"), table("claims", ("line", "claim", "verdict", "what is so"), rows))


def _steps(rows: tuple[TraceRow, ...]) -> Markup:
    body = []
    for row in rows:
        name = joined(tag("span", "▸ ", class_="at") if row.marked else None, repeated(row))
        cells = [tag("td", row.beat, data_label="beat"), tag("th", name, scope="row")]
        for label, pair, turn in (("free foot", row.feet, ""), ("facing", row.facings, row.turn)):
            said = arrow(pair) + (f", {turn}" if turn else "")
            cells.append(tag("td", said if said == pair[0] else tag("b", said), data_label=label))
        body.append(tag("tr", *cells, class_="here" if row.marked else None))
    return table("steps", ("beat", "figure", "free foot", "facing"), body)


# -- codes -----------------------------------------------------------------------------------------------------------


def _codes(done: Iterable[Report]) -> Markup | None:
    """Return the pages of the codes that are met, as `stepcheck explain` prints them."""
    codes = {finding.code.id: finding.code for report in done for finding in report.diagnostics}
    made = [_code(codes[one]) for one in sorted(codes)]
    return tag("section", tag("h2", "What the codes mean"), *made, class_="codes") if made else None


def _code(code: Code) -> Markup:
    made = reference.page(code)
    pieces = []
    for heading, body in made.sections:
        pieces.append(tag("h4", heading))
        for number, text in enumerate(reference.FENCED.split(body)):
            if number % 2:
                pieces.append(markup.verbatim(text.splitlines()))
            else:
                pieces += [tag("p", prose(" ".join(one.split()))) for one in text.split("\n\n") if one.strip()]
    return tag("article", tag("h3", f"{made.code} {made.name}"), *pieces, id=made.code)
