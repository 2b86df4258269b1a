"""What is said about a line that the grammar refuses, or takes for something that nobody means."""

import re
from collections.abc import Callable
from difflib import get_close_matches
from typing import Any

from stepcheck.language import syntax
from stepcheck.language.grammar import END, Stuck
from stepcheck.language.measures import LineError
from stepcheck.language.spoken import spoken

_SHAPES = {
    "sheet": ("at the margin stand a field (key: value), music:, figures:, part NAME: and dance:",),
    "music": ("a section of the music is written: verse 32",),
    "figures": ("a figure is written: Mill Wheel, 4 beats: DS DS RS RS",),
    "steps": ("a line of dance is written: Vine x2, left foot, turn 1/4 right",),
    "forms": ("movements are written in a row: DS BR DS RS",),
}
# What a line that begins with a word of its own looks like.
_OWN_SHAPES = {
    "part": "a part is written: part Verse: 32 beats, full turn right, left foot to left foot",
    "expect": "a claim is written: expect facing front, left foot",
    "counts": "a heading of counts is written: counts 1-8, facing 9:00:",
    "hold": "silence is written: hold 4 beats",
}
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_TYPESET = re.compile(
    f"(?:(?P<whole>[0-9]+) ?)?(?P<share>[{''.join(_FRACTIONS)}])"
    r"|(?P<hour>1[0-2]|[1-9]) ?o['’]? ?clock"
    r"""|["“”„«»‘'](?P<name>[^"“”„«»‘’,:|()@#]*[^"“”„«»‘’,:|()@#\s])?["“”„«»’']?""",
    re.IGNORECASE,
)
MOST_NAMED = 4  # of the things that can stand in a place; more than that help nobody
_WORDS: dict[str, tuple[str, ...]] = {
    "COUNTS_HEAD": ("counts",), "EXCEPT": ("except",), "EXPECT": ("expect",), "HOLD": ("hold",), "PART": ("part",),
    "MUSIC": ("music",), "FIGURES": ("figures",), "DANCE": ("dance",), "TURN": ("turn",), "NO_TURN": ("no turn",),
    "SIZE": ("full", "half", "quarter"), "SIDE": ("left", "right"), "FOOT": ("left foot", "right foot", "both feet"),
    "FACING": ("facing",), "WALL": ("front", "right wall", "back", "left wall"), "FIRST": ("first",),
    "OPPOSITE": ("opposite foot",), "MIRRORED": ("mirrored",), "UNTIL": ("until the music ends",),
    "UNIT": ("beats", "counts"),
    "_ON": ("on",), "_TO": ("to",), "_TIME": ("time",), "_ONLY": ("only",), "_EVERY": ("every",), "_FROM": ("from",),
    "TIMES_LIST": ("2nd", "last"), "ORDINAL": ("2nd",),
}  # fmt: skip
_SAID = {
    "COMMA": "a comma", "COLON": "a colon", "VBAR": "|", "_AT": "@ and a count", "NAME": "a name",
    "SECTION": "a section and its beats",
    "NUMBER": "a number", "FRACTION": "a number", "WALL": "a wall, as in front or 9:00", "REPEAT": "a count, as in x2",
    "BLANK": "?", "FORM": "a movement", "VALUE": "a value", "KEY": "a key", "BOOK": "a book", "_DASH": "-",
    END: "the end of the line",
    "TIMES_LIST": "times, as in 2nd, 4th", "ORDINAL": "a number, as in 2nd", "SIZE": "how far, as in 1/4, 1/2 or full",
}  # fmt: skip
_PIECE = re.compile(r"[^\s,:|()@#]+|\S")
_GLUED = re.compile(
    r"(?:^|(?<=\s))(?:no\s+turn|turn\s+(?:[0-9?]|full\b|half\b|quarter\b)|facing\s+(?:front|back|left|right|[0-9])|(?:left|right|\?)\s+foot\b|both\s+feet\b"
    r"|opposite\s+foot\b|mirrored$|first\s+[0-9]|[0-9/]+\s+turn\b|[0-9/]+\s+(?:beats?|counts?|times?)$)",
    re.IGNORECASE,
)
_ALONE = re.compile(r"(?:hold\s+[0-9]|expect\s|until\s+the\s)", re.IGNORECASE)
_HEADED = re.compile(
    r"[0-9?]|(?:counts?|beats?|every|last|until|one|two|three|four|five|six|seven|eight)\s", re.IGNORECASE
)
_HEADS = (syntax.CountsHead, syntax.TimesHead, syntax.OnlyHead, syntax.UntilHead)
_LOOSE = (syntax.Row, syntax.LabelHead, syntax.HeaderField)
_OPENERS = {
    "sheet": ("part", "music", "figures", "dance"),
    "steps": ("expect", "hold", "counts", "except", "until", "every", "last"),
}

Parse = Callable[[str, str], Any]


