"""Checks before anybody dances it whether a step-dance routine works: feet, walls and beats.

`load` a sheet, `check` it, read the report; specs/library.md has every name.  Nothing heavy is imported before it is
needed.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:  # what type checkers see, so that they find a name that there is none of
    from stepcheck.books.book import Book as Book
    from stepcheck.books.book import load_book as load_book
    from stepcheck.books.cards import Alike as Alike
    from stepcheck.books.cards import Card as Card
    from stepcheck.books.cards import End as End
    from stepcheck.books.cards import Meaning as Meaning
    from stepcheck.books.cards import Pace as Pace
    from stepcheck.books.cards import card as card
    from stepcheck.books.cards import same_as as same_as
    from stepcheck.books.lint import lint_book as lint_book
    from stepcheck.breaks.blanks import Blank as Blank
    from stepcheck.breaks.blanks import Filling as Filling
    from stepcheck.breaks.breaks import Breaks as Breaks
    from stepcheck.breaks.breaks import find_breaks as find_breaks
    from stepcheck.breaks.endings import break_after as break_after
    from stepcheck.breaks.endings import find_endings as find_endings
    from stepcheck.breaks.fill import Fill as Fill
    from stepcheck.breaks.fill import Filled as Filled
    from stepcheck.breaks.fill import fill as fill
    from stepcheck.breaks.requests import Break as Break
    from stepcheck.breaks.states import Placed as Placed
    from stepcheck.breaks.states import Readings as Readings
    from stepcheck.breaks.states import State as State
    from stepcheck.catalogue.cache import Cache as Cache
    from stepcheck.catalogue.cache import NotACache as NotACache
    from stepcheck.catalogue.discovery import NothingFound as NothingFound
    from stepcheck.catalogue.graph import IllFormed as IllFormed
    from stepcheck.catalogue.graph import dot as dot
    from stepcheck.catalogue.graph import flow_graph as flow_graph
    from stepcheck.catalogue.graph import graphml as graphml
    from stepcheck.catalogue.graph import state_graph as state_graph
    from stepcheck.catalogue.graph import svg as svg
    from stepcheck.catalogue.graph import walls_within as walls_within
    from stepcheck.catalogue.questions import Change as Change
    from stepcheck.catalogue.questions import Shift as Shift
    from stepcheck.catalogue.questions import impact as impact
    from stepcheck.catalogue.relations import likeness_graph as likeness_graph
    from stepcheck.catalogue.relations import medley_graph as medley_graph
    from stepcheck.catalogue.relations import use_graph as use_graph
    from stepcheck.catalogue.run import Catalogue as Catalogue
    from stepcheck.catalogue.run import Failure as Failure
    from stepcheck.catalogue.run import check_catalogue as check_catalogue
    from stepcheck.drafts.draft import Draft as Draft
    from stepcheck.drafts.draft import Drafted as Drafted
    from stepcheck.drafts.draft import draft as draft
    from stepcheck.fixes.conflict import Conflict as Conflict
    from stepcheck.fixes.conflict import Held as Held
    from stepcheck.fixes.fix import repair as repair
    from stepcheck.fixes.protected import NoSuchPart as NoSuchPart
    from stepcheck.fixes.repairs import CostError as CostError
    from stepcheck.fixes.repairs import Evidence as Evidence
    from stepcheck.fixes.repairs import Fix as Fix
    from stepcheck.fixes.repairs import Repairs as Repairs
    from stepcheck.fixes.repairs import Single as Single
    from stepcheck.floor.calls import Call as Call
    from stepcheck.floor.calls import Calls as Calls
    from stepcheck.floor.calls import calls as calls
    from stepcheck.floor.care import Care as Care
    from stepcheck.floor.care import care as care
    from stepcheck.floor.fit import Fitted as Fitted
    from stepcheck.floor.fit import fit as fit
    from stepcheck.floor.handout import Handout as Handout
    from stepcheck.floor.handout import Piece as Piece
    from stepcheck.floor.handout import Turn as Turn
    from stepcheck.floor.handout import Way as Way
    from stepcheck.floor.handout import handout as handout
    from stepcheck.floor.practice import Drill as Drill
    from stepcheck.floor.practice import Join as Join
    from stepcheck.floor.practice import Lesson as Lesson
    from stepcheck.floor.practice import Loop as Loop
    from stepcheck.floor.practice import Practice as Practice
    from stepcheck.floor.practice import practise as practise
    from stepcheck.floor.stretches import Stretch as Stretch
    from stepcheck.formats.handout import handout_html as handout_html
    from stepcheck.formats.handout import handout_svg as handout_svg
    from stepcheck.formats.json import FormatError as FormatError
    from stepcheck.formats.json import from_json as from_json
    from stepcheck.formats.json import to_json as to_json
    from stepcheck.formats.reference import NoSuchPage as NoSuchPage
    from stepcheck.formats.reference import Page as Page
    from stepcheck.formats.reference import explain as explain
    from stepcheck.formats.reference import schema as schema
    from stepcheck.formats.renderers import render as render
    from stepcheck.language.edits import Edit as Edit
    from stepcheck.model.choices import Engine as Engine
    from stepcheck.model.choices import Format as Format
    from stepcheck.model.choices import Reading as Reading
    from stepcheck.model.dance import Action as Action
    from stepcheck.model.dance import Figure as Figure
    from stepcheck.model.dance import Foot as Foot
    from stepcheck.model.dance import Level as Level
    from stepcheck.model.dance import Version as Version
    from stepcheck.model.dance import Weight as Weight
    from stepcheck.model.dance import Word as Word
    from stepcheck.model.findings import Code as Code
    from stepcheck.model.findings import Diagnostic as Diagnostic
    from stepcheck.model.findings import Hint as Hint
    from stepcheck.model.findings import Patch as Patch
    from stepcheck.model.findings import Severity as Severity
    from stepcheck.model.findings import TraceRow as TraceRow
    from stepcheck.model.movements import Actor as Actor
    from stepcheck.model.movements import Movement as Movement
    from stepcheck.model.movements import Sense as Sense
    from stepcheck.model.outcome import Verdict as Verdict
    from stepcheck.model.source import SearchError as SearchError
    from stepcheck.model.source import Source as Source
    from stepcheck.model.source import SourceError as SourceError
    from stepcheck.model.source import Span as Span
    from stepcheck.model.source import StepcheckError as StepcheckError
    from stepcheck.model.source import WrongValue as WrongValue
    from stepcheck.music.strains import NoSong as NoSong
    from stepcheck.music.strains import Section as Section
    from stepcheck.music.strains import Song as Song
    from stepcheck.program.formatter import NotUnderstood as NotUnderstood
    from stepcheck.program.formatter import format_text as format_text
    from stepcheck.program.header import Facts as Facts
    from stepcheck.program.routine import Routine as Routine
    from stepcheck.report.built import BuildError as BuildError
    from stepcheck.report.built import Built as Built
    from stepcheck.report.built import block as block
    from stepcheck.report.built import figure as figure
    from stepcheck.report.built import line as line
    from stepcheck.report.built import part as part
    from stepcheck.report.built import sheet as sheet
    from stepcheck.report.certificates import Uncertified as Uncertified
    from stepcheck.report.finish import Finish as Finish
    from stepcheck.report.leanings import Hang as Hang
    from stepcheck.report.leanings import Leaning as Leaning
    from stepcheck.report.leanings import Visit as Visit
    from stepcheck.report.pipeline import UnknownOption as UnknownOption
    from stepcheck.report.pipeline import certificate as certificate
    from stepcheck.report.pipeline import check as check
    from stepcheck.report.pipeline import check_file as check_file
    from stepcheck.report.pipeline import check_text as check_text
    from stepcheck.report.pipeline import load as load
    from stepcheck.report.pipeline import loads as loads
    from stepcheck.report.pipeline import script as script
    from stepcheck.report.values import ClaimReport as ClaimReport
    from stepcheck.report.values import Report as Report

    __version__: str
else:
    # The same names by module, each imported on first use.
    _ROWS = """
        books.book: Book load_book
        books.cards: Alike Card End Meaning Pace card same_as
        books.lint: lint_book
        breaks.blanks: Blank Filling
        breaks.breaks: Breaks find_breaks
        breaks.endings: break_after find_endings
        breaks.fill: Fill Filled fill
        breaks.requests: Break
        breaks.states: Placed Readings State
        catalogue.cache: Cache NotACache
        catalogue.discovery: NothingFound
        catalogue.graph: IllFormed dot flow_graph graphml state_graph svg walls_within
        catalogue.questions: Change Shift impact
        catalogue.relations: likeness_graph medley_graph use_graph
        catalogue.run: Catalogue Failure check_catalogue
        drafts.draft: Draft Drafted draft
        fixes.conflict: Conflict Held
        fixes.fix: repair
        fixes.repairs: CostError Evidence Fix Repairs Single
        fixes.protected: NoSuchPart
        floor.calls: Call Calls calls
        floor.care: Care care
        floor.handout: Handout Piece Turn Way handout
        floor.practice: Drill Join Lesson Loop Practice practise
        floor.stretches: Stretch
        formats.handout: handout_html handout_svg
        floor.fit: Fitted fit
        formats.json: FormatError from_json to_json
        formats.reference: NoSuchPage Page explain schema
        formats.renderers: render
        language.edits: Edit
        model.choices: Engine Format Reading
        model.dance: Action Figure Foot Level Version Weight Word
        model.findings: Code Diagnostic Hint Patch Severity TraceRow
        model.movements: Actor Movement Sense
        model.outcome: Verdict
        model.source: SearchError Source SourceError Span StepcheckError WrongValue
        music.strains: NoSong Section Song
        program.formatter: NotUnderstood format_text
        program.header: Facts
        program.routine: Routine
        report.certificates: Uncertified
        report.built: BuildError Built block figure line part sheet
        report.finish: Finish
        report.leanings: Hang Leaning Visit
        report.pipeline: UnknownOption certificate check check_file check_text load loads script
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
