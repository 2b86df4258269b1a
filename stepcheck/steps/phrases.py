"""From words to steps: a text in phrases, each of which moves one foot, names a figure, or says where it ends."""

import itertools
import re
from collections.abc import Iterator

from attrs import evolve

from stepcheck.steps.feet import (
    bare_feet,
    brought,
    closed,
    feet_behind,
    footed,
    footless,
    halved,
    only_feet,
    open_ways,
    parted,
    shared_row,
    turning_over,
    turning_to,
    waiting_for_feet,
)
from stepcheck.steps.movements import moved
from stepcheck.steps.steps import OTHER, WEIGHT, Aside, Event, Facing, Mention, Step, Unread, Weighted, explain, wall
from stepcheck.steps.vocabulary import Piece, Vocabulary, Word, hours, pieces
from stepcheck.steps.words import FOOT, NUMBER, NUMBERS, ORDINAL, SIDED, SIZE, UNITS, ordinal

_TO_WALL = r"\bto\s+(?:the\s+)?(?:front|back)\b(?:\s+again)?|"
_SAID_WALL = (
    r"(?:\bfac(?:e|ing)\s+(?:the\s+)?|\bat\s+the\s+(?!\w+ of\b))(?:front|back)\b(?:\s+wall)?(?:\s+again)?"
    r"|\((?:front|back)\s+again\b|\b(?:front|back)\s+wall\b(?: again)?"
    r"|\b(?:to )?(?:(?<!time you )comes?|bring\w*|take\w*) (?:(?!it )\w+ )?home\b"
)
_WALLS = {
    "line": re.compile(_SAID_WALL, re.IGNORECASE),  # a foot may step to the back
    "clogging": re.compile(r"(?:\bto\s+)?(?:" + _TO_WALL + _SAID_WALL + ")", re.IGNORECASE),
}
_ON_STEP = re.compile(rf"(?i)(?:\b(?:on|with)|,(?=[^,]*\d/\d)) (?:the |its |your )?(?:last|({ORDINAL})) step\b")
"""`vine right with a quarter turn on the third step`."""
_EASE = r"(?:easy|easier|harder|styling|lazy|lazier|simple|simpler|gentle|gentler|low[ -]impact|seated)"
_LESS = r"(?:no[nt]?[ -]*turn(?:s|ers?|ing)?\b|without turn\w*)"
OPTION = re.compile(
    rf"(?i)[(\[]\s*(?:{_EASE}\s+)?(?:option(?:al\w*)?|opt|or|alt\w*)\b[^()\[\]]*[)\]]|"
    rf"[(\[]\s*(?:(?:{_EASE}|{_LESS}|instead|dizzy|(?:bad|sore) \w+)(?:\s[\w' ]{{1,20}})?\s*[:=,?-]|"
    r"[^()\[\]]*\bif (?:you|it|turn\w*)\b)[^()\[\]]*[)\]]|"
    r"[(\[](?=[^()\[\]]*\b(?:you|you're|you'll|we|they|people|ppl|folks|some)\b)(?![^()\[\]]*(?:\d|o'clock|\b(?:front|weight|wt|fac\w+|wall)\b))"
    r"[^()\[\]]*[)\]]|(?<=\bclap) (?:with|for|at) (?:the|your)\b[^,;.()]*|"
    r"(?<=\w)\s*[-;,.]\s*(?:(?:easy|easier|harder|styling)\s+)?option(?:al)?\b.*$"
)
"""What may be danced instead, `(or just walk)`: a remark."""
INSTEAD = re.compile(
    r"(?i)\W*(?:(?:do ?n'?t|do not|ca ?n'?t|cannot) (?:like|want|fancy|do|enjoy) [^?.]{2,30}\?|"
    r"(?:any(?:one|body)|those|people|folks?|if (?:you|your|the|any\w*|some\w*|it)|"
    rf"for (?:those|anyone|beginners)|beginners|{_LESS}(?=\s*[:,-])|(?:{_EASE} )?(?:option|alternative|version)|"
    r"optional(?:ly)?(?! ending)|[a-z]+ (?:people|folks?|dancers|knees)(?=\s*:))\b)(?!.*\bwalls? \d)"
)
"""The beginning of a sentence that says what some do instead."""
RETRACTED = re.compile(
    r"(?i)(?:\s*(?:\.{2,}|\u2026|-{1,2}|[,;(])\s*|\s+)(?:(?:oh|er+|um+)[\s,]+)?"
    r"(?:no[\s,]+(?:wait|sorry|hang on|i mean)|sorry[\s,]+(?:no|i mean)|scratch that|i mean|"
    r"(?<=[.\u2026]\s)no(?=\s*[-,:\u2013]))\b[\s.,:;!-]*"
)
"""Words that take back what stands before them: `.. no wait`."""
_REPEATS = re.compile(r"(?i)\b(?:repeat|same|opposite|reverse|mirror)\b")
"""Words at the end of steps that are no remark: they ask for more steps."""
_WEIGHT = ("weight", "weighted", "wt")
_SO = re.compile(
    rf"(?i)(?<=\w),? (?:so|i\.e\.?,?|ie|meaning) (?=(?:fwd|forward|back|side|cross|step|rock)\b|{SIDED}\b)"
)
"""`rocking chair R so fwd, recover, back, recover`: what a figure is."""
_LISTED = re.compile(rf"(?i)\b((?:bump|sway|walk|skate|stomp|step)s?)\s*:\s*(?={SIDED}\s*(?:,|$))")  # `Bumps: R, R, L`
_FEET_LISTED = re.compile(r"\(\s*[LR](?:\s*(?:,|&|and)?\s*[LR])+\s*\)")
_LEAD = re.compile(
    rf"(?i),\s*(?=(?:start|begin|lead)(?:n?ing)? (?:(?:with|on) )?(?:the |your )?{FOOT}(?: foot)?(?: forward| back)?"
    r"\W*$)"
)
_SWUNG = re.compile(rf"(?i)\b((?:toes?|heels?|hips?|knees?) (?:from )?){SIDED} to (?:the )?{SIDED}\b")  # ways, no feet
_WITH = re.compile(rf"(?i)\b(?:walk|go|travel)\w*((?: forward| fwd| back)?) with (?={NUMBER} (?!steps|counts|walks))")
_THATS = re.compile(r"(?i)[.,;]?\s*\bthat'?s\s+((?-i:[LR])(?:[\s,-]+(?-i:[LR]))+)\b")
"""`out out in in. that's R L R L`: the feet of the steps before."""
_SHARED = re.compile(r"\(\s*([LR](?:\s*(?:,|&|and)\s*[LR])*)\s*\)\W*$")  # `heel, together (R, L)`: shared feet
_TURNED_FIRST = re.compile(
    rf"(?i)^\s*(\(?)(?:turn(?:ing)?\s+)?({SIZE})(?:\s+turn)?\s+(?:to\s+the\s+)?({SIDED})\s*(?(1)\)|:)\s*(?=\w)"
)
"""A turn in front of the step that makes it: `(1/4 L) R side`, `turning 1/4 L: R side`."""
_FRONT, _BACK = "\u2191", "\u2193"


