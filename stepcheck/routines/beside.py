"""Marks that stand apart from their cue, in a sentence behind it or on the line below it, and beats beside it that it
does not last."""

import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.cues.entries import Entry
from stepcheck.cues.figures import Figures, split_foot
from stepcheck.cues.footwork import Footwork, found_in
from stepcheck.cues.lining import Lines, Open, Told
from stepcheck.cues.marks import AIMED, EACH, GOES, NTH, PART, TALK, Cue, prose
from stepcheck.cues.repeats import Again, freed
from stepcheck.cues.tokens import Tok, number, placed, spelled, toks
from stepcheck.model.dance import key as plain_key
from stepcheck.pages.heads import is_imprint, uncounted
from stepcheck.pages.reader import Reader
from stepcheck.routines.key import Key
from stepcheck.routines.part import Piece
from stepcheck.steps.outline import Item, Line, beats_of, lines_of
from stepcheck.steps.steps import OTHER
from stepcheck.steps.vocabulary import pieces
from stepcheck.steps.words import NUMBERS, ORDINAL, SIDED, SPOKEN_FEET, TIMES, UNITS

_LEADS = re.compile(r"\(?(\d{1,2})\)?[\s:.-]+(?=[A-Za-z])")
_MARKS = ("foot", "feet", "turned", "twice", "dir", "clock")
"""What a mark says: a foot, a turn, how often, or where it goes."""
_MORE = re.compile(r"(?i)\b(?:again|another|it|that|this|other|opposite|same|all|then|now|next|more)\b")
"""Words with which something is danced once more, or something else is."""
_WHILE = re.compile(
    r"(?i)\b(?:so (?:that )?)?(?:you|we) (?:see|face|visit|hit|dance to) (?:all (?:four|4)|every|each)(?: of the)? "
    r"walls?\b|,? (?:(?:on|to|in) )?all (?:four|4) walls\b|\bwhile you do (?:this|that|it)\b|"
    r"\b(?:until|till) (?:you|we)\b.*|\b(?:begin|start)(?:s|ning|ing)?\b"
)
"""For how long, or until when, a turn is made, and that a foot begins."""
_FEET = re.compile(
    rf"(?i)\b({SIDED}),? (?:then|and|&) ({SIDED})(?: (?:on|with) the (?:opposite|other) (?:foot|feet|ft)\b)?"
)
"""A foot for each of two times."""
_NEXT = re.compile(rf"(?i)\b(second|2nd) (?:one|time)\b(?=,?\s+(?:(?:with|on|the)\s+)*{SIDED}\b)")
_BESIDE = ("noise", "sep", "talk")

CLAIM = re.compile(
    rf"(?i)^\W*(?!.*\b(?:do|dance|repeat|again|next|other|last|{ORDINAL})\b)(?:you\b.*?|now\b.*?|to |and )?"
    r"(?:\b(?:facing|face|faces|(?:back )?to)\s+(?:the\s+)?(front|back)(?: wall)?|(\d{1,2}:\d\d))\W*$"
)
SUM = re.compile(
    rf"(?i)(?:(?:and\s+)?(?:that|this|it|which)(?:'s|\s+(?:makes|is|takes|comes to))\s+(?=\d+\s*{UNITS})|"
    rf"\W*(?=\d+, you))(\d{{1,3}})\s*(?:{UNITS})?"
    r"(?:,?\s*(?:(?:and|so)\s+)?(?:(?:it|that|this)\s+)?"
    r"(?:puts you|you(?:'re| are| end up| finish| face| come))(?: now| home| back)*"
    r"(?:\s+(?:at|to|on|in|facing))?\s+(?:the\s+)?(front|back)(?: wall)?)?(?:\s+(?:too|as well))?\W*"
)
"""How long all is so far, and where it ends: `That makes 16 beats and puts you at the back`."""


