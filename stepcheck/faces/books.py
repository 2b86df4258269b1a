"""The commands `figures` and `explain`: what stands in the books, what is wrong in one, and what a code means."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

import click

from stepcheck.books import book as books
from stepcheck.books import cards, forms
from stepcheck.books.book import Book, too_hard
from stepcheck.books.lint import lint_book
from stepcheck.books.outline import FROM_MEMORY
from stepcheck.faces.options import BOOK, CODE, FIGURE, FORM, LEVEL, complain, remark, write
from stepcheck.formats import reference
from stepcheck.formats.json import FIGURES as SCHEMA
from stepcheck.formats.json import cards_json, document, members
from stepcheck.formats.reference import SCHEMAS
from stepcheck.model import words
from stepcheck.model.dance import Figure, key
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.source import StepcheckError
from stepcheck.report.text import word

if TYPE_CHECKING:
    from stepcheck.catalogue.questions import Change


CODES_SCHEMA = "stepcheck-codes-1"


class NoSuchFigure(StepcheckError, LookupError):
    """A name that no book has."""


@click.command(short_help="Show the figures of the books, and check a book.")
@click.argument("names", nargs=-1, metavar="[NAME]", type=FIGURE)
@click.option(
    "--book",
    "titles",
    multiple=True,
    metavar="BOOK",
    type=BOOK,
    help="A shipped book, or a *.book file; again for more.",
)
@click.option(
    "--level",
    metavar="LEVEL",
    type=LEVEL,
    help="Only figures of at most this level, such as 'easy' or 'basic in convention'.",
)
@click.option(
    "--movements", "coded", is_flag=True, help="The codes of movements instead: form, foot, weight, place, readings."
)
@click.option(
    "--same-as",
    metavar="NAME",
    type=FIGURE,
    help="The figures that can stand in for this one: same effect, same length.",
)
@click.option("--check", "lints", is_flag=True, help="Check the books that are named instead of a figure.")
@click.option(
    "--impact",
    "compares",
    is_flag=True,
    help="OLD NEW PATH…: which of the sheets change verdict when the book NEW takes the place of OLD.",
)
@FORM
def figures(
    names: tuple[str, ...],
    titles: tuple[str, ...],
    level: str | None,
    coded: bool,
    same_as: str | None,
    lints: bool,
    compares: bool,
    form: str,
) -> int:
    """Show the figures of the books: all of them, those with NAME in theirs, or the one called NAME with its counts,
    what it does from either foot, its readings and their sources.  NAME may be the code of a movement, such as DS.

    With --check the words are books to look over, with --impact an old book, a new one, and sheets or folders; the exit
    status is then 1 if there is a mistake in a book, or if a sheet gets worse.
    """
    if sum((lints, compares, coded, same_as is not None)) > 1:
        raise click.UsageError("--check, --impact, --movements and --same-as do not go together")
    if lints:
        return _lint(names or titles, form)
    if compares:
        if len(names) < 3:
            raise click.UsageError("--impact takes an old book, a new book, and sheets or folders")
        return _impact(books.load(names[0]), books.load(names[1]), names[2:], form)
    shelf = books.combine(tuple(map(books.load, titles or books.SHIPPED)))
    if same_as is not None:
        return _same(shelf, same_as, form)
    if coded:
        return _coded(shelf, " ".join(names), form)
    return _show(shelf, " ".join(names), level, form)


def _print(lines: Iterable[str]) -> None:
    write("".join(f"{words.visible(line)}\n" for line in lines))


def _json(**members: Any) -> None:
    write(document(SCHEMA, **members))


# -- showing ---------------------------------------------------------------------------------------------------------


def _show(shelf: Book, name: str, level: str | None, form: str) -> int:
    exact = shelf.find(name) if name else ()
    codes = tuple(code for book in shelf.members or (shelf,) for code in forms.coded(book, name)) if name else ()
    found = tuple(figure for figure in shelf.figures() if _named(figure, name) and figure not in exact)
    if level is not None:
        above = frozenset(too_hard(shelf, shelf.figures(), level))
        exact, found = (tuple(figure for figure in row if figure not in above) for row in (exact, found))
    if name and not exact and not found and not codes:
        return _unknown(shelf, name, level, form)
    if codes and not exact:
        found = ()
    if form == "json":
        shown = [cards.card(figure) for figure in (*exact, *(() if exact else found))]
        write(cards_json(shown, movements=codes))
        return 0
    for figure in exact:
        _print(cards.told(cards.card(figure)))
    for code in codes:
        _print(forms.told(code))
    if exact and found:
        _print([f"also: {', '.join(dict.fromkeys(figure.name for figure in found))}"])
    elif found:
        _print(_listed(found))
    if not name:
        remark(words.count(len(found), "figure"))
    return 0


def _coded(shelf: Book, name: str, form: str) -> int:
    """Show the codes of each book, or those whose form or movement is called `name`."""
    members = shelf.members or (shelf,)
    found = {book.name: forms.coded(book, name) if name else forms.codes(book) for book in members}
    if not any(found.values()):
        raise NoSuchFigure(f"no movement is written or called {name!r}; `stepcheck figures --movements` lists them all")
    if form == "json":
        _json(movements=[code for some in found.values() for code in some])
        return 0
    for title, some in found.items():
        _print(
            [f"{title}:", *(f"   {row}" for row in cards.columns([forms.HEADS, *map(forms.line, some)]))]
            if some
            else []
        )
    return 0


def _named(figure: Figure, name: str) -> bool:
    return any(key(name) in key(known) for known in (figure.name, *figure.names))


def _listed(found: tuple[Figure, ...]) -> Iterator[str]:
    """Yield figures as a list, by book."""
    for book in dict.fromkeys(figure.book for figure in found):
        yield f"{book}:"
        rows = [cards.line(cards.card(figure)) for figure in found if figure.book == book]
        yield from (f"   {row}" for row in cards.columns([tuple(row) for row in rows]))


def _unknown(shelf: Book, name: str, level: str | None, form: str) -> int:
    """Answer a name that no book has: known without footwork, or like other names."""
    if shelf.known(name):
        lines = ("figures:", f"  {name}, … beats: …")
        sources = shelf.named_by(name)
        if form == "json":
            _json(figures=[], movements=[], known=[name], sources=list(sources), define=list(lines))
            return 0
        _print([f"{name} is known by name, footwork not published: define it in the sheet, as you dance it"])
        named = (source if source == FROM_MEMORY else f"named in: {source}" for source in sources)
        _print(f"   {line}" for line in (*lines, *named))
        return 0
    advice = "`stepcheck figures` lists them all"
    if near := shelf.nearest(name):
        advice = f"did you mean {' or '.join(near)}?"
    elif near := shelf.nearest(name, likeness=0.5):
        whose = "names most like it are" if len(near) > 1 else "name most like it is"
        advice = f"the {whose} {words.listed(near)}"
    homes = [member.name for member in shelf.members or (shelf,)]
    raise NoSuchFigure(
        f"there is no figure {name!r} in the book{'s' if len(homes) > 1 else ''} {words.listed(homes)}"
        + (f" of at most the level {level}" if level else "")
        + f"; {advice}"
    )


def _same(shelf: Book, name: str, form: str) -> int:
    """Show what is interchangeable with a figure."""
    found = cards.same_as(shelf, name)
    if not found:
        return _unknown(shelf, name, None, form)
    if form == "json":
        _json(
            same=[
                {
                    **members(group.figures[0], "name book"),
                    "always": group.always,
                    "figures": [members(other, "name book") for other in group.figures[1:]],
                }
                for group in found
            ]
        )
        return 0
    for group in found:
        first, *others = group.figures
        card = cards.line(cards.card(first))
        how = "whatever the words in them are read as" if group.always else "as usually read"
        _print([f"{first.name} (book {first.book}): {card[1]}, {card[2]}"])
        names = ", ".join(f"{other.name} from {other.book}" if shelf.members else other.name for other in others)
        _print([f"   {how}: {names}" if others else "   nothing else does the same"])
    return 0


# -- checking and comparing ------------------------------------------------------------------------------------------


def _lint(titles: tuple[str, ...], form: str) -> int:
    if not titles:
        raise click.UsageError("--check takes at least one book")
    found: list[Diagnostic] = []
    for title in titles:
        found += lint_book(books.load(title))
    bad = [finding for finding in found if word(finding.code) != "note"]
    if form == "json":
        _json(diagnostics=found)
    else:
        _print(line for finding in found for line in _finding(finding))
    remark(
        f"{words.count(len(titles), 'book')}: {words.count(len(bad), 'mistake')}, "
        f"{words.count(len(found) - len(bad), 'note')}"
    )
    return 1 if bad else 0


def _finding(finding: Diagnostic) -> Iterator[str]:
    yield (
        f"{finding.path}:{finding.span.line}: {'note' if word(finding.code) == 'note' else 'mistake'}: "
        f"{finding.message} [{finding.code.id}]"
    )
    yield from (f"   mend: {hint}" for hint in finding.hints)


def _impact(old: Book, new: Book, paths: tuple[str, ...], form: str) -> int:
    from stepcheck.catalogue.questions import survey_impact  # it checks sheets, which no other answer here needs

    found = survey_impact(old, new, paths)
    for path, reason in found.missing:
        complain(f"{path}: {reason}")
    if not found.changes and not found.missing:
        raise NoSuchFigure(f"none of the sheets uses the book {old.name}")
    changed = [change for change in found.changes if change.shifts or change.before is not change.after]
    if form == "json":
        _json(changes=changed, unconcerned=found.unconcerned)
    else:
        _print(line for change in changed for line in _change(change))
    rest = f", {words.count(len(found.unconcerned), 'sheet')} without the book" if found.unconcerned else ""
    remark(f"{words.count(len(found.changes), 'sheet')}: {len(changed)} changed{rest}")
    return 2 if found.missing else 1 if any(change.worse for change in changed) else 0


def _change(change: "Change") -> Iterator[str]:
    yield f"{change.path}: {_arrow(change.before.word, change.after.word)}"
    for shift in change.shifts:
        before, after = (verdict.word if verdict is not None else "not said" for verdict in (shift.before, shift.after))
        yield f"   line {shift.line}: {_arrow(before, after)}: {shift.sentence}"


def _arrow(before: str, after: str) -> str:
    return before if before == after else f"{before} → {after}"


@click.command("explain", short_help="Explain a code such as SR501.")
@click.argument("codes", nargs=-1, metavar="[CODE…]", type=CODE)
@click.option("--schema", "form", type=click.Choice(tuple(SCHEMAS)), help="Print the JSON Schema of a format instead.")
@click.option(
    "--format", "layout", type=click.Choice(["text", "json"]), default="text", show_default=True, help="What to print."
)
def explain(codes: tuple[str, ...], form: str | None, layout: str) -> int:
    """Explain codes: what was found, the ways out, and a sheet with it, mended. Without CODE all codes are listed."""
    if form is not None:
        if codes:
            raise click.UsageError("a schema belongs to a format, not to a code")
        write(reference.schema(form))
        return 0
    pages = [reference.explain(code) for code in codes] or [reference.page(code) for code in CODES.values()]
    if layout == "json":
        write(document(CODES_SCHEMA, codes=pages))
    elif codes:
        write("\n".join(map(str, pages)))
    else:
        write("".join(f"{one.code} {one.name}\n" for one in pages))
    return 0