def events(text: str, vocabulary: Vocabulary) -> tuple[Event, ...]:
    """Return what a text says, in order: steps, figures, facings, remarks, and what isn't understood.

    Phrases end at commas, strokes, full stops, `then`, `and`, and before the next movement.
    """
    if said := [each.strip() for each in OPTION.findall(text)] if vocabulary.tradition == "line" else []:
        return (*events(OPTION.sub(" ", text), vocabulary), *(Aside(each, inside=True) for each in said))
    if vocabulary.tradition == "line" and (INSTEAD.match(text) or RETRACTED.search(text)):
        return (Aside(text) if INSTEAD.match(text) else Unread(text),)
    return _sharing(text, vocabulary) or _in_order(text, vocabulary)


def _in_order(text: str, vocabulary: Vocabulary) -> tuple[Event, ...]:
    text = _ON_STEP.sub(lambda found: f" @{ordinal(found[1]) if found[1] else -1} ", hours(text))
    lined = vocabulary.tradition == "line"
    text = _SWUNG.sub(r"\1", _WITH.sub(r"\1 ", _SO.sub(": ", _LISTED.sub(r"\1 ", text)))) if lined else text
    text = _TURNED_FIRST.sub(r"turn \2 \3 and ", text) if lined else text
    text = brought(_THATS.sub(r" (\1)", _LEAD.sub(" ", text))) if lined else text
    text = _FEET_LISTED.sub(lambda found: re.sub(r"[^LR()]", "", found[0]), parted(text)) if lined else text
    walls = _WALLS[vocabulary.tradition]
    text = walls.sub(lambda found: f" {_BACK if 'back' in found[0].casefold() else _FRONT} ", text)
    out: list[Event] = []
    leading = ""
    waiting: list[int] = []  # the places of the steps of one phrase whose feet may still be said
    for chunk, inside, sign, end in _chunks(open_ways(pieces(text, vocabulary))):
        if lined and not sign and out and any(piece[0] == "twice" for piece in chunk):
            return (Unread(text),)  # `kick ball cross x2`: of the last movement, or of all that stand in a row?
        feet = bare_feet(chunk) if waiting else ""
        only = out[waiting[0]] if len(waiting) == 1 else None
        lone = isinstance(only, Step) and not only.foot  # `march in place, R-L-R-L`
        if (lead := bare_feet(chunk)) in OTHER and end == ":":
            leading = lead  # `Right foot: side, together`
        elif inside and lined and (those := footless(out, bare_feet(chunk))):
            out[-len(those) :] = those
        elif feet and (not lone or len(feet) > 1 or inside):
            if not footed(out, waiting, feet):
                out[waiting[0]] = Unread(
                    f"{getattr(out[waiting[0]], 'text', '')} {' '.join(piece[3] for piece in chunk)}"
                )
        else:
            start = len(out)
            chunk = shared_row(out, chunk) if lined else chunk
            for event in _said(chunk, vocabulary, out, inside):
                placed = _placed(event, chunk, inside, sign if out else "", end)
                _put(out, halved(out, placed) if lined and sign == "&" and len(out) == start else placed)
            if leading and len(out) > start and isinstance(first := out[start], Step):
                out[start] = evolve(first, foot=first.foot or leading)
                leading = ""
            waiting = waiting_for_feet(out, start, chunk)
            if end == ":":
                explain(out, start)
    out[-1:] = [
        Unread(each.text) if isinstance(each, Aside) and not each.inside and _REPEATS.search(each.text) else each
        for each in out[-1:]
    ]
    return turning_over(feet_behind(closed(out, text))) if lined else tuple(out)