def explained(stuck: Stuck, text: str, start: str, parse: Parse) -> LineError:
    """Return what is wrong with the line `text` in which the grammar got stuck."""
    return _respelt(text, start, parse) or spoken(text, start, True) or _unfinished(stuck, text, start, parse) or _misplaced_word(stuck, text, start)


def suspected(node: Any, text: str, start: str, parse: Parse) -> LineError | None:
    """Return what is wrong with a line that the grammar takes for a plain one, if it must be meant otherwise."""
    if isinstance(node, _LOOSE) and (" " in text or start == "sheet"):
        wrong = _respelt(text, start, parse)
        if wrong:
            return wrong
    if isinstance(node, (syntax.Row, syntax.LabelHead, syntax.FigureRow)) and (wrong := spoken(text, start, False)):
        return wrong
    if isinstance(node, syntax.HeaderField) and node.key in ("part", "part of"):
        return LineError(node.at, "a part needs a name", ("as in: part Verse: 32 beats",))
    if isinstance(node, syntax.Row):
        return _without_colon(text, start, parse) or next(
            filter(None, (_glued(option, text) for option in node.options)), None
        )
    return None


def _parsed(text: str, start: str, parse: Parse) -> Any:
    try:
        return parse(text, start)
    except (Stuck, LineError):
        return None


def _respelt(text: str, start: str, parse: Parse) -> LineError | None:
    """Return the finding that the line's first word is a keyword misspelt, if the keyword makes sense of the line."""
    first = text.split(None, 1)[0].rstrip(":")
    for word in get_close_matches(first.casefold(), _OPENERS.get(start, ()), n=2, cutoff=0.65):
        if word == first.casefold():
            return None
        node = _parsed(word + text[len(first) :], start, parse)
        if node is not None and not isinstance(node, _LOOSE):
            return LineError(
                (0, len(first)), f"{_short(first)} is no word that opens a line", (f"did you mean {word}?",)
            )
    return None


def _without_colon(text: str, start: str, parse: Parse) -> LineError | None:
    if _HEADED.match(text) and isinstance(_parsed(text + ":", start, parse), _HEADS):
        return LineError((len(text), len(text)), "a heading ends with a colon", (f"write {text}:",))
    return None


def _glued(option: syntax.Option, text: str) -> LineError | None:
    """Return the finding that something of the language hides in a name."""
    name = text[slice(*option.at)]
    if _ALONE.match(name):
        hint = "several lines under one section stand under a heading, as in: verse:"
        return LineError(option.at, f"{_short(name)} stands on a line of its own", (hint,))
    found = _GLUED.search(name)
    if not found:
        return None
    said = name[found.start() :]
    at = (option.at[0] + found.start(), option.at[1])
    times = re.fullmatch(r"([0-9]+)\s+times?", said, re.IGNORECASE)
    if times and found.start():
        return LineError(at, "how often a figure is danced is written x and a number", (f"write x{times[1]}",))
    if not found.start():
        hints = ("silence is written: hold 4 beats", "a claim is written: expect facing front")
        return LineError(at, f"{said} needs a figure before it", hints)
    hint = f"write {name[: found.start()].strip(' -–—')}, {said}"
    return LineError(at, f"a comma is missing before {_short(said)}", (hint,))


def _typeset(stuck: Stuck, text: str) -> LineError | None:
    """Return the finding about what a word processor makes of a fraction or a name, and about an hour in words."""
    for found in _TYPESET.finditer(text):
        if found.start() <= stuck.at <= found.end():
            said = _short(found[0])
            if found["share"]:
                hint = " ".join(filter(None, ("write", found["whole"], _FRACTIONS[found["share"]])))
                return LineError(found.span(), f"{said} is not understood here: a fraction has a stroke", (hint,))
            if found["hour"]:
                return LineError(found.span(), f"{said} is not understood here", (f"write {found['hour']}:00",))
            name = (found["name"] or "").strip(" '")
            if found.start() and text[: found.start()].strip().casefold() != "part":
                hint = f"a note to the dancers stands in brackets at the end of the line: ({name or 'moving left'})"
                return LineError(found.span(), f"{said} is not understood here", (hint,))
            reason = f"{said} is not understood here: names stand without quotes"
            return LineError(found.span(), reason, (f"write {name}" if name else "take it away",))
    return None


def _shape(text: str, start: str) -> tuple[str, ...]:
    """Return what a line looks like that is right, one of the kind that `text` is meant to be."""
    own = _OWN_SHAPES.get(text.split(None, 1)[0].casefold())
    return (own,) if own else _SHAPES[start]


