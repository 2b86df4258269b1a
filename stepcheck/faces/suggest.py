"""The commands `break`, `fill` and `repair`, as options and what they print."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click

from stepcheck.faces import options as shared
from stepcheck.faces.options import LEVEL, flag, number, option
from stepcheck.fixes.repairs import COSTS
from stepcheck.language import files
from stepcheck.model import words
from stepcheck.model.choices import Reading
from stepcheck.model.source import StepcheckError

if TYPE_CHECKING:
    from stepcheck.fixes.repairs import Repairs
    from stepcheck.program.routine import Routine
# Options of a row of figures, and those of an ending.
ROW = ("end", "limit", "level", "wanted", "unwanted", "known", "steps", "most_in_a_row", "most_turn", "any_lead")
ENDING = ("passes", "counts", "facing", "both_feet", "part")


@click.command("break", short_help="Find rows of figures of exactly so many beats between two states.")
@click.argument("path", required=False, metavar="[FILE]", type=click.Path(allow_dash=True))
@option("--book", "BOOK", "A shipped book or a *.book file.  [default: clogging]", words=shared.BOOK)
@option("--beats", "N", "How long the row is: 8, 7.5, 15/2.")
@option("--start", "STATE", "Where it starts, the foot being the free one.  [default: left foot, front]")
@option(
    "--end",
    "STATE",
    "Where it leads, in full or in part: `left foot, back`, `back`, `both feet`.  [default: where it starts]",
)
@option(
    "--after", "PART", "Take the start from FILE: after this part, or after the line of this number.", words=shared.PART
)
@flag("--ending", "Find the shortest ending where the music stops inside a pass of FILE.")
@number("--passes", "With --ending: in which pass it stops.")
@number("--counts", "With --ending: after how many counts of the pass.")
@option("--facing", "WALL", "With --ending: the wall that is faced then.  [default: as the sheet has it]")
@flag("--both-feet", "With --ending: end with the weight on both feet.")
@option("--part", "PART", "With --ending: the part that goes round.", words=shared.PART)
@number("--limit", "How many answers.", default=5, show_default=True)
@option("--level", "LEVEL", "The hardest level of figures, such as `easy` or `basic plus in convention`.", words=LEVEL)
@option("--wanted", "NAME", "A figure that has to be in it.", multiple=True, words=shared.FIGURE)
@option("--unwanted", "NAME", "A figure that must not be in it.", multiple=True, words=shared.FIGURE)
@option("--known", "NAME", "A figure that the class knows; these are preferred.", multiple=True, words=shared.FIGURE)
@option(
    "--steps",
    "N-M",
    "From so many to so many figures.  [default: with --after from 8 beats on 2-4 first, else the fewest]",
)
@number("--most-in-a-row", "At most so many of one figure in a row.", "M")
@option("--most-turn", "TURNS", "Turn no further in all: 0, 1/4, 0.25, 1.")
@flag("--any-lead", "Allow figures on the foot that custom does not lead them with.")
@shared.FORM
def find(path: str | None, form: str, after: str | None, ending: bool, **options: Any) -> int:
    """Find rows of figures, out of a book or for a routine.

    Without FILE the row goes from --start to --end. With FILE it goes after a part (--after), or where the music stops
    (--ending): the states are those of the sheet, and the figures those that the sheet can name. The exit status is 0
    if there is a row, 1 if there is none, which comes with the reason.
    """
    found = _found(path, after, ending, options)
    shared.tell(found, path or "", form)
    return 0 if found.breaks else 1


def _given(options: dict[str, Any]) -> dict[str, Any]:
    """Return the options that have a value; the searches know what is usual for the others."""
    return {name: value for name, value in options.items() if value not in (None, ())}


def _found(path: str | None, after: str | None, ending: bool, options: dict[str, Any]) -> Any:
    given = _given(options)
    for_endings = [name for name in ENDING if given.get(name)]
    if path is None:
        if after is not None or ending or for_endings:
            raise click.UsageError("name the sheet that the break is for")
        from stepcheck.breaks.breaks import find_breaks

        return find_breaks(given.get("book", "clogging"), beats=_beats(given), **_only(given, ("start", *ROW)))
    if ending is (after is not None):
        raise click.UsageError("say where the break goes: --after PART, or --ending")
    for name in ("book", "start"):
        if name in given:
            raise click.UsageError(f"--{name} is that of the sheet")
    if ending:
        return _ending(path, given)
    if for_endings:
        raise click.UsageError("say that it is for an ending: --ending")
    from stepcheck.breaks.endings import break_after

    assert after is not None
    place = int(after) if after.isdigit() else after
    return break_after(shared.routine_at(path), place, beats=_beats(given), **_only(given, ROW))


def _ending(path: str, given: dict[str, Any]) -> Any:
    from stepcheck.breaks.endings import find_endings

    for name in ("passes", "counts"):
        if name not in given:
            raise click.UsageError(f"an ending needs --{name}")
    if given.keys() & {*ROW} - {"limit", "level", "any_lead"}:
        raise click.UsageError("an ending is at the front; of the other options it takes --beats, --level and --limit")
    chosen = _only(given, (*ENDING, "limit", "level"))
    if "beats" in given:
        if not given["beats"].isdecimal():
            raise click.UsageError("an ending takes whole beats")
        chosen["beats"] = int(given["beats"])
    return find_endings(shared.routine_at(path), **chosen)


def _beats(given: dict[str, Any]) -> str:
    if "beats" not in given:
        raise click.UsageError("say how long it is: --beats N")
    return str(given["beats"])


def _only(given: dict[str, Any], names: Iterable[str]) -> dict[str, Any]:
    return {name: given[name] for name in names if name in given}


@click.command(short_help="Find what fits the blanks of a sheet, and whether nothing else does.")
@shared.SHEET
@number("--limit", "How many answers.", default=3, show_default=True)
@number("--apply", "Write answer number N into the file.")
@shared.LEVELLED
@shared.EITHER
@number("--budget", "How many sheets may be tried.")
@shared.IN_PLACE
@shared.FORM
def fill(path: str, limit: int, apply: int | None, readings: Reading, in_place: bool, form: str, **more: Any) -> int:
    """Find what fits the blanks of a sheet: `turn ?`, `x?`, `? foot`, `? times:`, `? 8 beats`, several at once.

    The answers prove every claim of the sheet, by both engines. The exit status is 0 if something fits or there is no
    blank, 1 if nothing fits, which comes with the reason.
    """
    from stepcheck.breaks.fill import fill as solve

    routine = shared.routine_at(path, readings)
    found = solve(routine, limit=max(limit, apply or 1), **_given(more))
    if apply is not None and found.blanks:
        shared.unless_piped(path, apply)
        if len(found.fills) < apply:
            raise NoSuchAnswer(f"there is no answer {apply}: {found.reason or words.only(len(found.fills))}")
    shared.tell(found, routine.path, form)
    if apply is not None and found.fills:
        shared.put_answer(path, routine, found.fills[apply - 1].text, f"answer {apply} is written into it", in_place)
    return 0 if found.fills or not (found.blanks or routine.program is None) else 1


class NoSuchAnswer(StepcheckError, ValueError):
    """An answer or a fix is to be written into the file that there is none of."""


# -- mending ----------------------------------------------------------------------------------------------------------


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
@shared.SHEET
@number("--limit", "How many fixes.", default=3, show_default=True)
@number("--finding", "Mend finding number N of `check` by itself.")
@number("--apply", "Write fix number N into the file.")
@option(
    "--keep",
    "PART",
    "Leave a part as it is (the class knows it), `dance`, or a line by its number.",
    multiple=True,
    words=shared.PART,
)
@option("--without", "KIND", "Make no change of this kind.", multiple=True, type=click.Choice(tuple(COSTS)))
@option(
    "--costs",
    "KIND=N",
    f"What a change of a kind costs. The kinds: {', '.join(COSTS)}.",
    multiple=True,
    callback=_costs,
)
@shared.LEVELLED
@number("--most-cost", "What the changes may cost together.")
@shared.EITHER
@number("--budget", "How many places of dancers may be looked at.")
@shared.SMT2
@shared.CERTIFICATE
@shared.FORCE
@shared.IN_PLACE
@shared.FORM
def repair(
    path: str,
    limit: int,
    apply: int | None,
    readings: Reading,
    smt2: str | None,
    certificate: str | None,
    force: bool,
    in_place: bool,
    form: str,
    **more: Any,
) -> int:
    """Find the least that mends a sheet: the cheapest changes after which every claim of it is proved, by both engines.

    Each fix comes as a diff, with its cost and with why nothing cheaper exists. A sheet with many findings is mended
    one finding at a time where one search does not reach all of them. Nothing is written unless --apply says so.
    --smt2 writes the question whether anything cheaper mends the sheet, --certificate the first fix and what is proved
    of the sheet after it. The exit status is 0 if there is a fix or
    nothing to mend, 1 if there is none, which comes with the reason, or if the best one leaves some findings.
    """
    from stepcheck.fixes.fix import repair as solve

    shared.unless_piped(path, apply)
    routine = shared.routine_at(path, readings)
    script = shared.place_in(smt2, path, f".repair{files.SCRIPT}", force)
    certified = shared.place_in(certificate, path, f".repair{files.CERTIFICATE}", force)
    found = solve(routine, limit=max(limit, apply or 1), **_given(more))
    if apply is not None and found.needed and len(found) < apply:
        raise NoSuchAnswer(f"there is no fix {apply}: {found.reason or words.only(len(found))}")
    shared.tell(found, routine.path, form)
    shared.put_script(script, found.script, force)
    if certified and (reason := _uncertified(routine, found, certified, force)):
        shared.complain(f"no certificate is written: {reason}")
    if apply is not None and found.fixes:
        shared.put_answer(path, routine, found[apply - 1].text, f"fix {apply} is written into it", in_place)
    return 0 if not found.needed or (found.fixes and not found[0].evidence.left) else 1
