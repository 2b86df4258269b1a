"""One sheet from its text to a report, every refutation danced by the judge before anybody sees it."""

import os
from itertools import chain
from typing import TYPE_CHECKING, Any

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.books.footwork import Words, danced
from stepcheck.language import files, parser
from stepcheck.model.choices import ENGINES, READINGS, Engine, Reading
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.dance import Program
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.outcome import Outcome, Replay, Verdict
from stepcheck.model.source import BOOK, ROUTINE, Source, StepcheckError, require
from stepcheck.model.work import Work, WorkSpent
from stepcheck.program.routine import Routine, elaborate
from stepcheck.report import notes
from stepcheck.report.sentences import explain, sentence
from stepcheck.report.values import VERSION, Leaning, Report, build, finish
from stepcheck.report.wording import Scene, scene
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import Survey, danced_wrongly, trace, walk

# What only a mistake, or a word that is read in several ways, asks for is loaded where it is used.
if TYPE_CHECKING:
    from stepcheck.report.readings import View


class UnknownOption(StepcheckError, ValueError):
    """An option has a value that it cannot have."""


class Disagreement(Exception):
    """The engines, or an engine and the judge, do not agree about a claim."""

    def __init__(self, claim: Claim, message: str) -> None:
        super().__init__(message)
        self.claim = claim


def load(path: str | os.PathLike[str], *, readings: Reading = "usual", book: Book | None = None) -> Routine:
    """Return the routine in a file; its `diagnostics` say what is wrong with it.

    Args:
        path: the file.
        readings: "usual" lets the usual reading of a word hold where nothing settles it, "all" leaves it open; "report"
            is as "usual", and the report says what a dancer who reads words otherwise does wrong.
        book: a book to use instead of the one that the header names.

    Raises:
        SourceError: the file cannot be read.
    """
    source, found = files.read(path)
    return _routine(source, found, readings, book)


def loads(text: str | bytes, *, path: str = "<text>", readings: Reading = "usual", book: Book | None = None) -> Routine:
    """Return the routine that a text describes; as `load`, with the name to call it by."""
    require(text, str | bytes, "the text of a sheet; `load` takes the path of one")
    source, found = files.decode(text, path) if isinstance(text, bytes) else files.take(text, path)
    return _routine(source, found, readings, book)


def _routine(source: Source, found: tuple[Diagnostic, ...], readings: Reading, book: Book | None) -> Routine:
    if readings not in READINGS:
        raise UnknownOption(f"words are not read {readings!r}; it is one of {', '.join(READINGS)}")
    require(book, Book | None, BOOK)
    sheet, wrong = parser.parse(source)
    return elaborate(sheet, found + wrong, readings=readings, book=book)


def check(
    routine: Routine, *, engine: Engine = "both", budget: int | None = None, algebra: Algebra | None = None
) -> Report:
    """Decide every claim of a routine.

    Args:
        routine: as `load` returns it.
        engine: "walk", "z3", or "both", which must agree.
        budget: how much work the sheet may cost: items walked over, and solver resources a question.
        algebra: effects to be shared by many checks of one thread.

    Raises:
        UnknownOption: there is no such engine.
    """
    return examine(routine, engine=engine, budget=budget, algebra=algebra)[0]