def _sharing(text: str, vocabulary: Vocabulary) -> tuple[Event, ...]:
    """Return steps behind which fewer feet stand in a bracket than they are, the bracket a remark; one foot is that of
    all where only the last takes weight; () for any other text."""
    found = _SHARED.search(text)
    before = events(text[: found.start()], vocabulary) if found else ()
    bare = all(isinstance(event, Step) and not event.foot for event in before)
    if found is None or not bare or len(before) <= len(re.findall("[LR]", found[1])):
        return ()
    if len(found[1]) == 1:
        moving = [event for event in before if isinstance(event, Step)]
        free = all(step.codes[-1] not in WEIGHT for step in moving[:-1])
        return tuple(evolve(step, foot=found[1]) for step in moving) if free else ()
    return (*before, Aside(found[0].strip(), inside=True))


def _placed(event: Event, chunk: list[Piece], inside: bool, sign: str, end: str) -> Event:
    """Return an event with what stands around its phrase: brackets, the signs before and behind it."""
    once = all(piece[0] not in ("twice", "number") for piece in chunk)
    if (sign == "and" or inside) and once and isinstance(event, Step) and event.codes == ("CLAP",):
        return evolve(event, inside=inside, beside=True)
    if isinstance(event, Unread) and sign in ("-", "!") and not inside:
        return Aside(event.text)
    if isinstance(event, Unread):
        return evolve(event, spelled=end in (":", "."), inside=inside)
    if isinstance(event, Mention):
        joined = end == "with" or (end == "and" and any(piece[3].casefold() == "with" for piece in chunk[-3:]))
        return evolve(
            event,
            spelled=event.spelled or end == ":" or inside,
            bracketed=end == "(",
            explained=end in ("-", "."),
            ends=event.ends or joined,
        )
    return evolve(event, inside=True) if isinstance(event, Step | Aside) and inside else event


def _put(events: list[Event], event: Event) -> None:
    """Add an event; words that aren't understood are one, and so are two facings of which one is a time of the
    clock."""
    before = events[-1] if events else None
    if isinstance(event, Unread) and isinstance(before, Unread) and event.inside == before.inside:
        events[-1] = evolve(event, text=f"{before.text}, {event.text}", inside=before.inside and event.inside)
    elif isinstance(event, Facing) and isinstance(before, Facing):
        events[-1] = event if ":" in event.wall else before
    else:
        events.append(event)


