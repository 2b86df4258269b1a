"""Findings about lines that the grammar refuses, or takes for a plain name by mistake, with hints to write."""

import re
from difflib import get_close_matches
from typing import Any

from attrs import evolve

from stepcheck.language import syntax
from stepcheck.language.grammar import END, LineError, Stuck
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.slips import LOOSE, Parse, Slips, misspelt, moved_or_lost, parsed, respelled, spoken
from stepcheck.language.syntax import At
from stepcheck.model.claims import FIXED

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
_QUOTED = re.compile(r"""["“”„«»‘'](?P<name>[^"“”„«»‘’,:|()@#]*[^"“”„«»‘’,:|()@#\s])?["“”„«»’']?""", re.IGNORECASE)
MOST_NAMED = 4  # of the things that can stand in a place; more than that help nobody
# What terminals stand for; those that are called as they are written come first.
_CALLED = """EXCEPT EXPECT HOLD PART MUSIC FIGURES DANCE TURN NO_TURN FACING FIRST MIRRORED TOGETHER WAIT RETURNS WITHIN
STEPS _ON _TO _TIME _ONLY _EVERY _FROM"""
_WORDS: dict[str, tuple[str, ...]] = {
    **{name: (name.strip("_").replace("_", " ").lower(),) for name in _CALLED.split()},
    "COUNTS_HEAD": ("counts",),
    "SIZE": ("full", "half", "quarter"),
    "SIDE": ("left", "right"),
    "FOOT": ("left foot", "right foot", "both feet"),
    "WALL": ("front", "right wall", "back", "left wall"),
    "OPPOSITE": ("opposite foot",),
    "UNTIL": ("until the music ends",),
    "SPOT": ("on the spot",),
    "WAY": ("right", "left", "forward", "back"),
    "STATED": tuple(FIXED),
    "UNIT": ("beats", "counts"),
    "TIMES_LIST": ("2nd", "last"),
    "ORDINAL": ("2nd",),
}
_SAID = {
    "COMMA": "a comma",
    "COLON": "a colon",
    "VBAR": "|",
    "_AT": "@ and a count",
    "NAME": "a name",
    "SECTION": "a section and its beats",
    "NUMBER": "a number",
    "FRACTION": "a number",
    "WALL": "a wall, as in front or 9:00",
    "REPEAT": "a count, as in x2",
    "BLANK": "?",
    "FORM": "a movement",
    "VALUE": "a value",
    "KEY": "a key",
    "BOOK": "a book",
    "_DASH": "-",
    END: "the end of the line",
    "TIMES_LIST": "times, as in 2nd, 4th",
    "ORDINAL": "a number, as in 2nd",
    "SIZE": "how far, as in 1/4, 1/2 or full",
}
# A bracket, but for a foot right behind a code.
_NOTE = re.compile(r"(?:\s+\(|\((?!(?:l|r|left|right)\)))([^()]*)\)\s*", re.IGNORECASE)
_PIECE = re.compile(r"[^\s,:|()@#]+|\S")
_BARE = re.compile(
    r"(?:no\s+turn|turn\s+(?:[0-9?]|full\b|half\b|quarter\b)|facing\s+(?:front|back|left|right|[0-9])|(?:left|right|\?)\s+foot\b"
    r"|both\s+feet\b|opposite\s+foot\b|mirrored$|first\s+[0-9]|[0-9/]+\s+turn\b|[0-9/]+\s+(?:beats?|counts?|times?)$)",
    re.IGNORECASE,
)
_ALONE = re.compile(r"(?:hold\s+[0-9]|expect\s|until\s+the\s)", re.IGNORECASE)
_HEADED = re.compile(
    r"[0-9?]|(?:counts?|beats?|every|last|until|one|two|three|four|five|six|seven|eight)\s", re.IGNORECASE
)
_HEADS = (syntax.CountsHead, syntax.TimesHead, syntax.OnlyHead, syntax.UntilHead)
_OPENERS = {
    "sheet": ("part", "music", "figures", "dance"),
    "steps": ("expect", "hold", "counts", "except", "until", "every", "last"),
    "music": (),
    "figures": (),
    "forms": (),
}