def marked(told: Told, text: str, key: Key) -> Told | None:
    """Return a line of cues with the marks that a text says of its last cue.

    `key` has the words of the sheet. None where the text says anything but marks, or where one of them is said
    already, may be of several cues, or does not fit the cue.
    """
    text = _NEXT.sub(r"\1", _FEET.sub(r"\1 and \2", _WHILE.sub(" ", text)))
    held = toks(placed(spelled(text), []), key.cues.vocabulary, key.legend)
    if not told.cues or told.again or told.inner or _MORE.search(text) or not _only_marks(held):
        return None
    last = told.cues[-1]
    made = evolve(last, turns=[*last.turns], notes=[*last.notes])
    key.reading.marks(made, text)
    if last.feet and made.feet == last.feet * 2:  # said twice
        made.feet = last.feet
        return told if made == last else None
    turned, footed, often = (made.turns != last.turns, made.feet != last.feet, made.times != last.times)
    twice = (turned and last.turns) or (footed and last.feet) or (often and (last.times or last.number > 1))
    several = ((turned or often) and len(told.cues) > 1) or (last.number < 2 and re.search(r"(?i)\bboth\b", text))
    made.each |= often and not turned and any(spin.eighths < 8 for spin in last.turns)  # `Joey, 1/4 L` over `4 times`
    if made == last or made.doubt != last.doubt or twice or several:
        return None
    whole = evolve(told, cues=[*told.cues[:-1], made])
    blanks = [line for each in (told, whole) for item in _lines(each, key) for line in lines_of(item) if line.blank]
    return None if blanks else whole


def noted(told: Told, text: str, key: Key) -> Told | None:
    """Return a line of cues with the marks that a text says of those that it names, `vine to the left, turn 1/2 on the
    Triple`; None where it names none first, or says anything else."""
    cues, at = [*told.cues], -1
    names = [(re.escape(cue.name), re.escape(re.split("[ -]", cue.name)[-1])) for cue in cues]
    own = [re.compile(rf"(?i)(?:\bon (?:the )?)?\b(?:{name}|{last})\b") for name, last in names]
    for piece in re.split(r"\s*[,;]\s*", text):
        named = [n for n, cue in enumerate(cues) if cue.name and own[n].search(piece)]
        at = named[0] if named else at
        made = (
            marked(evolve(told, cues=[cues[at]]), own[at].sub(" ", piece), key) if len(named) < 2 and at >= 0 else None
        )
        if made is None:
            return None
        cues[at] = made.cues[0]
    return evolve(told, cues=cues)


IS = re.compile(
    rf"(?i)\W*(?:(?:this|that|it|which)(?: is|'s)(?: called)?|called|=)\s+(?:an?|the|one|your|our)?\s*"
    rf"(?P<name>[a-z][\w' -]+?)(?:,?\s*(?:and|which)?\s*(?:it )?(?:takes|lasts|is)\s+(?P<beats>\d+)\s*{UNITS})?\W*"
)
"""What a row is called, in a sentence behind it: `This is the Basic, and takes 2 beats`."""


def called(told: Told, text: str, key: Key) -> Told | None:
    """Return a line whose last cue is a row, with the figure that a sentence says it is, None if the sentence says
    anything else, or the row is not the figure's."""
    found = IS.fullmatch(text)
    row = told.cues[-1].row if told.cues and not told.again else None
    cues = key.cues_of(found["name"]) if found and row else []
    plain = len(cues) == 1 and cues[0] == Cue(cues[0].text, name=cues[0].name) and cues[0].name
    if not found or not row or not plain or told.cues[-1].name or not key.spells(cues[0], row):
        return None
    size = row.lasts(key.cues.book)
    if found["beats"] and int(found["beats"]) != size:
        return None
    return evolve(told, cues=[*told.cues[:-1], evolve(told.cues[-1], name=cues[0].name, aside=cues[0].text)])


def explains(text: str, key: Key) -> bool | None:
    """Say whether a sentence explains a figure and is no dance, `A Basic is a double step and a rock step`: True where
    that is its footwork, None where it is not; False for any other sentence."""
    found = re.fullmatch(r"(?i)\W*(?:an?|the|each)\s+(?P<name>[a-z][\w' -]+?)\s+(?:is|has)\s+(?P<steps>.+)", text)
    made = key.cues_of(found["steps"]) if found else []
    steps = [code for cue in made for step in cue.steps for code in step.codes]
    if not found or not steps or any(cue.name or cue.turns for cue in made):
        return False
    cues = key.cues_of(found["name"])
    known = len(cues) == 1 and cues[0].name and not cues[0].unknown
    return True if known and key.cues.spells(cues[0].name, steps) else None


def spelled_out(told: Told, made: Told, key: Key) -> Told | None:
    """Return a line of cues with the foot that begins the steps of a sentence behind it, if these are the footwork of
    its last figure: `Four Rocking Chairs. Double step left, brush the right foot, …`; in doubt, if they only last as
    long. None if they are others."""
    cue = told.cues[-1] if told.cues and not told.again else None
    rows = _lines(made, key) if cue and made.cues and not (made.again or made.stated) else []
    row = rows[0] if len(rows) == 1 else None
    if not cue or not cue.name or cue.row or cue.doubt or not isinstance(row, Line) or not row.moves or row.turn:
        return None
    foot = row.moves[0].foot
    odd = foot and cue.feet and cue.feet[0] != foot
    size = key.cues.beats(Line(name=cue.name))
    still = all(move.code == "HOLD" for move in row.moves)
    if not size or key.cues.beats(row) != size or len(row.moves) < 2 or still:
        return None
    if odd or not key.cues.spells(cue.name, [move.code for move in row.moves]):
        return evolve(told, cues=[*told.cues[:-1], evolve(cue, doubt=made.text)]) if len(row.moves) > 2 else None
    return evolve(told, cues=[*told.cues[:-1], evolve(cue, feet=cue.feet or foot)])


