"""Lines written as teachers speak, and how a sheet has them."""

import re

from attrs import frozen

from stepcheck.language.measures import LineError


@frozen
class Habit:
    """A way to write a line: `start` is the place where it stands, `meant` the line that is meant.

    `stuck` says that it is looked for in lines only that the grammar refuses; others could be names as well.
    """

    start: str
    pattern: str
    reason: str
    meant: str
    stuck: bool = False


_LEADS = r"(?:start|begin|lead)(?:s|ing)?\s+(?:on\s+|with\s+)?(?:the\s+)?"

HABITS = (
    Habit("steps", r"(?:repeat\s*)?x?\s*(?P<n>[0-9]+)\s*(?:x|times?)?\s*:",
          "how often a block is danced is written with `times`", "write {n} times:"),
    Habit("steps", r"x\s*(?P<n>[0-9]+)|(?P<m>[0-9]+)\s*x",
          "this needs a figure before it", "write it behind the figure, as in Vine x4, or above a block: 4 times:"),
    Habit("steps", r"(?P<name>.*\w)\s*[*]\s*(?P<n>[0-9]+)",
          "how often a figure is danced is written x and a number", "write `{name} x{n}`"),
    Habit("steps", r"(?P<name>.*\sx\s*[0-9]+)\s+times",
          "how often a figure is danced is written x and a number", "write `{name}`", True),
    Habit("steps", r"restart\s+(?:after|at|on|in|with|from)\b.*?(?P<n>[0-9]+)\s*(?:counts?|beats?).*",
          "a restart is a part that is cut short", "write it as a line of the dance: Main, first {n} counts"),
    Habit("steps", r"(?P<name>.*\w),?\s+until\s+(?:the\s+)?(?:end|song ends|music stops|song stops|finish)\b.*",
          "how long the dance goes on is written in one way", "write `{name} until the music ends`"),
    Habit("steps", r"(?P<one>.*\bturn\s+\S+)\s+to\s+(?:the\s+)?(?P<side>left|right)(?P<rest>.*)",
          "a turn is written with its side alone", "write {one} {side}{rest}", True),
    Habit("steps",
          r"(?P<one>(?:.*\s)?)(?P<size>[0-9]+(?:/[0-9]+)?|full|half|quarter)\s+(?P<side>left|right)\s+turn(?P<rest>.*)",
          "the side of a turn comes last", "write {one}{size} turn {side}{rest}", True),
    Habit("steps", rf"(?P<one>.*),\s*(?:{_LEADS}(?:right|r)(?:\s+foot)?|rf?)(?P<rest>(?:,.*)?)",
          "the foot that leads is written right foot", "write {one}, right foot{rest}", True),
    Habit("steps", rf"(?P<one>.*),\s*(?:{_LEADS}(?:left|l)(?:\s+foot)?|lf?)(?P<rest>(?:,.*)?)",
          "the foot that leads is written left foot", "write {one}, left foot{rest}", True),
    Habit("steps", r".*,\s*end(?:s|ing)?\s+(?:on|with)\s+(?:the\s+)?(?:left|right|both)\b.*",
          "how a line ends is said on a line of its own", "write below it what is free then: expect left foot", True),
    Habit("steps", r"(?P<one>.*\bfacing\s+)(?P<n>1[0-2]|[1-9])(?P<rest>\s*(?:,.*)?)",
          "a wall by the clock has its minutes", "write {one}{n}:00{rest}", True),
    Habit("steps", r"(?:rest|pause|wait)\s+(?:for\s+)?(?P<n>[0-9]+)(?:\s+(?:beats?|counts?))?",
          "silence is written with hold", "write hold {n} beats"),
    Habit("steps", r"(?P<name>.*\w),?\s+(?:up\s+)?(?:to|through|until)\s+(?:count|beat)\s+(?P<n>[0-9]+)",
          "a part that is cut short says what is danced of it", "write `{name}, first {n} counts`"),
    Habit("sheet", r"(?P<one>part\s+[^:]+:.*\w)\s+and\s+(?P<rest>.*)",
          "what a heading says stands between commas", "write {one}, {rest}", True),
    Habit("sheet", r"(?P<head>part\s+[^:]*?\w)\s*[-–—,]?\s+(?P<rest>[0-9][^:]*)",
          "the colon is missing", "write {head}: {rest}", True),
    Habit("sheet", r"(?P<name>[^:]+):",
          "nothing stands after the colon", "write part {name}: if it is a part, or write what it is", True),
    Habit("figures", r"(?P<name>[^:,]+):\s*(?P<length>[0-9]+\s+(?:beats?|counts?))\b[,:]?\s*(?P<rest>.*)",
          "how long a figure lasts stands before the colon", "write {name}, {length}: {rest}"),
    Habit("figures", r"(?P<head>[^:]+:[^:,]*),(?P<rest>[^:,]*)",
          "movements stand in a row, without commas", "write {head}{rest}", True),
)  # fmt: skip

# Without any of these a line of dance that the grammar takes has none of the habits: most lines are let through at once.
_ODD = re.compile(r"re|pause|wait|x?\s*[0-9]|.*(?:\*|\buntil\b|\b(?:count|beat)\s+[0-9])", re.IGNORECASE)


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
            return LineError((0, len(text)), habit.reason, (habit.meant.format(**found.groupdict()),))
    return None
