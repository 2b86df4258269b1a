"""Habits of speech: lines that a sheet writes otherwise, and how it writes them."""

import re

from attrs import frozen

from stepcheck.language.measures import LineError
from stepcheck.language.patch import Rewrite


@frozen
class Habit:
    """A way to write a line: `start` is the place where it stands, `meant` are the lines that may be meant.

    What stands between braces is a group of the pattern; `advice` is said where no line can be written.  `stuck` says
    that it is looked for in lines only that the grammar refuses; others could be names as well.
    """

    start: str
    pattern: str
    reason: str
    meant: tuple[str, ...] = ()
    stuck: bool = False
    advice: str = ""


_LEADS = r"(?:start|begin|lead)(?:s|ing)?\s+(?:on\s+|with\s+)?(?:the\s+)?"
_NTH = r"(?P<n>[0-9]+(?:st|nd|rd|th)|first|second|third|fourth|fifth|sixth|seventh|eighth|last)"
_NAMED = {
    "first": "1st",
    "second": "2nd",
    "third": "3rd",
    "fourth": "4th",
    "fifth": "5th",
    "sixth": "6th",
    "seventh": "7th",
    "eighth": "8th",
}
_SIDES = {"l": "left", "r": "right"}

HABITS = (
    Habit("steps", r"(?P<n>[0-9]+)\s*:", "how often a block is danced is written with `times`", ("{n} times:",)),
    Habit(
        "steps",
        r"x\s*[0-9]+|[0-9]+\s*x|twice",
        "this needs a figure before it",
        advice="write it behind the figure, as in Vine x4, or above a block: 4 times:",
    ),
    Habit(
        "steps",
        r"(?P<name>.*\w)\s*[*]\s*(?P<n>[0-9]+)",
        "how often a figure is danced is written x and a number",
        ("{name} x{n}",),
    ),
    Habit(
        "steps",
        r"restart\s+(?:after|at|on|in|with|from)\b.*?(?P<n>[0-9]+)\s*(?:counts?|beats?).*",
        "a restart is a part that is cut short",
        advice="write it as a line of the dance, as in Main, first {n} counts",
    ),
    Habit(
        "steps",
        r"(?P<name>.*?\w),?\s+(?:until\s+(?:the\s+)?(?:end|song ends|music stops|song stops|finish)\b.*"
        r"|(?!until\s+the\s+music\s+ends$)un\w+\s+(?:th?e?\s+)?mus\w+\s+ends?)",
        "how long the dance goes on is written in one way",
        ("{name} until the music ends",),
    ),
    Habit(
        "steps",
        r"(?P<name>.*\w)(?:,\s*|\s+(?=only\b|\S+\s+time\s+only$))(?:only\s+)?(?:on\s+)?(?:the\s+)?"
        rf"{_NTH}\s+time(?:\s+only)?",
        "a time that a line is danced on is a heading above it",
        ("{n} time only:\n  {name}",),
        advice="or write the lines of that time under {n} time only:",
    ),
    Habit(
        "steps",
        rf"(?P<one>.*),\s*{_LEADS}(?P<side>right|r|left|l)(?:\s+foot)?(?P<rest>(?:,.*)?)",
        "the foot that leads is written {side} foot",
        ("{one}, {side} foot{rest}",),
        True,
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w),\s*(?P<side>right|r|left|l)(?P<rest>\s*(?:,.*)?)",
        "{side} may be a foot or a way to go",
        ("{one}, {side} foot{rest}", "{one}{rest} (to the {side})"),
        True,
        "or single steps stand in a row of movements, as in S(R) S(L)",
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w),\s*to\s+(?:the\s+)?(?P<side>right|left)(?P<rest>\s*(?:,.*)?)",
        "{side} may be a foot or a way to go",
        ("{one}{rest} (to the {side})", "{one}, {side} foot{rest}"),
        True,
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w),?\s+to\s+(?:the\s+)?(?P<wall>front|back)(?:\s+wall)?(?P<rest>\s*(?:,.*)?)",
        "{wall} may be where it faces then, or the way it goes",
        ("{one}, facing {wall}{rest}", "{one}{rest} (to the {wall})"),
        True,
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w),\s*end(?:s|ing)?\s+(?:on|with)\s+(?:the\s+)?(?P<side>right|r|left|l)"
        r"(?:\s+foot)?(?:\s+free)?",
        "how a line ends is said on a line of its own",
        advice="write below it what is free then: expect left foot, or expect right foot",
        stuck=True,
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w),\s*(?P<said>(?:(?!facing)\w+ing|clap|hands?|arms?|heads?|forwards?|fwd|backwards?"
        r"|in place|on the spot|across|diagonally)\b[^,|]*?)\s*(?P<rest>(?:,.*)?)",
        "how it is danced is a note to the dancers",
        ("{one}{rest} ({said})",),
        True,
    ),
    Habit(
        "steps",
        r"(?:rest|pause|wait)\s+(?:for\s+)?(?P<n>[0-9]+)(?:\s+(?:beats?|counts?))?",
        "silence is written with hold",
        ("hold {n} beats",),
    ),
    Habit(
        "steps",
        r"(?P<name>.*?\w),?\s+(?:up\s+)?(?:to|through|until)\s+(?:count|beat)\s+(?P<n>[0-9]+)",
        "a part that is cut short says what is danced of it",
        ("{name}, first {n} counts",),
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w)\s+turning\s+(?:to\s+the\s+)?(?P<side>left|right|l|r)(?P<rest>(?:,.*)?)",
        "how far it turns is missing",
        advice="write it behind a comma, as in {one}, turn 1/4 {side}",
    ),
    Habit(
        "steps",
        r"(?P<one>.*\w),?\s+(?:turn\s+)?(?P<size>[0-9]+/[0-9]+|full|half|quarter)(?:\s+turn)?\s+"
        r"(?P<side>left|right|l|r)\s+on\s+(?:each|every\s+one|all)(?:\s+of\s+them)?",
        "a turn behind x is that of each time",
        ("{one}, turn {size} {side}",),
        True,
    ),
    Habit(
        "sheet",
        r"(?P<one>part\s+[^:]+:.*\w)\s+and\s+(?P<rest>.*)",
        "what a heading says stands between commas",
        ("{one}, {rest}",),
        True,
    ),
    Habit(
        "sheet",
        r"(?P<head>part\s+[^:]*?\w)\s*[-–—,]?\s+(?P<rest>[0-9][^:]*)",
        "the colon is missing",
        ("{head}: {rest}",),
        True,
    ),
    Habit(
        "sheet",
        r"(?!(?:part|music|dance|figures)\b)(?P<head>[^:,;]*?\w)\s*[-–—,:(]?\s*\b"
        r"(?P<rest>[0-9]+\s+(?:beats|counts)[^:()]*)\)?:?",
        "a part begins with the word part",
        ("part {head}: {rest}",),
        True,
    ),
    Habit(
        "sheet",
        r"(?P<name>[^:]+):",
        "nothing stands after the colon",
        ("part {name}:",),
        True,
        advice="or write what it is",
    ),
    Habit(
        "figures",
        r"(?P<name>[^:,]+):\s*(?P<length>[0-9]+\s+(?:beats?|counts?))\b[,:]?\s*(?P<rest>.*)",
        "how long a figure lasts stands before the colon",
        ("{name}, {length}: {rest}",),
    ),
    Habit(
        "figures",
        r"(?P<head>[^:]+:[^:,]*),(?P<rest>[^:]*)",
        "movements stand in a row, without commas",
        ("{head}{rest}",),
        True,
    ),
)