def _chunks(pieces: list[Piece]) -> Iterator[tuple[list[Piece], bool, str, str]]:
    """Yield the pieces between separators, cut before each second movement.

    With each go whether brackets are around them, and the separators before and behind them.
    """
    chunk: list[Piece] = []
    depth, glued, sign = 0, False, ""
    run = False  # whether single places without signs between them are steps: `side together side touch`
    for at, piece in enumerate(pieces):
        kind, value, *_ = piece
        if only_feet(piece, chunk, pieces[at + 1 : at + 2]):
            chunk = turning_to(chunk, pieces[at + 1])
            continue
        if kind == "sep":
            joins = value in ("and", "&", "+") or (value == "," and sign in ("", ".") and depth == 0)
            if joins and chunk and all(other[0] in ("turned", "noise") for other in chunk):
                continue  # what turns is the step behind the word
            if chunk:
                yield chunk, depth > 0, sign, value
            depth = max(0, depth + (value in "([") - (value in ")]"))
            chunk, sign, glued, run = [], value, value in ("&", "+"), False
        elif not _counts_steps(piece, chunk):
            with_it = bool(chunk) and any(other[3].casefold() == "with" for other in chunk[-2:])
            clap = kind == "verb" and value == "CLAP" and (with_it if chunk else glued)
            piece = ("dir", "clap", Word("dir", "clap"), piece[3]) if clap else piece
            kind = piece[0]
            said = {other[0] for other in chunk}
            ends_run = run and kind == "verb" and "dir" in said and said <= {"foot", "dir", "noise", "turned"}
            ends_run = ends_run or (run and kind == "dir" and len(chunk) == 1 and _locks(chunk[0]))
            if ends_run or _begins(piece, chunk, pieces[at + 1 : at + 2]):
                ends = "with" if len(chunk) > 1 and any(other[3].casefold() == "with" for other in chunk[-2:]) else ""
                turning = kind == "verb" and chunk[-1][0] == "turned" and all(other[0] != "figure" for other in chunk)
                turning = turning and not _turns(pieces[at + 1 :])
                turning, run = turning and not ends_run, run or kind == "dir" or _locks(piece)
                head = [chunk.pop()] if turning else []
                yield chunk, depth > 0, sign, ends
                chunk, sign = head, ""
            chunk.append(piece)
    if chunk:
        yield chunk, depth > 0, sign, ""


def _turns(later: list[Piece]) -> bool:
    """Say whether the words behind a movement say how far it turns itself: `step R 1/2 L step R 1/4 L`."""
    own = itertools.takewhile(lambda piece: piece[0] not in ("sep", "verb", "figure"), later)
    return any(piece[0] == "turned" for piece in own)


def _counts_steps(piece: Piece, chunk: list[Piece]) -> bool:
    """Say whether a word says only what is counted, as in `walk forward 4 steps`."""
    behind = bool(chunk) and (chunk[-1][0] == "number" or chunk[-1][3].casefold() in NUMBERS)
    return piece[:2] == ("verb", "S") and behind and any(other[0] in ("verb", "turned") for other in chunk)


_FREE = tuple(("verb", each) for each in ("TCH", "K", "HITCH", "SCUFF", "BR", "PT", "HK", "FLICK", "SW", "DRAW"))
_PLACED = {"forward", "back", "side", "together", "behind", "in place"}
"""The places of feet, each of which alone is a step."""


def _locks(piece: Piece) -> bool:
    return piece[2] is not None and piece[2].note == "lock"


def _lands(piece: Piece, chunk: list[Piece]) -> bool:
    """Say whether a foot comes together behind its heel or toe, which is a step: `heel R tog`."""
    kinds = [other[0] for other in chunk]
    back = piece[0] == "dir" and piece[1] in ("together", "in place")
    came = piece[0] == "part" and kinds == ["dir"] and chunk[0][1] in ("together", "in place")  # `tog heel L`
    return came or (back and "part" in kinds and "foot" in kinds and "verb" not in kinds)


