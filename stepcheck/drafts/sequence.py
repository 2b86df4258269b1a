"""In which order parts are danced: passes with restarts and tags, and the sequence of a cue sheet."""

import re
from collections.abc import Sequence

from attrs import evolve, field, frozen

from stepcheck.drafts.heads import NUMBERS, number
from stepcheck.drafts.outline import Item
from stepcheck.drafts.steps import Event, Mention, Step, wall
from stepcheck.drafts.words import plain

_NTH = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9}
_N = rf"(\d{{1,2}}|{'|'.join(NUMBERS)})"
_CHANGE = re.compile(
    r"^\W*(?:\d+\s+)?(?:no\s+)?(?:restarts?|tags?|ending|end|bridge|optional ending)\b|\bon the last wall\b|^\W*repeat\b.*\b(?:no tags?|no restarts?)",
    re.IGNORECASE,
)
_WALLS = re.compile(
    rf"\b(?:walls?\s*#?\s*|w(?=\d))({_N}(?:\s*(?:,|and|&)\s*{_N}\b(?!\s*(?:counts?|cts?|beats?)))*)|\b({'|'.join(_NTH)}|\d{{1,2}}(?:st|nd|rd|th))\s+(?:wall|time|pass)\b",
    re.IGNORECASE,
)
_AFTER = re.compile(rf"\bafter\s+(?:count\s+)?{_N}\b(?:\s*counts?)?", re.IGNORECASE)
_COUNTS = re.compile(r"\b(\d{1,2})\s*(?:counts?|cts?|beats?)\b|\((\d{1,2})\)", re.IGNORECASE)
_FACE = re.compile(
    r"\(?\s*(?:you will be\s+|you are\s+)?\bfac(?:ing|e)\s*(?:the\s+)?(\d{1,2}:\d\d|front|back)(?:\s+wall)?\s*\)?",
    re.IGNORECASE,
)
_AGAIN = re.compile(
    r"\b(?:start|begin|go)\b.{0,20}\b(?:again|over|from the top)|\brepeat\b|\boff we go again|\bover and over|^\W*no (?:restarts?|tags?)\b|"
    r"\balways the front wall", re.IGNORECASE,
)  # fmt: skip


@frozen(eq=False)
class Tag:
    """A tag: its name, the counts that are said of it, the walls at whose end it is danced, its words, its lines."""

    name: str
    counts: int
    walls: tuple[int, ...]
    facing: str
    text: str
    items: list[Item] = field(factory=list)
    source: str = ""


@frozen
class Restart:
    """A pass that is cut: the wall on which, after how many counts, where dancers face, the lead foot that is said."""

    wall: int
    counts: int
    facing: str = ""
    foot: str = ""
    text: str = ""


def is_change(text: str) -> bool:
    """Say whether a line is about restarts, tags or the end."""
    return bool(_CHANGE.search(plain(text)))


def denied(text: str) -> bool:
    """Say whether a line says that there is no restart and no tag."""
    return (
        bool(re.search(r"\bno\b|\bnone\b", text, re.IGNORECASE))
        and not _WALLS.search(text)
        or bool(re.match(r"\W*\d+ (?:restart|tag)s?\b[^:]*$", text, re.IGNORECASE))
    )


def again(text: str) -> bool:
    """Say whether a line says that the dance begins again."""
    return bool(_AGAIN.search(text))


def _walls(text: str) -> tuple[int, ...]:
    found = _WALLS.search(text)
    if not found:
        return ()
    if found[1]:
        return tuple(number(word) for word in re.findall(_N, found[1], re.IGNORECASE))
    word = found.groups()[-1].casefold()
    return (_NTH.get(word) or int(re.sub(r"\D", "", word)),)