def explained(stuck: Stuck, text: str, start: str, parse: Parse, note: str | None = None) -> LineError:
    """Return what is wrong with the line `text`, and behind it `note` in brackets, in which the grammar got stuck."""
    named = re.sub(r"^part\s+", "", text.rstrip(": "), flags=re.IGNORECASE)
    head = f"part {named}: {note}"
    if note and start == "sheet" and isinstance(parsed(head, start, parse), syntax.PartHead):
        hint = Rewrite(head, (0, len(text) + len(note) + 3))
        worded = text[:5].casefold() == "part "
        reason = "what a part claims stands behind its colon" if worded else "a part begins with the word part"
        return LineError((0, len(text)), reason, (hint,))
    return (
        _respelt(text, start, parse)
        or _field(text, start)
        or _without_colon(text, start, parse)
        or _one_word(stuck, text, start, parse, misspelt)
        or spoken(text, start, True)
        or _one_word(stuck, text, start, parse, moved_or_lost)
        or _unfinished(stuck, text, start, parse)
        or _near_word(stuck, text)
        or _misplaced_word(stuck, text, start)
    )


def briefly(stuck: Stuck, text: str, start: str) -> LineError:
    """Return what is wrong with a line in which the grammar got stuck, without looking for what it may be meant to
    say."""
    found = _PIECE.match(text, stuck.at)
    reason = f"{_short(found[0])} is not understood here" if found else "the line ends too soon"
    return LineError(found.span() if found else (len(text), len(text)), reason, _shape(text, start))


def _field(text: str, start: str) -> LineError | None:
    key, _, value = text.partition(" ")
    if start != "sheet" or key.casefold() not in syntax.KEYS or not value or ":" in text:
        return None
    hint = Rewrite(f"{key}: {value.strip()}", (0, len(text)))
    return LineError((len(key), len(key)), f"a colon is missing after {key}", (hint,))


def _one_word(stuck: Stuck, text: str, start: str, parse: Parse, slips: Slips) -> LineError | None:
    """Return the finding that one word of the language is misspelt, lost or run into another."""
    if stuck.wanted == ("VALUE",) or _QUOTED.search(text) or re.match(r"[^\w,:|]", text[stuck.at :]):
        return None
    own = start == "sheet" or text.split(None, 1)[0].casefold() in _OPENERS[start]
    hints = respelled(text, start, parse, slips(text, stuck.at), strict=own)
    if not hints:
        return None
    at = hints[0].at or (0, len(text))
    if at == (0, len(text)) and (found := _PIECE.match(text, stuck.at)):
        at = found.span()
    shape = (evolve(hints[0], otherwise=_shape(text, start)[0]), *hints[1:])
    return LineError(at, f"{_short(text[slice(*at)])} is not understood here", shape)


def suspected(node: Any, text: str, start: str, parse: Parse) -> LineError | None:
    """Return what is wrong with a line that the grammar takes for a plain one, if it must be meant otherwise."""
    if isinstance(node, LOOSE) and (" " in text or start == "sheet"):
        wrong = _respelt(text, start, parse)
        if wrong:
            return wrong
    plain = isinstance(node, (syntax.Row, syntax.LabelHead, syntax.FigureRow, syntax.HeaderField))
    if plain and (wrong := spoken(text, start, False)):
        return wrong
    if isinstance(node, syntax.HeaderField) and node.key in ("part", "part of"):
        return LineError(node.at, "a part needs a name", ("as in: part Verse: 32 beats",))
    if isinstance(node, syntax.Row):
        alone = (_alone(option, text) for option in node.options)
        return _without_colon(text, start, parse) or next(filter(None, alone), None)
    return None


def _respelt(text: str, start: str, parse: Parse) -> LineError | None:
    """Return the finding that the line's first word is a keyword misspelt, if the keyword makes sense of the line."""
    first = text.split(None, 1)[0].rstrip(":,")
    for word in get_close_matches(first.casefold(), _OPENERS.get(start, ()), n=2, cutoff=0.65):
        if word == first.casefold():
            return None
        node = parsed(word + text[len(first) :], start, parse)
        if node is not None and not isinstance(node, LOOSE):
            reason = f"{_short(first)} is no word that opens a line"
            return LineError((0, len(first)), reason, (Rewrite(word, None, MEANT),))
    return None


def _without_colon(text: str, start: str, parse: Parse) -> LineError | None:
    if _HEADED.match(text) and isinstance(parsed(text + ":", start, parse), _HEADS):
        said = f"write {text}: and the lines that belong to it under it, two spaces further in"
        hint = Rewrite(f"{text}:", (0, len(text)), otherwise=said)
        return LineError((len(text), len(text)), "a heading ends with a colon", (hint,))
    return None