def _begins(piece: Piece, chunk: list[Piece], later: list[Piece]) -> bool:
    """Say whether a movement begins a phrase of its own; `later` is the word behind it."""
    placed = [other[1] for other in chunk if other[0] == "foot"]
    bare = bool(chunk) and all(other[0] in ("foot", "dir", "noise") for other in chunk)
    where = any(other[0] == "dir" for other in chunk)
    footed, ended = bool(placed), not later or later[0][0] == "sep"
    several = len(bare_feet(chunk)) > 1 or (bare and len(placed) > 1)  # `R L R scuff L`, `back L R L touch R`
    if ((placed and bare and where) or several) and piece[:2] in _FREE and later and later[0][0] == "foot":
        return several or later[0][1] not in placed  # `R side touch L`, `side R touch L`
    if piece[3].casefold() == "ball" and chunk and chunk[-1][0] in ("part", "codes"):
        return True  # `DS ball ball step`
    after = [other[3].casefold() for other in chunk]
    if after[-1:] == ["ball"] and (piece[:2] == ("verb", "S") or (after == ["ball"] and piece[:2] in _FREE)):
        return True
    if piece[3].casefold() == "ball" and any(other[0] == "verb" and other[1] not in ("", "S") for other in chunk):
        return True  # `kick ball cross`
    pivot = piece[:2] == ("verb", "PV S") and any(other[0] in ("foot", "dir") for other in chunk)
    ways = ("forward", "back", "together", "in place", "in", "out")
    both = {piece[1], chunk[-1][1]} if chunk else set()
    if bare and (both <= _PLACED or both <= {"out", "in"} or len(both) == 1):
        return piece[0] == "dir" and piece[3].casefold() != "home"  # `side together side`, `out out`, but `back home`
    if piece[0] == "foot" and footed and chunk[-1][0] == "dir":
        placing = bare and piece[1] not in placed and bool(later) and later[0][0] == "dir"  # `R side L behind`
        way = ended and ("dir", "diagonally") in [other[:2] for other in chunk]  # `LF step diag fwd R`
        goes = not way and chunk[-1][1] in ways and chunk[-1][3].casefold() not in ("in", "out")
        return placing or goes  # `R fwd L fwd`
    if footed and piece[0] == "verb" and piece[3].casefold().endswith("ing") and piece[1] == "S":
        return False  # `L crossing over R`: where the movement goes
    if piece[0] == "foot" and chunk and chunk[0][:2] == ("verb", "RC") and later:
        return chunk[-1][0] == "foot" and later[0][0] == "dir"  # `recover R L together`
    if bare and where and footed and _locks(piece):
        return True  # `R fwd lock fwd`
    swings = piece[0] == "dir" and len(both) == 2 and both <= {"in", "out"}  # `fan R toe out in`
    moves = piece[0] in ("verb", "figure") and any(other[0] in ("verb", "figure") for other in chunk)
    still = piece[:2] in (("verb", "HOLD"), ("verb", "CLAP")) and footed and any(o[0] in ("part", "dir") for o in chunk)
    free = piece[:2] in _FREE and footed and len(chunk) == 2 and chunk[0][1] in _PLACED and ended  # `side R touch`
    doubled = piece[0] == "part" and chunk[-1:] and chunk[-1][3].casefold() == piece[3].casefold()  # `R heel heel`
    begins = pivot or moves or swings or still or free or doubled  # `R heel hold`
    return bool(begins) or _lands(piece, chunk) or _recovers(piece, chunk, later) or _paired(piece, chunk, later)


def _paired(piece: Piece, chunk: list[Piece], later: list[Piece]) -> bool:
    """Say whether a place before its foot, behind another such pair, is a step of its own: `side R together L`."""
    pair = [other[0] for other in chunk] == ["dir", "foot"] and {piece[1], chunk[0][1]} <= _PLACED
    return pair and piece[0] == "dir" and [other[0] for other in later[:1]] == ["foot"]


def _recovers(piece: Piece, chunk: list[Piece], later: list[Piece]) -> bool:
    """Say whether a recover behind a place, or the place behind a recover before another one, is a step of its own:
    `fwd recover back recover`."""
    kinds, recover = {other[0] for other in chunk}, ("verb", "RC")
    if piece[:2] == recover:
        return "dir" in kinds and kinds <= {"foot", "dir", "noise"}
    return piece[0] == "dir" and [other[:2] for other in chunk] == [recover] == [other[:2] for other in later]


def _beside_steps(chunk: list[Piece], text: str, kinds: set[str], inside: bool) -> bool:
    """Say whether a phrase is a remark to the dancers, or a bracket that says on which count they clap."""
    spoken = "word" in kinds and chunk[0][3].casefold() in _SPEAKERS and not kinds & _DANCED
    return spoken or (inside and _CLAPPED.fullmatch(text) is not None) or _ANGLED.fullmatch(text) is not None