# Without any of these a line of dance that the grammar takes has none of the habits: most lines are let through at
# once.
_ODD = re.compile(
    r"re|pause|wait|x?\s*[0-9]|twice|.*(?:\*|\buntil\b|\b(?:count|beat)\s+[0-9]|\btime\b|\bturning\b|\bends?$)",
    re.IGNORECASE,
)


def spoken(text: str, start: str, stuck: bool) -> LineError | None:
    """Return what is wrong with a line that is written as it is spoken, and how to write it.

    Args:
        text: the line.
        start: where it stands, as for the grammar.
        stuck: whether the grammar refuses it.
    """
    if not stuck and start == "steps" and not _ODD.match(text):
        return None
    for habit in HABITS:
        if habit.start != start or (habit.stuck and not stuck):
            continue
        found = re.fullmatch(habit.pattern, text, re.IGNORECASE)  # compiled when it is first wanted, and kept
        if found:
            return _error(habit, text, {name: said or "" for name, said in found.groupdict().items()})
    return None


def _error(habit: Habit, text: str, groups: dict[str, str]) -> LineError:
    """Return the finding about a line with a habit, `groups` being what its pattern has found in it."""
    if "side" in groups:
        groups["side"] = _SIDES.get(groups["side"].casefold(), groups["side"].casefold())
    if "n" in groups:
        groups["n"] = _NAMED.get(groups["n"].casefold(), groups["n"])
    if habit.start == "figures" and "head" in groups:
        groups["rest"] = groups["rest"].replace(",", " ")
    whole = (0, len(text))
    given: list[str | Rewrite] = []
    for number, meant in enumerate(habit.meant):
        line = meant.format(**groups)
        given.append(Rewrite(line, whole, f"{'or ' if number else ''}write {{}}"))
    if habit.advice:
        given.append(habit.advice.format(**groups))
    return LineError(whole, habit.reason.format(**groups), tuple(given))