def taken(told: list[Told], made: Told | bool | None, key: Key, above: list[Told]) -> Told | bool | None:
    """Return what a sentence says, True where that is the footwork of what is `told` before it, or that this is the
    figure of the line `above` on its other foot: `Joey (R)   same, opposite feet`."""
    footwork = spelled_out(told[-1], made, key) if told and isinstance(made, Told) else None
    told[-1:] = [footwork or each for each in told[-1:]]
    again = made.again if isinstance(made, Told) else None
    match [*above[-1:], *told]:
        case [Told(cues=[one]), Told(cues=[other])] if again and again.last and one.name == other.name != "":
            alike = again.feet in ("same", "other", other.feet) and not again.changed
            return True if alike and other.feet and one.feet[-1:] != other.feet else made
    return True if footwork else made


def filled(told: list[Told], beside: list[str], stated: int, cues: Figures) -> tuple[list[Told], list[str]]:
    """Return the sentences of a line that are danced and those that are not: behind one that fills the stated beats
    prose is none, and behind one that fills its own nothing that isn't read; a turn behind a repeat puts it in
    doubt."""
    turned = next((each for each in beside if re.search(r"(?i)(?<!\bno )\bturn", each)), "")
    if told and turned and told[-1].again and not told[-1].again.doubt:
        told[-1].again = evolve(told[-1].again, doubt=turned)  # the lines turn this time
    lines, rest = Lines(cues, False), [each.text for each in told[1:]]
    own = told[0].cues[-1].beats if told and all(each.cues for each in told) and not stated else 0
    full = len(told) > 1 and (stated or own) and lines.lasts(lines.of(told[0], [])) == (stated or own)
    behind = [cue for each in told[1:] for cue in each.cues]
    if full and all(prose(cue.text, cues.vocabulary) or (own and cue.doubt and not cue.name) for cue in behind):
        return told[:1], [*beside, *rest]
    unread = any(cue.doubt or cue.unknown for each in told for cue in each.cues)
    if unread and stated and told[-1].again and told[0].number == told[-1].number:  # of which lines, nothing says
        return [Told(told[0].number, told[0].text, stated=stated)], beside
    return told, beside


def among(parts: Sequence[Piece], entry: Entry, above: int, said: tuple[list[Cue], int] | None) -> None:
    """Take a line that explains a figure as one of the last of `parts`, danced only where that has just this room, if
    it stands among its cues, the one `above` it another one; `said` are the cues of the line."""
    cues, times = said or ([], 1)
    for part in parts if len(cues) == 1 and not entry.gap else ():
        named = [cue.name for cue in part.told[-1].cues] if part.told else []
        if above in {part.number, *(told.number for told in part.told)} and cues[0].name not in named:
            part.told.append(Told(entry.number, entry.raw, cues, times, stated=entry.stated, spare=True))


def _lines(told: Told, key: Key) -> list[Item]:
    """Return the lines of a line of cues, without the beats that it states."""
    return Lines(key.cues, False).of(evolve(told, stated=0), [])


def _only_marks(held: list[Tok]) -> bool:
    """Say whether words are marks and nothing else that changes a dance, at least one of them."""
    said = [tok for tok in held if tok.kind in _MARKS or tok.text.startswith("@")]
    others = [tok for tok in held if tok not in said]
    quiet = (
        tok.kind in _BESIDE
        or tok.low in EACH | GOES
        or tok.low in NTH
        or tok.low.endswith("ing")
        or tok.kind == "turn"
        or number(tok) == 1
        or (number(tok) and (follows.low if follows else "") in {*EACH, "beat", "beats", "count", "counts"})
        or (number(tok) and before is not None and before.low in PART)
        or tok.low in ("beat", "beats", "count", "counts")
        for before, tok, follows in zip([None, *others], others, [*others[1:], None], strict=False)
    )
    return bool(said) and all(quiet)