def _said(chunk: list[Piece], vocabulary: Vocabulary, before: list[Event], inside: bool) -> Iterator[Event]:
    """Yield what one phrase says."""
    text = " ".join(piece[3] for piece in chunk)
    kinds = {piece[0] for piece in chunk}
    words = [piece[3].casefold().removesuffix(" onto") for piece in chunk]
    at = next((index for index, word in enumerate(words) if {chunk[index][1], word} & {*_WEIGHT}), None)
    clocks = [piece for piece in chunk if piece[0] == "clock" or piece[3] in (_FRONT, _BACK)]
    if at is not None and not clocks:
        yield from _weighted(chunk, at, vocabulary, before, inside)
    elif inside and len(chunk) == 1 and kinds == {"number"} and vocabulary.tradition == "line":
        hour = wall(f"{chunk[0][1]}:00")
        yield Facing(hour) if hour else Unread(text)
    elif clocks:
        rest = [piece for piece in chunk if piece not in clocks]
        if any(piece[0] in ("verb", "foot", "figure", "turned", "codes") for piece in rest):
            yield from _said(rest, vocabulary, before, inside)
        walls = [{_FRONT: "front", _BACK: "back"}.get(piece[3]) or wall(piece[1]) for piece in clocks]
        yield from (Facing(found) for found in walls if found)
    elif (
        inside
        and "word" in kinds
        and not _lasts(chunk)
        and (not kinds & {"verb", "figure", "codes", "turned"} or " on the " in f" {text} ")
    ):
        yield Aside(text)
    elif chunk[0][3].casefold() == "all" and text.endswith("s") and not kinds & {"foot", "feet", "number", "turned"}:
        yield Aside(text)  # `all chassés`: what the steps behind it are
    elif _AGAIN.search(text) and not kinds - {"noise", "talk", "word"}:
        yield Unread(text)  # `and do that again`
    elif _beside_steps(chunk, text, kinds, inside):
        yield Aside(text)
    elif kinds - {"noise", "talk"}:
        yield from moved(chunk, text, vocabulary, before, inside)


_LASTING = {*NUMBERS, "count", "counts", "beat", "beats"}
_DANCED = {"verb", "foot", "feet", "figure", "codes", "turned", "number"}
_CLAPPED = re.compile(r"(?i)(?:clap|snap|click)s?(?: \w+)? on (?:\d|(?:all|each|every|both)\b[\w ]*)")
"""A clap, snap or click on a count on which a step stands: `(clap on 8)`."""
_ANGLED = re.compile(rf"(?i)(?:turn|angl|fac)\w+ slightly (?:to )?(?:the )?{SIDED}")
"""How a step is danced, and no turn to a wall."""
_SPEAKERS = ("we", "you", "they", "i", "we're", "you're", "they're", "there's", "that's")
"""What begins a remark to the dancers: `we are in a hall`."""
_AGAIN = re.compile(r"(?i)\b(?:do|all|same)\b.*\b(?:again|once more)\b|^\W*(?:again|once more)\W*$")


def _lasts(chunk: list[Piece]) -> bool:
    """Say whether words in brackets are how many counts the step before them lasts."""
    said = " ".join(piece[3] for piece in chunk)
    return re.fullmatch(rf"(?i)(?:for |over )?{NUMBER} {UNITS}(?: each|,? no weight)?", said) is not None


def _weighted(
    chunk: list[Piece], at: int, vocabulary: Vocabulary, before: list[Event], inside: bool
) -> Iterator[Event]:
    """Yield the movement that stands before the word for weight, if one does, and the foot that is said to have it."""
    words = [piece[3].casefold() for piece in chunk]
    denied, end = next(((True, index) for index, word in enumerate(words) if word in ("no", "without")), (False, at))
    kinds = {piece[0] for piece, word in zip(chunk[:end], words, strict=False) if word not in _LASTING}
    moves = kinds & {"verb", "figure", "codes", "turned"} or {"foot", "dir"} <= kinds <= {"foot", "dir", "noise"}
    if moves and not (denied and "word" in kinds):
        end = len(re.sub(r"(?:\t(?:take|taking|put|with|keeping|the|your))+$", "", "\t".join(words[:end])).split("\t"))
        yield from _said(chunk[:end], vocabulary, before, inside)
        chunk = chunk[end:]
    stop = next((at for at, piece in enumerate(chunk) if at and piece[3].casefold() in ("so", "leaving")), None)
    feet = [piece[1] for piece in chunk[:stop] if piece[0] == "foot"]
    stands = not denied or (feet and [getattr(last, "foot", "") for last in before[-1:]] == [OTHER[feet[-1]]])
    if feet or denied:
        yield Weighted("" if not stands else OTHER[feet[-1]] if denied else feet[-1])
    if "word" in {piece[0] for piece in chunk} and len(chunk) > 4 + denied:
        yield Aside(" ".join(piece[3] for piece in chunk))
