"""The commands `figures` and `explain`: what stands in the books, what is wrong in one, and what a code means."""

from collections.abc import Iterator
from typing import Any

import click

from stepcheck.books import book as books
from stepcheck.books import cards, forms
from stepcheck.books.book import Book, too_hard
from stepcheck.books.lint import lint_book
from stepcheck.books.outline import FROM_MEMORY
from stepcheck.faces.options import BOOK, CODE, FIGURE, FORM, LEVEL, among, complain, flag, option, remark, say, write
from stepcheck.formats import reference
from stepcheck.formats.json import FIGURES as SCHEMA
from stepcheck.formats.json import cards_json, document, members
from stepcheck.formats.reference import SCHEMAS
from stepcheck.model import words
from stepcheck.model.dance import Figure, key
from stepcheck.model.findings import CODES
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import StepcheckError
from stepcheck.report.text import arrow, word

CODES_SCHEMA = "stepcheck-codes-1"


class NoSuchFigure(StepcheckError, LookupError):
    """A name that no book has."""


@click.command(short_help="Show the figures of the books, and check a book.")
@click.argument("names", nargs=-1, metavar="[NAME]", shell_complete=FIGURE)
@option("--book titles", "BOOK", "A shipped book, or a *.book file; again for more.", multiple=True, words=BOOK)
@option("--level", "LEVEL", "Only figures of at most this level, such as 'easy' or 'basic in convention'.", words=LEVEL)
@flag("--movements coded", "The codes of movements instead: form, foot, weight, place, readings.")
@option("--same-as", "NAME", "The figures that can stand in for this one: same effect, same length.", words=FIGURE)
@flag("--check lints", "Check the books that are named instead of a figure.")
@flag(
    "--impact compares", "OLD NEW PATH…: which of the sheets change verdict when the book NEW takes the place of OLD."
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


def _json(**members: Any) -> None:
    write(document(SCHEMA, **members))


# -- showing ---------------------------------------------------------------------------------------------------------


def _show(shelf: Book, name: str, level: str | None, form: str) -> int:
    exact = shelf.find(name) if name else ()
    codes = tuple(code for book in shelf.members or (shelf,) for code in forms.coded(book, name)) if name else ()
    like = (f for f in shelf.figures() if any(key(name) in key(known) for known in (f.name, *f.names)))
    found = tuple(figure for figure in like if figure not in exact)
    if level is not None:
        above = frozenset(too_hard(shelf, shelf.figures(), level))
        exact, found = (tuple(figure for figure in row if figure not in above) for row in (exact, found))
    if name and not exact and not codes and (not found or shelf.known(name)):
        return _unknown(shelf, name, level, form)
    if codes and not exact:
        found = ()
    if form == "json":
        shown = [cards.card(figure) for figure in (*exact, *(() if exact else found))]
        write(cards_json(shown, movements=codes))
        return 0
    for figure in exact:
        say(cards.told(cards.card(figure)))
    for code in codes:
        say(forms.told(code))
    if exact and found:
        say([f"also: {', '.join(dict.fromkeys(figure.name for figure in found))}"])
    elif found:
        say(_listed(found))
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
        rows = cards.columns([forms.HEADS, *map(forms.line, some)])
        say([f"{title}:", *(f"   {row}" for row in rows)] if some else [])
    return 0


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
        say([f"{name} is known by name, footwork not published: define it in the sheet, as you dance it"])
        named = (source if source == FROM_MEMORY else f"named in: {source}" for source in sources)
        say(f"   {line}" for line in (*lines, *named))
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
        groups = [([members(one, "name book") for one in group.figures], group.always) for group in found]
        _json(same=[{**first, "always": always, "figures": others} for (first, *others), always in groups])
        return 0
    for group in found:
        first, *others = group.figures
        card = cards.line(cards.card(first))
        how = "whatever the words in them are read as" if group.always else "as usually read"
        say([f"{first.name} (book {first.book}): {card[1]}, {card[2]}"])
        names = ", ".join(f"{other.name} from {other.book}" if shelf.members else other.name for other in others)
        say([f"   {how}: {names}" if others else "   nothing else does the same"])
    return 0


# -- checking and comparing ------------------------------------------------------------------------------------------


def _lint(titles: tuple[str, ...], form: str) -> int:
    if not titles:
        raise click.UsageError("--check takes at least one book")
    found = [one for title in titles for one in lint_book(books.load(title))]
    kinds = ["note" if word(one.code) == "note" else "mistake" for one in found]
    if form == "json":
        _json(diagnostics=found)
    else:
        for one, kind in zip(found, kinds, strict=True):
            place = f"{one.path}:{one.span.line}"
            say([f"{place}: {kind}: {one.message} [{one.code.id}]", *(f"   mend: {hint}" for hint in one.hints)])
    counts = ", ".join(words.count(kinds.count(kind), kind) for kind in ("mistake", "note"))
    remark(f"{words.count(len(titles), 'book')}: {counts}")
    return 1 if "mistake" in kinds else 0


def _impact(old: Book, new: Book, paths: tuple[str, ...], form: str) -> int:
    from stepcheck.catalogue.questions import survey_impact  # it checks sheets, which no other answer here needs

    found = survey_impact(old, new, paths)
    for path, reason in found.missing:
        complain(f"{path}: {reason}")
    if not found.changes and not found.missing:
        raise NoSuchFigure(f"none of the sheets uses the book {old.name}")
    if form == "json":
        _json(changes=found.changed, unconcerned=found.unconcerned)
    else:
        for change in found.changed:
            say([f"{change.path}: {_arrow(change.before, change.after)}"])
            say(f"   line {one.line}: {_arrow(one.before, one.after)}: {one.sentence}" for one in change.shifts)
    rest = f", {words.count(len(found.unconcerned), 'sheet')} without the book" if found.unconcerned else ""
    remark(f"{words.count(len(found.changes), 'sheet')}: {len(found.changed)} changed{rest}")
    return 2 if found.missing else 1 if any(change.worse for change in found.changed) else 0


def _arrow(*verdicts: Verdict | None) -> str:
    return arrow("not said" if verdict is None else verdict.word for verdict in verdicts)


@click.command("explain", short_help="Explain a code such as SR501.")
@click.argument("codes", nargs=-1, metavar="[CODE…]", shell_complete=CODE)
@among("--schema form", SCHEMAS, "Print the JSON Schema of a format instead.")
@among("--format layout", ("text", "json"), "What to print.", "text")
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
        say(f"{one.code} {one.name}" for one in pages)
    return 0