def reached(text: str, base: Told) -> Told | None:
    """Return what a sentence says of the lines before it: how long these are, where the dancers face by now, or which
    foot is free; None if it says none of these."""
    if total := SUM.fullmatch(text):
        return evolve(base, stated=0, total=int(total[1]), says=f"facing {total[2].casefold()}" if total[2] else "")
    claim = CLAIM.match(text) if re.match(r"(?i)you\b|now\b", text) else None
    says = f"facing {claim[1] or claim[2]}" if claim else f"{foot} foot" if (foot := freed(text)) else ""
    return evolve(base, stated=0, says=says) if says else None


def _begins(cue: Cue) -> str:
    """Return the feet that a cue says, or the first one that stands at its row."""
    return cue.feet or (cue.row.feet[0][:1] if cue.row and cue.row.feet else "")


def related(cue: Cue, before: list[Cue], again: bool = False) -> None:
    """Give a cue the foot of its last time, or the other one, where it says so; and all that is said of that, if it is
    asked for `again`: `Repeat Samantha to the front`."""
    last = next((each for each in reversed(before) if each.name == cue.name), None)
    other = last and last.turns and cue.feet and _begins(last)[:1] not in ("", cue.feet[0])
    if again and last and (last.turns or len(last.feet) > 1) and not cue.turns and last.times == cue.times:
        cue.turns, cue.each, cue.shared, cue.on, cue.place = [*last.turns], last.each, last.shared, last.on, last.place
        cue.feet = cue.feet or last.feet * (len(last.feet) > 1)
        cue.doubt = (
            cue.doubt
            or last.doubt
            or cue.text * bool(other or last.number != cue.number or len(last.feet) > max(1, len(cue.feet)))
        )
    feet = next((foot for each in reversed(before) if each.name == cue.name and (foot := _begins(each))), "")
    if cue.relates == "as named" and cue.doubt.casefold() == "same" and len(cue.feet) == 1:
        cue.doubt *= all(each.name != cue.name for each in before)
    foot = {"same": feet, "other": OTHER.get(feet, "")}.get(cue.relates, "")
    if len(foot) == 1 and cue.feet in ("", foot) and cue.doubt.casefold() in ("same", "other", "opposite"):
        cue.feet, cue.doubt = foot, ""


def lasting(entry: Entry, stated: int, span: tuple[int, int], above: list[Told], key: Key) -> Told | None:
    """Return a line that is not read, or calls a step that is not, as a blank of the beats that it states, or of the
    number in front of it, if the numbers of the sheet are beats; None if it has neither, or if these are the beats of
    the line `above`, behind which it stands further in."""
    if not stated and (found_in(entry.text, key.legend) if entry.label else re.match(r"#\s?\d", entry.text)):
        return Told(entry.number, entry.raw, label=entry.label)  # a line with its number is danced, however long
    leads = _LEADS.match(entry.text) if above and not stated else None
    if (not stated and not leads) or any(_of_above(entry, stated, each, key) for each in above):
        return None
    cues = [Cue(entry.text, name=entry.text, unknown=True, number=int(leads[1]))] if leads else []
    return Told(entry.number, entry.raw, cues, stated=stated, span=span, label=entry.label, leads=bool(leads))


def _of_above(entry: Entry, stated: int, told: Told, key: Key) -> bool:
    """Say whether the beats of a line are those of the line above, which then has them, and is all that it says."""
    above = next((each for each in key.entries if each.number == told.number), entry)
    if not stated or told.stated or told.again or entry.number != above.number + 1 or entry.indent <= above.indent:
        return False
    if Lines(key.cues, False).lasts(_lines(told, key)) != stated:
        return False
    told.stated = stated
    return True


_SPEAKS = ("foot", "feet", "number", "turned", "figure", "codes", "twice", "size", "verb", "part")


def goes(text: str, reader: Reader) -> bool:
    """Say whether a sentence says no more than where what was danced goes: `Walk forward with them`."""
    found = pieces(AIMED.sub(" ", text), reader.vocabulary)
    verbs = {word.casefold() for kind, _, _, word in found if kind in ("verb", "codes", "part")}
    return verbs <= GOES and not any(kind in ("foot", "feet", "number", "turned", "twice") for kind, _, _, _ in found)


def talk(text: str, cues: list[Cue], reader: Reader) -> bool:
    """Say whether a sentence only speaks of figures: none of its cues is read, and it does not begin with one."""
    found = [piece for piece in pieces(text, reader.vocabulary) if piece[0] != "sep"]
    begins = found and found[0][0] in ("number", "figure", "verb", "codes", "part", "turned", "foot")
    named = found and found[0][3].casefold() in NUMBERS
    talks = any(word.casefold() in TALK for _, _, _, word in found) or all(cue.doubt or cue.unknown for cue in cues)
    return len(found) > 6 and not begins and not named and talks