def examine(
    routine: Routine, *, engine: Engine = "both", budget: int | None = None, algebra: Algebra | None = None
) -> tuple[Report, tuple[Outcome, ...]]:
    """Return the report, as `check`, and beside it the outcome of every claim with the dances that refute it."""
    require(routine, Routine, ROUTINE)
    if engine not in ENGINES:
        raise UnknownOption(f"there is no engine {engine!r}; the engines are {', '.join(ENGINES)}")
    algebra = algebra or Algebra()  # one sheet is walked again and again, and most effects are the same
    program = routine.program
    source = routine.sheet.source
    rest: dict[str, Any] = {"engine": engine, "versions": versions(engine != "walk"), "readings": routine.readings}
    if program is None:
        found = (*routine.diagnostics, *_wrong_lengths(routine, budget, algebra))
        return build(source, routine.title, diagnostics=found, **rest), ()
    opened = _opened(routine, program, budget, algebra)
    try:
        outcomes, replays = decide(program, engine, budget, algebra, opened.survey if opened else None)
    except Disagreement as error:
        message = f"{error}; this is a mistake of stepcheck, not of the sheet"
        span = source.whole_line(error.claim.line)
        wrong = Diagnostic(CODES["engines-disagree"], source.path, span, message, claim=error.claim.id)
        return build(source, routine.title, diagnostics=(wrong,), **rest), ()
    view = scene(routine.sheet, program)
    told = tuple(
        sentence(view, claim, outcome.verdict, replays.get(claim.id, ()), outcome.causes)
        for claim, outcome in zip(program.claims, outcomes, strict=True)
    )
    figures = danced(program)
    leaning, noted = _leaning(routine, view, outcomes, opened, budget, algebra, figures)
    spoken = explain(view, outcomes, replays)
    if replays:
        from stepcheck.report import bearing

        if len(replays) > 1:
            echoes = bearing.echoes(program, outcomes, budget=budget, algebra=algebra)
            spoken = bearing.echoed(spoken, echoes, program.claims)
        parted = bearing.splits(program, outcomes, budget=budget, algebra=algebra)
        spoken = bearing.parted(view, spoken, parted)
    said = spoken, notes.notes(routine.sheet, program, figures, routine.facts.song), noted
    findings = (*routine.diagnostics, *chain.from_iterable(said))
    end = finish(program, view.clock, routine.facts.tempo)
    report = build(source, routine.title, program.claims, outcomes, told, findings, leaning=leaning, finish=end, **rest)
    return report, outcomes


def _wrong_lengths(routine: Routine, budget: int | None, algebra: Algebra | None) -> tuple[Diagnostic, ...]:
    """Return the findings on lengths that are refuted, of a sheet in which only a cut splits a turn."""
    if routine.lengths is None:
        return ()
    outcomes, replays = decide(routine.lengths, "walk", budget, algebra)
    found = explain(scene(routine.sheet, routine.lengths), outcomes, replays)
    return tuple(one for one in found if one.claim in replays)


def _opened(routine: Routine, program: Program, budget: int | None, algebra: Algebra) -> "View | None":
    """Return the dance with its open words surveyed; None where there are none, or that is more than may be spent."""
    if not routine.words:
        return None
    from stepcheck.report.readings import opened_up

    return opened_up(program, routine.words, budget=budget, algebra=algebra)


def _leaning(
    routine: Routine,
    view: Scene,
    outcomes: tuple[Outcome, ...],
    opened: "View | None",
    budget: int | None,
    algebra: Algebra | None,
    figures: notes.Danced,
) -> tuple[Leaning, tuple[Diagnostic, ...]]:
    """Return the dependence of the verdicts on open words, and the notes about it."""
    source = routine.sheet.source
    if not routine.words:
        return Leaning(), ()
    if opened is None:
        return Leaning(decided=False), ()
    from stepcheck.report.readings import hangs_of, lean

    if routine.readings == "usual":
        hangs = hangs_of(opened)
        verdict = max((outcome.verdict for outcome in outcomes), default=Verdict.PROVED)
        note = notes.usual_reading(source, figures, hangs, verdict)
        return Leaning(hangs), (note,) if note else ()
    leaning = lean(opened, view)
    if leaning.settle and not _is_safe(routine, leaning, opened, budget, algebra):
        leaning = evolve(leaning, settle=(), helps=False)
    return leaning, notes.reading_left_out(source, opened.words)


def _is_safe(routine: Routine, leaning: Leaning, opened: "View", budget: int | None, algebra: Algebra | None) -> bool:
    """Say whether the sheet with the header lines of a clarification is right in all readings, as far as it can be."""
    from stepcheck.report.readings import settled

    clear = _routine(*files.take(settled(routine.sheet, leaning.settle), routine.path), "all", routine.facts.book)
    if clear.program is None:
        return False
    again = walk(clear.program, budget=budget, algebra=algebra)
    return all(outcome.verdict in (Verdict.PROVED, Verdict.VACUOUS) or opened.never(outcome.claim) for outcome in again)


