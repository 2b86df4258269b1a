"""The command `new`: a sheet to fill in."""

import click

from stepcheck.books import book as books
from stepcheck.faces.options import FORCE
from stepcheck.faces.streams import destination
from stepcheck.language import writer
from stepcheck.language.measures import LARGEST
from stepcheck.model.source import StepcheckError
from stepcheck.model.statuses import PROVED
from stepcheck.program.formatter import format_text
from stepcheck.report import pipeline

_PHRASE = 8  # counts that are filled in together
_MOST = 1_024  # counts of one part; no dance has as many


def blank_sheet(title: str, *, book: str = "line", counts: int = 32, walls: int | None = None) -> str:
    """Return the text of a sheet with a blank for every eight counts.

    Args:
        title: the name of the routine.
        book: the book that its figures are from: `line`, `clogging`, or another by name or path.
        counts: how long its one part is, in counts or beats.
        walls: how many walls it is danced to: 1, 2, 4 or 8; None claims nothing.

    Raises:
        StepcheckError: no sheet can say it.
    """
    is_line = books.load(book).tradition == "line"
    part, unit = ("Main", "counts") if is_line else ("A", "beats")
    head = [f"routine: {title}", f"book: {book}", "# tempo: 120", *([] if walls is None else [f"walls: {walls}"])]
    body = [f"part {part}: {counts} {unit}"]
    for first in range(1, counts + 1, _PHRASE):
        last = min(first + _PHRASE - 1, counts)
        blank = f"? {last - first + 1} {unit if last > first else unit.removesuffix('s')}"
        body += [f"  counts {first}-{last}:", f"    {blank}"] if is_line and last > first else [f"  {blank}"]
    how = " until the music ends" if is_line or walls is not None else ""
    fill = "# In the place of each ? comes a row of figures, one a line: `stepcheck figures` lists them."
    text = format_text("\n".join([*head, "", fill, *body, "", "dance:", f"  {part}{how}", ""]))
    made = pipeline.loads(text)
    if made.title != title or made.program is None:
        raise StepcheckError(
            f"no sheet can be called {title!r}" if made.title != title else made.diagnostics[0].message
        )
    return text


@click.command("new", short_help="Write a sheet to fill in.")
@click.argument("title")
@click.option("--book", default="line", show_default=True, metavar="NAME", help="The book that the figures are from.")
@click.option(
    "--counts",
    "--beats",
    type=click.IntRange(1, min(_MOST, LARGEST)),
    default=32,
    show_default=True,
    help="How long the part is.",
)
@click.option(
    "--walls",
    type=click.Choice(["1", "2", "4", "8"]),
    help="How many walls it is danced to.  [default: nothing is claimed]",
)
@click.option(
    "-o",
    "--output",
    type=click.Path(dir_okay=False),
    metavar="SHEET",
    help="Write the sheet to a file instead of stdout.",
)
@FORCE
def new(title: str, book: str, counts: int, walls: str | None, output: str | None, force: bool) -> int:
    """Write a sheet called TITLE with a blank for every eight counts, to be filled in.

    As it is, `stepcheck check` finds it undecided, since it waits on its blanks. The exit status is 0, or 2 if no sheet
    can have such a title or the file is not to be written.
    """
    if output is not None:
        writer.permit(output, force=force, sheet=True)
    text = blank_sheet(title, book=book, counts=counts, walls=None if walls is None else int(walls))
    with destination(output, force=force, sheet=True) as put:
        put(text)
    return PROVED
