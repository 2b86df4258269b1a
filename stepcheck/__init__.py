"""Checks before anybody dances it whether a step-dance routine works: feet, walls and beats.

`load` a sheet, `check` it, read the report; specs/library.md has every name.  Nothing heavy is imported before it is needed.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:  # what type checkers see, so that they find a name that there is none of
    from stepcheck.books.alike import Alike as Alike, lint_book as lint_book, same_as as same_as
    from stepcheck.books.book import Book as Book, load_book as load_book
    from stepcheck.books.cards import Card as Card, End as End, Meaning as Meaning, Pace as Pace, card as card
    from stepcheck.breaks.blanks import Blank as Blank, Filling as Filling
    from stepcheck.breaks.breaks import Breaks as Breaks, find_breaks as find_breaks
    from stepcheck.breaks.endings import break_after as break_after, find_endings as find_endings
    from stepcheck.breaks.fill import Fill as Fill, Filled as Filled, fill as fill
    from stepcheck.breaks.repertoire import Placed as Placed, Readings as Readings
    from stepcheck.breaks.requests import Break as Break
    from stepcheck.breaks.states import SearchError as SearchError, State as State
    from stepcheck.catalogue.cache import Cache as Cache, NotACache as NotACache
    from stepcheck.catalogue.discovery import NothingFound as NothingFound
    from stepcheck.catalogue.graph import (
        IllFormed as IllFormed, dot as dot, flow_graph as flow_graph, graphml as graphml, state_graph as state_graph,
        walls_within as walls_within,
    )
    from stepcheck.catalogue.impacts import Change as Change, Shift as Shift, impact as impact
    from stepcheck.catalogue.run import Catalogue as Catalogue, Failure as Failure, check_catalogue as check_catalogue
    from stepcheck.fixes.conflict import Conflict as Conflict, Held as Held
    from stepcheck.fixes.costs import CostError as CostError
    from stepcheck.fixes.fix import Evidence as Evidence, Fix as Fix, Repairs as Repairs, repair as repair
    from stepcheck.fixes.protected import NoSuchPart as NoSuchPart
    from stepcheck.formats.reference import NoSuchPage as NoSuchPage, Page as Page, explain as explain, schema as schema
    from stepcheck.formats.rendering import render as render
    from stepcheck.language.edits import Edit as Edit
    from stepcheck.language.layouts import NotUnderstood as NotUnderstood, format_text as format_text
    from stepcheck.model.choices import Engine as Engine, Format as Format, Reading as Reading
    from stepcheck.model.dance import (
        Action as Action, Actor as Actor, Figure as Figure, Foot as Foot, Level as Level, Movement as Movement, Sense as
        Sense, Version as Version, Weight as Weight, Word as Word,
    )
    from stepcheck.model.findings import (
        Code as Code, Diagnostic as Diagnostic, Severity as Severity, TraceRow as TraceRow,
    )
    from stepcheck.model.outcome import Verdict as Verdict
    from stepcheck.model.source import (
        Source as Source, SourceError as SourceError, Span as Span, StepcheckError as StepcheckError, WrongValue as
        WrongValue,
    )
    from stepcheck.program.header import Facts as Facts
    from stepcheck.program.routine import Routine as Routine
    from stepcheck.report.built import (
        BuildError as BuildError, Built as Built, block as block, figure as figure, line as line, part as part, sheet as
        sheet,
    )
    from stepcheck.report.json import FormatError as FormatError, from_json as from_json, to_json as to_json
    from stepcheck.report.leanings import Hang as Hang, Leaning as Leaning, Visit as Visit
    from stepcheck.report.pipeline import (
        UnknownOption as UnknownOption, check as check, check_file as check_file, check_text as check_text, load as
        load, loads as loads, script as script,
    )
    from stepcheck.report.values import ClaimReport as ClaimReport, Report as Report

    __version__: str
else:
    # The same names by module, each imported on first use.
    _ROWS = """
        books.alike: Alike lint_book same_as
        books.book: Book load_book
        books.cards: Card End Meaning Pace card
        breaks.blanks: Blank Filling
        breaks.breaks: Breaks find_breaks
        breaks.endings: break_after find_endings
        breaks.fill: Fill Filled fill
        breaks.repertoire: Placed Readings
        breaks.requests: Break
        breaks.states: SearchError State
        catalogue.cache: Cache NotACache
        catalogue.discovery: NothingFound
        catalogue.graph: IllFormed dot flow_graph graphml state_graph walls_within
        catalogue.impacts: Change Shift impact
        catalogue.run: Catalogue Failure check_catalogue
        fixes.conflict: Conflict Held
        fixes.costs: CostError
        fixes.fix: Evidence Fix Repairs repair
        fixes.protected: NoSuchPart
        formats.reference: NoSuchPage Page explain schema
        formats.rendering: render
        language.edits: Edit
        language.layouts: NotUnderstood format_text
        model.choices: Engine Format Reading
        model.dance: Action Actor Figure Foot Level Movement Sense Version Weight Word
        model.findings: Code Diagnostic Severity TraceRow
        model.outcome: Verdict
        model.source: Source SourceError Span StepcheckError WrongValue
        program.header: Facts
        program.routine: Routine
        report.built: BuildError Built block figure line part sheet
        report.json: FormatError from_json to_json
        report.leanings: Hang Leaning Visit
        report.pipeline: UnknownOption check check_file check_text load loads script
        report.values: ClaimReport Report
    """
    _HOMES = {
        name: f"stepcheck.{home.strip()}"
        for home, _, names in (row.partition(":") for row in _ROWS.strip().splitlines())
        for name in names.split()
    }
    __all__ = sorted(_HOMES)

    def __getattr__(name):
        """Return a public name from the module that holds it, imported on first use."""
        from importlib import import_module

        if name == "__version__":
            return import_module("stepcheck.report.release").VERSION
        if name not in _HOMES:
            raise AttributeError(f"module 'stepcheck' has no attribute {name!r}")
        value = globals()[name] = getattr(import_module(_HOMES[name]), name)
        return value

    def __dir__():
        return sorted([*__all__, "__version__"])
