"""The report on a sheet as a value: its claims and findings, what hangs on readings, and how the dance ends."""

from collections.abc import Iterable, Iterator, Mapping, Set
from fractions import Fraction
from typing import Any

from attrs import field, frozen

from stepcheck.model import words
from stepcheck.model.choices import Engine, Reading
from stepcheck.model.claims import Claim
from stepcheck.model.dance import EIGHTHS, TICKS, Program
from stepcheck.model.findings import Diagnostic
from stepcheck.model.items import every_item, is_blank
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.model.source import Source
from stepcheck.model.statuses import FAILED, STATUS
from stepcheck.report.text import text, word
from stepcheck.walk.ends import ends

VERSION = "0.1.0"  # which the build reads too: looking it up in the installation is slow
MOST_LENGTHS = 4  # one by one; of more, the shortest and the longest


def _pairs(value: Mapping[str, object] | Iterable[tuple[str, object]]) -> tuple[tuple[str, object], ...]:
    return tuple(value.items() if isinstance(value, Mapping) else value)


@frozen
class ClaimReport:
    """The answer to one claim.

    Attributes:
        id: the claim's id, which stays when other lines change.
        kind: what it is about, such as `length` or `free foot`; specs/report.schema.json lists them.
        text: how the sheet has it.
        line: where it stands, from 1.
        verdict: how it stands.
        sentence: what is to be said about it.
        mended: ids of claims taken as true on the way.
        reason: why it is undecided: `blank` or `budget`; else empty.
    """

    id: str
    kind: str
    text: str
    line: int
    verdict: Verdict
    sentence: str
    mended: tuple[str, ...] = ()
    reason: str = ""


class Printed:
    """A value whose text, that of `print`, rich and notebooks show as well."""

    __slots__ = ()

    def __rich_console__(self, console: Any, options: Any) -> Iterator[Any]:
        """The text for rich, which asks for it by this name and would take brackets for marks."""
        yield from console.render(str(self), options.update(markup=False, highlight=False))

    def _repr_html_(self) -> str:
        """The text for notebooks, which ask for it by this name."""
        from html import escape

        return f"<pre>{escape(str(self))}</pre>"


@frozen
class Hang:
    """Words that change a verdict when they are not read as usual, and no fewer of them do.

    Attributes:
        words: the words.
        readings: the ways to read them that do so, each with a label for each word.
        claims: the ids of the claims whose verdict changes.
    """

    words: tuple[str, ...]
    readings: tuple[tuple[str, ...], ...]
    claims: tuple[str, ...]


@frozen
class Visit:
    """The first mistake of a dancer from elsewhere, who reads some words otherwise.

    Attributes:
        words: the words that this dancer reads otherwise.
        readings: how, a label for each.
        line: the line where the dancer parts from the others, from 1.
        beat: when, counted from 1 since the start of the dance, as text.
        figure: what is danced there.
        claim: the id of the first claim that fails.
        claim_line: where it stands, from 1.
        sentence: what is to be said about it.
    """

    words: tuple[str, ...]
    readings: tuple[str, ...]
    line: int
    beat: str
    figure: str
    claim: str
    claim_line: int
    sentence: str


@frozen
class Leaning:
    """The dependence of one sheet on readings.

    Attributes:
        hangs: the smallest sets of words on which a verdict hangs, fewest words first, then in the order of the sheet.
        matter: the unsettled words that change a verdict, perhaps only where others are read otherwise too.
        idle: those that change nothing here, however any word is read.
        settle: pairs of a word and a label, the shortest clarification: header lines under which every claim that can
            hold holds, whatever the other words are read as; empty where none is needed or none helps.
        helps: whether one helps.
        shortest: whether no shorter one was left untried.
        visits: the dancers from elsewhere.
        decided: whether the combinations were looked at; where there are too many, nothing else is known.
    """

    hangs: tuple[Hang, ...] = ()
    matter: tuple[str, ...] = ()
    idle: tuple[str, ...] = ()
    settle: tuple[tuple[str, str], ...] = ()
    helps: bool = True
    shortest: bool = True
    visits: tuple[Visit, ...] = ()
    decided: bool = True