def check_file(
    path: str | os.PathLike[str],
    *,
    engine: Engine = "both",
    budget: int | None = None,
    readings: Reading = "usual",
    book: Book | None = None,
    smt2: str | None = None,
    certificate: str | None = None,
    algebra: Algebra | None = None,
) -> Report:
    """Return the report on the sheet in a file; arguments as for `load` and `check`.

    Args:
        smt2: a folder, made if it is not there, for the proof as an SMT-LIB 2 script named after the sheet.
        certificate: the same for its certificate; none is written where `certificate` says that there is none.

    Raises:
        SourceError: the file cannot be read, or a proof cannot be written or is there already.
    """
    return _checked(load(path, readings=readings, book=book), engine, budget, algebra, smt2, certificate)


def check_text(
    text: str | bytes,
    *,
    path: str = "<text>",
    engine: Engine = "both",
    budget: int | None = None,
    readings: Reading = "usual",
    book: Book | None = None,
    smt2: str | None = None,
    certificate: str | None = None,
    algebra: Algebra | None = None,
) -> Report:
    """Return the report on a text; arguments as for `check_file`."""
    return _checked(loads(text, path=path, readings=readings, book=book), engine, budget, algebra, smt2, certificate)


def _checked(
    routine: Routine, engine: Engine, budget: int | None, algebra: Algebra | None, *into: str | None
) -> Report:
    report, outcomes = examine(routine, engine=engine, budget=budget, algebra=algebra)
    for path in files.beside((routine.path,), into[0], made=True).values():
        write_script(routine, path)
    for path in files.beside((routine.path,), into[1], files.CERTIFICATE, made=True).values():
        from stepcheck.report import certificates

        certificates.write(routine, outcomes, path)
    return report


def certificate(routine: Routine, *, engine: Engine = "both", budget: int | None = None) -> str:
    """Return the certificate of a sheet, which `python -m stepcheck.certify` checks; arguments as for `check`.

    Raises:
        Uncertified: the sheet has something that certificates do not cover.
    """
    from stepcheck.report import certificates

    return certificates.certificate(routine, examine(routine, engine=engine, budget=budget)[1])


def script(routine: Routine) -> str:
    """Return the SMT-LIB 2 script for z3: unsatisfiable if every claim that is reached holds; empty if ill-formed."""
    from stepcheck.proof.decide import script as stated

    require(routine, Routine, ROUTINE)
    return "" if routine.program is None else stated(routine.program)


def write_script(routine: Routine, path: str, *, force: bool = False) -> None:
    """Write the script of a routine to a file, if the routine is well-formed; `force` says to replace one that is
    there.

    Raises:
        SourceError: it cannot be written, or is there already.
    """
    if routine.program is not None:
        files.write(path, script(routine).encode("utf-8", "backslashreplace"), force=force)


# -- deciding --------------------------------------------------------------------------------------------------------


def decide(
    program: Program,
    engine: Engine = "both",
    budget: int | None = None,
    algebra: Algebra | None = None,
    known: Survey | None = None,
) -> tuple[tuple[Outcome, ...], dict[str, tuple[Replay, ...]]]:
    """Return the outcome of every claim, and the replays of those refuted; arguments as for `check` and `walk`.

    Raises:
        Disagreement: the engines differ, or the judge finds that a refuted claim holds.
    """
    outcomes = _by_engine(program, engine, budget, algebra, known)
    refuted = frozenset(outcome.claim for outcome in outcomes if outcome.verdict is Verdict.REFUTED)
    if not refuted:
        return outcomes, {}
    from stepcheck.report import bearing
    from stepcheck.report.certify import EFFORT, Rejected, confirm

    effort = Work(EFFORT)
    open_ = refuted | {outcome.claim for outcome in outcomes if outcome.verdict is Verdict.UNDECIDED}
    replays: dict[str, tuple[Replay, ...]] = {}
    shown = list(outcomes)
    for number, (claim, outcome) in enumerate(zip(program.claims, outcomes, strict=True)):
        try:
            if outcome.verdict is Verdict.REFUTED:
                excused = _excused(program, claim, outcomes, outcome.traces[0].words if outcome.traces else ())
                replays[claim.id] = confirm(program, claim, outcome.traces, open_, excused, effort)
        except Rejected as error:
            message = f"{claim.text!r} was found to be wrong, but danced step by step {error}"
            raise Disagreement(claim, message) from error
        except WorkSpent:
            shown[number] = Outcome(claim.id, Verdict.UNDECIDED, reason="budget")
    refuted, order = frozenset(replays), bearing.order(program)
    out = []
    for claim, outcome in zip(program.claims, shown, strict=True):
        causes = bearing.causes(program, claim, refuted, shown)
        out.append(evolve(outcome, mended=bearing.mended(program, claim, refuted, order), causes=causes))
    return tuple(out), replays