def _alone(option: syntax.Option, text: str) -> LineError | None:
    """Return the finding on a mark or a heading in the place of a name; None for a name."""
    name, rest = text[slice(*option.at)], text[option.at[0] :]
    if _ALONE.match(rest):
        hint = "several lines under one section stand under a heading, as in: verse:"
        if "|" in text[: option.at[0]]:
            hint = "figures and parts only are alternatives: put it into a part of its own, and write its name here"
        at = (option.at[0], len(text))
        return LineError(at, f"{_short(rest)} stands on a line of its own", (hint,))
    if _BARE.match(name):
        whole, claim = (0, len(text)), "a claim is written: expect facing front"
        hints: tuple[str | Rewrite, ...] = ("silence is written: hold 4 beats", claim)
        if re.match(r"facing\b|(?:left|right)\s+foot\b|both\s+feet\b", name, re.IGNORECASE) and not option.at[0]:
            hints = (Rewrite(f"expect {text}", whole, otherwise=claim),)
        elif len(text) == len(name) and re.fullmatch(r"[0-9/ ]+\s+(?:beats?|counts?)", name, re.IGNORECASE):
            hints = (Rewrite(f"hold {name}", whole), Rewrite(f"? {name}", whole, "or write {} for a blank"))
        elif (label := text[: option.at[0]].rstrip(" :")) and text.endswith(name):
            hints = (f"head a part of its own at the margin, part {label}: {name}, and write {label} here", *hints)
        return LineError(option.at, f"{_short(name)} needs a figure before it", hints)
    return None


def _quoted(stuck: Stuck, text: str) -> LineError | None:
    found = next((one for one in _QUOTED.finditer(text) if one.start() <= stuck.at <= one.end()), None)
    if not found:
        return None
    reason, name = f"{_short(found[0])} is not understood here", (found["name"] or "").strip(" '")
    before, after = text[: found.start()].rstrip(" ,"), text[found.end() :]
    if before.strip() and before.strip().casefold() != "part":
        said = f"{before.rstrip()}{after.rstrip()} ({name})"
        hint = Rewrite(said, (0, len(text)), "write {}: a note stands in brackets")
    else:
        reason += ": names stand without quotes"
        hint = Rewrite(f"{before} {name}{after}".strip(), (0, len(text)))
    return LineError(found.span(), reason, (hint,) if name else ())


def _shape(text: str, start: str) -> tuple[str, ...]:
    """Return what a line looks like that is right, one of the kind that `text` is meant to be."""
    own = _OWN_SHAPES.get(text.split(None, 1)[0].casefold())
    return (own,) if own else _SHAPES[start]


def _unfinished(stuck: Stuck, text: str, start: str, parse: Parse) -> LineError | None:
    if stuck.at < len(text):
        return None
    at, whole = (len(text), len(text)), (0, len(text))
    if (side := re.search(r"\bturn\s+(left|right|[lr])$", text, re.IGNORECASE)) and "SIZE" in stuck.wanted:
        return LineError(side.span(1), "how far to turn is missing", (f"as in: turn 1/4 {side[1].casefold()}",))
    if stuck.wanted == ("VALUE",):
        word = text.rstrip(" :").casefold()
        near = get_close_matches(word, ("music", "figures", "dance"), n=1, cutoff=0.6)
        if near:
            return LineError((0, len(word)), f"nothing stands after {word}:", (Rewrite(near[0], None, MEANT),))
        return LineError(at, f"nothing stands after {word}:", (f"write {word}: and its value, or leave the line out",))
    section = get_close_matches(text.casefold(), ("music", "figures", "dance"), n=1, cutoff=0.75)
    if start == "sheet" and section and section[0] != text.casefold():
        hint = Rewrite(f"{section[0]}:", whole, MEANT)
        return LineError(whole, f"{_short(text)} is no word that opens a line", (hint,))
    if start == "sheet" and text.split()[0].casefold() not in _OPENERS["sheet"] and parsed(text, "steps", parse):
        said = "put two spaces before a line of the part or dance above it"
        hint = Rewrite(f"  {text}", whole, said, (), said)
        return LineError(whole, "a line of dance can't stand at the margin", (hint,))
    if "COLON" in stuck.wanted:
        return LineError(at, "the colon is missing", (Rewrite(f"{text}:", whole), *_shape(text, start)))
    reason = f"the line ends too soon: {_choice(stuck.wanted)} is missing"
    return _without_colon(text, start, parse) or LineError(at, reason, _shape(text, start))