@frozen
class Finish:
    """The end of a dance by its steps alone, whatever the sheet claims; words are read as usual.

    Attributes:
        lengths: how many beats it can last in all, rising; empty where that is open. What goes on until the music ends
            is not counted.
        feet: the feet that can be free at the end: `left`, `right`, `none`.
        facings: the walls that can be faced at the end, in words.
        rounds: how many beats a time round of what goes on until the music ends can last; None where nothing does,
            empty where it is open.
        unit: what they are called: `beats` or `counts`.
        tempo: beats a minute; None where the sheet says nothing.
        blanks: on how many lines something is to be found.
    """

    lengths: tuple[Fraction, ...]
    feet: tuple[str, ...]
    facings: tuple[str, ...]
    rounds: tuple[Fraction, ...] | None = None
    unit: str = "beats"
    tempo: Fraction | None = None
    blanks: int = 0

    def __str__(self) -> str:
        """The line above the verdict of a sheet."""
        if self.rounds is None:
            said = self._lasting(self.lengths, " in all")
        else:
            said = self._lasting(self.rounds, " each time round until the music ends")
            said = said if self.lengths == (Fraction(),) else f"{self._lasting(self.lengths)}, then {said}"
        feet = [foot for foot in self.feet if foot != "none"]
        none = ", or none" if 0 < len(feet) < len(self.feet) else ""
        free = f"{words.listed(feet or ['no' for _ in self.feet], 'or')} foot free{none}"
        walls = "any wall" if len(self.facings) == EIGHTHS else words.listed(self.facings, "or")
        left = f"; {words.count(self.blanks, 'line')} to fill" if self.blanks else ""
        return f"{said}; ends facing {walls}, {free}{left}"

    def _lasting(self, lengths: tuple[Fraction, ...], how: str = "") -> str:
        """Return lengths with the time that they take."""
        if not lengths:
            return f"an open number of {self.unit}{how}"
        far = len(lengths) > MOST_LENGTHS
        shown = (lengths[0], lengths[-1]) if far else lengths
        numbers = [f"{one.numerator:,}" if one.denominator == 1 else words.number(one) for one in shown]
        seconds = [round(one * 60 / self.tempo) if self.tempo else 0 for one in shown]
        times = [f"{one // 60}:{one % 60:02}" for one in seconds]
        said = " to ".join(numbers) if far else words.listed(numbers, "or")
        time = " to ".join(times) if far else words.listed(list(dict.fromkeys(times)), "or")
        unit = self.unit.removesuffix("s") if shown == (Fraction(1),) else self.unit
        return f"{said} {unit}{how}" + (f" ({time} at {words.number(self.tempo)})" if self.tempo else "")


@frozen
class Report(Printed):
    """The answer about one sheet; printed, it is the text of the command.

    Attributes:
        path: the sheet.
        title: the name of the routine.
        verdict: the worst of the claims, or ill-formed.
        claims: the answers to the claims, in the order of the sheet.
        diagnostics: the findings and notes, in the order of their places.
        engine: who decided.
        effort: pairs of a kind of work and how often it was done.
        versions: pairs of a program and its version: what decided.
        quotes: pairs of a line's number and the line: those that a finding about the writing points into.
        readings: how words that nothing settles were read.
        leaning: what hangs on how they are read.
        finish: how long the dance is and how it ends; None of a sheet that is ill-formed.
    """

    path: str
    title: str
    verdict: Verdict
    claims: tuple[ClaimReport, ...] = ()
    diagnostics: tuple[Diagnostic, ...] = ()
    engine: Engine = "both"
    effort: tuple[tuple[str, int], ...] = field(default=(), converter=_pairs)
    versions: tuple[tuple[str, str], ...] = field(default=(), converter=_pairs)
    quotes: tuple[tuple[int, str], ...] = ()
    readings: Reading = "usual"
    leaning: Leaning = Leaning()
    finish: Finish | None = None

    def __str__(self) -> str:
        """The text that the command prints."""
        return text((self,)).rstrip("\n")

    @property
    def hangs(self) -> tuple[Hang, ...]:
        """The smallest sets of words that change a verdict when they are not read as usual."""
        return self.leaning.hangs

    @property
    def exit_status(self) -> int:
        """0 all proved, 1 refuted, vacuous or ill-formed, 3 something undecided, 2 stepcheck itself failed."""
        own_fault = any(finding.code.id.startswith("SR9") for finding in self.diagnostics)
        return FAILED if own_fault else STATUS[self.verdict]