def _by_engine(
    program: Program, engine: Engine, budget: int | None, algebra: Algebra | None, known: Survey | None
) -> tuple[Outcome, ...]:
    """Return the outcomes of the chosen engine, or of both where they agree."""
    walked = () if engine == "z3" else walk(program, budget=budget, algebra=algebra, known=known)
    if engine == "walk":
        return walked
    from stepcheck.proof.decide import decide as prove

    found = prove(program, budget)
    if engine == "both":
        found = tuple(_agreed(*three) for three in zip(program.claims, walked, found, strict=True))
    refuted = frozenset(outcome.claim for outcome in found if outcome.verdict is Verdict.REFUTED)
    shown: dict[str, Outcome] = {}
    for claim, outcome in sorted(zip(program.claims, found, strict=True), key=lambda two: two[0].kind is Kind.WALLS):
        shown[claim.id] = _shown(program, claim, outcome, refuted, tuple(shown.values()))
    return tuple(shown[claim.id] for claim in program.claims)


def _excused(program: Program, claim: Claim, known: tuple[Outcome, ...], readings: tuple[int, ...]) -> frozenset[str]:
    """Return the claims whose feet need not be free in a pass for its steps alone, where a claim is about walls."""
    return danced_wrongly(program, known, readings) if claim.kind is Kind.WALLS else frozenset()


def _shown(
    program: Program, claim: Claim, outcome: Outcome, refuted: frozenset[str], known: tuple[Outcome, ...]
) -> Outcome:
    """Return an outcome with the dances that refute its claim, since z3 only says that there are some.

    `known` are the outcomes of the claims before it.
    Nothing is refuted that no dance shows: where none is found within the budget of the search, the claim is undecided.
    """
    if outcome.verdict is not Verdict.REFUTED or outcome.traces or claim.kind is Kind.FIGURE:
        return outcome
    words = Words(program)
    left = words.every
    while left:
        number = words.least(left)
        left &= ~(1 << number)
        readings = words.readings(number)
        excused = _excused(program, claim, known, readings)
        traces = trace(program, claim.id, refuted, excused, readings=readings)
        if traces:
            return evolve(outcome, traces=traces)
    return Outcome(claim.id, Verdict.UNDECIDED, reason="budget")


def _agreed(claim: Claim, one: Outcome, other: Outcome) -> Outcome:
    """Return the outcome that both engines have come to.

    One that ran out of budget leaves the claim undecided, unless the other refutes it, since a dance will show that.
    The walk joins what it cannot tell apart after a blank, so it may leave open what the solver decides.
    """
    if one.verdict is other.verdict:
        return one
    for outcome, beside in ((one, other), (other, one)):
        if outcome.verdict is Verdict.UNDECIDED and outcome.reason == "budget":
            return beside if beside.verdict is Verdict.REFUTED else outcome
    if one.verdict is Verdict.UNDECIDED and one.reason == "blank":
        return other
    message = f"one engine says that {claim.text!r} is {one.verdict.word}, the other {other.verdict.word}"
    raise Disagreement(claim, message)


def versions(solver: bool) -> tuple[tuple[str, str], ...]:
    """Return the versions of the programs that decide; that of the solver where it has been asked."""
    if not solver:
        return (("stepcheck", VERSION),)
    from stepcheck.proof.solving import version

    return (("stepcheck", VERSION), ("z3", version()))