def _misplaced_word(stuck: Stuck, text: str, start: str) -> LineError:
    if quoted := _quoted(stuck, text):
        return quoted
    whole = (0, len(text))
    if not stuck.at and (mark := re.match(r"[-–—*•·]+\s*(?=.)", text)):
        reason = f"{mark[0].strip()} is not understood here: lines begin without marks"
        otherwise = "begin the line with a name, or with a word that opens a line"
        hint = Rewrite(text[mark.end() :], whole, otherwise=otherwise)
        return LineError((0, len(mark[0].strip())), reason, (hint,))
    found = _PIECE.match(text, stuck.at)
    piece, at = (found[0], found.span()) if found else ("", (stuck.at, len(text)))
    if piece in "()":
        return _bracketed(text, at)
    before, rest = text[: at[0]].rstrip(), text[at[0] :]
    after = rest.lstrip("; ")
    if piece.startswith(";") and "COMMA" in stuck.wanted and after:
        row = Rewrite(f"{before}\n{after}", whole, f"write one figure a line: {_brace(after)} on the next one")
        comma = Rewrite(f"{before}, {after}", whole, "write a comma in its place")
        return LineError((at[0], at[0] + 1), "; is not understood here", (comma, row) if start == "steps" else (comma,))
    if start == "steps" and before.endswith(",") and "OPPOSITE" in stuck.wanted:
        said, before = (re.match("[^|]*", rest) or [piece])[0].rstrip(), before.rstrip(" ,")
        row = Rewrite(f"{before}\n{said}", whole, f"write one figure a line: {_brace(said)} on the next one")
        reason = f"{_short(piece)} is not understood here: behind a comma stands {_choice(stuck.wanted)}"
        note = Rewrite(f"{before} ({said})", whole, "or write {} if it is a note to the dancers")
        steps = "single steps without a name stand in a row of movements, as in: S(R) S(L)"
        more = (steps,) if re.search(r"\b[LR]\b", text) else ()
        return LineError(at, reason, (row, note, *more, *_shape(text, start)))
    reason = f"{_short(piece)} is not understood here"
    if len(stuck.wanted) <= MOST_NAMED:
        reason += f": {_choice(stuck.wanted)} can stand here"
    return LineError(at, reason, _shape(text, start))


def _near_word(stuck: Stuck, text: str) -> LineError | None:
    found = _PIECE.match(text, stuck.at)
    vocabulary = {word.split()[0]: word for terminal in stuck.wanted for word in _WORDS.get(terminal, ())}
    piece = found[0].casefold() if found else ""
    near = get_close_matches(piece, list(vocabulary), n=1, cutoff=0.6)
    if not found or not near:
        return None
    word, end = vocabulary[near[0]], found.end()
    rest = re.match(rf"\s+{word.partition(' ')[2][:1]}\w*", text[end:], re.IGNORECASE) if " " in word else None
    if piece in vocabulary and (rest is None or f"{piece}{rest[0]}".casefold() == word):
        return None
    end += rest.end() if rest else 0
    reason = f"{_short(text[found.start() : end])} is not understood here"
    return LineError((found.start(), end), reason, (Rewrite(word, None, MEANT),))


def _bracketed(text: str, at: At) -> LineError:
    more = text.count("(") - text.count(")")
    once = "a note stands once, at the end of the line"
    reason = once if not more else f"a bracket is never {'closed' if more > 0 else 'opened'}"
    hints: tuple[str | Rewrite, ...] = ("as in: Vine, left foot (moving left)",)
    if more == 1:
        hints = (Rewrite(f"{text})", (0, len(text))), *hints)
    elif not more and (notes := _NOTE.findall(text)):
        bare = re.sub(r"\s+(?=[,:|]|$)", "", _NOTE.sub(" ", text))
        hints = (Rewrite(f"{bare.strip()} ({', '.join(map(str.strip, notes))})", (0, len(text))), *hints)
    return LineError(at, reason, hints)


def _brace(text: str) -> str:
    return _short(text).replace("{}", "")


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:59]}…"


def _choice(terminals: tuple[str, ...]) -> str:
    if "OPPOSITE" in terminals:
        return "a turn, a foot, a facing or a length"
    named = {name: words[0] for name, words in _WORDS.items()} | _SAID
    said = list(dict.fromkeys(named[terminal] for terminal in terminals if terminal in named))
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"