class Passes:
    """The passes of a line dance while its restarts and tags are read."""

    def __init__(self) -> None:
        self.restarts: list[Restart] = []
        self.tags: list[Tag] = []
        self.remarks: list[str] = []

    def read(self, line: str, counts_so_far: int = 0) -> Restart | Tag | None:
        """Return the restart or the tag that a line says, None if it can't be read.

        A restart that names no counts comes after those that were read before it.
        """
        text = plain(line)
        walls = _walls(text)
        facing = _FACE.search(text)
        face = (wall(facing[1]) or facing[1].casefold()) if facing else ""
        after = _AFTER.search(text)
        if re.search(r"\?|\bno\b|\bnot\b|\bnever\b|\bmaybe\b", text, re.IGNORECASE):
            return None
        if (
            re.search(r"^\W*(?:\d+\W+)?restart|\brestart here\b", text, re.IGNORECASE)
            and walls
            and (after or counts_so_far)
        ):
            counts = number(after[1]) if after else counts_so_far
            foot = re.search(r"\bwith the (left|right)(?: foot)?\b", text, re.IGNORECASE)
            for each in walls:
                if all(other.wall != each for other in self.restarts):
                    said = f"{foot[1].casefold()} foot" if foot else ""
                    self.restarts.append(Restart(each, counts, face, said, " ".join(line.split())))
            return self.restarts[-1]
        if re.match(r"\W*tag", text, re.IGNORECASE) and walls:
            rest = _WALLS.sub(" ", re.sub(r"^\W*tag\s*\d*\b\W*", "", text, flags=re.IGNORECASE), count=1)
            length = _COUNTS.search(rest)
            rest = _FACE.sub(" ", _COUNTS.sub(" ", rest, count=1) if length else rest)
            rest = re.sub(
                r"\b(?:(?:at|after)\s+(?:the\s+)?)?(?:end(?:\s+of)?)\b|^\W*(?:at|after|of)\b",
                " ",
                rest,
                flags=re.IGNORECASE,
            )
            rest = re.sub(r"\b(?:then\s+)?(?:start|begin)\b.*$", "", rest, flags=re.IGNORECASE)
            name = "Tag" if not self.tags else f"Tag {len(self.tags) + 1}"
            tag = Tag(
                name,
                int(length[1] or length[2]) if length else 0,
                walls,
                face,
                rest.strip(" .,:;-()[]"),
                [],
                " ".join(line.split()),
            )
            self.tags.append(tag)
            return tag
        return None

    def dance(self, part: str, closing: str) -> list[tuple[str, str]]:
        """Return the lines of the dance, each with its comment: passes, cut ones, tags, until the music ends."""
        out: list[tuple[str, str]] = []
        done = 0

        def passes(upto: int) -> None:
            nonlocal done
            if upto > done:
                out.append((f"{part} x{upto - done}" if upto - done > 1 else part, ""))
                done = upto

        changes: list[tuple[int, int, Restart | Tag]] = [(each.wall, 0, each) for each in self.restarts]
        changes += [(each, 1, tag) for tag in self.tags for each in tag.walls]
        for at, _, change in sorted(changes, key=lambda each: each[:2]):
            if isinstance(change, Restart):
                if at <= done:
                    continue
                passes(at - 1)
                out.append((f"{part}, first {change.counts} counts", change.text or "restart"))
                done = at
                said = ", ".join(
                    each for each in (f"facing {change.facing}" if change.facing else "", change.foot) if each
                )
                if said:
                    out.append((f"expect {said}", ""))
            else:
                passes(at)
                if change.facing:
                    out.append((f"expect facing {change.facing}", ""))
                out.append((change.name, change.source if not any(name == change.name for name, _ in out) else ""))
        out += [("", said) for said in self.remarks]
        out.append((f"{part} until the music ends", closing))
        return out


def with_feet(events: Sequence[Event], column: str) -> list[Event]:
    """Return events with the feet of their column; a foot in brackets takes no weight and is that of its step as well."""
    feet = re.findall(r"[LR]", plain(column).upper())
    out: list[Event] = []
    steps = [event for event in events if isinstance(event, Step) and event.codes[-1] not in ("HOLD", "CLAP", "BUMP")]
    names = [event for event in events if isinstance(event, Mention)]
    if len(names) == 1 and feet and len(steps) != len(feet):
        joined = "".join(feet)
        return [
            evolve(event, feet=joined if not steps else event.feet or joined[0]) if event is names[0] else event
            for event in events
        ]
    if len(feet) == 1 and steps:
        feet = feet * len(steps)
    given = iter(feet if len(feet) == len(steps) else [])
    for event in events:
        if any(event is step for step in steps):
            foot = next(given, "")
            event = evolve(event, foot=foot or event.foot) if isinstance(event, Step) else event
        out.append(event)
    return out