def risky(text: str, reader: Reader) -> bool:
    """Say whether a text holds what a dance is made of: a number, a foot, a turn, a figure, a step."""
    found = pieces(text, reader.vocabulary)
    return any(
        (kind in _SPEAKS and not (kind == "verb" and word.casefold().endswith("ing")))
        or NUMBERS.get(word.casefold(), 0) > 1
        for kind, _, _, word in found
    )


_INITIAL = re.compile(r"\b[A-Z]\. (?=[A-Z][a-z])|(?<=[a-z] )[A-Z]\.(?=\W*$)")


def of_paper(text: str, reader: Reader) -> bool:
    """Say whether a text is about the paper or the class, and holds nothing of a dance beside dates and names."""
    return is_imprint(text) and not risky(_INITIAL.sub(" ", uncounted(text)), reader)


def says_nothing(repeated: Again, base: Told, piece: Piece, text: str, cues: Figures) -> bool:
    """Say whether a repeat only tells what the cue above it has: both of its feet, which is assumed, or how often that
    is danced, `4 times makes a box`, where it fills the part."""
    last = piece.told[-1].cues[-1] if piece.told and piece.told[-1].cues else Cue("")
    other = len({*last.feet}) > 1 and repeated.feet in (last.feet[-1], "other")
    many = repeated == Again(times=last.number) and re.match(rf"(?i){TIMES}", text)
    if other and not (base.stated or repeated.names or repeated.changed):
        cues.assumed.add(f"{text} is told above it")
        return True
    return bool(many and piece.full(Lines(cues, False)))


def doubted(told: list[Told], text: str) -> None:
    """Put the repeat at the end of lines in doubt, and the cue before it, if a text says where one of its times turns:
    `1st time   turn 1/2 left on the Basics`."""
    *before, last = told or [Told(0, "")]
    if last.again and re.search(r"(?i)\bturn", text):
        last.again = evolve(last.again, doubt=last.again.doubt or text)
        for cue in (each.cues[-1] for each in before[-1:] if each.cues and not re.search(r"(?i)\bno turn", text)):
            cue.doubt = cue.doubt or text


def codes_of(piece: Piece, cues: Figures) -> list[str]:
    """Return the figures and movements of a part, on whichever feet."""
    lines = [line for item in piece.read(Lines(cues, False))[0] for line in lines_of(item)]
    return [said for line in lines for said in (line.name, *(move.code for move in line.moves)) if said]


def misstated(piece: Piece, lines: Lines) -> Open:
    """Take off the beats that are stated of lines whose cues last otherwise, where just these cues bring their part to
    its own beats, and return what is open of them."""
    odd: list[tuple[Told, int, int]] = []
    for told in piece.told if piece.beats else ():
        quiet: Open = []
        size = lines.lasts(lines.of(evolve(told, stated=0), quiet)) if told.stated and told.cues else 0
        odd += [(told, told.stated, size)] * (size not in (0, told.stated) and not quiet)
    if not odd or sum(map(beats_of, piece.read(lines)[0])) in (piece.beats, piece.beats * piece.times):
        return []
    for told, *_ in odd:
        told.stated = 0
    if sum(map(beats_of, piece.read(lines)[0])) == piece.beats:
        return [
            (told.number, f"{said} beats are stated, {size} are read: {told.text}", "open") for told, said, size in odd
        ]
    for told, said, _ in odd:
        told.stated = said
    return []


_THEN = re.compile(rf"(?i)[\s,;]*\bthen (?:on )?(?:the )?({SIDED}) (?:foot|ft)\b")


def second_foot(cue: Cue, marks: str, feet: str) -> str:
    """Give a cue of two times the foot of its second one, `L RL   going back, then R foot going up`; return the
    other marks."""
    found, first = _THEN.search(marks), feet[:1]
    rest = f"{marks[: found.start()]},{marks[found.end() :]}".strip(" ,.") if found else ""
    side = SPOKEN_FEET[found[1].casefold()] if found else ""
    if not rest or cue.feet or max(cue.number, cue.times) != 2 or side != OTHER.get(first):
        return marks
    cue.feet = first + side
    return rest


def learned(cues: Sequence[Cue], cue: Cue, row: Footwork, key: Key) -> None:
    """Keep a row as the footwork of the figure of a cue, which is then known wherever `cues` name it."""
    key.define(cue.name, row)
    for each in cues:
        if each.name == cue.name:
            each.unknown, each.doubt = not key.cues.defined.get(plain_key(split_foot(cue.name)[0])), ""