def build(
    source: Source,
    title: str = "",
    claims: tuple[Claim, ...] = (),
    outcomes: tuple[Outcome, ...] = (),
    sentences: tuple[str, ...] = (),
    diagnostics: Iterable[Diagnostic] = (),
    **rest: Any,
) -> Report:
    """Return the report on a sheet; `outcomes` and `sentences` are in the order of `claims`, `rest` are its fields."""
    told = tuple(
        ClaimReport(
            claim.id, claim.kind.value, claim.text, claim.line, outcome.verdict, said, outcome.mended, outcome.reason
        )
        for claim, outcome, said in zip(claims, outcomes, sentences, strict=True)
    )
    found = tuple(sorted(diagnostics, key=lambda finding: finding.sort_key))
    verdicts = [claim.verdict for claim in told]
    verdicts += [Verdict.ILL_FORMED for finding in found if word(finding.code) == Verdict.ILL_FORMED.word]
    verdicts += [Verdict.UNDECIDED for finding in found if finding.code.id.startswith("SR9")]
    spans = [finding.span for finding in found if word(finding.code) == Verdict.ILL_FORMED.word]
    quotes = tuple((line, source.line(line)) for line in sorted({span.line for span in spans}))
    worst = max(verdicts, default=Verdict.PROVED)
    return Report(source.path, title, worst, told, found, quotes=quotes, **rest)


def summary(reports: Iterable[Report], failed: int = 0) -> str:
    """Return the one line that ends a run: `12 sheets: 11 proved, 1 undecided`, with how many could not be checked."""
    tally = dict.fromkeys(reversed(Verdict), 0)
    for report in reports:
        tally[report.verdict] += 1
    counts = [f"{number:,} {verdict.word}" for verdict, number in reversed(tally.items()) if number]
    rest = f"; {failed} could not be checked" if failed else ""
    return words.count(sum(tally.values()), "sheet") + (f": {', '.join(counts)}" if counts else "") + rest


def finish(program: Program, clock: bool, tempo: Fraction | None) -> Finish | None:
    """Return how a dance ends; None where nothing is danced.

    Args:
        program: the dance.
        clock: whether its walls are named by the clock, and its beats called counts.
        tempo: beats a minute; None where the sheet says nothing.
    """
    found = ends(program)
    if not found.rounds and all(way.ticks == 0 for way in found.ways):
        return None
    return Finish(
        _beats({way.ticks for way in found.ways}),
        tuple(dict.fromkeys(words.free(weight) for weight in sorted({way.weight for way in found.ways}, reverse=True))),
        tuple(words.facing(wall, clock) for wall in sorted({way.turn for way in found.ways})),
        _beats(found.rounds) if found.rounds else None,
        "counts" if clock else "beats",
        tempo,
        len({item.line for item in every_item(program) if is_blank(item)}),
    )


def _beats(ticks: Set[int | None]) -> tuple[Fraction, ...]:
    """Return lengths in beats, rising; none if one of them is open."""
    known = sorted(each for each in ticks if each is not None)
    return tuple(Fraction(each, TICKS) for each in known) if len(known) == len(ticks) else ()
