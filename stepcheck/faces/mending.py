"""The command `repair`, as options and what it prints."""

import sys
from typing import TYPE_CHECKING, Any

import click

from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.offers import LEVEL, PART
from stepcheck.faces.options import CERTIFICATE, FORCE, IN_PLACE, NUMBER, SMT2
from stepcheck.faces.streams import complain, write
from stepcheck.fixes.costs import COSTS
from stepcheck.language import writer
from stepcheck.model import words
from stepcheck.model.choices import Reading
from stepcheck.model.source import StepcheckError

if TYPE_CHECKING:
    from stepcheck.fixes.repairs import Repairs
    from stepcheck.program.routine import Routine


class NoSuchFix(StepcheckError, ValueError):
    """A fix is to be written into the file that there is none of."""


def _costs(context: click.Context, option: click.Parameter, value: tuple[str, ...]) -> dict[str, int]:
    """Return costs that were written as KIND=N."""
    found = {}
    for one in value:
        kind, _, cost = one.partition("=")
        if not cost.strip().isdigit() or int(cost) < 1:
            raise click.BadParameter(f"write it like this: figure=3 (not {one!r})")
        found[kind.strip()] = int(cost)
    return found


def _uncertified(routine: "Routine", found: "Repairs", path: str, force: bool) -> str:
    """Write the certificate of the first fix; return why there is none, if so."""
    from stepcheck.report import certificates, pipeline

    if not found.fixes:
        return "there is no fix"
    mended = pipeline.loads(found[0].text, path=routine.path, readings=routine.readings, book=routine.facts.book)
    fix = found[0].cost, routine.sheet.source.text
    return certificates.write(mended, pipeline.examine(mended)[1], path, fix, force=force)


@click.command(short_help="Find the least that mends a sheet.")
@click.argument("path", metavar="FILE", type=click.Path(allow_dash=True))
@click.option("--limit", type=NUMBER, default=3, show_default=True, metavar="N", help="How many fixes.")
@click.option("--finding", type=NUMBER, metavar="N", help="Mend finding number N of `check` by itself.")
@click.option("--apply", type=NUMBER, metavar="N", help="Write fix number N into the file.")
@click.option(
    "--keep",
    multiple=True,
    metavar="PART",
    type=PART,
    help="Leave a part as it is (the class knows it), `dance`, or a line by its number.",
)
@click.option(
    "--without", multiple=True, type=click.Choice(tuple(COSTS)), metavar="KIND", help="Make no change of this kind."
)
@click.option(
    "--costs",
    multiple=True,
    callback=_costs,
    metavar="KIND=N",
    help=f"What a change of a kind costs. The kinds: {', '.join(COSTS)}.",
)
@click.option(
    "--level",
    metavar="LEVEL",
    type=LEVEL,
    help="The hardest level of figures; `any` for all.  [default: that of the header]",
)
@click.option("--most-cost", type=NUMBER, metavar="N", help="What the changes may cost together.")
@click.option(
    "--readings",
    type=click.Choice(["usual", "all"]),
    default="usual",
    show_default=True,
    help="Have it hold as words are usually read, or for every reading of words that the sheet leaves open.",
)
@click.option("--budget", type=NUMBER, metavar="N", help="How many places of dancers may be looked at.")
@SMT2
@CERTIFICATE
@FORCE
@IN_PLACE
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="What to print."
)
def repair(
    path: str,
    limit: int,
    finding: int | None,
    apply: int | None,
    keep: tuple[str, ...],
    without: tuple[str, ...],
    costs: dict[str, int],
    level: str | None,
    most_cost: int | None,
    readings: Reading,
    budget: int | None,
    smt2: str | None,
    certificate: str | None,
    force: bool,
    in_place: bool,
    form: str,
) -> int:
    """Find the least that mends a sheet: the cheapest changes after which every claim of it is proved, by both engines.

    Each fix comes as a diff, with its cost and with why nothing cheaper exists. A sheet with many findings is mended
    one finding at a time where one search does not reach all of them. Nothing is written unless --apply says so.
    --smt2 writes the question whether anything cheaper mends the sheet, --certificate the first fix and what is proved
    of the sheet after it. The exit status is 0 if there is a fix or
    nothing to mend, 1 if there is none, which comes with the reason, or if the best one leaves some findings.
    """
    from stepcheck.fixes.fix import repair as solve
    from stepcheck.formats.repairs import repairs_json, repairs_text
    from stepcheck.report import pipeline

    if path == STDIN:
        if apply is not None:
            raise click.UsageError("stdin cannot be written to; name the file")
        routine = pipeline.loads(sys.stdin.buffer.read(), path="<stdin>", readings=readings)
    else:
        routine = pipeline.load(path, readings=readings)
    script = writer.beside((path,), smt2, f".repair{writer.SCRIPT}").get(path, "")
    certified = writer.beside((path,), certificate, f".repair{writer.CERTIFICATE}").get(path, "")
    for folder, place in ((smt2, script), (certificate, certified)):
        if folder:
            writer.permit(place, writer.inodes((writer.STDIN if path == STDIN else path,)), force=force)
            writer.folder(folder)
    more: dict[str, Any] = {"most_cost": most_cost, "budget": budget}
    found = solve(
        routine,
        limit=max(limit, apply or 1),
        costs=costs,
        without=without,
        keep=keep,
        level=level,
        finding=finding,
        **{name: value for name, value in more.items() if value is not None},
    )
    if apply is not None and found.needed and len(found) < apply:
        raise NoSuchFix(f"there is no fix {apply}: {found.reason or words.only(len(found))}")
    write(repairs_json(found, routine.path) if form == "json" else repairs_text(found))
    if script and found.script:
        writer.write(script, found.script.encode(), force=force)
    elif script:
        complain("no script is written, since there was nothing to ask the solver")
    if certified and (reason := _uncertified(routine, found, certified, force)):
        complain(f"no certificate is written: {reason}")
    if apply is not None and found.fixes:
        from stepcheck.program.formatter import replace

        replace(routine.sheet.source, found[apply - 1].text, in_place=in_place)
        complain(f"{path}: fix {apply} is written into it")
    return 0 if not found.needed or (found.fixes and not found[0].evidence.left) else 1
