"""The dependence of a sheet's verdicts on the readings of its unsettled words: values, and their sentences."""

from collections.abc import Iterator

from attrs import frozen

from stepcheck.model import words

MOST_SAID = 3  # sets of words are named in a line; the value has all of them


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


def unless(hangs: tuple[Hang, ...]) -> str:
    """Return the sets of words in one sentence piece: `stomp is read as no weight, or Vine as 3 counts`."""
    said = [_read(hang) for hang in hangs[:MOST_SAID]]
    more = len(hangs) - MOST_SAID
    said += [f"{words.count(more, 'more set')} of words otherwise"] if more > 0 else []
    return ", or ".join(said)


def _read(hang: Hang) -> str:
    if len(hang.words) == 1:
        return f"{hang.words[0]} is read as {words.listed([labels[0] for labels in hang.readings], 'or')}"
    read = " and ".join(f"{word} as {label}" for word, label in zip(hang.words, hang.readings[0], strict=True))
    return read.replace(" as ", " is read as ", 1)


def told(leaning: Leaning) -> Iterator[str]:
    """Yield the report on readings, line by line."""
    if not leaning.decided:
        yield "too many words are read in several ways to look at every combination: settle some in the header"
        return
    if leaning.visits:
        cells = [("word", "read as", "off at", "then wrong"), *map(_cells, leaning.visits)]
        widths = [max(len(row[column]) for row in cells) for column in range(3)]
        for row in cells:
            yield "  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[3]])
    if not leaning.matter:
        yield "no word changes anything here, however it is read"
    seen = {visit.words for visit in leaning.visits}
    for hang in leaning.hangs:
        if hang.words not in seen:
            yield f"a verdict changes for the better if {_read(hang)}"
    hanging = {word for hang in leaning.hangs for word in hang.words}
    more = [word for word in leaning.matter if word not in hanging]
    if more:
        yield f"these matter only where a word above is read otherwise: {', '.join(more)}"
    if leaning.idle:
        yield f"read in several ways, but all the same here: {', '.join(leaning.idle)}"
    yield from cure(leaning)


def cure(leaning: Leaning) -> Iterator[str]:
    """Yield the shortest clarification as a line, if one is needed."""
    lines = ", ".join(f"`{word}: {label}`" for word, label in leaning.settle)
    if lines and leaning.shortest:
        yield f"safe for everybody with {lines} in the header; nothing shorter does"
    elif lines:
        yield f"safe for everybody with {lines} in the header; perhaps something shorter does"
    elif not leaning.helps:
        yield "no reading of the words makes all of it right"


def _cells(visit: Visit) -> tuple[str, str, str, str]:
    return (
        " + ".join(visit.words),
        " + ".join(visit.readings),
        f"line {visit.line}, beat {visit.beat}",
        f"line {visit.claim_line}: {visit.sentence}",
    )