def _unfinished(stuck: Stuck, text: str, start: str, parse: Parse) -> LineError | None:
    """Return the finding that the line ends too soon."""
    if stuck.at < len(text):
        return None
    at = (len(text), len(text))
    if stuck.wanted == ("VALUE",):
        word = text.rstrip(" :").casefold()
        near = get_close_matches(word, ("music", "figures", "dance"), n=1, cutoff=0.6)
        hints = (f"did you mean {near[0]}:?",) if near else (f"write {word}: and its value, or leave the line out",)
        return LineError((0, len(word)) if near else at, f"nothing stands after {word}:", hints)
    section = get_close_matches(text.casefold(), ("music", "figures", "dance"), n=1, cutoff=0.75)
    if start == "sheet" and section and section[0] != text.casefold():
        return LineError(
            (0, len(text)), f"{_short(text)} is no word that opens a line", (f"did you mean {section[0]}:?",)
        )
    if start == "sheet" and text.split()[0].casefold() not in _OPENERS["sheet"] and _parsed(text, "steps", parse):
        hint = "put two spaces before a line of the part or dance above it"
        return LineError((0, len(text)), "a line of dance can't stand at the margin", (hint,))
    if "COLON" in stuck.wanted:
        return LineError(at, "the colon is missing", (f"write {text}:", *_shape(text, start)))
    reason = f"the line ends too soon: {_choice(stuck.wanted)} is missing"
    return _without_colon(text, start, parse) or LineError(at, reason, _shape(text, start))


def _misplaced_word(stuck: Stuck, text: str, start: str) -> LineError:
    """Return the finding about the piece at which the grammar got stuck."""
    if typeset := _typeset(stuck, text):
        return typeset
    if not stuck.at and (mark := re.match(r"[-–—*•·]+\s*(?=.)", text)):
        reason = f"{mark[0].strip()} is not understood here: lines begin without marks"
        return LineError((0, len(mark[0].strip())), reason, (f"write {_short(text[mark.end() :])}",))
    found = _PIECE.match(text, stuck.at)
    piece, at = (found[0], found.span()) if found else ("", (stuck.at, len(text)))
    if piece in "()":
        more = text.count("(") - text.count(")")
        once = "a note stands once, at the end of the line"
        reason = once if not more else f"a bracket is never {'closed' if more > 0 else 'opened'}"
        return LineError(at, reason, ("as in: Vine, left foot (moving left)",))
    if piece.casefold() in ("left", "right") and "SIZE" in stuck.wanted and "NO_TURN" not in stuck.wanted:
        return LineError(at, "how far to turn is missing", (f"as in: turn 1/4 {piece.casefold()}",))
    if "COMMA" in stuck.wanted and start == "steps" and at[0] and (said := _GLUED.match(text, at[0])):
        whole = re.match("[^,|]*", text[at[0] :])
        hint = f"write {text[: at[0]].strip()}, {text[at[0] :]}"
        reason = f"a comma is missing before {_short(whole[0].rstrip() if whole else said[0])}"
        return LineError((at[0], len(text)), reason, (hint,))
    rest = text[at[0] :].lstrip("; ")
    if piece.startswith(";") and "COMMA" in stuck.wanted and rest:
        row = f"write one figure a line: {_short(rest)} on the next one"
        hint = row if start == "steps" and not _GLUED.match(rest) else "write a comma in its place"
        return LineError((at[0], at[0] + 1), "; is not understood here", (hint,))
    vocabulary = {word.split()[0]: word for terminal in stuck.wanted for word in _WORDS.get(terminal, ())}
    near = [vocabulary[word] for word in get_close_matches(piece.casefold(), list(vocabulary), n=1, cutoff=0.6)]
    hints = [f"did you mean {word}?" for word in near if word != piece.casefold()]
    if not hints and start == "steps" and text[: at[0]].rstrip().endswith(",") and "OPPOSITE" in stuck.wanted:
        rest = re.match("[^,|]*", text[at[0] :])
        hint = f"write one figure a line: {_short(rest[0].rstrip() if rest else piece)} on the next one"
        if re.fullmatch(r"x\d+", piece, re.IGNORECASE):
            hint = f"take the comma away: {text[: at[0]].rstrip(' ,')} {piece}"
        elif side := re.match(r"to (?:the )?(left|right)\b", text[at[0] :], re.IGNORECASE):
            hint = (
                f"which way it moves is a note: ({side[0]}); the foot that leads is written: {side[1].casefold()} foot"
            )
        reason = f"{_short(piece)} is not understood here: behind a comma stands {_choice(stuck.wanted)}"
        return LineError(at, reason, (hint, *_shape(text, start)))
    reason = f"{_short(piece)} is not understood here"
    if len(stuck.wanted) <= MOST_NAMED:
        reason += f": {_choice(stuck.wanted)} can stand here"
    return LineError(at, reason, (*hints, *_shape(text, start)))


def _short(text: str) -> str:
    """Return `text`, cut if it is too long for a sentence."""
    return text if len(text) <= 60 else f"{text[:59]}…"


def _choice(terminals: tuple[str, ...]) -> str:
    """Return in words what may come."""
    if "OPPOSITE" in terminals:
        return "a turn, a foot, a facing or a length"
    said = list(
        dict.fromkeys(
            _SAID.get(terminal) or _WORDS[terminal][0] for terminal in terminals if terminal in _SAID | _WORDS
        )
    )
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"
